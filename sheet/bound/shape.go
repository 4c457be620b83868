package bound

import (
	"context"
	"math"

	"strew/motif/geom"
)

// slack is taken off each quotient before it is rounded up, so that float noise in
// the areas cannot raise a bound; relative.
const slack = 1e-6

// Shape is what the bounds need to know of a piece. Each value is worked out when
// first asked for; a Shape serves one goroutine at a time.
type Shape struct {
	region geom.Region
	hull   geom.Ring
	area   float64
	gap    float64

	grown, radius float64
	hasRadius     bool
	rounds        *[mostSides + 1]float64 // see around
}

// Want is a shape and how many copies of it are asked for.
type Want struct {
	*Shape
	N int // copies
}

// NewShape returns the shape of a region with the given hull, to lie the gap apart.
func NewShape(g geom.Region, hull geom.Ring, gap float64) *Shape {
	return &Shape{region: g, hull: hull, area: g.Area(), gap: gap}
}

// Grown returns a lower bound on the area, in mm², of the shape grown by half the
// gap.
func (s *Shape) Grown(ctx context.Context) float64 {
	if s.grown > 0 {
		return s.grown
	}
	a := s.grownArea(ctx, s.gap/2)
	if ctx.Err() == nil {
		s.grown = a
	}
	return a
}

// Inradius returns a radius no larger than that of the widest circle in the shape.
func (s *Shape) Inradius() float64 {
	if !s.hasRadius {
		s.radius, s.hasRadius = Inradius(s.region), true
	}
	return s.radius
}

// Inradius returns a radius no larger than that of the widest circle in the region.
func Inradius(g geom.Region) float64 {
	_, r := geom.Pole([]geom.Region{g}, geom.PoleTol)
	// geom.Pole returns the distance of a real point to the edge: it may be
	// short by its tolerance, never over.
	return math.Max(0, r-geom.Press)
}

// isConvex reports whether the shape has neither bays nor holes.
func (s *Shape) isConvex() bool {
	return len(s.region.Holes) == 0 && math.Abs(s.hull.Area())-s.area <= geom.Press*geom.Press
}

// grownArea returns a lower bound on the area of all points within d of the shape.
//
// Three are tried. The Brunn–Minkowski inequality gives (√A + d√π)² for any
// shape. For a convex shape without holes Steiner's formula is exact:
// A + L·d + π·d². For others squares are halved until they lie in the grown
// shape, and those that do are counted.
func (s *Shape) grownArea(ctx context.Context, d float64) float64 {
	if d <= 0 || s.area <= 0 {
		return s.area
	}
	least := math.Sqrt(s.area) + d*math.Sqrt(math.Pi)
	least *= least
	if s.isConvex() {
		// The ring's length is the hull's up to the noise allowed above; the
		// hull's own is never longer than a boundary round the same shape.
		return math.Max(least, s.area+s.hull.Length()*d+math.Pi*d*d)
	}
	return math.Max(least, counted(ctx, s.region, d))
}

const (
	// countedFinest is the side of the smallest square counted, as a share of the
	// distance grown: what is lost stays near a hundredth of the strip gained.
	countedFinest = 1.0 / 16
	// countedMost bounds the squares along one side of the shape, whatever the gap.
	countedMost = 4096
)

// counted sums squares that lie within d of g, by a quadtree; as many as it finds
// before the context is done.
func counted(ctx context.Context, g geom.Region, d float64) float64 {
	type edge struct{ a, b geom.Vec }
	var all []edge
	for _, r := range g.Rings() {
		for i, a := range r {
			all = append(all, edge{a, r.At(i + 1)})
		}
	}
	box := g.Box().Grow(d)
	side := math.Max(box.Width(), box.Height())
	finest := math.Max(d*countedFinest, side/countedMost)
	sum := 0.0
	var visit func(c geom.Vec, half float64, in []edge)
	visit = func(c geom.Vec, half float64, in []edge) {
		if ctx.Err() != nil {
			return
		}
		reach := half * math.Sqrt2
		near := math.Inf(1)
		for _, e := range in {
			near = math.Min(near, geom.PointSegment(c, e.a, e.b))
		}
		switch {
		case near <= d-reach:
			// All within d of an edge, and edges are felt.
			sum += 4 * half * half
			return
		case near > reach && g.Contains(c):
			// No edge enters the square: it is felt throughout.
			sum += 4 * half * half
			return
		case near > reach+d:
			return
		}
		if 2*half <= finest {
			return
		}
		var keep []edge
		for _, e := range in {
			if geom.PointSegment(c, e.a, e.b) <= near+2*reach {
				keep = append(keep, e)
			}
		}
		h := half / 2
		for _, k := range []geom.Vec{{X: -h, Y: -h}, {X: h, Y: -h}, {X: -h, Y: h}, {X: h, Y: h}} {
			visit(c.Add(k), h, keep)
		}
	}
	visit(box.Centre(), side/2, all)
	return sum
}
