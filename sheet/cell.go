package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// Cells of a clash: each keeps the planes that decide in it, so that to tell how
// deep a point lies takes a few of the hundreds a clash may have.

// cell is a part of a clash: free, or covered, or with a border in it. Points in it
// are told by u and v, as shares of its sides from its middle.
type cell struct {
	work  int32  // what it took, in places looked at
	slope        // of a free or covered cell
	edges []edge // of a border, polygon by polygon, the deepest at the middle first
}

// slope is how deep the middle of a cell lies, and how much deeper the far side
// than the near one, along u and along v; nought where it is free.
type slope struct{ depth, x, y float32 }

// edge is a plane as points of a cell see it: c - x·u - y·v deep lies a point. Many
// are looked at in turn, so that they are small; a cell is so small that they are
// exact to less than grain.
type edge struct {
	x, y, c float32
	end     int32 // where the edges of the same polygon end, in the list they stand in; negative in the last polygon
}

// grain is taken off all depths in a border cell, in millimetres: more than an edge's
// rounding where a cell is 100 mm wide, so that what touches is never said to overlap.
const grain = geom.Press / 40

// patch is some columns and rows of cells: which polygons matter in them, or,
// where all of it is covered, what a cell of its size would be.
type patch struct {
	covered bool
	which   []int32
	cells   []cell // of a covered patch, row by row
}

// shallow is the share of its middle's depth that all points of a covered cell
// are told to lie deep at least: the plane fitted may fall below nought.
const shallow = 1. / 16

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
			b.cells[i] = cell{work: cutWork, slope: slope{max(d, shallow*k.depth), k.x * share, k.y * share}}
		}
		return b
	}
	for _, d := range in {
		b.which = append(b.which, d.polygon)
	}
	slices.Sort(b.which) // the thickest first
	return b
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
var nowhere = cell{work: cutWork}

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
	k := &cell{work: int32(cutWork * len(which))}
	var kept [][]edge
	for _, r := range in {
		of := c.near(s, r)
		if !slices.ContainsFunc(kept, func(q []edge) bool { return within(of, q) }) {
			kept = append(slices.DeleteFunc(kept, func(q []edge) bool { return within(q, of) }), of)
		}
	}
	for i, of := range kept {
		from := len(k.edges)
		k.edges = append(k.edges, of...)
		end := int32(len(k.edges))
		if i == len(kept)-1 {
			end = -end
		}
		for j := from; j < len(k.edges); j++ {
			k.edges[j].end = end
		}
	}
	k.edges = slices.Clip(k.edges)
	return k
}

// within reports whether all over a cell no point lies deeper in polygon p than in q:
// it tells where to each edge of q there is one of p that is as near everywhere.
func within(p, q []edge) bool {
	for i := range q {
		if !slices.ContainsFunc(p, func(e edge) bool { return e.below(&q[i]) }) {
			return false
		}
	}
	return true
}

// below reports whether no point of the cell lies deeper in e than in f.
func (e *edge) below(f *edge) bool {
	return f.c-e.c >= (abs(f.x-e.x)+abs(f.y-e.y))/2
}

func abs(x float32) float32 { return math.Float32frombits(math.Float32bits(x) &^ (1 << 31)) }

// near returns the edges of a polygon that are the nearest to some point of
// the square, the nearest to its middle first.
func (c *clash) near(s square, r decider) []edge {
	out := make([]edge, 0, 8)
	for _, p := range c.planes[c.polygons[r.polygon].from:c.polygons[r.polygon].to] {
		d := p.depth(s.x, s.y)
		if d-math.Abs(p.x)*s.hx-math.Abs(p.y)*s.hy >= r.most {
			continue
		}
		e := edge{float32(p.x / c.scale.X), float32(p.y / c.scale.Y), float32(d - grain), 0}
		if !slices.ContainsFunc(out, func(f edge) bool { return f.below(&e) }) {
			out = append(slices.DeleteFunc(out, func(f edge) bool { return e.below(&f) }), e)
		}
	}
	slices.SortStableFunc(out, func(p, q edge) int { return cmp.Compare(p.c, q.c) })
	return out
}

// cover returns a cell all of which is covered by some of the polygons. Nothing
// can stay there, so that how deep its points lie need not be known exactly: the
// plane nearest to nine of them will do.
func (c *clash) cover(s square, in []decider) *cell {
	k := &cell{work: int32(cutWork * len(in))}
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
