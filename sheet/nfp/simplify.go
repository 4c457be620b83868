package nfp

import (
	"context"
	"math"

	"strew/motif/geom"
)

// Outer simplification. The search works on outlines of few points. Each is made
// once from the true outline and only ever grows, so what fits with the simple
// outlines fits with the true ones.
//
// Two steps remove points. A point where the felt bends inward is dropped, which
// fills the notch. An edge between two outward bends is dropped by extending its
// neighbours until they meet. The step that adds the least felt comes first, with
// notches favoured, and no step may make one edge cross another. (Greedy
// simplification by least area is that of M. Visvalingam and J. D. Whyatt,
// The Cartographic Journal 30, 1993, cited from memory; holding the shape is ours.)

// Detail is how closely an outline of few points follows the true one.
type Detail int

const (
	// Simple is for filling, where every part costs: a disc of 40 points is 0.3 %
	// wider than the true one.
	Simple Detail = iota
	// Fine is for separating: 0.1 % wider.
	Fine
	// Finest is for separating at few turns. A search then asks the same places of
	// a penetration field over and over, so extra parts cost little.
	Finest
)

// Points is how many points an outline keeps at most, apart from teeth (see
// tooDear) and holes (see holePoints).
func (d Detail) Points() int { return [...]int{40, 72, 200}[d] }

// widening is the share of its area by which one step may widen a shape that
// already has few points.
func (d Detail) widening() float64 {
	if d == Finest {
		return 1e-5
	}
	return 5e-5
}

const (
	// holePoints is how many points each hole adds to a detail's.
	holePoints = 32
	// tooDear is the share of the area above which a step is not taken even for a
	// shape of up to three times as many points: teeth are worth keeping.
	tooDear = 2e-3
	// notchShare scales the rank of a step that fills a notch. Each inward bend makes
	// one more convex part, and a pair of shapes costs the search by the product of
	// their parts. At a quarter a leaf of curves has two thirds of the parts and
	// holds less than 0.1 % more.
	notchShare = 0.25
)

// simplify returns a region of few points that holds all of g. Outer rings have
// positive area and holes negative, so the felt lies on the same side of every
// edge. Once the context is done it returns what it has.
func simplify(ctx context.Context, g geom.Region, d Detail) geom.Region {
	rings := []geom.Ring{Oriented(clean(g.Outer), 1)}
	area := math.Abs(g.Outer.Area())
	for _, h := range g.Holes {
		// A hole too small to hold anything becomes felt.
		if h = clean(h); len(h) >= 3 && math.Abs(h.Area()) > d.widening()*area {
			rings = append(rings, Oriented(h, -1))
		}
	}
	total := 0
	for _, r := range rings {
		total += len(r)
	}
	points := d.Points() + (len(rings)-1)*holePoints
	for ctx.Err() == nil {
		ring, with := nextStep(rings, d.widening()*area, func(felt float64) bool {
			return total <= points || total <= 3*points && felt > tooDear*area
		})
		if ring < 0 {
			break
		}
		total += len(with) - len(rings[ring])
		rings[ring] = with
		if len(with) < 3 {
			rings = append(rings[:ring], rings[ring+1:]...)
		}
	}
	return geom.Region{Outer: rings[0], Holes: rings[1:]}
}

// nextStep finds the cheapest step that crosses nothing and returns the ring it
// changes and what that becomes; -1 where none is left. A step ranked above free
// is taken only while keep, given the felt it adds, is false.
func nextStep(rings []geom.Ring, free float64, keep func(felt float64) bool) (int, geom.Ring) {
	ring, at, rank := -1, 0, math.Inf(1)
	for {
		// The cheapest step after those found to be blocked or to add too much; ties
		// go to the first in order.
		if ring, at, rank = cheapest(rings, rank, ring, at); ring < 0 {
			return -1, nil
		}
		if felt, _, _ := step(rings[ring], at); rank > free && keep(felt) {
			continue
		}
		if r, ok := dropped(rings, ring, at); ok {
			return ring, r
		}
	}
}

