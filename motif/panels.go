package motif

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// Panels is a drawing of flat cloth, true to size, in millimetres from the top
// left of its page.
type Panels struct {
	// Regions are the panels in the order in which they are drawn; outer rings
	// run clockwise as seen, holes the other way.
	Regions []geom.Region
	Lines   []NamedLine // those with an id
}

// NamedLine is a line or a whole ring of the drawing that has an id.
type NamedLine struct {
	Name   string     // the id
	Points []geom.Vec // steps at most geom.FlattenTol from the curves drawn
	Closed bool       // it returns to its first point, which may be repeated
}

// maxPanels is how many pieces one layer may be sewn from.
const maxPanels = 64

// ReadPanels reads a drawing (SVG 1.1 or 2, plain or gzipped) as panels of
// cloth. Filled shapes are panels, and what their fill leaves out are holes. In
// a drawing without fills, closed lines are panels, and closed lines within them
// holes. Lines with an id name what they run along. The drawing must state its
// size. The notes say what was left out; they and errors name elements, never the
// file. A panel that crosses itself or another one is a *Fault.
func ReadPanels(data []byte) (Panels, []say.Message, error) {
	root, err := parseXML(data)
	if err != nil {
		return Panels{}, nil, err
	}
	d, err := readDrawing(root)
	if err != nil {
		return Panels{}, nil, err
	}
	if d.unsized {
		return Panels{}, d.notes.messages(), say.Errorf("the drawing states no size, and panels are cut true to size: give its page a width and height in millimetres")
	}
	rings, lines, err := d.panelOutlines()
	if err != nil {
		return Panels{}, d.notes.messages(), err
	}
	regions, err := nestPanels(rings, d.notes)
	if err != nil {
		return Panels{}, d.notes.messages(), err
	}
	return Panels{Regions: regions, Lines: lines}, d.notes.messages(), nil
}

// drawnRing is a closed shape that is a panel or a hole in one.
type drawnRing struct {
	geom.Ring
	from    say.Message
	element int // rings of one element are holes of one another
	filled  bool
	evenOdd bool
	box     geom.Box
}

// panelOutlines flattens what is drawn into closed rings and named lines.
func (d *drawing) panelOutlines() (rings []drawnRing, lines []NamedLine, err error) {
	f := &panelFlattener{}
	rings, lines, err = d.filledPanels(f)
	if err != nil {
		return nil, nil, err
	}
	drawn, more, err := d.linePanels(f)
	if err != nil {
		return nil, nil, err
	}
	if rings = append(rings, drawn...); len(rings) == 0 {
		return nil, nil, say.Errorf("the drawing holds no panel: draw each as one closed shape")
	}
	return rings, append(lines, more...), nil
}

// filledPanels returns the rings of filled shapes; one with an id is a named line
// too.
func (d *drawing) filledPanels(f *panelFlattener) (rings []drawnRing, lines []NamedLine, err error) {
	for i, s := range d.fills {
		if len(s.clips) > 0 {
			d.notes.note("%s: its clip path was ignored: panels are cut along their own edge", s.from)
		}
		for _, sub := range s.path {
			if len(sub.curves) == 0 {
				continue
			}
			points, err := f.flatten(s, sub)
			if err != nil {
				return nil, nil, err
			}
			r, err := panelRing(s, points)
			if err != nil {
				return nil, nil, err
			}
			r.element, r.filled = i, true
			rings = append(rings, r)
			if s.id != "" && len(s.path) == 1 {
				lines = append(lines, NamedLine{s.id, points, true})
			}
		}
	}
	return rings, lines, nil
}

// linePanels returns the named lines among the lines without a fill and, in a
// drawing without fills, the rings of closed ones.
func (d *drawing) linePanels(f *panelFlattener) (rings []drawnRing, lines []NamedLine, err error) {
	for i, s := range d.lines {
		for _, sub := range s.path {
			if len(sub.curves) == 0 {
				continue
			}
			points, err := f.flatten(s, sub)
			if err != nil {
				return nil, nil, err
			}
			closed := sub.closed || sub.start.Dist(sub.end()) <= geom.Touch
			if closed && len(d.fills) == 0 {
				r, err := panelRing(s, points)
				if err != nil {
					return nil, nil, err
				}
				r.element = i
				rings = append(rings, r)
			}
			switch {
			case s.id != "" && len(s.path) == 1:
				lines = append(lines, NamedLine{s.id, points, closed})
			case !closed || len(d.fills) > 0:
				d.notes.note("%s names no edge and is left out: a line along an edge needs an id and a path of its own", s.from)
			}
		}
	}
	return rings, lines, nil
}

