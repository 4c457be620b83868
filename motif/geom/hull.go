package geom

import (
	"cmp"
	"math"
	"slices"
)

// Hull returns the convex hull of the points, a ring of positive area without
// points on its sides; fewer than three points where all lie on one line. It is
// Andrew's monotone chain (A. M. Andrew, "Another efficient algorithm for convex
// hulls in two dimensions", Information Processing Letters 9, 1979) and exact.
func Hull(points []Vec) Ring {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(p, q Vec) int {
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return sorted
	}
	var out Ring
	chain := func(from int, p Vec) {
		for len(out) >= from+2 && Orient(out[len(out)-2], out[len(out)-1], p) <= 0 {
			out = out[:len(out)-1]
		}
		out = append(out, p)
	}
	for _, p := range sorted {
		chain(0, p)
	}
	turned := len(out) - 1
	for _, p := range slices.Backward(sorted[:len(sorted)-1]) {
		chain(turned, p)
	}
	return out[:len(out)-1]
}

// LeastWidth returns the width of the ring in its narrowest direction: the least
// distance between two parallel lines with the ring between them, one of which
// runs along a side of the hull (M. E. Houle, G. T. Toussaint, "Computing the
// width of a set", IEEE PAMI 10, 1988).
func (r Ring) LeastWidth() float64 {
	h := Hull(r)
	if len(h) < 3 {
		return 0
	}
	least := math.Inf(1)
	for i, a := range h {
		side := h.At(i + 1).Sub(a)
		far := 0.0
		for _, p := range h {
			far = max(far, side.Cross(p.Sub(a)))
		}
		least = min(least, far/side.Len())
	}
	return least
}
