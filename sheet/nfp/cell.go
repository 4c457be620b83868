package nfp

import (
	"cmp"
	"math"
	"slices"
)

// Working out the grid cells of a penetration field. The tests discard planes that can
// decide nowhere in a square; they are interval bounds of linear functions, an
// arrangement of our own.

// cell returns cell i, row by row.
func (f *Field) cell(i int) *cell {
	k := f.cells[i].Load()
	if k == nil {
		k = f.cut(i%f.side, i/f.side)
		f.cells[i].Store(k)
		f.bytes.Add(int64(cellBytes + edgeBytes*len(k.edges)))
	}
	return k
}

// patch returns the patch that holds a cell.
func (f *Field) patch(col, row int) *patch {
	n := f.side / patchSide
	col, row = col/n, row/n
	at := &f.patches[row*patchSide+col]
	b := at.Load()
	if b == nil {
		b = f.cutPatch(f.square(col*n, row*n, n), n)
		at.Store(b)
		f.bytes.Add(int64(64 + 4*cap(b.which) + cellBytes*len(b.cells)))
	}
	return b
}

// cutPatch works out a patch of n × n cells.
func (f *Field) cutPatch(s square, n int) *patch {
	b := &patch{}
	in, sure := f.candidates(s, f.all)
	if b.covered = sure > 0; b.covered {
		k := f.cover(s, in)
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

// candidate is a polygon that may decide the depth of a point of a square: its depth
// at the centre, and its least and greatest in the square.
type candidate struct {
	polygon          int32
	least, mid, most float64
}

// candidates returns which of the polygons may decide the depth of a point of the
// square, the deepest at its centre first, and the depth that all its points have
// in one of them. The depth in a polygon changes over a square by no more than the
// square's half sides along the normal of a plane. A polygon is left out where
// another is everywhere deeper than it is anywhere. Which must begin with the
// thickest.
func (f *Field) candidates(s square, which []int32) (kept []candidate, sure float64) {
	for _, i := range which {
		if f.polygons[i].thick <= sure {
			break // nor are the rest
		}
		r := candidate{i, math.Inf(1), math.Inf(1), math.Inf(1)}
		of := f.planes[f.polygons[i].from:f.polygons[i].to]
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
	kept = slices.DeleteFunc(kept, func(r candidate) bool { return r.most <= sure && r.least < sure })
	slices.SortFunc(kept, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(b.mid, a.mid), cmp.Compare(a.polygon, b.polygon))
	})
	return kept, sure
}

// nowhere is a free cell.
var nowhere = cell{work: cutWork}

// cut works out a cell.
func (f *Field) cut(col, row int) *cell {
	which := f.all
	if f.patches != nil {
		b := f.patch(col, row)
		if b.covered {
			n := f.side / patchSide
			return &b.cells[row%n*n+col%n]
		}
		which = b.which
	}
	s := f.square(col, row, 1)
	in, sure := f.candidates(s, which)
	switch {
	case len(in) == 0:
		return &nowhere
	case sure > 0 && f.side > 1:
		return f.cover(s, in)
	}
	k := &cell{work: int32(cutWork * len(which))}
	var kept [][]edge
	for _, r := range in {
		of := f.nearest(s, r)
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

// nearest returns the edges of a polygon that are nearest to some point of the
// square, the nearest to its centre first.
func (f *Field) nearest(s square, r candidate) []edge {
	out := make([]edge, 0, 8)
	for _, p := range f.planes[f.polygons[r.polygon].from:f.polygons[r.polygon].to] {
		d := p.depth(s.x, s.y)
		if d-math.Abs(p.x)*s.hx-math.Abs(p.y)*s.hy >= r.most {
			continue
		}
		e := edge{float32(p.x / f.scale.X), float32(p.y / f.scale.Y), float32(d - grain), 0}
		if !slices.ContainsFunc(out, func(o edge) bool { return o.below(&e) }) {
			out = append(slices.DeleteFunc(out, func(o edge) bool { return e.below(&o) }), e)
		}
	}
	slices.SortStableFunc(out, func(p, q edge) int { return cmp.Compare(p.c, q.c) })
	return out
}

// cover returns a cell that some of the polygons cover entirely. Nothing can stay
// there, so depths need not be exact: the plane nearest to nine of them is used.
func (f *Field) cover(s square, in []candidate) *cell {
	k := &cell{work: int32(cutWork * len(in))}
	for v := -1.0; v <= 1; v++ {
		for u := -1.0; u <= 1; u++ {
			x, y := s.x+u*s.hx, s.y+v*s.hy
			d := 0.0
			for _, r := range in {
				least := math.Inf(1)
				for _, p := range f.planes[f.polygons[r.polygon].from:f.polygons[r.polygon].to] {
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