// panelFlattener flattens outlines of panels and counts their points.
type panelFlattener struct{ points int }

// flatten returns the steps of a subpath, without neighbours that are one point.
func (f *panelFlattener) flatten(s shape, sub subpath) (geom.Ring, error) {
	r, ok := sub.flatten(geom.FlattenTol, nil)
	if f.points += len(r); !ok || f.points > maxPoints {
		return nil, manyPoints()
	}
	for _, v := range r {
		if math.Max(math.Abs(v.X), math.Abs(v.Y)) > maxExtent {
			return nil, say.Errorf("%s reaches more than %s from the page's corner, the most that can be cut: look for a broken coordinate", s.from, geom.Length(maxExtent))
		}
	}
	return slices.CompactFunc(r, func(a, b geom.Vec) bool { return a.Dist(b) < geom.SamePoint }), nil
}

// panelRing returns the closed outline r of shape s. It must be simple and have
// an area.
func panelRing(s shape, r geom.Ring) (drawnRing, error) {
	if len(r) > 1 && r[0].Dist(r[len(r)-1]) < geom.SamePoint {
		r = r[:len(r)-1]
	}
	empty := say.Errorf("%s has no area: draw a closed shape with room inside, or give a line that names an edge no fill", s.from)
	if len(r) < 3 {
		return drawnRing{}, empty
	}
	if at, _, crosses := geom.Contact(r); crosses {
		return drawnRing{}, &Fault{Rule: Crossing, At: at, Why: say.New("%s: the panel's edge crosses or touches itself there: draw it once round, and a slit as a gap with two edges", s.from)}
	}
	if math.Abs(r.Area()) < geom.SliverArea {
		return drawnRing{}, empty
	}
	return drawnRing{Ring: r, from: s.from, evenOdd: s.evenOdd, box: r.Box()}, nil
}

// nestPanels makes regions of rings: those that lie in no other are panels, and
// those that lie in one are its holes.
func nestPanels(rings []drawnRing, n *notes) ([]geom.Region, error) {
	all := make([]geom.Ring, len(rings))
	for i, r := range rings {
		all[i] = r.Ring
	}
	if at, between, meet := geom.Contact(all...); meet {
		return nil, &Fault{Rule: Overlap, At: at, Why: say.New("%s and %s overlap or touch there: draw panels apart, and holes within them", rings[between[0]].from, rings[between[1]].from)}
	}
	var outers []int
	holes := make([][]geom.Ring, len(rings))
	for i, r := range rings {
		around := -1 // the ring r lies in
		for k, q := range rings {
			if k == i || q.box.Gap(r.box) > 0 || !q.Contains(r.Ring[0]) {
				continue
			}
			if around >= 0 {
				return nil, &Fault{Rule: Nested, At: r.Ring[0], Why: say.New("%s lies within a hole: draw each panel beside the others", r.from)}
			}
			around = k
		}
		if around < 0 {
			outers = append(outers, i)
			continue
		}
		q := rings[around]
		switch {
		case r.filled && r.element != q.element:
			return nil, &Fault{Rule: Overlap, At: r.Ring[0], Why: say.New("%s lies on %s: panels may not overlap, and a hole is part of the panel's own path", r.from, q.from)}
		case r.filled && !r.evenOdd && (r.Area() > 0) == (q.Area() > 0):
			n.note("%s: a line within the panel cuts nothing out and is ignored", r.from)
			continue
		}
		hole := r.Ring
		if hole.Area() > 0 {
			hole = hole.Reversed()
		}
		holes[around] = append(holes[around], hole)
	}
	if len(outers) > maxPanels {
		return nil, say.Errorf("the drawing holds %d panels, and at most %d can be sewn", len(outers), maxPanels)
	}
	var out []geom.Region
	for _, i := range outers {
		r := rings[i].Ring
		if r.Area() < 0 {
			r = r.Reversed()
		}
		out = append(out, geom.Region{Outer: r, Holes: holes[i]})
	}
	return out, nil
}
