package nfp

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"

	"strew/motif/geom"
)

// A penetration field gives, for each position of one shape relative to another,
// the penetration depth (the least distance by which it must move to leave the
// convex polygon of the no-fit polygon it lies deepest in) and the minimum
// translation vector (S. Cameron and R. K. Culley, "Determining the minimum
// translational distance between two convex polyhedra", IEEE Robotics and
// Automation, 1986, cited from memory, for one convex polygon).

// Field is a penetration field. Its box is ruled into grid cells, and each cell
// keeps the candidate planes that decide the depth in it. A cell is worked out when
// first asked for, since most never are. A Field may be used by several goroutines
// at once.
type Field struct {
	grid
	planes   []plane
	polygons []polygon               // the thickest first
	all      []int32                 // the numbers of all polygons
	patches  []atomic.Pointer[patch] // where there are many polygons; row by row
	cells    []atomic.Pointer[cell]  // row by row
	bytes    atomic.Int64            // of the cells worked out so far
}

// grid is a box ruled into side columns and side rows.
type grid struct {
	box   geom.Box
	scale geom.Vec // cells per millimetre
	side  int
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
	// patchSide is how many columns and rows of patches a field of many turns has
	// that has more than manyPolygons. At few turns, or with more than mostPolygons,
	// a field has twice as many cells a side: long searches ask most cells of few
	// fields, so smaller cells pay.
	patchSide    = 8
	manyPolygons = 40
	mostPolygons = 200
	// FewTurns is how many turns at most count as few: felt with a nap has four.
	FewTurns = 4
	// LeastTurns is the fewest turns that shapes of many parts take on felt without
	// a nap, see mostPolygons.
	LeastTurns = 60
)

// sideFor returns how many columns and rows of cells a field has, by its polygons
// and by how many turns the shapes take. Cells cost a search the time to work them
// out and to fetch them from memory, polygons the time to ask them.
func sideFor(polygons, turns int) int {
	if polygons <= 1 {
		return 1
	}
	side := patchSide
	if polygons > 6 {
		side *= 2
	}
	if polygons > manyPolygons && turns <= FewTurns || polygons > mostPolygons && turns <= LeastTurns {
		side *= 2
	}
	return side
}

// NewField returns the penetration field of b over a, convex parts both, where each
// shape takes the given number of turns.
func NewField(a, b []geom.Ring, turns int) *Field {
	n := New(a, b)
	side := sideFor(len(n.Rings), turns)
	f := &Field{grid: grid{box: n.Box, side: side}, cells: make([]atomic.Pointer[cell], side*side)}
	f.scale = geom.Vec{X: float64(side) / f.box.Width(), Y: float64(side) / f.box.Height()}
	if len(n.Rings) > manyPolygons && turns > FewTurns {
		f.patches = make([]atomic.Pointer[patch], patchSide*patchSide)
	}
	total := 0
	for _, r := range n.Rings {
		total += len(r)
	}
	f.planes = make([]plane, 0, total)
	for i, r := range n.Rings {
		from := len(f.planes)
		f.planes = addPlanes(f.planes, r)
		// The area is half the sum of the sides times their distances from the point
		// that lies deepest.
		thick := min(2*r.Area()/r.Length(), n.boxes[i].Width()/2, n.boxes[i].Height()/2)
		f.polygons = append(f.polygons, polygon{int32(from), int32(len(f.planes)), thick})
		f.all = append(f.all, int32(i))
	}
	slices.SortStableFunc(f.polygons, func(a, b polygon) int { return cmp.Compare(b.thick, a.thick) })
	f.bytes.Store(int64(256 + 24*cap(f.planes) + 20*cap(f.polygons) + 8*len(f.cells) + 8*len(f.patches)))
	return f
}

// Bytes returns roughly how much memory the field takes, with the cells worked out
// so far.
func (f *Field) Bytes() int { return int(f.bytes.Load()) }

// addPlanes appends the half-planes of a convex ring, in steps of about 0.38 of the
// way round rather than in turn: a point outside is then soon found to be so.
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
			q.c = q.x*a.X + q.y*a.Y - OnEdge
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

// square returns the square of side × side cells, and a hair more for rounding.
func (g *grid) square(col, row, side int) square {
	h := float64(side) / 2
	return square{
		g.box.Min.X + (float64(col)+h)/g.scale.X, g.box.Min.Y + (float64(row)+h)/g.scale.Y,
		h/g.scale.X + seamLap, h/g.scale.Y + seamLap,
	}
}
