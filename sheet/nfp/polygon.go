package nfp

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// The no-fit polygon of two shapes, as the union of the Minkowski sums of their
// convex parts (R. C. Art, "An approach to the two-dimensional irregular cutting
// stock problem", IBM Cambridge Scientific Center, 1966; by convex parts as in
// J. A. Bennell and J. F. Oliveira, "The geometry of nesting problems: a tutorial",
// European Journal of Operational Research 184, 2008; both cited from memory).

// Polygon is a no-fit polygon: the places one shape may not take relative to
// another. With the first shape at the origin, the second at p overlaps it exactly
// where p lies inside one of the convex rings, of positive area.
type Polygon struct {
	Rings []geom.Ring // each from its lowest point on
	tops  []int       // of each ring, the index of its last point of greatest y
	boxes []geom.Box
	Box   geom.Box // of all rings
}

// New returns the no-fit polygon of b about a, given as convex parts: the sums of
// a's parts and b's parts mirrored in the origin.
func New(a, b []geom.Ring) *Polygon {
	n := &Polygon{Box: geom.EmptyBox()}
	type sum struct {
		ring geom.Ring
		area float64
	}
	sums := make([]sum, 0, len(a)*len(b))
	for _, q := range b {
		q = mirrored(q)
		for _, p := range a {
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
		n.Rings = append(n.Rings, s.ring)
		n.tops = append(n.tops, highest(s.ring))
		n.boxes = append(n.boxes, box)
		n.Box = n.Box.Union(box)
	}
	return n
}

// swallowers is how many of the largest rings are asked whether they hold
// another one: the rest seldom do.
const swallowers = 12

// swallows reports whether one of the largest rings kept so far holds r.
func (n *Polygon) swallows(box geom.Box, r geom.Ring) bool {
	for i, b := range n.boxes[:min(len(n.boxes), swallowers)] {
		if b.Contains(box.Min) && b.Contains(box.Max) && holds(n.Rings[i], r) {
			return true
		}
	}
	return false
}

// Bytes returns roughly how much memory the polygon takes.
func (n *Polygon) Bytes() int { return 128 + ringsBytes(n.Rings) + 40*len(n.Rings) }

// Spans appends the spans that the polygon, shifted by x, forbids on the level y.
// Those that overlap the largest ring's are joined to it, and rings that lie in it
// are not asked.
func (n *Polygon) Spans(out []Span, x, y float64) []Span {
	if y <= n.Box.Min.Y+OnEdge || y >= n.Box.Max.Y-OnEdge {
		return out
	}
	first := len(out)
	var main Span
	over, under := y-OnEdge, y+OnEdge
	for i := range n.boxes {
		b := &n.boxes[i]
		if b.Min.Y >= over || b.Max.Y <= under || b.Min.X >= main.Lo && b.Max.X <= main.Hi {
			continue
		}
		switch s := quickChord(n.Rings[i], n.tops[i], y); {
		case s.Lo >= s.Hi:
		case len(out) == first:
			main = s
			out = append(out, Span{})
		case s.Lo < main.Hi && s.Hi > main.Lo:
			main = Span{min(s.Lo, main.Lo), max(s.Hi, main.Hi)}
		default:
			out = append(out, Span{s.Lo + x, s.Hi + x})
		}
	}
	if len(out) > first {
		out[first] = Span{main.Lo + x, main.Hi + x}
	}
	return out
}

// Forbids reports whether p lies inside a ring.
func (n *Polygon) Forbids(p geom.Vec) bool {
	if p.X <= n.Box.Min.X || p.X >= n.Box.Max.X || p.Y <= n.Box.Min.Y || p.Y >= n.Box.Max.Y {
		return false
	}
	for i, r := range n.Rings {
		if n.boxes[i].Contains(p) && inside(r, p) {
			return true
		}
	}
	return false
}

// OnEdge is how far inside a ring a point still counts as on its edge: a place
// found by sliding along it must not be forbidden by rounding.
const OnEdge = seamLap / 4

// inside reports whether p lies in the convex ring and not on its edge.
func inside(r geom.Ring, p geom.Vec) bool {
	a := r[len(r)-1]
	for _, b := range r {
		d := b.Sub(a)
		if c := d.Cross(p.Sub(a)); c <= 0 || c*c <= OnEdge*OnEdge*d.Dot(d) {
			return false
		}
		a = b
	}
	return true
}

// Slide returns how far p can go in direction d, of unit length along an axis, at
// most far, before it comes within geom.Press of a ring: what inset shapes give way.
func (n *Polygon) Slide(p, d geom.Vec, far float64) float64 {
	way := geom.BoxOf(p, p.Add(d.Mul(far))).Grow(geom.Press)
	if !way.Meets(n.Box) {
		return far
	}
	for i := range n.boxes {
		if !way.Meets(n.boxes[i]) {
			continue
		}
		if in, ok := clipWay(n.Rings[i], p, d, far); ok {
			far = max(0, in)
			way = geom.BoxOf(p, p.Add(d.Mul(far))).Grow(geom.Press)
		}
	}
	return far
}

// clipWay clips the way from p along d against the half-planes of a convex ring
// grown by geom.Press. It returns where the way enters the ring; ok is false where
// it does not do so within far.
func clipWay(r geom.Ring, p, d geom.Vec, far float64) (enter float64, ok bool) {
	in, out := math.Inf(-1), math.Inf(1)
	a := r[len(r)-1]
	for _, b := range r {
		e := b.Sub(a)
		l2 := e.Dot(e)
		a = b
		if l2 == 0 {
			continue
		}
		l := math.Sqrt(l2)
		// A hair less than geom.Press, so that a neighbour touched already does not
		// hold p back.
		depth := e.Cross(p.Sub(b)) + (geom.Press-seamLap)*l // times l, positive inside
		rate := e.Cross(d)                                  // times l
		switch {
		case math.Abs(rate) < geom.SameAngle*l:
			if depth <= 0 {
				out = math.Inf(-1)
			}
		case rate > 0:
			in = max(in, -depth/rate)
		default:
			out = min(out, -depth/rate)
		}
		if in >= out || out <= 0 || in >= far {
			return 0, false
		}
	}
	return in, true
}
