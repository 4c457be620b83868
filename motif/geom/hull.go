package geom

import (
	"cmp"
	"math"
	"slices"
)

// Hull returns the convex hull of the points with positive area, without
// points on its sides; fewer than three points where they all lie on one line
// (A. M. Andrew, "Another efficient algorithm for convex hulls in two
// dimensions", Information Processing Letters 9, 1979).
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

// LeastWidth returns the distance between the two closest parallel lines that
// hold the ring between them: how wide it is in its narrowest direction. One
// of the lines runs along a side of the hull.
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
