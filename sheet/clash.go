package sheet

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"

	"strew/motif/geom"
)

// clash holds the places where a second body overlaps a first one: convex
// polygons, each an intersection of half-planes. Its box is cut into cells, and
// each cell knows which of them decide how deep its points lie. A cell is worked
// out when first asked for, for most are never asked for.
type clash struct {
	raster
	planes   []plane
	polygons []polygon               // the thickest first
	all      []int32                 // the numbers of all polygons
	patches  []atomic.Pointer[patch] // where there are many polygons; row by row
	cells    []atomic.Pointer[cell]  // row by row
}

// raster is a box cut into columns and rows.
type raster struct {
	box   geom.Box
	scale geom.Vec // cells per millimetre
	side  int      // so many columns and rows
}

// polygon is where its planes begin and end; no point lies deeper in it than thick.
type polygon struct {
	from, to int32
	thick    float64
}

// plane is the half-plane of points p with c - n·p > 0, n of unit length: that
// is how deep p lies in it.
type plane struct{ x, y, c float64 }

func (p *plane) depth(x, y float64) float64 { return p.c - p.x*x - p.y*y }

const (
	// patchSide is into how many columns and rows of patches a clash of many
	// turns is cut that has more than manyPolygons. Of few turns, or with more than
	// mostPolygons, it has twice as many cells a side. Long searches ask most
	// cells of few clashes, so that these are told the more closely.
	patchSide    = 8
	manyPolygons = 40
	mostPolygons = 200
)

// sideFor returns into how many columns and rows of cells a clash is cut, by its
// polygons and by how many turns it is one of. Cells cost a search the time it
// takes to work them out and to fetch them from memory, and polygons that to ask
// them.
func sideFor(polygons, steps int) int {
	if polygons <= 1 {
		return 1
	}
	side := patchSide
	if polygons > 6 {
		side *= 2
	}
	if polygons > manyPolygons && steps <= 4 || polygons > mostPolygons && steps <= leastSteps {
		side *= 2
	}
	return side
}

// newClash works out where b turned, by one of so many steps, lies over a.
func newClash(a, b *body, turn float64, steps int) *clash {
	m := geom.Rotation(turn)
	var v, w view
	v.parts = a.parts
	for _, p := range b.parts {
		w.parts = append(w.parts, p.Transform(m))
	}
	n := newNofit(&v, &w)
	side := sideFor(len(n.rings), steps)
	c := &clash{raster: raster{box: n.box, side: side}, cells: make([]atomic.Pointer[cell], side*side)}
	c.scale = geom.Vec{X: float64(side) / c.box.Width(), Y: float64(side) / c.box.Height()}
	if len(n.rings) > manyPolygons && steps > 4 {
		c.patches = make([]atomic.Pointer[patch], patchSide*patchSide)
	}
	total := 0
	for _, r := range n.rings {
		total += len(r)
	}
	c.planes = make([]plane, 0, total)
	for i, r := range n.rings {
		from := len(c.planes)
		c.planes = addPlanes(c.planes, r)
		// The area is half the sum of the sides times their distances from the point
		// that lies deepest.
		thick := min(2*r.Area()/r.Length(), n.boxes[i].Width()/2, n.boxes[i].Height()/2)
		c.polygons = append(c.polygons, polygon{int32(from), int32(len(c.planes)), thick})
		c.all = append(c.all, int32(i))
	}
	slices.SortStableFunc(c.polygons, func(a, b polygon) int { return cmp.Compare(b.thick, a.thick) })
	return c
}

// addPlanes adds the half-planes of a convex ring. They are not in turn, but in
// steps of about 0.38 of the way round: a point outside is then soon found to be
// so.
func addPlanes(out []plane, r geom.Ring) []plane {
	stride := max(1, int(0.382*float64(len(r))))
	for gcd(stride, len(r)) > 1 {
		stride++
	}
	for k := range r {
		i := k * stride % len(r)
		a, b := r.At(i-1), r[i]
		d := b.Sub(a)
		l := math.Sqrt(d.Dot(d))
		if l >= geom.SamePoint {
			// The outward side of an edge of a ring of positive area.
			q := plane{x: d.Y / l, y: -d.X / l}
			q.c = q.x*a.X + q.y*a.Y - onEdge
			out = append(out, q)
		}
	}
	return out
}

// gcd returns the greatest common divisor.
func gcd(a, b int) int {
	for b > 0 {
		a, b = b, a%b
	}
	return a
}

// square is a part of the box: its middle and half its sides.
type square struct{ x, y, hx, hy float64 }

// square returns so many cells a side, and a hair more for rounding.
func (g *raster) square(col, row, side int) square {
	h := float64(side) / 2
	return square{
		g.box.Min.X + (float64(col)+h)/g.scale.X, g.box.Min.Y + (float64(row)+h)/g.scale.Y,
		h/g.scale.X + seamLap, h/g.scale.Y + seamLap,
	}
}
