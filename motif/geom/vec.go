// Package geom is the planar geometry that everything else is built on: points,
// rings, regions, affine maps, exact predicates, convex hulls, distances between
// outlines, poles of inaccessibility, and lengths as people write them.
//
// Numbers are millimetres and radians, x to the right and y down, so a positive
// angle turns clockwise as seen. A ring is closed without repeating its first
// point. The package uses the standard library only.
package geom

import "math"

// Vec is a point or a displacement in millimetres, x right and y down.
type Vec struct{ X, Y float64 }

// Add returns v + w.
func (v Vec) Add(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y} }

// Sub returns v - w.
func (v Vec) Sub(w Vec) Vec { return Vec{v.X - w.X, v.Y - w.Y} }

// Mul returns v multiplied by k.
func (v Vec) Mul(k float64) Vec { return Vec{v.X * k, v.Y * k} }

// Dot returns the scalar product of v and w.
func (v Vec) Dot(w Vec) float64 { return v.X*w.X + v.Y*w.Y }

// Cross returns the z component of v × w: positive where w lies clockwise of v as seen.
func (v Vec) Cross(w Vec) float64 { return v.X*w.Y - v.Y*w.X }

// Len returns the length of v.
func (v Vec) Len() float64 { return math.Hypot(v.X, v.Y) }

// Dist returns the distance from v to w.
func (v Vec) Dist(w Vec) float64 { return math.Hypot(v.X-w.X, v.Y-w.Y) }

// Lerp returns the point t of the way from v to w.
func (v Vec) Lerp(w Vec, t float64) Vec {
	return Vec{v.X + t*(w.X-v.X), v.Y + t*(w.Y-v.Y)}
}

// Rotate returns v turned clockwise as seen by a radians about the origin.
func (v Vec) Rotate(a float64) Vec {
	s, c := math.Sincos(a)
	return Vec{c*v.X - s*v.Y, s*v.X + c*v.Y}
}

// IsFinite reports whether neither coordinate is NaN or infinite.
func (v Vec) IsFinite() bool {
	return !math.IsNaN(v.X-v.X) && !math.IsNaN(v.Y-v.Y)
}

// Box is an axis-parallel rectangle, its edges included. The zero Box is the
// origin alone; start from EmptyBox to collect points.
type Box struct{ Min, Max Vec }

// EmptyBox returns the box that holds no point.
func EmptyBox() Box {
	return Box{Vec{math.Inf(1), math.Inf(1)}, Vec{math.Inf(-1), math.Inf(-1)}}
}

// BoxOf returns the bounding box of the points.
func BoxOf(points ...Vec) Box {
	b := EmptyBox()
	for _, p := range points {
		b = b.With(p)
	}
	return b
}

// With returns the bounding box of b and p.
func (b Box) With(p Vec) Box {
	return Box{
		Vec{min(b.Min.X, p.X), min(b.Min.Y, p.Y)},
		Vec{max(b.Max.X, p.X), max(b.Max.Y, p.Y)},
	}
}

// Union returns the bounding box of both boxes.
func (b Box) Union(c Box) Box {
	if c.IsEmpty() {
		return b
	}
	return b.With(c.Min).With(c.Max)
}

// IsEmpty reports whether b holds no point.
func (b Box) IsEmpty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Width returns the extent in x, 0 for an empty box.
func (b Box) Width() float64 { return max(0, b.Max.X-b.Min.X) }

// Height returns the extent in y, 0 for an empty box.
func (b Box) Height() float64 { return max(0, b.Max.Y-b.Min.Y) }

// Centre returns the middle of b.
func (b Box) Centre() Vec { return b.Min.Lerp(b.Max, 0.5) }

// Grow returns b made larger by d on every side.
func (b Box) Grow(d float64) Box {
	return Box{Vec{b.Min.X - d, b.Min.Y - d}, Vec{b.Max.X + d, b.Max.Y + d}}
}

// Contains reports whether p lies in b or on its edge.
func (b Box) Contains(p Vec) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Meets reports whether the boxes touch or overlap.
func (b Box) Meets(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// Gap returns the distance between two boxes, 0 where they touch or overlap.
func (b Box) Gap(c Box) float64 {
	dx := max(0, max(b.Min.X-c.Max.X, c.Min.X-b.Max.X))
	dy := max(0, max(b.Min.Y-c.Max.Y, c.Min.Y-b.Max.Y))
	return math.Hypot(dx, dy)
}
