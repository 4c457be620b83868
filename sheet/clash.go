package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// clash holds the places where a second body overlaps a first one: convex
// polygons, each an intersection of half-planes. Its box is cut into cells, and
// each cell knows which of them decide how deep its points lie.
type clash struct {
	box    geom.Box
	side   int      // so many columns and rows of cells
	scale  geom.Vec // cells per millimetre
	cells  []cell   // row by row
	in     []run    // the polygons of each cell, the deepest at its middle first
	planes []plane
	work   int // what a look at it costs besides, in places looked at
}

// cell is a part of a clash: free, or covered, or with a border in it.
type cell struct {
	kind        cellKind
	from, to    int32   // of a border, its polygons
	x, y, depth float32 // of a covered cell: how deep its middle lies, and how much deeper the far side than the near one
}

type cellKind int32

const (
	free cellKind = iota
	covered
	border
)

// run is where a polygon's planes begin and end.
type run struct{ from, to int32 }

// plane is the half-plane of points p with c - n·p > 0, n of unit length: that
// is how deep p lies in it.
type plane struct{ x, y, c float64 }

func (p *plane) depth(x, y float64) float64 { return p.c - p.x*x - p.y*y }

// cutting is into how many columns and rows clashes are cut. Where there are few
// turns, and so few clashes, they are fine: each cell has planes of its own, no
// more than it needs, and what is covered is not known exactly. Elsewhere all
// cells share the planes. Cells cost a search the time it takes to fetch them
// from memory, and polygons that to ask them.
type cutting struct {
	fine bool
	side func(polygons int) int // a power of two, at most mostSide
}

const mostSide = 32

var (
	fineCutting = cutting{true, func(polygons int) int {
		switch {
		case polygons <= 1:
			return 1
		case polygons <= 6:
			return 8
		case polygons <= 40:
			return 16
		}
		return mostSide
	}}
	coarseCutting = cutting{false, func(polygons int) int {
		if polygons <= 12 {
			return 1
		}
		return 4
	}}
)

