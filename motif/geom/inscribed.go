package geom

import (
	"container/heap"
	"math"
)

// Inscribed returns the centre and radius of the widest circle that fits in
// the union of the regions taken one by one: the best of the widest circles
// of each. The radius is within tol of the true one; it is 0 and the centre
// the first point where no region has any area.
//
// The method halves squares, always the one that can still hold the widest
// circle, until none can beat the best by tol: a branch and bound over the
// signed distance to the edge, which cannot grow faster than the way walked
// (the distance function is 1-Lipschitz). That bound alone would look at every
// point of a ring's middle line, where all circles are as wide; there two edges
// that face each other give a closer one (see facing). Where several circles
// are as wide within tol, the first one found in a fixed order is kept.
func Inscribed(regions []Region, tol float64) (centre Vec, radius float64) {
	for i, g := range regions {
		if len(g.Outer) == 0 {
			continue
		}
		if i == 0 {
			centre = g.Outer[0]
		}
		if c, r := inscribed(g, tol); r > radius+tol/2 {
			centre, radius = c, r
		}
	}
	return centre, radius
}

// cell is a square of half side half; bound is the widest radius any centre
// within it can have.
type cell struct {
	at                Vec
	half, dist, bound float64
	order             int
}

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

func inscribed(g Region, tol float64) (Vec, float64) {
	box := g.Box()
	side := min(box.Width(), box.Height())
	if side <= 0 || g.Area() == 0 {
		return g.Outer[0], 0
	}
	order := 0
	edges := EdgesOf(g.Rings()...)
	look := func(at Vec, half float64) cell {
		d := edges.Dist(at)
		if !edges.Contains(at) {
			d = -d
		}
		order++
		return cell{at, half, d, d + half*math.Sqrt2, order}
	}
	best := look(g.Outer.Centroid(), 0)
	if mid := look(box.Centre(), 0); mid.dist > best.dist {
		best = mid
	}
	var open cellHeap
	// At most some thousand first squares, however long and thin the shape is.
	half := max(side/2, max(box.Width(), box.Height())/512)
	for x := box.Min.X; x < box.Max.X; x += 2 * half {
		for y := box.Min.Y; y < box.Max.Y; y += 2 * half {
			heap.Push(&open, look(Vec{x + half, y + half}, half))
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
			if k := look(c.at.Add(d.Mul(h)), h); k.bound-best.dist > tol {
				heap.Push(&open, k)
			}
		}
	}
	return best.at, max(0, best.dist)
}

// quarters are the directions of a square's corners from its middle.
var quarters = [4]Vec{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}}

// facing returns a bound on the widest radius that any centre in the square
// can have, from the two nearest edges on opposite sides of its middle. A
// circle is no wider than the mean of its centre's distances to any two
// edges; that mean is convex, so over a square it is greatest at a corner, and
// between parallel edges it is the same everywhere.
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
