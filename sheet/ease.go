package sheet

import (
	"math"

	"strew/motif/geom"
)

// Pieces that fit exactly must be found to fit in spite of rounding, so shapes
// are eased before the search: the outline moves in by half of geom.Press. But
// the cuts between a shape's parts move out by a hair, so that no slit opens
// between them through which another piece could slip in.

// seamLap is how far the parts reach over the cuts between them: far more than
// rounding, far less than geom.Press.
const seamLap = geom.SamePoint

// eased returns the parts of the region with its outline moved in. A corner
// moves by at most geom.Press, however sharp it is.
func eased(parts []geom.Ring, g geom.Region) []geom.Ring {
	outline := map[[2]geom.Vec]bool{}
	for _, r := range g.Rings() {
		for i, a := range r {
			outline[[2]geom.Vec{a, r.At(i + 1)}] = true
		}
	}
	out := make([]geom.Ring, 0, len(parts))
	for _, p := range parts {
		moved := make([]geom.Vec, len(p))
		for i, v := range p {
			before, after := p.At(i-1), p.At(i+1)
			moved[i] = v.Add(easing(v, before, after, !outline[[2]geom.Vec{before, v}], !outline[[2]geom.Vec{v, after}]))
		}
		if h := hull(moved); len(h) >= 3 {
			out = append(out, h)
		}
	}
	return out
}

// easing returns how the corner v of a part moves; the edges from before and to
// after may be cuts.
func easing(v, before, after geom.Vec, cutBefore, cutAfter bool) geom.Vec {
	a, b := before.Sub(v).Mul(1/before.Dist(v)), after.Sub(v).Mul(1/after.Dist(v))
	angle := math.Atan2(b.Cross(a), b.Dot(a)) // of the felt
	in := a.Add(b)
	if l := in.Len(); l > geom.SameRatio {
		in = in.Mul(1 / l)
	} else {
		in = geom.Vec{X: b.Y, Y: -b.X}.Mul(-1)
	}
	const half = geom.Press / 2
	switch {
	case cutBefore && cutAfter:
		return in.Mul(-math.Min(seamLap/math.Sin(angle/2), 10*seamLap))
	case cutBefore:
		// Along the cut, which runs toward before; outward is to its right.
		return a.Mul(math.Min(half/math.Sin(angle), geom.Press)).Add(geom.Vec{X: -a.Y, Y: a.X}.Mul(seamLap))
	case cutAfter:
		return b.Mul(math.Min(half/math.Sin(angle), geom.Press)).Add(geom.Vec{X: b.Y, Y: -b.X}.Mul(seamLap))
	}
	return in.Mul(math.Min(half/math.Sin(angle/2), geom.Press))
}
