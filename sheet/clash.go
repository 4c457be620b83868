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
	polygons []polygon // the thickest first
	all      []int32
	patches  []atomic.Pointer[patch] // where there are many polygons; row by row
	cells    []atomic.Pointer[cell]  // row by row
}

// raster is a box cut into columns and rows.
type raster struct {
	box   geom.Box
	scale geom.Vec // cells per millimetre
	side  int      // so many columns and rows
}

// cell is a part of a clash: free, or covered, or with a border in it. Many are
// looked at in turn, so that one must not take more than 64 bytes.
type cell struct {
	kind        cellKind
	work        int16   // what it took, in places looked at
	x, y, depth float32 // of a covered cell: how deep its middle lies, and how much deeper the far side than the near one
	planes      []plane // of a border, polygon by polygon, the deepest at the middle first
	ends        []int32 // where each polygon's planes end
}

// patch is some columns and rows of cells: which polygons matter in them, or,
// where all of it is covered, what a cell of its size would be.
type patch struct {
	covered bool
	which   []int32
	cells   []cell // of a covered patch, row by row
}

type cellKind int16

const (
	free cellKind = iota
	covered
	border
)

// polygon is where its planes begin and end, and how deep no point of it lies.
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
	// shallow is the share of its middle's depth that all points of a covered cell
	// are told to lie deep at least: the plane fitted may fall below nought.
	shallow = 1. / 16
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

// cell returns the cell of that number, row by row.
func (c *clash) cell(i int) *cell {
	k := c.cells[i].Load()
	if k == nil {
		k = c.cut(i%c.side, i/c.side)
		c.cells[i].Store(k)
	}
	return k
}

// patch returns the patch that holds a cell.
func (c *clash) patch(col, row int) *patch {
	n := c.side / patchSide
	col, row = col/n, row/n
	at := &c.patches[row*patchSide+col]
	b := at.Load()
	if b == nil {
		b = c.cutPatch(c.square(col*n, row*n, n), n)
		at.Store(b)
	}
	return b
}

