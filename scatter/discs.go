package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Medial-axis discs: a few discs inside an outline stand in for it where a rough
// idea of its room is enough; clearances are measured from the outline itself.
//
// Each is the largest disc inside the outline that touches it at a given point,
// found by shrinking (J. Ma, S. W. Bae, S. Choi, "3D medial axis point
// approximation using nearest neighbors and the normal field", The Visual
// Computer 28, 2012). The first is the widest of all, each further one touches
// where the outline is farthest from all before it.

const (
	// mostDiscs is how many discs stand in for one outline.
	mostDiscs = 8
	// discsNear, as a share of the outline's reach, is how near to the discs the
	// whole outline must be before no more are added: a hundredth of a motif is not
	// noticed.
	discsNear = 0.03
	// discSteps is how many points, per reach, an outline is sampled at.
	discSteps = 15
)

// medialDiscs returns discs inside the rings that roughly fill them, and the
// farthest that the rings stray from them. reach is that of the rings from the
// origin.
func medialDiscs(rings []geom.Ring, reach float64) (discs []skirt.Disc, stray float64) {
	var touch []geom.Vec
	var balls []skirt.Disc
	for _, r := range rings {
		r = evenly(r, reach/discSteps)
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
			balls = append(balls, skirt.Disc{At: p.Add(n.Mul(radius)), Radius: radius})
		}
	}
	if len(balls) == 0 {
		return []skirt.Disc{{Radius: reach}}, 0
	}
	far := make([]float64, len(touch))
	next := 0
	for i := range far {
		far[i] = math.Inf(1)
		if balls[i].Radius > balls[next].Radius {
			next = i
		}
	}
	for len(discs) < mostDiscs {
		discs = append(discs, balls[next])
		stray = 0
		for i, p := range touch {
			b := discs[len(discs)-1]
			far[i] = math.Min(far[i], math.Max(0, p.Dist(b.At)-b.Radius))
			if far[i] > stray {
				stray, next = far[i], i
			}
		}
		if stray < discsNear*reach {
			break
		}
	}
	return discs, stray
}

// innerDiscs returns discs shrunk to lie inside the rings, without those whose
// centre does not, and the farthest that the rings stray from them; none, and
// +Inf, where no disc is left.
func innerDiscs(rings []geom.Ring, discs []skirt.Disc, reach float64) (inner []skirt.Disc, stray float64) {
	for _, d := range discs {
		deep := 0.0
		for _, r := range rings {
			if r.Contains(d.At) {
				deep = math.Max(deep, r.EdgeDist(d.At))
			}
		}
		if d.Radius = math.Min(d.Radius, deep); d.Radius > 0 {
			inner = append(inner, d)
		}
	}
	if len(inner) == 0 {
		return nil, math.Inf(1)
	}
	step := reach / discSteps
	for _, r := range rings {
		for _, p := range evenly(r, step) {
			near := math.Inf(1)
			for _, d := range inner {
				near = math.Min(near, math.Max(0, p.Dist(d.At)-d.Radius))
			}
			stray = math.Max(stray, near)
		}
	}
	return inner, stray + step/2 // between two points, no more than half a step farther
}

// evenly returns the ring with points added so that no step is longer than step.
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
