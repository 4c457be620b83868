package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// clash holds the places where a second body overlaps a first one: convex
// polygons, each an intersection of half-planes, widest first.
type clash struct {
	box    geom.Box
	boxes  []geom.Box
	planes []plane
	ends   []int32 // of each polygon's planes
	in     []int32 // the polygons of each cell, cell by cell
	cells  []int32 // where in in each cell begins, and its end; nil for few polygons
	side   int
	scale  geom.Vec // cells per millimetre
	work   int      // what a look at it costs besides, in places looked at
}

// plane is the half-plane of points p with c - n·p > 0, n of unit length: that
// is how deep p lies in it.
type plane struct{ x, y, c float64 }

// newClash works out where b turned lies over a; its index has so many cells a
// side.
func newClash(a, b *body, turn float64, cells int) *clash {
	m := geom.Rotation(turn)
	var v, w view
	v.parts = a.parts
	for _, p := range b.parts {
		w.parts = append(w.parts, p.Transform(m))
	}
	n := newNofit(&v, &w)
	c := &clash{box: n.box, boxes: n.boxes}
	total := 0
	for _, r := range n.rings {
		total += len(r)
	}
	c.planes = make([]plane, 0, total)
	for _, r := range n.rings {
		// Not in turn, but in steps of about 0.38 of the way round: a point outside
		// is then soon found to be so.
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
				c.planes = append(c.planes, q)
			}
		}
		c.ends = append(c.ends, int32(len(c.planes)))
	}
	c.index(cells)
	looked := len(c.boxes)
	if c.cells != nil {
		full := 0
		for i, from := range c.cells[:cells*cells] {
			if c.cells[i+1] > from {
				full++
			}
		}
		looked = len(c.in) / max(1, full)
	}
	c.work = looked / polygonsInWork
	return c
}

// manyCells and fewCells are into how many columns and rows the box of a clash
// is cut where there are few turns and so few clashes, and where there are many:
// then those of no more than fewPolygons are not worth the cutting.
const (
	manyCells   = 32
	fewCells    = 6
	fewPolygons = 12
)

// index notes for each cell the polygons that may be the ones a point of it lies
// deepest in, the deepest at its middle first. How deep a point lies in a
// polygon changes over a cell by no more than its half sides along the normal
// of a plane. What lies nowhere in the cell as deep as another polygon does
// everywhere in it is left out.
func (c *clash) index(side int) {
	if len(c.boxes) <= 1 || side == fewCells && len(c.boxes) <= fewPolygons {
		return
	}
	c.side = side
	c.scale = geom.Vec{X: float64(side) / c.box.Width(), Y: float64(side) / c.box.Height()}
	// Half a cell, and a hair for rounding.
	hx, hy := 0.5/c.scale.X+seamLap, 0.5/c.scale.Y+seamLap
	type reach struct {
		polygon          int32
		least, mid, most float64
	}
	var here []reach
	c.cells = make([]int32, 1, side*side+1)
	for row := range side {
		y := c.box.Min.Y + (float64(row)+0.5)/c.scale.Y
		for col := range side {
			x := c.box.Min.X + (float64(col)+0.5)/c.scale.X
			here = here[:0]
			sure := 0.0 // how deep every point of the cell lies in one of them
			from := int32(0)
			for i := range c.boxes {
				b := &c.boxes[i]
				planes := c.planes[from:c.ends[i]]
				from = c.ends[i]
				if x+hx <= b.Min.X || x-hx >= b.Max.X || y+hy <= b.Min.Y || y-hy >= b.Max.Y {
					continue
				}
				r := reach{int32(i), math.Inf(1), math.Inf(1), math.Inf(1)}
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
			for _, r := range here {
				if r.most > sure || r.least == sure {
					c.in = append(c.in, r.polygon)
				}
			}
			c.cells = append(c.cells, int32(len(c.in)))
		}
	}
}

// gcd returns the greatest common divisor.
func gcd(a, b int) int {
	for b > 0 {
		a, b = b, a%b
	}
	return a
}

// depth returns how deep p lies in the polygons: the least way out of the one
// it lies deepest in, 0 outside all. It may stop at any depth that is enough.
func (c *clash) depth(x, y, enough float64) float64 {
	best := 0.0
	if x <= c.box.Min.X || x >= c.box.Max.X || y <= c.box.Min.Y || y >= c.box.Max.Y {
		return 0
	}
	if c.cells == nil {
		for i := range c.boxes {
			if best = c.deeper(int32(i), x, y, best); best >= enough {
				return best
			}
		}
		return best
	}
	col := min(int((x-c.box.Min.X)*c.scale.X), c.side-1)
	row := min(int((y-c.box.Min.Y)*c.scale.Y), c.side-1)
	cell := row*c.side + col
	for _, i := range c.in[c.cells[cell]:c.cells[cell+1]] {
		if best = c.deeper(i, x, y, best); best >= enough {
			return best
		}
	}
	return best
}

// deeper returns how deep the point lies in polygon i, or best if that is more.
func (c *clash) deeper(i int32, x, y, best float64) float64 {
	b := &c.boxes[i]
	if x <= b.Min.X+best || x >= b.Max.X-best || y <= b.Min.Y+best || y >= b.Max.Y-best {
		return best
	}
	from := int32(0)
	if i > 0 {
		from = c.ends[i-1]
	}
	least := math.Inf(1)
	for k := range c.planes[from:c.ends[i]] {
		p := &c.planes[from+int32(k)]
		d := p.c - p.x*x - p.y*y
		if d <= best {
			return best
		}
		if d < least {
			least = d
		}
	}
	return least
}

// clashWork is what working out one polygon of a clash costs, in places and
// pairs looked at.
const clashWork = 10

// polygonsInWork is how many polygons of a clash make looking at a pair as dear
// again.
const polygonsInWork = 2

// overlap returns how deep q at step kq overlaps p at step kp, d from p to q,
// or any depth that is enough.
// A board's first use of a clash counts as work whether or not another board
// has worked it out before, so that the work does not depend on who is first.
func (b *board) overlap(p *body, kp int, q *body, kq int, d geom.Vec, enough float64) float64 {
	if p.id < q.id {
		p, kp, q, kq = q, kq, p, kp
		d = geom.Vec{X: -d.X, Y: -d.Y}
	}
	// Turned back so that p lies at its step 0. A round body takes any turn.
	c := b.bodies
	rel := kq - kp
	switch {
	case q.round:
		rel = 0
	case p.round:
		kp, rel = kq, 0
	}
	if rel < 0 {
		rel += c.steps
	}
	at := &c.clashes[p.id][q.id][rel]
	t := at.Load()
	if t == nil {
		t = newClash(p, q, q.poses[0].turn-p.poses[0].turn+2*math.Pi*float64(rel)/float64(c.steps), c.cells)
		at.Store(t)
	}
	if i := (p.id*(p.id+1)/2+q.id)*c.steps + rel; !b.used[i] {
		b.used[i] = true
		b.work += clashWork * len(p.parts) * len(q.parts)
	}
	b.work += t.work
	s := &p.poses[kp]
	return t.depth(s.cos*d.X+s.sin*d.Y, s.cos*d.Y-s.sin*d.X, enough)
}
