package nfp

import (
	"cmp"
	"slices"

	"strew/motif/geom"
)

// Keyhole bridges. A region with holes becomes one ring that runs round the outer
// ring and, along bridges walked both ways, round every hole, so that it can be cut
// by clipping ears (D. Eberly, "Triangulation by ear clipping", 2002, cited from
// memory).

// keyholed returns that ring, or nil where a hole can be reached by no bridge.
func keyholed(g geom.Region) geom.Ring {
	ring := slices.Clone(g.Outer)
	holes := slices.Clone(g.Holes)
	// From the hole farthest to the right, so that every bridge can go right.
	slices.SortStableFunc(holes, func(a, b geom.Ring) int { return cmp.Compare(b.Box().Max.X, a.Box().Max.X) })
	for k, h := range holes {
		i, j, ok := shortestBridge(ring, h, holes[k+1:])
		if !ok {
			return nil
		}
		out := make(geom.Ring, 0, len(ring)+len(h)+2)
		out = append(out, ring[:i+1]...)
		for n := range h {
			out = append(out, h[(j+n)%len(h)])
		}
		out = append(out, h[j], ring[i])
		ring = append(out, ring[i+1:]...)
	}
	return ring
}

// shortestBridge returns the points i of the ring and j of the hole between which
// the shortest bridge runs that meets neither of them nor any other hole.
func shortestBridge(ring, hole geom.Ring, others []geom.Ring) (i, j int, ok bool) {
	best := 0.0
	for l, q := range hole {
		for k, p := range ring {
			d := p.Dist(q)
			if ok && d >= best {
				continue
			}
			if sees(p, q, ring) && sees(q, p, hole) && clear(p, q, others) && opens(ring, k, q) && opens(hole, l, p) {
				i, j, best, ok = k, l, d, true
			}
		}
	}
	return i, j, ok
}

// opens reports whether the way from point i of r towards q starts inside the felt.
func opens(r geom.Ring, i int, q geom.Vec) bool {
	a, v, b := r.At(i-1), r[i], r.At(i+1)
	if geom.Orient(a, v, b) > 0 {
		return geom.Orient(a, v, q) > 0 && geom.Orient(v, b, q) > 0
	}
	return geom.Orient(a, v, q) > 0 || geom.Orient(v, b, q) > 0
}

// sees reports whether the segment p–q meets the ring only in points equal to p.
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

// clear reports whether the segment p–q meets none of the holes.
func clear(p, q geom.Vec, holes []geom.Ring) bool {
	for _, h := range holes {
		for i, a := range h {
			if geom.SegmentsCross(p, q, a, h.At(i+1)) {
				return false
			}
		}
	}
	return true
}
