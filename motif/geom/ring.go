package geom

import "math"

// Ring is a closed polygon; the last point is joined to the first without
// repeating it.
type Ring []Vec

// Area returns the signed area: positive where the ring runs clockwise as seen.
func (r Ring) Area() float64 {
	if len(r) == 0 {
		return 0
	}
	// Relative to the first point, so that a ring far from the origin keeps its digits.
	o, sum := r[0], 0.0
	for i := 1; i+1 < len(r); i++ {
		sum += r[i].Sub(o).Cross(r[i+1].Sub(o))
	}
	return sum / 2
}

// Length returns the perimeter of the ring.
func (r Ring) Length() float64 {
	sum := 0.0
	for i, p := range r {
		sum += p.Dist(r.At(i + 1))
	}
	return sum
}

// At returns point i; counting goes round the ring, backwards too.
func (r Ring) At(i int) Vec { return r[((i%len(r))+len(r))%len(r)] }

// Centroid returns the centroid of the ring's area, or the mean of its points
// where it has no area.
func (r Ring) Centroid() Vec {
	if len(r) == 0 {
		return Vec{}
	}
	o, area, sum, mean := r[0], 0.0, Vec{}, Vec{}
	for i := range r {
		p, q := r[i].Sub(o), r.At(i+1).Sub(o)
		c := p.Cross(q)
		area += c
		sum = sum.Add(p.Add(q).Mul(c))
		mean = mean.Add(p)
	}
	if area == 0 {
		return o.Add(mean.Mul(1 / float64(len(r))))
	}
	return o.Add(sum.Mul(1 / (3 * area)))
}

// Box returns the bounding box of the ring.
func (r Ring) Box() Box { return BoxOf(r...) }

// Contains reports whether p lies inside by the even-odd rule. On the edge the
// answer may be either.
func (r Ring) Contains(p Vec) bool {
	in := false
	if len(r) == 0 {
		return false
	}
	a := r[len(r)-1]
	for _, b := range r {
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < (b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
		a = b
	}
	return in
}

// EdgeDist returns the distance from p to the nearest edge, +Inf for no ring.
func (r Ring) EdgeDist(p Vec) float64 {
	best := math.Inf(1)
	if len(r) == 0 {
		return best
	}
	a := r[len(r)-1]
	for _, b := range r {
		best = min(best, PointSegment(p, a, b))
		a = b
	}
	return best
}

// Reach returns the distance from p to the farthest point of the ring.
func (r Ring) Reach(p Vec) float64 {
	far := 0.0
	for _, q := range r {
		far = max(far, p.Dist(q))
	}
	return far
}

// Resampled returns n points at even steps along the ring, from its first point
// on.
func (r Ring) Resampled(n int) Ring {
	step := r.Length() / float64(n)
	out := make(Ring, 0, n)
	along := 0.0
	for i, p := range r {
		q := r.At(i + 1)
		l := p.Dist(q)
		for len(out) < n && float64(len(out))*step < along+l {
			out = append(out, p.Lerp(q, (float64(len(out))*step-along)/l))
		}
		along += l
	}
	return out
}

// Transform returns a new ring with every point sent through m.
func (r Ring) Transform(m Affine) Ring {
	out := make(Ring, len(r))
	for i, p := range r {
		out[i] = m.Apply(p)
	}
	return out
}

// Reversed returns the ring with its points in the opposite order.
func (r Ring) Reversed() Ring {
	out := make(Ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// Gap returns the distance between the filled rings r and s, at most reach: 0
// where they touch or overlap, reach where they are at least that far apart.
func (r Ring) Gap(s Ring, reach float64) float64 {
	if r.Box().Gap(s.Box()) >= reach {
		return reach
	}
	best := reach
	sb := s.Box()
	for i, a := range r {
		b := r[0]
		if i+1 < len(r) {
			b = r[i+1]
		}
		// Bounding boxes first: most pairs of edges are far apart.
		ax, bx, ay, by := min(a.X, b.X)-best, max(a.X, b.X)+best, min(a.Y, b.Y)-best, max(a.Y, b.Y)+best
		if ax >= sb.Max.X || bx <= sb.Min.X || ay >= sb.Max.Y || by <= sb.Min.Y {
			continue
		}
		c := s[len(s)-1]
		for _, d := range s {
			if min(c.X, d.X) < bx && max(c.X, d.X) > ax && min(c.Y, d.Y) < by && max(c.Y, d.Y) > ay {
				if best = min(best, SegmentGap(a, b, c, d)); best == 0 {
					return 0
				}
			}
			c = d
		}
	}
	if r.Contains(s[0]) || s.Contains(r[0]) {
		return 0
	}
	return best
}

// Region is a filled shape: one outer ring less its holes. Holes lie inside
// the outer ring and do not overlap one another. The zero Region is empty.
type Region struct {
	Outer Ring
	Holes []Ring
}

// Rings returns the outer ring followed by the holes.
func (g Region) Rings() []Ring { return append([]Ring{g.Outer}, g.Holes...) }

// Area returns the area of the shape without its holes, whichever way its rings
// run.
func (g Region) Area() float64 {
	a := math.Abs(g.Outer.Area())
	for _, h := range g.Holes {
		a -= math.Abs(h.Area())
	}
	return a
}

// EdgeLength returns the length of all edges, those of holes included.
func (g Region) EdgeLength() float64 {
	l := 0.0
	for _, r := range g.Rings() {
		l += r.Length()
	}
	return l
}

// Box returns the bounding box of the region.
func (g Region) Box() Box { return g.Outer.Box() }

// Contains reports whether p lies in the shape and in none of its holes.
func (g Region) Contains(p Vec) bool {
	if !g.Outer.Contains(p) {
		return false
	}
	for _, h := range g.Holes {
		if h.Contains(p) {
			return false
		}
	}
	return true
}

// EdgeDist returns the distance from p to the nearest edge of the region.
func (g Region) EdgeDist(p Vec) float64 {
	best := math.Inf(1)
	for _, r := range g.Rings() {
		best = min(best, r.EdgeDist(p))
	}
	return best
}

// Transform returns a new region with every point sent through m.
func (g Region) Transform(m Affine) Region {
	out := Region{Outer: g.Outer.Transform(m)}
	for _, h := range g.Holes {
		out.Holes = append(out.Holes, h.Transform(m))
	}
	return out
}
