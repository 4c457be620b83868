package motif

import (
	"math"

	"strew/motif/geom"
)

// flatten appends to ring the points of the subpath, its start included, so that
// no point of a curve lies farther than tol from the straight steps. It stops and
// returns false once ring holds more than maxPoints.
func (s subpath) flatten(tol float64, ring geom.Ring) (geom.Ring, bool) {
	ring = append(ring, s.start)
	at := s.start
	for _, c := range s.curves {
		switch c.kind {
		case line:
			ring = append(ring, c.end)
		case cubic:
			ring = flattenCubic(ring, at, c.p[0], c.p[1], c.end, tol, 0)
		case arc:
			ring = flattenArc(ring, c, tol)
		}
		if len(ring) > maxPoints {
			return ring, false
		}
		at = c.end
	}
	return ring, true
}

// maxHalvings limits how often a curve is halved: 2¹⁴ steps are one for each
// 0.06 mm of a curve a metre long.
const maxHalvings = 14

// flattenCubic halves the curve (de Casteljau) until each part is flat. A cubic
// lies within degree·(degree-1)/8 = 3/4 of the larger second difference of its
// control points from its chord (G. Wang, 1984).
func flattenCubic(ring geom.Ring, a, b, c, d geom.Vec, tol float64, depth int) geom.Ring {
	p := a.Sub(b.Mul(2)).Add(c)
	q := b.Sub(c.Mul(2)).Add(d)
	if 0.75*math.Max(p.Len(), q.Len()) <= tol || depth == maxHalvings {
		return append(ring, d)
	}
	ab, bc, cd := a.Lerp(b, 0.5), b.Lerp(c, 0.5), c.Lerp(d, 0.5)
	abc, bcd := ab.Lerp(bc, 0.5), bc.Lerp(cd, 0.5)
	mid := abc.Lerp(bcd, 0.5)
	ring = flattenCubic(ring, a, ab, abc, mid, tol, depth+1)
	return flattenCubic(ring, mid, bcd, cd, d, tol, depth+1)
}

// flattenArc takes even steps: an arc of the unit circle lies at most
// 1 - cos(step/2) from its chord, and its image at most that times the longest half
// axis.
func flattenArc(ring geom.Ring, c curve, tol float64) geom.Ring {
	r := geom.Affine{A: c.p[1].X, B: c.p[1].Y, C: c.p[2].X, D: c.p[2].Y}.Stretch()
	step := math.Pi / 2
	if tol < r {
		step = math.Min(step, 2*math.Acos(1-tol/r))
	}
	n := int(math.Min(1<<maxHalvings, math.Ceil(math.Abs(c.turn)/step-geom.SameAngle)))
	if math.Abs(c.turn) == 2*math.Pi {
		n = (n + 3) / 4 * 4 // a whole ellipse keeps the four ends of its axes
	}
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(c.from + c.turn*float64(i)/float64(n))
		ring = append(ring, c.p[0].Add(c.p[1].Mul(cos)).Add(c.p[2].Mul(sin)))
	}
	return append(ring, c.end)
}
