package geom

import "math"

// Simple reports whether every ring is a simple polygon and no ring crosses or
// touches another: rings have three points at least, all finite, and two edges
// share nothing but the corner between neighbours. It is exact.
func Simple(rings ...Ring) bool {
	for _, r := range rings {
		if len(r) < 3 {
			return false
		}
		for _, p := range r {
			if !p.IsFinite() {
				return false
			}
		}
	}
	_, _, met := Contact(rings...)
	return !met
}

// Contact returns a point where two edges of the rings cross or touch, other
// than the corner between neighbours of one ring, and the numbers of the rings
// they are of, the lesser first; false where none do. An edge that runs back along its neighbour touches it, and so does a point given
// twice. Which point is returned depends on the order of the rings alone.
// Points must be finite; whether there is a contact is decided exactly.
//
// Edges are looked up in a grid of square buckets (W. R. Franklin et
// al., "Uniform grids: a technique for intersection detection on serial and
// parallel machines", Auto-Carto 9, 1989).
func Contact(rings ...Ring) (at Vec, between [2]int, met bool) {
	grid := newEdgeGrid(rings)
	for _, e := range grid.edges {
		for bucket := range grid.along(e) {
			for _, k := range grid.buckets[bucket] {
				if f := grid.edges[k]; e.meets(f) {
					return meetingPoint(f.a, f.b, e.a, e.b), [2]int{f.ring, e.ring}, true
				}
			}
			grid.buckets[bucket] = append(grid.buckets[bucket], e.index)
		}
	}
	return Vec{}, [2]int{}, false
}

// ringEdge is the edge from a to b, number at of n in its ring.
type ringEdge struct {
	a, b        Vec
	ring, at, n int
	index       int32
}

// meets reports whether two edges share more than the corner between them.
func (e ringEdge) meets(f ringEdge) bool {
	if e.index == f.index {
		return false
	}
	// Neighbours first: their common corner makes every exact test slow.
	if e.ring == f.ring {
		after, before := (e.at+1)%e.n == f.at, (f.at+1)%e.n == e.at
		switch {
		case after && before: // a ring of two edges
			return true
		case after:
			return runsBack(e, f)
		case before:
			return runsBack(f, e)
		}
	}
	return SegmentsCross(e.a, e.b, f.a, f.b)
}

// runsBack reports whether f, which starts where e ends, lies along e.
func runsBack(e, f ringEdge) bool {
	return Orient(e.a, e.b, f.b) == 0 && e.b.Sub(e.a).Dot(f.b.Sub(f.a)) <= 0
}

// meetingPoint returns a point that two segments which meet have in common.
func meetingPoint(a, b, c, d Vec) Vec {
	if p, ok := Crossing(a, b, c, d); ok {
		return ClosestOnSegment(p, a, b)
	}
	// On one line: an end of one lies on the other.
	best := a
	for _, p := range []Vec{b, c, d} {
		if PointSegment(p, a, b)+PointSegment(p, c, d) < PointSegment(best, a, b)+PointSegment(best, c, d) {
			best = p
		}
	}
	return best
}

// edgeGrid holds the edges of rings, and for each bucket of a grid over them
// which edges pass through it.
type edgeGrid struct {
	edges   []ringEdge
	origin  Vec
	side    float64 // of a bucket
	buckets map[[2]int][]int32
}

func newEdgeGrid(rings []Ring) edgeGrid {
	g := edgeGrid{buckets: map[[2]int][]int32{}}
	box, length := EmptyBox(), 0.0
	for i, r := range rings {
		for k, p := range r {
			e := ringEdge{a: p, b: r.At(k + 1), ring: i, at: k, n: len(r), index: int32(len(g.edges))}
			g.edges = append(g.edges, e)
			box = box.With(p)
			length += p.Dist(e.b)
		}
	}
	// Buckets about twice as wide as an edge is long hold few edges each; no
	// more than a thousand across, so that a long edge passes through few.
	const across = 1000
	g.side = max(2*length/float64(len(g.edges)), max(box.Width(), box.Height())/across)
	if !(g.side > 0) {
		g.side = 1 // all points are one
	}
	g.origin = box.Min
	return g
}

// along calls yield with each bucket that e passes through, row by row.
func (g edgeGrid) along(e ringEdge) func(yield func([2]int) bool) {
	return func(yield func([2]int) bool) {
		top, bottom := e.a, e.b
		if top.Y > bottom.Y {
			top, bottom = bottom, top
		}
		column := func(x float64) int { return int(math.Floor((x - g.origin.X) / g.side)) }
		first, last := int(math.Floor((top.Y-g.origin.Y)/g.side)), int(math.Floor((bottom.Y-g.origin.Y)/g.side))
		hair := 1e-6 * g.side // wider than rounding can move an edge within its row
		for row := first; row <= last; row++ {
			from, to := min(e.a.X, e.b.X), max(e.a.X, e.b.X)
			if last > first { // the part of the edge in this row
				slope := (bottom.X - top.X) / (bottom.Y - top.Y)
				y := g.origin.Y + float64(row)*g.side - hair
				x, x2 := top.X+slope*(y-top.Y), top.X+slope*(y+g.side+2*hair-top.Y)
				from, to = max(from, min(x, x2)-hair), min(to, max(x, x2)+hair)
			}
			for col := column(from); col <= column(to); col++ {
				if !yield([2]int{row, col}) {
					return
				}
			}
		}
	}
}
