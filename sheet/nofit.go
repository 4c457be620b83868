package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// nofit holds the places one view may not take relative to another: convex
// rings of positive area. With the first view at the origin, the second one at
// p overlaps its grown outline exactly where p lies inside one of the rings.
type nofit struct {
	rings []geom.Ring // each from its lowest point on, see convexSum
	tops  []int       // of each ring, the index of its last point of greatest y
	boxes []geom.Box
	box   geom.Box
}

// newNofit returns the nofit of b about a: the sums of a's parts and b's parts
// mirrored in the origin.
func newNofit(a, b *view) *nofit {
	n := &nofit{box: geom.EmptyBox()}
	type sum struct {
		ring geom.Ring
		area float64
	}
	sums := make([]sum, 0, len(a.parts)*len(b.parts))
	for _, q := range b.parts {
		q = mirrored(q)
		for _, p := range a.parts {
			r := convexSum(p, q)
			sums = append(sums, sum{r, r.Area()})
		}
	}
	// Largest first: they decide soonest, and swallow others.
	slices.SortStableFunc(sums, func(p, q sum) int { return cmp.Compare(q.area, p.area) })
	for _, s := range sums {
		box := s.ring.Box()
		if n.swallows(box, s.ring) {
			continue
		}
		n.rings = append(n.rings, s.ring)
		n.tops = append(n.tops, top(s.ring))
		n.boxes = append(n.boxes, box)
		n.box = n.box.Union(box)
	}
	return n
}

// swallowers is how many of the largest rings are asked whether they hold
// another one: the rest seldom do.
const swallowers = 12

// swallows reports whether one of the largest rings kept so far holds r.
func (n *nofit) swallows(box geom.Box, r geom.Ring) bool {
	for i, b := range n.boxes[:min(len(n.boxes), swallowers)] {
		if b.Contains(box.Min) && b.Contains(box.Max) && holds(n.rings[i], r) {
			return true
		}
	}
	return false
}

// holds reports whether the convex ring r holds all points of s.
func holds(r, s geom.Ring) bool {
	a := r[len(r)-1]
	for _, b := range r {
		d := b.Sub(a)
		for _, p := range s {
			if d.Cross(p.Sub(a)) < 0 {
				return false
			}
		}
		a = b
	}
	return true
}

func mirrored(r geom.Ring) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[i] = geom.Vec{X: -p.X, Y: -p.Y}
	}
	return out
}

// convexSum returns the Minkowski sum of two convex rings of positive area:
// the edges of both, in order of their direction.
func convexSum(r, s geom.Ring) geom.Ring {
	i, j := lowest(r), lowest(s)
	out := make(geom.Ring, 0, len(r)+len(s))
	next := func(r geom.Ring, i int) int {
		if i+1 == len(r) {
			return 0
		}
		return i + 1
	}
	for m, n := 0, 0; m < len(r) || n < len(s); {
		out = append(out, r[i].Add(s[j]))
		i1, j1 := next(r, i), next(s, j)
		c := r[i1].Sub(r[i]).Cross(s[j1].Sub(s[j]))
		if n == len(s) || m < len(r) && c >= 0 {
			i = i1
			m++
			if n == len(s) || c > 0 {
				continue
			}
			if c == 0 {
				j = j1
				n++
			}
			continue
		}
		j = j1
		n++
	}
	return out
}

// lowest returns the index of the point of least y, of these the least x: from
// there the edges of a ring of positive area turn through all directions once.
func lowest(r geom.Ring) int {
	k := 0
	for i, p := range r {
		if p.Y < r[k].Y || p.Y == r[k].Y && p.X < r[k].X {
			k = i
		}
	}
	return k
}

// span is an open interval.
type span struct{ lo, hi float64 }

// chord returns the span in which the convex ring meets the level y.
func chord(r geom.Ring, y float64) span {
	s := span{math.Inf(1), math.Inf(-1)}
	a := r[len(r)-1]
	for _, b := range r {
		if (a.Y > y) != (b.Y > y) {
			x := a.X + (b.X-a.X)*((y-a.Y)/(b.Y-a.Y))
			s.lo = math.Min(s.lo, x)
			s.hi = math.Max(s.hi, x)
		}
		a = b
	}
	return s
}

// top returns the index of the last point of greatest y.
func top(r geom.Ring) int {
	k := 0
	for i, p := range r {
		if p.Y >= r[k].Y {
			k = i
		}
	}
	return k
}

// level returns the span in which a convex ring that starts at its lowest point
// and is highest at top meets the level y, which lies strictly between: y
// rises along the first chain and falls along the second.
func level(r geom.Ring, top int, y float64) span {
	at := func(a, b geom.Vec) float64 {
		if a.Y == b.Y {
			return a.X
		}
		return a.X + (b.X-a.X)*((y-a.Y)/(b.Y-a.Y))
	}
	lo, hi := 0, top // r[lo].Y ≤ y < r[hi].Y
	for hi-lo > 1 {
		if m := (lo + hi) / 2; r[m].Y > y {
			hi = m
		} else {
			lo = m
		}
	}
	p := at(r[lo], r[hi])
	lo, hi = top, len(r) // r[lo].Y > y ≥ r[hi].Y, where r[len(r)] is r[0]
	for hi-lo > 1 {
		if m := (lo + hi) / 2; r[m].Y > y {
			lo = m
		} else {
			hi = m
		}
	}
	if hi == len(r) {
		hi = 0
	}
	q := at(r[lo], r[hi])
	return span{min(p, q), max(p, q)}
}

// spans adds the spans forbidden at the level y, shifted by x. Those that overlap
// the largest ring's are joined to it, and rings that lie in it are not asked.
func (n *nofit) spans(out []span, x, y float64) []span {
	if y <= n.box.Min.Y+onEdge || y >= n.box.Max.Y-onEdge {
		return out
	}
	first := len(out)
	var main span
	over, under := y-onEdge, y+onEdge
	for i := range n.boxes {
		b := &n.boxes[i]
		if b.Min.Y >= over || b.Max.Y <= under || b.Min.X >= main.lo && b.Max.X <= main.hi {
			continue
		}
		switch s := level(n.rings[i], n.tops[i], y); {
		case s.lo >= s.hi:
		case len(out) == first:
			main = s
			out = append(out, span{})
		case s.lo < main.hi && s.hi > main.lo:
			main = span{min(s.lo, main.lo), max(s.hi, main.hi)}
		default:
			out = append(out, span{s.lo + x, s.hi + x})
		}
	}
	if len(out) > first {
		out[first] = span{main.lo + x, main.hi + x}
	}
	return out
}

// forbids reports whether p lies inside a ring.
func (n *nofit) forbids(p geom.Vec) bool {
	if p.X <= n.box.Min.X || p.X >= n.box.Max.X || p.Y <= n.box.Min.Y || p.Y >= n.box.Max.Y {
		return false
	}
	for i, r := range n.rings {
		if n.boxes[i].Contains(p) && inside(r, p) {
			return true
		}
	}
	return false
}

// onEdge is how far inside a ring a point still counts as on its edge: a place
// found by sliding along it must not be forbidden by rounding.
const onEdge = seamLap / 4

// inside reports whether p lies in the convex ring and not on its edge.
func inside(r geom.Ring, p geom.Vec) bool {
	a := r[len(r)-1]
	for _, b := range r {
		d := b.Sub(a)
		if c := d.Cross(p.Sub(a)); c <= 0 || c*c <= onEdge*onEdge*d.Dot(d) {
			return false
		}
		a = b
	}
	return true
}
