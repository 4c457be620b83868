package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// clash holds the places where a second body overlaps a first one: convex
// polygons, each an intersection of half-planes. Its box is cut into cells, and
// of each cell those half-planes are kept that decide how deep its points lie.
type clash struct {
	box    geom.Box
	side   int      // so many columns and rows of cells
	scale  geom.Vec // cells per millimetre
	cells  []cell   // row by row
	planes []plane
	work   int // what a look at it costs besides, in places looked at
}

// cell is a part of a clash: free, or covered, or with a border in it.
type cell struct {
	kind        cellKind
	from, to    int32   // of a border, its planes
	x, y, depth float32 // of a covered cell: how deep its middle lies, and how much deeper the far side than the near one
}

type cellKind int32

const (
	free cellKind = iota
	covered
	border
)

// plane is the half-plane of points p with c - n·p > 0, n of unit length: that
// is how deep p lies in it.
type plane struct {
	x, y, c float64
	rest    int // so many more of the same polygon follow it
}

// newClash works out where b turned lies over a. Of so many polygons it is cut
// into sides(n) cells a side, a power of two.
func newClash(a, b *body, turn float64, sides func(n int) int) *clash {
	m := geom.Rotation(turn)
	var v, w view
	v.parts = a.parts
	for _, p := range b.parts {
		w.parts = append(w.parts, p.Transform(m))
	}
	n := newNofit(&v, &w)
	side := sides(len(n.rings))
	c := &clash{box: n.box, side: side, cells: make([]cell, side*side)}
	c.scale = geom.Vec{X: float64(side) / c.box.Width(), Y: float64(side) / c.box.Height()}
	polygons := make([][]plane, len(n.rings))
	for i, r := range n.rings {
		polygons[i] = planesOf(r)
	}
	c.cut(0, 0, side, polygons)
	full := 0
	for _, k := range c.cells {
		if k.kind == border {
			full++
		}
	}
	c.work = len(c.planes) / max(1, full) / planesInWork
	return c
}

