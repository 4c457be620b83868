package geom

import (
	"math"
	"math/big"
)

// orientErr bounds the rounding error of the orientation determinant relative
// to the sum of its two products: (3 + 16ε)ε with ε = 2⁻⁵³ (J. R. Shewchuk,
// "Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric
// Predicates", Discrete & Computational Geometry 18, 1997).
const orientErr = (3 + 16*0x1p-53) * 0x1p-53

// Orient returns +1 where a, b, c turn clockwise as seen (y down), -1 where
// they turn the other way, and 0 where they lie on one line. It is
// exact for finite coordinates: where rounding could change the sign, the
// determinant is computed again in rational numbers.
func Orient(a, b, c Vec) int {
	l := float64((b.X - a.X) * (c.Y - a.Y))
	r := float64((b.Y - a.Y) * (c.X - a.X))
	det := l - r
	if math.Abs(det) > orientErr*(math.Abs(l)+math.Abs(r)) {
		if det > 0 {
			return 1
		}
		return -1
	}
	return orientExact(a, b, c)
}

func orientExact(a, b, c Vec) int {
	rat := func(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }
	sub := func(p, q float64) *big.Rat { return new(big.Rat).Sub(rat(p), rat(q)) }
	l := new(big.Rat).Mul(sub(b.X, a.X), sub(c.Y, a.Y))
	r := new(big.Rat).Mul(sub(b.Y, a.Y), sub(c.X, a.X))
	return l.Cmp(r)
}