// cutPatch works out a patch of so many columns and rows.
func (c *clash) cutPatch(s square, n int) *patch {
	b := &patch{}
	in, sure := c.deciding(s, c.all)
	if b.covered = sure > 0; b.covered {
		k := c.cover(s, in)
		b.cells = make([]cell, n*n)
		share := 1 / float32(n)
		at := func(i int) float32 { return (float32(i)+0.5)*share - 0.5 }
		for i := range b.cells {
			d := k.depth + k.x*at(i%n) + k.y*at(i/n)
			b.cells[i] = cell{kind: covered, work: cutWork, depth: max(d, shallow*k.depth), x: k.x * share, y: k.y * share}
		}
		return b
	}
	for _, d := range in {
		b.which = append(b.which, d.polygon)
	}
	slices.Sort(b.which) // the thickest first
	return b
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

// decider is a polygon that may decide how deep a point of a square lies: at its
// middle so deep, nowhere in it deeper than most.
type decider struct {
	polygon          int32
	least, mid, most float64
}

// deciding returns which of the polygons may decide how deep a point of the square
// lies, the deepest at its middle first, and how deep they all lie in one of them.
// How deep a point lies in a polygon changes over a square by no more than its
// half sides along the normal of a plane. What lies nowhere in it as deep as
// another polygon does everywhere is left out. The thickest come first.
func (c *clash) deciding(s square, which []int32) (kept []decider, sure float64) {
	for _, i := range which {
		if c.polygons[i].thick <= sure {
			break // nor are the rest
		}
		r := decider{i, math.Inf(1), math.Inf(1), math.Inf(1)}
		of := c.planes[c.polygons[i].from:c.polygons[i].to]
		for k := range of {
			p := &of[k]
			d := p.depth(s.x, s.y)
			v := math.Abs(p.x)*s.hx + math.Abs(p.y)*s.hy
			if d+v <= sure {
				r.most = 0
				break
			}
			r.least, r.mid, r.most = min(r.least, d-v), min(r.mid, d), min(r.most, d+v)
		}
		if r.most > sure {
			kept = append(kept, r)
			sure = max(sure, r.least)
		}
	}
	kept = slices.DeleteFunc(kept, func(r decider) bool { return r.most <= sure && r.least < sure })
	slices.SortFunc(kept, func(a, b decider) int {
		return cmp.Or(cmp.Compare(b.mid, a.mid), cmp.Compare(a.polygon, b.polygon))
	})
	return kept, sure
}

// nowhere is the cell of which all is free.
var nowhere = cell{kind: free, work: cutWork}

// cut works out a cell.
func (c *clash) cut(col, row int) *cell {
	which := c.all
	if c.patches != nil {
		b := c.patch(col, row)
		if b.covered {
			n := c.side / patchSide
			return &b.cells[row%n*n+col%n]
		}
		which = b.which
	}
	s := c.square(col, row, 1)
	in, sure := c.deciding(s, which)
	switch {
	case len(in) == 0:
		return &nowhere
	case sure > 0 && c.side > 1:
		return c.cover(s, in)
	}
	k := &cell{kind: border, work: int16(min(cutWork*len(which), math.MaxInt16))}
	for _, r := range in {
		k.planes = append(k.planes, c.near(s, r)...)
		k.ends = append(k.ends, int32(len(k.planes)))
	}
	k.planes, k.ends = slices.Clip(k.planes), slices.Clip(k.ends)
	return k
}

// near returns the planes of a polygon that are the nearest to some point of
// the square, the nearest to its middle first.
func (c *clash) near(s square, r decider) []plane {
	out := make([]plane, 0, 8)
	for _, p := range c.planes[c.polygons[r.polygon].from:c.polygons[r.polygon].to] {
		if p.depth(s.x, s.y)-math.Abs(p.x)*s.hx-math.Abs(p.y)*s.hy < r.most {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(p, q plane) int { return cmp.Compare(p.depth(s.x, s.y), q.depth(s.x, s.y)) })
	return out
}

// cover returns a cell all of which is covered by some of the polygons. Nothing
// can stay there, so that how deep its points lie need not be known exactly: the
// plane nearest to nine of them will do.
func (c *clash) cover(s square, in []decider) *cell {
	k := &cell{kind: covered, work: int16(min(cutWork*len(in), math.MaxInt16))}
	for v := -1.0; v <= 1; v++ {
		for u := -1.0; u <= 1; u++ {
			x, y := s.x+u*s.hx, s.y+v*s.hy
			d := 0.0
			for _, r := range in {
				least := math.Inf(1)
				for _, p := range c.planes[c.polygons[r.polygon].from:c.polygons[r.polygon].to] {
					if least = min(least, p.depth(x, y)); least <= d {
						break
					}
				}
				d = max(d, least)
			}
			k.depth += float32(d / 9)
			k.x += float32(u * d / 3)
			k.y += float32(v * d / 3)
		}
	}
	return k
}

// at returns the number of the cell that holds a point, and where the point lies
// in it, as a share of its sides from its middle; -1 outside the box.
func (g *raster) at(x, y float64) (i int, u, v float64) {
	if x <= g.box.Min.X || x >= g.box.Max.X || y <= g.box.Min.Y || y >= g.box.Max.Y {
		return -1, 0, 0
	}
	u, v = (x-g.box.Min.X)*g.scale.X, (y-g.box.Min.Y)*g.scale.Y
	col, row := min(int(u), g.side-1), min(int(v), g.side-1)
	return row*g.side + col, u - float64(col) - 0.5, v - float64(row) - 0.5
}

// depth returns how deep a point of the cell lies in the polygons: the least way
// out of the one it lies deepest in, 0 outside all. It may stop at any depth that
// is enough. The point is x, y, and u, v in the cell.
func (k *cell) depthAt(x, y, u, v, enough float64) float64 {
	switch k.kind {
	case free:
		return 0
	case covered:
		return max(float64(k.depth)+float64(k.x)*u+float64(k.y)*v, shallow*float64(k.depth))
	}
	best, from := 0.0, int32(0)
	for _, to := range k.ends {
		planes := k.planes[from:to]
		from = to
		least := math.Inf(1)
		for i := range planes {
			d := planes[i].depth(x, y)
			if least = min(least, d); d <= best {
				break
			}
		}
		if least > best {
			if best = least; best >= enough {
				break
			}
		}
	}
	return best
}
