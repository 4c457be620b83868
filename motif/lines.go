package motif

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// chooseShapes decides which of the drawing's shapes are cut. Filled ones are;
// where there are none, lines are cut along their middle, and what one line
// encloses within another is a hole.
func (d *drawing) chooseShapes() error {
	switch {
	case len(d.fills) > 0:
		if n := len(d.lines); n > 0 {
			d.notes.add(say.Many(n,
				"%d line without a fill is left out: where shapes are filled, only they are cut",
				"%d lines without a fill are left out: where shapes are filled, only they are cut"))
		}
		for _, s := range d.fills {
			if s.stroke > wideLine {
				d.notes.note("%s has a line %s wide round it: it is cut along the middle of the line", s.from, say.Length(s.stroke))
			}
		}
	case len(d.lines) > 0:
		if err := d.closeLines(); err != nil {
			return err
		}
	default:
		return d.nothing()
	}
	d.dropOutside()
	if len(d.fills) == 0 {
		return say.Errorf("all shapes lie outside the page or their clip path: move them into view")
	}
	return nil
}

// wideLine, in mm of the page, is the width of a line round a fill above which
// the picture looks clearly larger than what is cut.
const wideLine = 0.5

// nearlyMeet is how far apart the ends of an open line may lie and still be
// joined, as a share of its length; ends closer than the line's width are always
// joined.
const nearlyMeet = 0.02

// closeLines makes filled shapes of the lines of a drawing without fills.
func (d *drawing) closeLines() error {
	joined := map[string]int{} // colour: index in d.fills
	for _, s := range d.lines {
		var closed []subpath
		for _, sub := range s.path {
			if len(sub.curves) == 0 {
				continue
			}
			if err := d.closeLine(s, sub); err != nil {
				return err
			}
			closed = append(closed, sub)
		}
		if len(closed) == 0 {
			continue
		}
		i, seen := joined[s.colour]
		if !seen || len(s.clips) > 0 {
			i = len(d.fills)
			joined[s.colour] = i
			d.fills = append(d.fills, shape{from: s.from, colour: s.colour, evenOdd: true, clips: s.clips})
		}
		d.fills[i].path = append(d.fills[i].path, closed...)
	}
	if len(d.fills) == 0 {
		return d.nothing()
	}
	d.notes.note("the drawing has lines and no fill: it is cut along the middle of its lines")
	return nil
}

// closeLine notes that the ends of an open line are joined, and refuses those too
// far apart.
func (d *drawing) closeLine(s shape, sub subpath) error {
	gap := sub.start.Dist(sub.end())
	if sub.closed || gap == 0 {
		return nil
	}
	length := 0.0
	if ring, ok := sub.flatten(math.Max(pathBox([]subpath{sub}).Width(), geom.FlattenTol)/100, nil); ok {
		length = ring.Length() - gap
	}
	if gap > math.Max(s.stroke, nearlyMeet*length) {
		return &Fault{Rule: Open, At: sub.end(), Why: say.New("%s is an open line whose ends lie %s apart: close it, or fill the shape it draws", s.from, say.Fine(gap))}
	}
	d.notes.note("%s: its ends, %s apart, were joined", s.from, say.Fine(gap))
	return nil
}

// dropOutside leaves out shapes that lie wholly off the page or outside their
// clip path. It notes those that extend beyond the page, which are cut in full,
// and those that cover the page, which may be only its background.
func (d *drawing) dropOutside() {
	kept := d.fills[:0:0]
	for _, s := range d.fills {
		box := s.box()
		if box.IsEmpty() {
			continue
		}
		if !d.page.IsEmpty() {
			edge := d.page.Grow(geom.FlattenTol)
			switch {
			case box.Gap(d.page) > 0:
				d.notes.note("%s lies off the page and is left out", s.from)
				continue
			case len(d.fills) > 1 && within(d.page, box.Grow(geom.FlattenTol)):
				d.notes.note("%s covers the whole page and is cut too: delete it if it is only the background", s.from)
			case !within(box, edge):
				d.notes.note("%s extends beyond the edge of the page; it is cut in full", s.from)
			}
		}
		kept = append(kept, s)
	}
	d.fills = kept
}

func within(in, out geom.Box) bool { return out.Contains(in.Min) && out.Contains(in.Max) }
