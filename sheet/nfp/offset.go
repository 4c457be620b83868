package nfp

import (
	"math"

	"strew/motif/geom"
)

// widestCorner is the turn above which an offset corner is cut into several: cut
// once at 60° it lies 15 % farther out than the offset.
const widestCorner = math.Pi / 3

// Offset returns the convex ring r, of positive area, moved out by d: a polygon
// round everything within d of r, whose straight sides lie at exactly d. A corner
// that turns by more than widestCorner is cut into several.
func Offset(r geom.Ring, d float64) geom.Ring {
	if d == 0 {
		return r
	}
	out := make(geom.Ring, 0, 2*len(r))
	for i, v := range r {
		e, f := v.Sub(r.At(i-1)), r.At(i+1).Sub(v)
		turn := math.Atan2(e.Cross(f), e.Dot(f))
		if turn <= 0 {
			turn = 0
		}
		m := math.Max(1, math.Ceil(turn/widestCorner-geom.SameAngle))
		half := turn / (2 * m)
		// The outward side of an edge that runs with positive area is (y, -x).
		n := geom.Vec{X: e.Y, Y: -e.X}.Mul(1 / e.Len())
		for k := 0.0; k < m; k++ {
			out = append(out, v.Add(n.Rotate(half*(2*k+1)).Mul(d/math.Cos(half))))
		}
	}
	return out
}
