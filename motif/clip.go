package motif

import (
	"math"
	"strings"

	"strew/motif/geom"
)

// clip applies the clip path of e to what it has painted: the fills and lines from
// the given numbers on (CSS Masking 1, chapter 5).
func (d *drawing) clip(e *element, p pen, fills, lines int) error {
	if !strings.HasPrefix(strings.ToLower(p.style.clip), "url(") {
		d.notes.note("%s: its clip-path %q was ignored: use a <clipPath>", e.label(), shorten(p.style.clip))
		return nil
	}
	id, _ := cutURL(p.style.clip)
	target := d.lookup[id]
	if target == nil || target.name != "clipPath" {
		d.notes.note("%s is clipped by %q, which the drawing does not hold", e.label(), id)
		return nil
	}
	area, outer, err := d.clipPath(target, p, boxOf(d.fills[fills:], d.lines[lines:], p.m))
	if err != nil {
		return err
	}
	for _, a := range append(outer, area) {
		d.clipFrom(fills, lines, a)
	}
	return nil
}

// clipFrom clips the fills and lines from the given numbers on to area.
func (d *drawing) clipFrom(fills, lines int, area clipArea) {
	add := func(list []shape) {
		for i := range list {
			list[i].clips = append(list[i].clips[:len(list[i].clips):len(list[i].clips)], area)
		}
	}
	add(d.fills[fills:])
	add(d.lines[lines:])
}

// clipPath returns the area of the clipPath element e, applied to an element drawn
// with pen p whose bounding box in user units is box, and the areas that clip that
// area in turn.
func (d *drawing) clipPath(e *element, p pen, box geom.Box) (area clipArea, outer []clipArea, err error) {
	if p.uses, err = entered(p.uses, e); err != nil {
		return nil, nil, err
	}
	s := d.sheet.styleOf(e, rootStyle())
	p.m = d.transform(e, s, p.view).Then(p.m)
	if e.attr["clipPathUnits"] == "objectBoundingBox" {
		p.m = geom.Affine{A: box.Width(), D: box.Height(), E: box.Min.X, F: box.Min.Y}.Then(p.m)
		p.view.width, p.view.height = 1, 1
	}
	// The shapes of the clip are drawn filled into a drawing of their own.
	inner := &drawing{notes: d.notes, lookup: d.lookup, sheet: d.sheet, count: d.count, steps: d.steps}
	inner.sheet.clipping = true
	p.style = rootStyle()
	p.style.clipEvenOdd, p.style.font = s.clipEvenOdd, s.font
	for _, c := range e.children {
		if err := inner.clipShape(c, p); err != nil {
			return nil, nil, err
		}
	}
	d.count, d.steps = inner.count, inner.steps
	if s.clip != "" {
		id, _ := cutURL(s.clip)
		if next := d.lookup[id]; next != nil && next.name == "clipPath" {
			a, more, err := d.clipPath(next, p, box)
			if err != nil {
				return nil, nil, err
			}
			outer = append(more, a)
		}
	}
	return clipArea(inner.fills), outer, nil
}

// clipShape draws one child of a clip path: its shape and clip-rule matter, not
// its fill and stroke.
func (d *drawing) clipShape(e *element, p pen) error {
	switch e.name {
	case "use", "path", "rect", "circle", "ellipse", "polygon", "polyline":
		return d.draw(e, p)
	}
	if what, ok := notCut[e.name]; ok {
		d.notes.note("%s in a clip path was ignored", what)
	}
	return nil
}

// boxOf returns the bounding box of shapes in the user units of m.
func boxOf(fills, lines []shape, m geom.Affine) geom.Box {
	box := geom.EmptyBox()
	inv, ok := m.Inverse()
	if !ok {
		return geom.Box{}
	}
	for _, list := range [][]shape{fills, lines} {
		for _, s := range list {
			box = box.Union(pathBox(transformPath(s.path, inv)))
		}
	}
	if box.IsEmpty() {
		return geom.Box{}
	}
	return box
}

// box returns the bounding box of the shape, clipped to the boxes of its clips.
func (s shape) box() geom.Box {
	box := pathBox(s.path)
	for _, area := range s.clips {
		window := geom.EmptyBox()
		for _, c := range area {
			window = window.Union(c.box())
		}
		box = geom.Box{
			Min: geom.Vec{X: math.Max(box.Min.X, window.Min.X), Y: math.Max(box.Min.Y, window.Min.Y)},
			Max: geom.Vec{X: math.Min(box.Max.X, window.Max.X), Y: math.Min(box.Max.Y, window.Max.Y)},
		}
	}
	if box.IsEmpty() {
		return geom.EmptyBox()
	}
	return box
}

// pathBox returns the bounding box of a path's curves, to a ten-thousandth of its
// size.
func pathBox(path []subpath) geom.Box {
	rough := geom.EmptyBox()
	for _, s := range path {
		rough = rough.With(s.start)
		for _, c := range s.curves {
			rough = rough.With(c.end)
			switch c.kind {
			case cubic:
				rough = rough.With(c.p[0]).With(c.p[1])
			case arc:
				r := geom.Vec{X: math.Hypot(c.p[1].X, c.p[2].X), Y: math.Hypot(c.p[1].Y, c.p[2].Y)}
				rough = rough.With(c.p[0].Sub(r)).With(c.p[0].Add(r))
			}
		}
	}
	tol := math.Max(rough.Width(), rough.Height()) / 10_000
	box := geom.EmptyBox()
	var ring geom.Ring
	for _, s := range path {
		ring, _ = s.flatten(tol, ring[:0])
		box = box.Union(ring.Box())
	}
	return box
}
