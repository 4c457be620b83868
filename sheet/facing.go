package sheet

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// How deep two pieces overlap, and by which way they part soonest, is told by the
// cell of their clash in which the one lies, seen from the other.

// facing is how two bodies meet, each at a turn: where the second lies from the first,
// by x and y, in the rows and columns of their clash.
type facing struct {
	known        *known
	price        *price
	uX, uY, u, v float64
	vX, vY       float64
}

// A board keeps no more than mostFacings, which stay in a processor's cache, or of kinds
// that lie at no more than four turns no more than mostNapped: these stay near it, and
// most of them are met again and again.
const (
	mostFacings = 4096
	mostNapped  = 65536
)

// facing returns how p at step kp meets q at step kq. It holds until the next one
// is asked for.
func (b *board) facing(p *body, kp int, q *body, kq int) *facing {
	if b.facings == nil {
		b.face(&b.faced, p, kp, q, kq)
		return &b.faced
	}
	f := &b.facings[(p.id*b.bodies.steps+kp)*b.variants+q.id*b.bodies.steps+kq]
	if f.known == nil {
		b.face(f, p, kp, q, kq)
	}
	return f
}

// facingsOf returns how p at step kp meets every body at every step, those that have
// no clash not worked out yet; nil where they are many.
func (b *board) facingsOf(p *body, kp int) []facing {
	if b.facings == nil {
		return nil
	}
	i := (p.id*b.bodies.steps + kp) * b.variants
	return b.facings[i : i+b.variants]
}

// face works out a facing.
func (b *board) face(f *facing, p *body, kp int, q *body, kq int) {
	f.price = b.bodies.price(p, q)
	sign := 1.0
	if p.id < q.id {
		p, kp, q, kq, sign = q, kq, p, kp, -1
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
		kp, rel, sign = kq, b.bodies.steps-rel, -sign
	}
	k := b.known[(p.id*(p.id+1)/2+q.id)*b.bodies.steps+rel]
	if k == nil {
		k = b.clash(p, q, rel)
	}
	f.see(k, &p.poses[kp], sign)
}

// see lets the facing tell of a clash that lies turned as a pose, or is seen from the
// second body where sign is -1.
func (f *facing) see(k *known, s *pose, sign float64) {
	sin, cos := sign*s.sin, sign*s.cos
	f.known = k
	f.uX, f.uY, f.u = cos*k.scale.X, sin*k.scale.X, k.origin.X
	f.vX, f.vY, f.v = -sin*k.scale.Y, cos*k.scale.Y, k.origin.Y
}

// overlap returns how deep the second body lies in the first, d from the one to the
// other, or any depth that is enough: the least way out of the polygon it lies
// deepest in, 0 outside all.
func (b *board) overlap(f *facing, d geom.Vec, enough float64) float64 {
	k, at, u, v := b.find(f, d)
	if at == nil {
		return 0
	}
	if at.from == even {
		return at.deep(u, v)
	}
	return k.deep(at, u, v, enough)
}

// deep returns how deep a point lies in the polygons of a border cell, or any depth
// that is enough.
func (k *known) deep(at *asked, u, v float32, enough float64) float64 {
	best, most := float32(0), float32(enough)
	for i := at.from; i > 0 && best < most; {
		var of []edge
		of, i = k.polygon(i)
		least := float32(math.MaxFloat32)
		for _, e := range of {
			if d := e.c - e.x*u - e.y*v; d < least {
				if least = d; d <= best {
					break
				}
			}
		}
		best = max(best, least)
	}
	return float64(best)
}

// polygon returns the edges of the polygon that begin at i, and where those of the
// next one begin; 0 after the last.
func (k *known) polygon(i int32) (of []edge, next int32) {
	next = k.edges[i].end
	if next < 0 {
		return k.edges[i:-next], 0
	}
	return k.edges[i:next], next
}

// deep returns how deep a point lies where all is covered.
func (s *slope) deep(u, v float32) float64 {
	return float64(max(s.depth+s.x*u+s.y*v, shallow*s.depth))
}

// find returns the cell in which d lies, and where in it; nil outside all.
func (b *board) find(f *facing, d geom.Vec) (k *known, at *asked, pu, pv float32) {
	k = f.known
	u, v := f.uX*d.X+f.uY*d.Y+f.u, f.vX*d.X+f.vY*d.Y+f.v
	if rows := float64(k.rows); !(u > 0 && v > 0 && u < rows && v < rows) {
		return k, nil, 0, 0
	}
	col, row := int(u), int(v)
	i := row*int(k.side) + col
	if i < len(k.at) {
		at = &k.at[i]
	}
	if at == nil || at.from == unasked {
		at = b.ask(k, i)
	}
	return k, at, float32(u - float64(col) - 0.5), float32(v - float64(row) - 0.5)
}

// fewEdges is for how many edges there is room at first.
const fewEdges = 64

// ask notes what a cell is.
func (b *board) ask(k *known, i int) *asked {
	if k.at == nil {
		k.at = make([]asked, k.side*k.side)
		k.edges = make([]edge, 1) // 0 is no number of an edge
	}
	c := k.clash.cell(i)
	if k.learned[i/64]>>(i%64)&1 == 0 {
		b.work += int(c.work)
	}
	at := &k.at[i]
	at.slope, at.from = c.slope, even
	if len(c.edges) > 0 {
		from := int32(len(k.edges))
		at.from = from
		if len(k.edges)+len(c.edges) > cap(k.edges) {
			k.edges = slices.Grow(k.edges, max(fewEdges, len(k.edges))) // doubled, for there come many more
		}
		k.edges = append(k.edges, c.edges...)
		for j := range c.edges {
			e := &k.edges[int(from)+j]
			if e.end += from; c.edges[j].end < 0 {
				e.end -= 2 * from
			}
		}
	}
	return at
}

// wayOut returns how deep the second body lies in the first, as overlap does, and by
// which way it leaves soonest, of unit length or none.
func (b *board) wayOut(f *facing, d geom.Vec) (depth float64, way geom.Vec) {
	k, at, u, v := b.find(f, d)
	if at == nil {
		return 0, geom.Vec{}
	}
	n := geom.Vec{X: -float64(at.x), Y: -float64(at.y)}
	if at.from == even {
		depth = at.deep(u, v)
	} else {
		best := float32(0)
		for i := at.from; i > 0; {
			var of []edge
			of, i = k.polygon(i)
			least, nearest := float32(math.MaxFloat32), 0
			for j, e := range of {
				if d := e.c - e.x*u - e.y*v; d < least {
					if least, nearest = d, j; d <= best {
						break
					}
				}
			}
			if least > best {
				best = least
				n = geom.Vec{X: float64(of[nearest].x), Y: float64(of[nearest].y)}
			}
		}
		depth = float64(best)
	}
	way = geom.Vec{X: n.X*f.uX + n.Y*f.vX, Y: n.X*f.uY + n.Y*f.vY}
	if l := way.Len(); l > 0 {
		way = way.Mul(1 / l)
	}
	return depth, way
}
