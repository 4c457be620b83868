package geom

import (
	"cmp"
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
	if sign, ok := orientEqual(a, b, c); ok {
		return sign
	}
	return orientExact(a, b, c)
}

// orientEqual decides the common case that both products round to the same
// number, such as three points on one line with whole coordinates: where the
// differences are exact, the rounding errors of the products decide, and a fused
// multiply-add gives those exactly unless they underflow.
func orientEqual(a, b, c Vec) (sign int, ok bool) {
	exact := func(p, q float64) (d float64, ok bool) {
		d = p - q
		back := p - d
		return d, (p-(d+back))+(back-q) == 0 // D. E. Knuth's error of a difference
	}
	bx, ok1 := exact(b.X, a.X)
	by, ok2 := exact(b.Y, a.Y)
	cx, ok3 := exact(c.X, a.X)
	cy, ok4 := exact(c.Y, a.Y)
	const least = 0x1p-900 // errors of larger products are no smaller than 2⁻¹⁰⁰⁶
	l, r := float64(bx*cy), float64(by*cx)
	none := (bx == 0 || cy == 0) && (by == 0 || cx == 0)
	if !ok1 || !ok2 || !ok3 || !ok4 || l != r || math.Abs(l) < least && !none {
		return 0, false
	}
	return cmp.Compare(math.FMA(bx, cy, -l), math.FMA(by, cx, -r)), true
}

func orientExact(a, b, c Vec) int {
	rat := func(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }
	sub := func(p, q float64) *big.Rat { return new(big.Rat).Sub(rat(p), rat(q)) }
	l := new(big.Rat).Mul(sub(b.X, a.X), sub(c.Y, a.Y))
	r := new(big.Rat).Mul(sub(b.Y, a.Y), sub(c.X, a.X))
	return l.Cmp(r)
}
