package motif

import (
	"math"

	"strew/motif/geom"
)

// A slot is to the air round the felt what a narrow place is to the felt: a
// straight cut through the air between two parts of the outer edge, behind which a
// bay extends at least 1¼ times the width of the cut and a twelfth of the piece's
// span. The air in front need not extend so far. The tip of a notch does not
// count, as that of a point does not. A hole is a bay closed all round: its
// narrowest place is found as if it were felt.

// narrowestSlot returns the narrowest slot of a sound region, and the zero
// Place where its edge has neither a slot nor a hole.
func narrowestSlot(r geom.Region) Place {
	ring := evenly(r.Outer, narrowCorners)
	span := spanOf(r.Outer)
	// No slot is as wide as the piece's span.
	none := Place{To: geom.Vec{X: span}}
	best := narrowestCut(ring, span, none, bayBehind(ring))
	for _, h := range r.Holes {
		hole := geom.Region{Outer: h.Reversed()}
		if p := narrowest(hole, widestCircle(hole)); p.Width() < best.Width() {
			best = p
		}
	}
	if best == none {
		return Place{}
	}
	return best
}

// bayBehind returns the rule for slots: the cut runs outside ring and closes off a
// bay that extends far enough.
func bayBehind(ring geom.Ring) func(p, q end, need float64) bool {
	round := ring.Length()
	whole := 2 * ring.Area()
	// swept[i] is twice the area between the origin and the ring up to corner i.
	swept := make([]float64, len(ring)+1)
	for i, p := range ring {
		swept[i+1] = swept[i] + p.Cross(ring.At(i+1))
	}
	region := geom.Region{Outer: ring}
	return func(p, q end, need float64) bool {
		if p.corner > q.corner {
			p, q = q, p
		}
		// The cut and the ring from p to q enclose felt or, run the other way
		// round, a bay; so do the cut and the rest of the ring.
		first := p.at.Cross(ring.At(p.corner+1)) + swept[q.corner] - swept[p.corner+1] + ring[q.corner].Cross(q.at) + q.at.Cross(p.at)
		from, to, way := p.corner, q.corner, q.along-p.along
		if first > 0 == (whole > 0) {
			if whole-first > 0 == (whole > 0) {
				return false // through felt
			}
			from, to, way = q.corner, p.corner+len(ring), round-way
		}
		if (way+p.at.Dist(q.at))/2 < need {
			return false
		}
		mid := p.at.Lerp(q.at, 0.5)
		return reaches(ring, mid, from, to, need) && !ring.Contains(mid) && uncrossed(region, p.at, q.at)
	}
}

// Circle is a circle in the motif's frame, mm.
type Circle struct {
	At     geom.Vec
	Radius float64
}

// widestCircle returns the widest circle in r, its radius within geom.PoleTol.
func widestCircle(r geom.Region) Circle {
	at, radius := geom.Pole([]geom.Region{r}, geom.PoleTol)
	return Circle{at, math.Max(0, radius)}
}