// clean drops points that repeat their neighbour.
func clean(r geom.Ring) geom.Ring {
	out := make(geom.Ring, 0, len(r))
	for _, p := range r {
		if len(out) == 0 || p.Dist(out[len(out)-1]) > geom.SamePoint {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0].Dist(out[len(out)-1]) <= geom.SamePoint {
		out = out[:len(out)-1]
	}
	return out
}

// Oriented returns the ring with an area of the sign of sign, reversed if need be.
func Oriented(r geom.Ring, sign float64) geom.Ring {
	if r.Area()*sign < 0 {
		return r.Reversed()
	}
	return r
}

// step returns how much felt is added by dropping point i of r: at an inward bend
// the point goes; at an outward bend followed by another the edge from i to i+1
// goes, and apex is where its neighbours meet. It is +Inf where no step is
// possible.
func step(r geom.Ring, i int) (felt float64, apex geom.Vec, inward bool) {
	if len(r) <= 3 {
		// A hole of three points may close; the outer ring never shrinks to
		// less than a triangle.
		if len(r) == 3 && r.Area() < 0 {
			return -r.Area(), geom.Vec{}, true
		}
		return math.Inf(1), geom.Vec{}, false
	}
	p, v, w, x := r.At(i-1), r[i], r.At(i+1), r.At(i+2)
	a, b := v.Sub(p), w.Sub(v)
	turn := a.Cross(b)
	if turn <= 0 {
		return -turn / 2, geom.Vec{}, true
	}
	c := x.Sub(w)
	if b.Cross(c) <= 0 || a.Cross(c) <= 0 {
		return math.Inf(1), geom.Vec{}, false
	}
	q, ok := geom.Crossing(p, v, x, w)
	if !ok {
		return math.Inf(1), geom.Vec{}, false
	}
	return math.Abs(q.Sub(v).Cross(w.Sub(v))) / 2, q, false
}

// cheapest returns the first step after (limit, ring, at) in the order of rank,
// ring, point, and its rank. A limit of +Inf asks for the very first; a ring of -1
// says that none is left.
func cheapest(rings []geom.Ring, limit float64, ring, at int) (int, int, float64) {
	bestRing, bestAt, best := -1, 0, math.Inf(1)
	first := math.IsInf(limit, 1)
	for k, r := range rings {
		for i := range r {
			c, _, inward := step(r, i)
			if inward {
				c *= notchShare
			}
			if math.IsInf(c, 1) || c >= best {
				continue
			}
			if !first && (c < limit || c == limit && (k < ring || k == ring && i <= at)) {
				continue
			}
			bestRing, bestAt, best = k, i, c
		}
	}
	return bestRing, bestAt, best
}

// dropped carries out the step at point i of the ring. It reports false where a new
// edge would cross another one.
func dropped(rings []geom.Ring, ring, i int) (geom.Ring, bool) {
	r := rings[ring]
	felt, apex, inward := step(r, i)
	n := len(r)
	out := make(geom.Ring, 0, n)
	switch {
	case inward && n == 3:
		return nil, true
	case inward:
		out = append(append(out, r[:i]...), r[i+1:]...)
		if felt == 0 {
			return out, true
		}
		a, b := r.At(i-1), r.At(i+1)
		// Edges that end in the removed point are gone; those at the kept ends touch
		// the new edge by right.
		gone := func(j int) bool { return j == (i-1+n)%n || j == i || j == (i-2+n)%n || j == (i+1)%n }
		if crosses(rings, ring, gone, [2]geom.Vec{a, b}) {
			return nil, false
		}
		// The edges at the kept ends may fold over the new one.
		if n > 4 && (folds(r.At(i-2), a, b) || folds(r.At(i+2), b, a)) {
			return nil, false
		}
		return out, true
	}
	for k := range r {
		switch k {
		case i:
			out = append(out, apex)
		case (i + 1) % n:
		default:
			out = append(out, r[k])
		}
	}
	gone := func(j int) bool { return j == (i-1+n)%n || j == i || j == (i+1)%n }
	return out, !crosses(rings, ring, gone, [2]geom.Vec{r[i], apex}, [2]geom.Vec{apex, r.At(i + 1)})
}

// crosses reports whether one of the new edges meets an edge of the rings; edges of
// the ring itself for which skip is true are left out.
func crosses(rings []geom.Ring, ring int, skip func(edge int) bool, edges ...[2]geom.Vec) bool {
	for k, s := range rings {
		for j := range s {
			if k == ring && skip(j) {
				continue
			}
			c, d := s[j], s.At(j+1)
			for _, e := range edges {
				if geom.SegmentsCross(e[0], e[1], c, d) {
					return true
				}
			}
		}
	}
	return false
}

// folds reports whether the edges from–at and at–to lie on one another.
func folds(from, at, to geom.Vec) bool {
	return geom.Orient(from, at, to) == 0 && from.Sub(at).Dot(to.Sub(at)) > 0
}