// planesOf returns the half-planes of a convex ring. They are not in turn, but in
// steps of about 0.38 of the way round: a point outside is then soon found to be
// so.
func planesOf(r geom.Ring) []plane {
	out := make([]plane, 0, len(r))
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

// fewClashes and manyClashes are into how many columns and rows a clash of so
// many polygons is cut, where there are few turns and so few clashes, and where
// there are many. Cells cost a search the time it takes to fetch them from memory,
// and polygons that to ask them.
func fewClashes(polygons int) int {
	switch {
	case polygons <= 1:
		return 1
	case polygons <= 6:
		return 8
	case polygons <= 40:
		return 16
	}
	return 32
}

func manyClashes(polygons int) int {
	if polygons <= 12 {
		return 1
	}
	return 8
}

// coarsest is from how many cells a side on a covered one need not be known exactly.
const coarsest = 16

// cut notes the planes of the cells in a square of so many a side, from their
// polygons: in quarters, for what does not matter in a square matters in none of
// its cells.
func (c *clash) cut(col, row, side int, polygons [][]plane) {
	sure := 0.0
	if side < c.side {
		polygons, sure = c.deciding(col, row, side, polygons)
	}
	if side > 1 && len(polygons) > 0 {
		side /= 2
		for k := range 4 {
			c.cut(col+k%2*side, row+k/2*side, side, polygons)
		}
		return
	}
	k := &c.cells[row*c.side+col]
	switch {
	case len(polygons) == 0:
		return
	case c.side >= coarsest && sure > 0:
		*k = c.cover(col, row, polygons)
		return
	}
	from := len(c.planes)
	for _, p := range polygons {
		for k := range p {
			p[k].rest = len(p) - 1 - k
			c.planes = append(c.planes, p[k])
		}
	}
	*k = cell{kind: border, from: int32(from), to: int32(len(c.planes))}
}

// deciding returns what of the polygons may decide how deep a point of the square
// lies, the deepest at its middle first. How deep a point lies in a polygon
// changes over a square by no more than its half sides along the normal of a
// plane. What lies nowhere in it as deep as another polygon does everywhere is
// left out, and so are planes that are never the nearest.
func (c *clash) deciding(col, row, side int, polygons [][]plane) (out [][]plane, sure float64) {
	// Half the square, and a hair for rounding.
	h := float64(side) / 2
	hx, hy := h/c.scale.X+seamLap, h/c.scale.Y+seamLap
	x, y := c.box.Min.X+(float64(col)+h)/c.scale.X, c.box.Min.Y+(float64(row)+h)/c.scale.Y
	type reach struct {
		planes           []plane
		least, mid, most float64
	}
	here := make([]reach, 0, len(polygons))
	for _, planes := range polygons {
		r := reach{planes, math.Inf(1), math.Inf(1), math.Inf(1)}
		for k := range planes {
			p := &planes[k]
			d := p.c - p.x*x - p.y*y
			v := math.Abs(p.x)*hx + math.Abs(p.y)*hy
			if d+v <= sure {
				r.most = 0
				break
			}
			r.least, r.mid, r.most = min(r.least, d-v), min(r.mid, d), min(r.most, d+v)
		}
		if r.most > sure {
			here = append(here, r)
			sure = max(sure, r.least)
		}
	}
	slices.SortStableFunc(here, func(a, b reach) int { return cmp.Compare(b.mid, a.mid) })
	out = make([][]plane, 0, len(here))
	for _, r := range here {
		if r.most <= sure && r.least < sure {
			continue
		}
		var near []plane
		for _, p := range r.planes {
			if p.c-p.x*x-p.y*y-math.Abs(p.x)*hx-math.Abs(p.y)*hy < r.most {
				near = append(near, p)
			}
		}
		slices.SortStableFunc(near, func(p, q plane) int {
			return cmp.Compare(p.c-p.x*x-p.y*y, q.c-q.x*x-q.y*y)
		})
		out = append(out, near)
	}
	return out, sure
}

// cover returns a cell all of which is covered. Nothing can stay there, so that
// how deep its points lie need not be known exactly: the plane nearest to nine
// of them will do.
func (c *clash) cover(col, row int, polygons [][]plane) cell {
	k := cell{kind: covered}
	for v := -1; v <= 1; v++ {
		for u := -1; u <= 1; u++ {
			x := c.box.Min.X + (float64(col)+0.5+float64(u)/2)/c.scale.X
			y := c.box.Min.Y + (float64(row)+0.5+float64(v)/2)/c.scale.Y
			d := 0.0
			for _, p := range polygons {
				least := math.Inf(1)
				for _, q := range p {
					least = min(least, q.c-q.x*x-q.y*y)
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

// gcd returns the greatest common divisor.
func gcd(a, b int) int {
	for b > 0 {
		a, b = b, a%b
	}
	return a
}

// depth returns how deep a point lies in the polygons: the least way out of the
// one it lies deepest in, 0 outside all.
func (c *clash) depth(x, y float64) float64 {
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
	planes := c.planes[at.from:at.to]
	best, least := 0.0, math.Inf(1)
	for k := 0; k < len(planes); k++ {
		p := &planes[k]
		d := p.c - p.x*x - p.y*y
		if d <= best {
			k += p.rest
			least = math.Inf(1)
			continue
		}
		least = min(least, d)
		if p.rest == 0 {
			best, least = least, math.Inf(1)
		}
	}
	return best
}

// clashWork is what working out one polygon of a clash costs, in places and
// pairs looked at.
const clashWork = 10

// planesInWork is how many planes of a cell make looking at a pair as dear again.
const planesInWork = 32

// overlap returns how deep q at step kq overlaps p at step kp, d from p to q.
func (b *board) overlap(p *body, kp int, q *body, kq int, d geom.Vec) float64 {
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
	at := &b.known[(p.id*(p.id+1)/2+q.id)*b.bodies.steps+rel]
	if *at == nil {
		*at = b.bodies.clash(p, q, rel)
		// A board's first use of a clash counts as work whether or not another one
		// has worked it out before, so that the work does not depend on who is first.
		b.work += clashWork * len(p.parts) * len(q.parts)
	}
	c := *at
	b.work += c.work
	s := &p.poses[kp]
	return c.depth(s.cos*d.X+s.sin*d.Y, s.cos*d.Y-s.sin*d.X)
}

// clash returns where q, turned by so many steps more than p, lies over p.
func (c *bodies) clash(p, q *body, steps int) *clash {
	at := &c.clashes[p.id][q.id][steps]
	t := at.Load()
	if t == nil {
		t = newClash(p, q, q.poses[0].turn-p.poses[0].turn+2*math.Pi*float64(steps)/float64(c.steps), c.sides)
		at.Store(t)
	}
	return t
}
