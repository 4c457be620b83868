package scatter

import (
	"math"

	"strew/motif/geom"
)

// An outline is stood in for by a few discs inside it wherever only about how
// much room it takes matters; clearances are measured from the outline itself.
//
// The discs are balls of the medial axis: the largest one inside the outline
// that touches it at a given point, found by shrinking (J. Ma, S. W. Bae, S.
// Choi, "3D medial axis point approximation using nearest neighbors and the
// normal field", The Visual Computer 28, 2012). The first is the widest of all,
// each further one touches where the outline is farthest from all so far.

// disc is a circle in a motif's frame, or in the plane.
type disc struct {
	at     geom.Vec
	radius float64
}

const (
	// standMost is how many discs stand in for one outline.
	standMost = 8
	// standNear, as a share of the outline's reach, is how near to them the whole
	// outline lies for fewer to do: a hundredth of a motif is not seen.
	standNear = 0.03
)

// standIns returns discs inside the rings that about fill them, and how far the
// rings stray from them at most.
func standIns(rings []geom.Ring, reach float64) (discs []disc, stray float64) {
	var touch []geom.Vec
	var balls []disc
	for _, r := range rings {
		r = evenly(r, reach/15)
		for i, p := range r {
			inward := r.At(i + 1).Sub(r.At(i - 1))
			l := inward.Len()
			if l == 0 {
				continue
			}
			n := geom.Vec{X: -inward.Y, Y: inward.X}.Mul(1 / l)
			if r.Area() < 0 {
				n = n.Mul(-1)
			}
			radius := reach
			for _, q := range r {
				if d := q.Sub(p); d.Dot(n) > 0 {
					radius = math.Min(radius, d.Dot(d)/(2*d.Dot(n)))
				}
			}
			touch = append(touch, p)
			balls = append(balls, disc{p.Add(n.Mul(radius)), radius})
		}
	}
	if len(balls) == 0 {
		return []disc{{radius: reach}}, 0
	}
	far := make([]float64, len(touch))
	next := 0
	for i := range far {
		far[i] = math.Inf(1)
		if balls[i].radius > balls[next].radius {
			next = i
		}
	}
	for len(discs) < standMost {
		discs = append(discs, balls[next])
		stray = 0
		for i, p := range touch {
			b := discs[len(discs)-1]
			far[i] = math.Min(far[i], math.Max(0, p.Dist(b.at)-b.radius))
			if far[i] > stray {
				stray, next = far[i], i
			}
		}
		if stray < standNear*reach {
			break
		}
	}
	return discs, stray
}

// evenly returns the ring with further points, so that none of its steps is
// longer than step.
func evenly(r geom.Ring, step float64) geom.Ring {
	var out geom.Ring
	for i, p := range r {
		q := r.At(i + 1)
		n := max(1, int(math.Ceil(p.Dist(q)/step)))
		for k := range n {
			out = append(out, p.Lerp(q, float64(k)/float64(n)))
		}
	}
	return out
}
