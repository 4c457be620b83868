package motif

import (
	"fmt"

	"strew/motif/geom"
)

// unsound says which property promised by Piece a region lacks, "" for none. It
// compares every pair of edges with exact predicates.
func unsound(r geom.Region) string {
	if len(r.Outer) < 3 || r.Outer.Area() <= 0 {
		return "the outer ring does not run clockwise round an area"
	}
	for i, h := range r.Holes {
		if len(h) < 3 || h.Area() >= 0 {
			return fmt.Sprintf("hole %d does not run anticlockwise round an area", i)
		}
		if !r.Outer.Contains(h[0]) {
			return fmt.Sprintf("hole %d is not inside", i)
		}
		for j, k := range r.Holes {
			if i != j && k.Contains(h[0]) {
				return fmt.Sprintf("hole %d lies in hole %d", i, j)
			}
		}
	}
	type side struct {
		a, b    geom.Vec
		ring, i int
	}
	var sides []side
	for n, ring := range r.Rings() {
		for i, p := range ring {
			if !p.IsFinite() {
				return "a point is not finite"
			}
			if p == ring.At(i+1) {
				return fmt.Sprintf("ring %d repeats point %d", n, i)
			}
			sides = append(sides, side{p, ring.At(i + 1), n, i})
		}
	}
	for x, s := range sides {
		for _, t := range sides[x+1:] {
			if s.ring == t.ring && s.b == t.a && t.i == s.i+1 {
				if geom.Orient(s.a, s.b, t.b) == 0 && s.b.Sub(s.a).Dot(t.b.Sub(t.a)) < 0 {
					return fmt.Sprintf("ring %d runs back on itself at %v", s.ring, s.b)
				}
				continue
			}
			if s.ring == t.ring && t.b == s.a && s.i == 0 && t.i == len(r.Rings()[s.ring])-1 {
				continue
			}
			if geom.SegmentsCross(s.a, s.b, t.a, t.b) {
				return fmt.Sprintf("side %d of ring %d meets side %d of ring %d near %v", s.i, s.ring, t.i, t.ring, s.a)
			}
		}
	}
	return ""
}

// winding returns the winding number of a closed polygon round p by summing
// signed crossings of the ray to +x: the definition, one edge at a time.
func winding(ring geom.Ring, p geom.Vec) int {
	w := 0
	for i, a := range ring {
		b := ring.At(i + 1)
		side := b.Sub(a).Cross(p.Sub(a))
		if a.Y <= p.Y && b.Y > p.Y && side > 0 {
			w++
		} else if b.Y <= p.Y && a.Y > p.Y && side < 0 {
			w--
		}
	}
	return w
}

func edgeDist(rings []geom.Ring, p geom.Vec) float64 {
	d := 1e300
	for _, r := range rings {
		d = min(d, r.EdgeDist(p))
	}
	return d
}
