package sheet

import (
	"cmp"
	"slices"

	"strew/motif/geom"
)

// A simple outline is cut into convex parts: sums of convex parts are easy,
// and the places forbidden to one shape by another are the union of the sums
// of their parts.
//
// Holes are joined to the outer ring by a bridge, ears are clipped, and
// triangles are merged again wherever the result stays convex (S. Hertel and
// K. Mehlhorn, "Fast triangulation of the plane with respect to simple
// polygons", Information and Control 64, 1985).

// convexParts returns convex rings of positive area whose union is g, a region
// as simplify returns it. Where g is too degenerate to be cut, its convex hull
// alone is returned: it holds g, which is all that is promised.
func convexParts(g geom.Region) []geom.Ring {
	h := hull(g.Outer)
	if len(g.Holes) == 0 && len(h) == len(g.Outer) {
		return []geom.Ring{h}
	}
	if parts, ok := clipEars(bridged(g)); ok {
		return merged(parts)
	}
	return []geom.Ring{h}
}

// bridged returns one ring that runs round the outer ring and, along bridges
// walked both ways, round every hole.
func bridged(g geom.Region) geom.Ring {
	ring := slices.Clone(g.Outer)
	holes := slices.Clone(g.Holes)
	// From the hole farthest to the right, so that every bridge can go right.
	slices.SortStableFunc(holes, func(a, b geom.Ring) int { return cmp.Compare(b.Box().Max.X, a.Box().Max.X) })
	for k, h := range holes {
		bi, bj, best := -1, 0, 0.0
		for j, q := range h {
			for i, p := range ring {
				d := p.Dist(q)
				if bi >= 0 && d >= best {
					continue
				}
				if sees(p, q, ring) && sees(q, p, h) && clear(p, q, holes[k:]) && opens(ring, i, q) && opens(h, j, p) {
					bi, bj, best = i, j, d
				}
			}
		}
		if bi < 0 {
			return nil
		}
		out := make(geom.Ring, 0, len(ring)+len(h)+2)
		out = append(out, ring[:bi+1]...)
		for j := range h {
			out = append(out, h[(bj+j)%len(h)])
		}
		out = append(out, h[bj], ring[bi])
		ring = append(out, ring[bi+1:]...)
	}
	return ring
}

// opens reports whether the way from point i of r toward q starts inside the felt.
func opens(r geom.Ring, i int, q geom.Vec) bool {
	a, v, b := r.At(i-1), r[i], r.At(i+1)
	if geom.Orient(a, v, b) > 0 {
		return geom.Orient(a, v, q) > 0 && geom.Orient(v, b, q) > 0
	}
	return geom.Orient(a, v, q) > 0 || geom.Orient(v, b, q) > 0
}

// sees reports whether the segment p–q meets the ring in points equal to p only.
func sees(p, q geom.Vec, r geom.Ring) bool {
	for i, a := range r {
		b := r.At(i + 1)
		if a == p || b == p {
			// An edge at p itself may only lie along the bridge the other way.
			o := a
			if a == p {
				o = b
			}
			if folds(o, p, q) {
				return false
			}
			continue
		}
		if geom.SegmentsCross(p, q, a, b) {
			return false
		}
	}
	return true
}

func clear(p, q geom.Vec, holes []geom.Ring) bool {
	for _, h := range holes[1:] {
		for i, a := range h {
			if geom.SegmentsCross(p, q, a, h.At(i+1)) {
				return false
			}
		}
	}
	return true
}

// clipEars cuts a ring of positive area into triangles, and reports false
// where it finds none to cut.
func clipEars(r geom.Ring) ([]geom.Ring, bool) {
	if len(r) < 3 {
		return nil, false
	}
	r = slices.Clone(r)
	var out []geom.Ring
	for len(r) > 3 {
		found := false
		best, quality := -1, 0.0
		for i := range r {
			a, v, b := r.At(i-1), r[i], r.At(i+1)
			o := geom.Orient(a, v, b)
			if o == 0 && !folds(a, v, b) || a == b {
				// Flat: nothing to cut.
				r = slices.Delete(r, i, i+1)
				found = true
				best = -1
				break
			}
			if o <= 0 || !isEar(r, i) {
				continue
			}
			// Fat ears first: they merge into fewer parts.
			l := max(a.Dist(v), max(v.Dist(b), b.Dist(a)))
			if q := v.Sub(a).Cross(b.Sub(v)) / (l * l); best < 0 || q > quality {
				best, quality = i, q
			}
		}
		if found {
			continue
		}
		if best < 0 {
			return nil, false
		}
		out = append(out, geom.Ring{r.At(best - 1), r[best], r.At(best + 1)})
		r = slices.Delete(r, best, best+1)
	}
	if geom.Orient(r[0], r[1], r[2]) > 0 {
		out = append(out, r)
	}
	return out, len(out) > 0
}

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

// merged joins convex rings that share an edge while the result stays convex.
func merged(parts []geom.Ring) []geom.Ring {
	for again := true; again; {
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
			if c != b || s.At(j+1) != a {
				continue
			}
			out := make(geom.Ring, 0, len(r)+len(s)-2)
			for k := range r {
				out = append(out, r.At(i+1+k)) // b … a
			}
			for k := 2; k < len(s); k++ {
				out = append(out, s.At(j+k))
			}
			for k, v := range out {
				if geom.Orient(out.At(k-1), v, out.At(k+1)) < 0 {
					return nil, false
				}
			}
			// Points on a straight side are dropped.
			kept := out[:0:0]
			for k, v := range out {
				if geom.Orient(out.At(k-1), v, out.At(k+1)) != 0 {
					kept = append(kept, v)
				}
			}
			return kept, len(kept) >= 3
		}
	}
	return nil, false
}

func sortVecs(ps []geom.Vec) {
	slices.SortFunc(ps, func(a, b geom.Vec) int {
		if c := cmp.Compare(a.X, b.X); c != 0 {
			return c
		}
		return cmp.Compare(a.Y, b.Y)
	})
}