// newClash works out where b turned lies over a.
func newClash(a, b *body, turn float64, how cutting) *clash {
	m := geom.Rotation(turn)
	var v, w view
	v.parts = a.parts
	for _, p := range b.parts {
		w.parts = append(w.parts, p.Transform(m))
	}
	n := newNofit(&v, &w)
	side := how.side(len(n.rings))
	c := &clash{box: n.box, side: side, cells: make([]cell, side*side)}
	c.scale = geom.Vec{X: float64(side) / c.box.Width(), Y: float64(side) / c.box.Height()}
	total := 0
	for _, r := range n.rings {
		total += len(r)
	}
	all := make([]plane, 0, total)
	polygons := make([]polygon, 0, len(n.rings))
	for _, r := range n.rings {
		from := len(all)
		all = addPlanes(all, r)
		polygons = append(polygons, polygon{planes: all[from:len(all):len(all)], run: run{int32(from), int32(len(all))}})
	}
	k := cutter{clash: c, fine: how.fine && side > 1}
	if !k.fine {
		c.planes = all
	}
	k.cut(0, 0, side, 0, polygons)
	if k.fine {
		c.planes = slices.Clip(c.planes)
	}
	c.in = slices.Clip(c.in)
	full := 0
	for _, k := range c.cells {
		if k.kind == border {
			full++
		}
	}
	if c.work = len(c.in) / max(1, full) / polygonsInWork; k.fine {
		c.work = len(c.planes) / max(1, full) / planesInWork
	}
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

// cutter cuts a clash into cells.
type cutter struct {
	*clash
	fine   bool
	levels [6][]polygon // those of the square at hand, and of the ones round it
}

// polygon is a convex polygon, and how deep points of a square lie in it: all at
// least so deep, none deeper than most.
type polygon struct {
	planes           []plane
	run              run // of the planes all cells share
	least, mid, most float64
}

// cut notes the polygons of the cells in a square of so many a side: in quarters,
// for what does not matter in a square matters in none of its cells.
func (c *cutter) cut(col, row, side, level int, polygons []polygon) {
	sure := 0.0
	if side < c.side {
		polygons, sure = c.deciding(col, row, side, level, polygons)
	}
	k := &c.cells[row*c.side+col]
	switch {
	case len(polygons) == 0:
	case side > 1:
		side /= 2
		for k := range 4 {
			c.cut(col+k%2*side, row+k/2*side, side, level+1, polygons)
		}
	case c.fine && sure > 0:
		*k = c.cover(col, row, polygons)
	default:
		k.kind, k.from = border, int32(len(c.in))
		for _, p := range polygons {
			if c.fine {
				p.run.from = int32(len(c.planes))
				c.planes = append(c.planes, p.planes...)
				p.run.to = int32(len(c.planes))
			}
			c.in = append(c.in, p.run)
		}
		k.to = int32(len(c.in))
	}
}

// deciding returns which of the polygons may decide how deep a point of the square
// lies, the deepest at its middle first, and how deep they all lie in one of them.
// How deep a point lies in a polygon changes over a square by no more than its
// half sides along the normal of a plane. What lies nowhere in it as deep as
// another polygon does everywhere is left out; so are, in fine clashes, planes
// that are never the nearest.
func (c *cutter) deciding(col, row, side, level int, polygons []polygon) (out []polygon, sure float64) {
	// Half the square, and a hair for rounding.
	h := float64(side) / 2
	hx, hy := h/c.scale.X+seamLap, h/c.scale.Y+seamLap
	x, y := c.box.Min.X+(float64(col)+h)/c.scale.X, c.box.Min.Y+(float64(row)+h)/c.scale.Y
	out = c.levels[level][:0]
	for _, r := range polygons {
		r.least, r.mid, r.most = math.Inf(1), math.Inf(1), math.Inf(1)
		for k := range r.planes {
			p := &r.planes[k]
			d := p.depth(x, y)
			v := math.Abs(p.x)*hx + math.Abs(p.y)*hy
			if d+v <= sure {
				r.most = 0
				break
			}
			r.least, r.mid, r.most = min(r.least, d-v), min(r.mid, d), min(r.most, d+v)
		}
		if r.most > sure {
			out = append(out, r)
			sure = max(sure, r.least)
		}
	}
	c.levels[level] = out
	kept := out[:0]
	for _, r := range out {
		if r.most > sure || r.least == sure {
			kept = append(kept, r)
		}
	}
	slices.SortFunc(kept, func(a, b polygon) int {
		return cmp.Or(cmp.Compare(b.mid, a.mid), cmp.Compare(a.run.from, b.run.from))
	})
	if !c.fine {
		return kept, sure
	}
	for i := range kept {
		r := &kept[i]
		near := make([]plane, 0, len(r.planes))
		for _, p := range r.planes {
			if p.depth(x, y)-math.Abs(p.x)*hx-math.Abs(p.y)*hy < r.most {
				near = append(near, p)
			}
		}
		slices.SortStableFunc(near, func(p, q plane) int { return cmp.Compare(p.depth(x, y), q.depth(x, y)) })
		r.planes = near
	}
	return kept, sure
}

// cover returns a cell all of which is covered. Nothing can stay there, so that
// how deep its points lie need not be known exactly: the plane nearest to nine
// of them will do.
func (c *clash) cover(col, row int, polygons []polygon) cell {
	k := cell{kind: covered}
	for v := -1; v <= 1; v++ {
		for u := -1; u <= 1; u++ {
			x := c.box.Min.X + (float64(col)+0.5+float64(u)/2)/c.scale.X
			y := c.box.Min.Y + (float64(row)+0.5+float64(v)/2)/c.scale.Y
			d := 0.0
			for _, p := range polygons {
				least := math.Inf(1)
				for _, q := range p.planes {
					least = min(least, q.depth(x, y))
				}
				d = max(d, least)
			}
			k.depth += float32(d) / 9
			k.x += float32(u) * float32(d) / 3
			k.y += float32(v) * float32(d) / 3
		}
	}
	return k
}

// depth returns how deep a point lies in the polygons: the least way out of the
// one it lies deepest in, 0 outside all. It may stop at any depth that is enough.
func (c *clash) depth(x, y, enough float64) float64 {
	if x <= c.box.Min.X || x >= c.box.Max.X || y <= c.box.Min.Y || y >= c.box.Max.Y {
		return 0
	}
	u, v := (x-c.box.Min.X)*c.scale.X, (y-c.box.Min.Y)*c.scale.Y
	col, row := min(int(u), c.side-1), min(int(v), c.side-1)
	at := &c.cells[row*c.side+col]
	switch at.kind {
	case free:
		return 0
	case covered:
		d := float64(at.depth) + float64(at.x)*(u-float64(col)-0.5) + float64(at.y)*(v-float64(row)-0.5)
		return max(d, float64(at.depth)/16)
	}
	best := 0.0
	for _, r := range c.in[at.from:at.to] {
		planes := c.planes[r.from:r.to]
		least := math.Inf(1)
		for k := range planes {
			d := planes[k].depth(x, y)
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

// clashWork is what working out one polygon of a clash costs, in places and
// pairs looked at.
const clashWork = 10

// polygonsInWork is how many polygons of a cell make looking at a pair as dear
// again, and planesInWork how many planes of a fine one, which are seldom asked.
const (
	polygonsInWork = 2
	planesInWork   = 32
)

// overlap returns how deep q at step kq overlaps p at step kp, d from p to q,
// or any depth that is enough.
func (b *board) overlap(p *body, kp int, q *body, kq int, d geom.Vec, enough float64) float64 {
	if p.id < q.id {
		p, kp, q, kq = q, kq, p, kp
		d = geom.Vec{X: -d.X, Y: -d.Y}
	}
	// Turned back so that p lies at its step 0. A round body takes any turn.
	rel := kq - kp
	switch {
	case q.round:
		rel = 0
	case p.round:
		kp, rel = kq, 0
	}
	if rel < 0 {
		rel += b.bodies.steps
	}
	if p == q && 2*rel > b.bodies.steps {
		// Seen from the other piece, which is the same.
		kp, rel = kq, b.bodies.steps-rel
		d = geom.Vec{X: -d.X, Y: -d.Y}
	}
	c := b.clash(p, q, rel)
	b.work += c.work
	s := &p.poses[kp]
	return c.depth(s.cos*d.X+s.sin*d.Y, s.cos*d.Y-s.sin*d.X, enough)
}
