package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// Cells of a clash: each keeps the planes that decide in it, so that to tell how
// deep a point lies takes a few of the hundreds a clash may have.

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

// depthAt returns how deep a point of the cell lies in the polygons: the least way
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

// wayOut returns how deep a point of the cell lies, as depthAt does, and the way in
// which it leaves soonest, of unit length or none. There are scale cells to a millimetre.
func (k *cell) wayOut(x, y, u, v float64, scale geom.Vec) (depth float64, way geom.Vec) {
	if k.kind != border {
		way = geom.Vec{X: -float64(k.x) * scale.X, Y: -float64(k.y) * scale.Y}
		if l := way.Len(); l > 0 {
			way = way.Mul(1 / l)
		}
		return k.depthAt(x, y, u, v, math.Inf(1)), way
	}
	from := int32(0)
	for _, to := range k.ends {
		planes := k.planes[from:to]
		from = to
		least, nearest := math.Inf(1), 0
		for i := range planes {
			if d := planes[i].depth(x, y); d < least {
				least, nearest = d, i
			}
			if least <= depth {
				break
			}
		}
		if least > depth {
			depth, way = least, geom.Vec{X: planes[nearest].x, Y: planes[nearest].y}
		}
	}
	return depth, way
}
