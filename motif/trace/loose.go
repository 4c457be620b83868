package trace

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Limits of loose ends. What lies farther than looseOff line widths from every
// outline is not part of the line that was followed; less than looseLeast widths
// of it, counted along both its edges, is a wobble of the pen.
const (
	looseOff   = 2.5
	looseLeast = 6.0
)

// looseEnds notes stretches of lines that lead off the outlines or lie inside
// them, such as a stem drawn as a single stroke, or a vein: they enclose nothing
// and are not cut.
func looseEnds(lines []mark, shapes []shape) (notes []say.Message) {
	for _, l := range lines {
		reach := looseOff*l.width + 2
		var edge []geom.Vec
		for _, g := range shapes {
			if g.stroke > 0 && g.Box().Gap(boxOf(l)) <= reach {
				for _, r := range g.Rings() {
					edge = append(edge, r...)
				}
			}
		}
		if len(edge) == 0 {
			continue // noted as not closed
		}
		near := newPointGrid(edge, reach)
		var off, in []geom.Vec
		for _, r := range l.rings {
			dense, _ := evenly(r, 1)
			for _, p := range dense {
				if _, ok := near.nearest(p); ok {
					continue
				}
				if inside(shapes, p) {
					in = append(in, p)
				} else {
					off = append(off, p)
				}
			}
		}
		least := math.Max(looseLeast*l.width, 2*leastSide)
		if float64(len(off)) > least {
			notes = append(notes, say.New("a line that leads off the outline near %s was left out: only what a line goes round is cut; draw stems and the like with two edges", spot(off[len(off)/2])))
		}
		if float64(len(in)) > least {
			notes = append(notes, say.New("a line inside the outline near %s was left out because it encloses nothing", spot(in[len(in)/2])))
		}
	}
	return notes
}

func boxOf(m mark) geom.Box {
	b := m.box
	return geom.Box{Min: geom.Vec{X: float64(b.Min.X), Y: float64(b.Min.Y)}, Max: geom.Vec{X: float64(b.Max.X), Y: float64(b.Max.Y)}}
}

// inside reports whether p lies within the outer ring of a shape.
func inside(shapes []shape, p geom.Vec) bool {
	for _, g := range shapes {
		if g.Outer.Contains(p) {
			return true
		}
	}
	return false
}
