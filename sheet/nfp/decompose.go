package nfp

import (
	"context"
	"slices"

	"strew/motif/geom"
)

// Convex decomposition by ear clipping and Hertel–Mehlhorn. Sums of convex parts
// are easy, and the places forbidden to one shape by another are the union of the
// sums of their parts.
//
// Holes are joined to the outer ring by bridges (keyhole.go), ears are clipped, and
// triangles are merged again wherever the result stays convex (S. Hertel and
// K. Mehlhorn, "Fast triangulation of the plane with respect to simple
// polygons", Information and Control 64, 1985).

// convexParts returns convex rings of positive area whose union is g, a region as
// simplify returns it. Where g is too degenerate to be cut, its convex hull alone is
// returned: it holds g, which is all that is promised. The same happens once the
// context is done.
func convexParts(ctx context.Context, g geom.Region) []geom.Ring {
	h := geom.Hull(g.Outer)
	if len(g.Holes) == 0 && len(h) == len(g.Outer) {
		return []geom.Ring{h}
	}
	if parts, ok := clipEars(ctx, keyholed(g)); ok {
		return merged(ctx, parts)
	}
	return []geom.Ring{h}
}

// clipEars cuts a ring of positive area into triangles, and reports false
// where it finds none to cut, or the context is done.
func clipEars(ctx context.Context, r geom.Ring) ([]geom.Ring, bool) {
	if len(r) < 3 {
		return nil, false
	}
	r = slices.Clone(r)
	var out []geom.Ring
	for len(r) > 3 {
		if ctx.Err() != nil {
			return nil, false
		}
		i, flat := fattestEar(r)
		switch {
		case i < 0:
			return nil, false
		case !flat:
			out = append(out, geom.Ring{r.At(i - 1), r[i], r.At(i + 1)})
		}
		r = slices.Delete(r, i, i+1)
	}
	if geom.Orient(r[0], r[1], r[2]) > 0 {
		out = append(out, r)
	}
	return out, len(out) > 0
}

// fattestEar returns the point of the ring to cut off next: the first one that lies
// on a straight side, for which flat is true, or else the tip of the fattest ear,
// since fat ears merge into fewer parts. It returns -1 where there is neither.
func fattestEar(r geom.Ring) (best int, flat bool) {
	best, quality := -1, 0.0
	for i := range r {
		a, v, b := r.At(i-1), r[i], r.At(i+1)
		o := geom.Orient(a, v, b)
		if o == 0 && !folds(a, v, b) || a == b {
			return i, true
		}
		if o <= 0 || !isEar(r, i) {
			continue
		}
		l := max(a.Dist(v), max(v.Dist(b), b.Dist(a)))
		if q := v.Sub(a).Cross(b.Sub(v)) / (l * l); best < 0 || q > quality {
			best, quality = i, q
		}
	}
	return best, false
}

// isEar reports whether the triangle at point i holds no other part of the ring.
func isEar(r geom.Ring, i int) bool {
	a, v, b := r.At(i-1), r[i], r.At(i+1)
	for _, p := range r {
		if p == a || p == v || p == b {
			continue
		}
		if geom.Orient(a, v, p) >= 0 && geom.Orient(v, b, p) >= 0 && geom.Orient(b, a, p) >= 0 {
			return false
		}
	}
	// Points that repeat an end of the ear (bridges) must not leave into it.
	for j, p := range r {
		if j == i || p != a && p != b || j == (i-1+len(r))%len(r) || j == (i+1)%len(r) {
			continue
		}
		for _, q := range []geom.Vec{r.At(j - 1), r.At(j + 1)} {
			if geom.Orient(a, v, q) > 0 && geom.Orient(v, b, q) > 0 && geom.Orient(b, a, q) > 0 {
				return false
			}
		}
	}
	return true
}

// merged joins convex rings that share an edge while the result stays convex,
// until the context is done.
func merged(ctx context.Context, parts []geom.Ring) []geom.Ring {
	for again := true; again && ctx.Err() == nil; {
		again = false
	search:
		for i := range parts {
			for j := i + 1; j < len(parts); j++ {
				if m, ok := joined(parts[i], parts[j]); ok {
					parts[i] = m
					parts = slices.Delete(parts, j, j+1)
					again = true
					break search
				}
			}
		}
	}
	return parts
}

// joined returns the union of two convex rings along a common edge, where that
// union is convex.
func joined(r, s geom.Ring) (geom.Ring, bool) {
	for i, a := range r {
		b := r.At(i + 1)
		for j, c := range s {
			if c == b && s.At(j+1) == a {
				return along(r, s, i, j)
			}
		}
	}
	return nil, false
}

// along joins the rings where edge i of r is edge j of s the other way; points on a
// straight side of the union are dropped.
func along(r, s geom.Ring, i, j int) (geom.Ring, bool) {
	out := make(geom.Ring, 0, len(r)+len(s)-2)
	for k := range r {
		out = append(out, r.At(i+1+k))
	}
	for k := 2; k < len(s); k++ {
		out = append(out, s.At(j+k))
	}
	for k, v := range out {
		if geom.Orient(out.At(k-1), v, out.At(k+1)) < 0 {
			return nil, false
		}
	}
	kept := out[:0:0]
	for k, v := range out {
		if geom.Orient(out.At(k-1), v, out.At(k+1)) != 0 {
			kept = append(kept, v)
		}
	}
	return kept, len(kept) >= 3
}
