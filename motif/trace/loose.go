package trace

import (
	"math"

	"strew/motif/geom"
)

// Limits of loose ends: what lies farther from every outline, in widths of its
// line, is no part of the line that was followed; less of it in all, counted along both
// its edges, is a wobble of the pen.
const (
	looseOff   = 2.5
	looseLeast = 6.0
)

// noteLoose tells of stretches of lines that lead off the outlines or cross
// them: a stem drawn as a single stroke, a vein. They go round nothing of their own
// and are not cut.
func (f *finding) noteLoose(lines []stroke, shapes []shape) {
	for _, s := range lines {
		reach := looseOff*s.width + 2
		var edge []geom.Vec
		for _, g := range shapes {
			if g.stroke > 0 && g.Box().Gap(boxOf(s)) <= reach {
				for _, r := range g.Rings() {
					edge = append(edge, r...)
				}
			}
		}
		if len(edge) == 0 {
			continue // told already
		}
		near := newPoints(edge, reach)
		var off, in []geom.Vec
		for _, r := range s.rings {
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
		least := math.Max(looseLeast*s.width, 2*leastSide)
		if float64(len(off)) > least {
			f.note("a line that leads off the outline near %s was left out: only what a line goes round is cut; draw stems and the like with two edges", spot(off[len(off)/2]))
		}
		if float64(len(in)) > least {
			f.note("a line inside the outline near %s was left out, as it goes round nothing", spot(in[len(in)/2]))
		}
	}
}

func boxOf(s stroke) geom.Box {
	b := s.box
	return geom.Box{Min: geom.Vec{X: float64(b.Min.X), Y: float64(b.Min.Y)}, Max: geom.Vec{X: float64(b.Max.X), Y: float64(b.Max.Y)}}
}

func inside(shapes []shape, p geom.Vec) bool {
	for _, g := range shapes {
		if g.Outer.Contains(p) {
			return true
		}
	}
	return false
}
