package trace

import (
	"math"

	"strew/motif/geom"
)

// bezier is a cubic curve from its first to its last point.
type bezier [4]geom.Vec

func (b bezier) at(t float64) geom.Vec {
	s := 1 - t
	return b[0].Mul(s * s * s).Add(b[1].Mul(3 * s * s * t)).Add(b[2].Mul(3 * s * t * t)).Add(b[3].Mul(t * t * t))
}

// slopes returns the first and second derivative.
func (b bezier) slopes(t float64) (d, dd geom.Vec) {
	s := 1 - t
	p, q, r := b[1].Sub(b[0]), b[2].Sub(b[1]), b[3].Sub(b[2])
	d = p.Mul(3 * s * s).Add(q.Mul(6 * s * t)).Add(r.Mul(3 * t * t))
	dd = q.Sub(p).Mul(6 * s).Add(r.Sub(q).Mul(6 * t))
	return d, dd
}

// isStraight reports whether the curve was made by straight.
func (b bezier) isStraight() bool { return b[1] == b[0] && b[2] == b[3] }

func straight(a, b geom.Vec) bezier { return bezier{a, a, b, b} }

// flatten returns the curves as a ring at most off from them. The chord over a
// step h of the parameter lies at most h²/8 of the greatest second derivative from
// the curve, which is at most 6 times the larger second difference of the control
// points.
func flatten(curves []bezier, off float64) geom.Ring {
	var r geom.Ring
	for _, c := range curves {
		r = append(r, c[0])
		if c.isStraight() {
			continue
		}
		bend := math.Max(c[0].Sub(c[1].Mul(2)).Add(c[2]).Len(), c[1].Sub(c[2].Mul(2)).Add(c[3]).Len())
		n := int(math.Ceil(math.Sqrt(0.75 * bend / off)))
		for k := 1; k < n; k++ {
			r = append(r, c.at(float64(k)/float64(n)))
		}
	}
	return r
}
