package geom

import (
	"container/heap"
	"math"
)

// Pole returns the pole of inaccessibility of the regions taken one by one: the
// centre and radius of the widest circle that fits inside one of them. The
// radius is less than the true one by at most tol; it is 0, and the centre the
// first point, where no region has any area. Of several circles that are as
// wide within tol, the first one found in a fixed order is returned.
//
// The method is a best-first branch and bound over squares that are split in
// four (V. Agafonkin's polylabel, 2016; D. Garcia-Castellanos and U. Lombardo,
// "Poles of inaccessibility", Scottish Geographical Journal 123, 2007, search
// the same distance). It rests on the signed distance to the edge being
// 1-Lipschitz. That bound alone would split every square along the middle line
// of a ring of even width; two edges on opposite sides give a closer one, see
// facing.
func Pole(regions []Region, tol float64) (centre Vec, radius float64) {
	for i, g := range regions {
		if len(g.Outer) == 0 {
			continue
		}
		if i == 0 {
			centre = g.Outer[0]
		}
		if c, r := pole(g, tol); r > radius+tol/2 {
			centre, radius = c, r
		}
	}
	return centre, radius
}

// cell is a square of the search.
type cell struct {
	at    Vec     // its middle
	half  float64 // its half side
	dist  float64 // from the middle to the edge, negative outside
	bound float64 // the widest radius that a centre within it can have
	order int     // in which cells are made, for ties
}

// cellHeap is a heap with the largest bound first.

type cellHeap []cell

func (h cellHeap) Len() int { return len(h) }
func (h cellHeap) Less(i, j int) bool {
	if h[i].bound != h[j].bound {
		return h[i].bound > h[j].bound
	}
	return h[i].order < h[j].order
}
func (h cellHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *cellHeap) Push(x any)   { *h = append(*h, x.(cell)) }
func (h *cellHeap) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// pole returns the pole of inaccessibility of one region.
func pole(g Region, tol float64) (Vec, float64) {
	box := g.Box()
	side := min(box.Width(), box.Height())
	if side <= 0 || g.Area() == 0 {
		return g.Outer[0], 0
	}
	order := 0
	edges := EdgesOf(g.Rings()...)
	measure := func(at Vec, half float64) cell {
		d := edges.Dist(at)
		if !edges.Contains(at) {
			d = -d
		}
		order++
		return cell{at: at, half: half, dist: d, bound: d + half*math.Sqrt2, order: order}
	}
	best := measure(g.Outer.Centroid(), 0)
	if mid := measure(box.Centre(), 0); mid.dist > best.dist {
		best = mid
	}
	var open cellHeap
	// At most about a thousand squares to begin with, however thin the shape is.
	half := max(side/2, max(box.Width(), box.Height())/512)
	for x := box.Min.X; x < box.Max.X; x += 2 * half {
		for y := box.Min.Y; y < box.Max.Y; y += 2 * half {
			heap.Push(&open, measure(Vec{x + half, y + half}, half))
		}
	}
	for len(open) > 0 {
		c := heap.Pop(&open).(cell)
		if c.dist > best.dist {
			best = c
		}
		if c.bound-best.dist <= tol {
			break
		}
		if c.facing(edges)-best.dist <= tol {
			continue
		}
		h := c.half / 2
		for _, d := range quarters {
			if k := measure(c.at.Add(d.Mul(h)), h); k.bound-best.dist > tol {
				heap.Push(&open, k)
			}
		}
	}
	return best.at, max(0, best.dist)
}

// quarters are the directions of a square's corners from its middle.
var quarters = [4]Vec{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}}

// facing returns a bound on the widest radius that a centre in the square can
// have, from the two nearest edges on opposite sides of its middle. A radius is
// at most the mean of the centre's distances to any two edges; that mean is
// convex, so over a square it is greatest at a corner, and between parallel
// edges it is the same everywhere.
func (c cell) facing(edges Edges) float64 {
	var near, far [2]Vec
	first, second := math.Inf(1), math.Inf(1)
	var toNear Vec
	each := func(within *float64, visit func(a, b, to Vec, d float64)) {
		for _, r := range edges {
			if r.box.Gap(Box{c.at, c.at}) >= *within {
				continue
			}
			a := r.ring[len(r.ring)-1]
			for _, b := range r.ring {
				to := ClosestOnSegment(c.at, a, b).Sub(c.at)
				visit(a, b, to, to.Len())
				a = b
			}
		}
	}
	each(&first, func(a, b, to Vec, d float64) {
		if d < first {
			first, near, toNear = d, [2]Vec{a, b}, to
		}
	})
	each(&second, func(a, b, to Vec, d float64) {
		if d < second && to.Dot(toNear) < -d*first/2 {
			second, far = d, [2]Vec{a, b}
		}
	})
	if math.IsInf(second, 1) {
		return math.Inf(1)
	}
	most := 0.0
	for _, d := range quarters {
		p := c.at.Add(d.Mul(c.half))
		most = max(most, (PointSegment(p, near[0], near[1])+PointSegment(p, far[0], far[1]))/2)
	}
	return most
}
