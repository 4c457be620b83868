package nfp

import (
	"math"

	"strew/motif/geom"
)

// Inset. Pieces that fit exactly must be found to fit in spite of rounding, so the
// outline is moved in by half of geom.Press before the search. The cuts between a
// shape's parts move out by a hair, so that no slit opens between them through
// which another piece could slip in.

// seamLap is how far parts reach over the cuts between them: far more than
// rounding, far less than geom.Press.
const seamLap = geom.SamePoint

// inset returns the parts of the region with its outline moved in. A corner moves
// by at most geom.Press, however sharp it is.
func inset(parts []geom.Ring, g geom.Region) []geom.Ring {
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
			c := corner{at: v, before: p.At(i - 1), after: p.At(i + 1)}
			c.cutBefore = !outline[[2]geom.Vec{c.before, v}]
			c.cutAfter = !outline[[2]geom.Vec{v, c.after}]
			moved[i] = v.Add(c.shift())
		}
		if h := geom.Hull(moved); len(h) >= 3 {
			out = append(out, h)
		}
	}
	return out
}

// corner is a corner of a part with its neighbours; the edges to them may be cuts.
type corner struct {
	at, before, after   geom.Vec
	cutBefore, cutAfter bool
}

// shift returns how the corner moves.
func (c corner) shift() geom.Vec {
	a, b := c.before.Sub(c.at).Mul(1/c.before.Dist(c.at)), c.after.Sub(c.at).Mul(1/c.after.Dist(c.at))
	angle := math.Atan2(b.Cross(a), b.Dot(a)) // of the felt
	in := a.Add(b)
	if l := in.Len(); l > geom.SameRatio {
		in = in.Mul(1 / l)
	} else {
		in = geom.Vec{X: b.Y, Y: -b.X}.Mul(-1)
	}
	const half = geom.Press / 2
	switch {
	case c.cutBefore && c.cutAfter:
		return in.Mul(-math.Min(seamLap/math.Sin(angle/2), 10*seamLap))
	case c.cutBefore:
		// Along the cut, which runs towards before; outward is to its right.
		return a.Mul(math.Min(half/math.Sin(angle), geom.Press)).Add(geom.Vec{X: -a.Y, Y: a.X}.Mul(seamLap))
	case c.cutAfter:
		return b.Mul(math.Min(half/math.Sin(angle), geom.Press)).Add(geom.Vec{X: b.Y, Y: -b.X}.Mul(seamLap))
	}
	return in.Mul(math.Min(half/math.Sin(angle/2), geom.Press))
}
