package motif

import (
	"errors"
	"fmt"
	"math"

	"strew/motif/geom"
)

// chooseShapes settles what of the drawing is cut. Fills are; where there are
// none, lines are cut along their middle, and what one line encloses within
// another is a hole.
func (d *drawing) chooseShapes() error {
	switch {
	case len(d.fills) > 0:
		if n := len(d.lines); n > 0 {
			d.notes.add("%s left out: where shapes are filled, only they are cut", count(n, "line without a fill is", "lines without a fill are"))
		}
		for _, s := range d.fills {
			if s.stroke > wideLine {
				d.notes.add("%s has a line %.2g mm wide round it: it is cut along the middle of the line", s.from, s.stroke)
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
		return errors.New("all shapes lie outside the page or their clip path: move them into view")
	}
	return nil
}

// wideLine, in mm of the page, is the width of a line round a fill from which
// the picture looks plainly larger than what is cut.
const wideLine = 0.5

// nearlyMeet is how far the ends of an open line may lie apart to be joined,
// as a share of its length; less than the line's own width always joins.
const nearlyMeet = 0.02

// closeLines makes fills of the lines of a drawing that has no fill.
func (d *drawing) closeLines() error {
	joined := map[string]int{} // colour: index in d.fills
	for _, s := range d.lines {
		var closed []subpath
		for _, sub := range s.path {
			if len(sub.curves) == 0 {
				continue
			}
			gap := sub.start.Dist(sub.end())
			if !sub.closed && gap > 0 {
				length := 0.0
				if ring, ok := sub.flatten(math.Max(pathBox([]subpath{sub}).Width(), geom.FlattenTol)/100, nil); ok {
					length = ring.Length() - gap
				}
				if gap > math.Max(s.stroke, nearlyMeet*length) {
					return &Fault{Rule: "open", At: sub.end(), Why: fmt.Sprintf("%s is an open line, its ends lie %.1f mm apart: close it, or fill the shape it draws", s.from, gap)}
				}
				d.notes.add("%s: its ends, %.2g mm apart, were joined", s.from, gap)
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
	d.notes.add("the drawing has lines and no fill: it is cut along the middle of its lines")
	return nil
}

// dropOutside leaves out shapes that lie wholly off the page or outside their
// clip path, and names those that reach over the page's edge, which are cut in
// full, and those that cover the page, which may be no more than its ground.
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
				d.notes.add("%s lies off the page and is left out", s.from)
				continue
			case len(d.fills) > 1 && within(d.page, box.Grow(geom.FlattenTol)):
				d.notes.add("%s covers the whole page and is cut too: delete it if it is only the background", s.from)
			case !within(box, edge):
				d.notes.add("%s reaches over the edge of the page; it is cut in full", s.from)
			}
		}
		kept = append(kept, s)
	}
	d.fills = kept
}

func within(in, out geom.Box) bool { return out.Contains(in.Min) && out.Contains(in.Max) }
