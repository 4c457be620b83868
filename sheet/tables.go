package sheet

import (
	"math"
	"sync/atomic"

	"strew/motif/geom"
)

// Clashes are kept for all boards, and from one board to the next: to work one
// out costs as much as many looks at it. A board learns what others have found
// out before it begins, and where its strands meet, so that what it does depends
// on no other one at work at the same time.

// tables hold the clashes of every two bodies met so far.
type tables map[pairing]table

// pairing is what the clashes of two bodies depend on: their forms, and at which
// turns these lie.
type pairing struct {
	p, q         *form
	pBase, qBase float64
	steps        int
}

// table holds the clashes of two bodies by how many steps more the second is
// turned than the first; nil where none was asked for.
type table []atomic.Pointer[clash]

// of returns the table of two bodies of so many steps.
func (t tables) of(p, q *body, steps int) table {
	k := pairing{p.form, q.form, p.poses[0].turn, q.poses[0].turn, steps}
	if t[k] == nil {
		t[k] = make(table, steps)
	}
	return t[k]
}

// known is what a board knows of a clash: nil what it has not asked for.
type known struct {
	raster
	cells []*cell
	clash *clash
}

const (
	// clashWork is what working out one polygon of a clash costs, in places and
	// pairs looked at, and cutWork what one costs in a cell.
	clashWork = 10
	cutWork   = 4
	// planesInWork is how many planes of a cell make looking at a pair as dear
	// again: most are seldom asked.
	planesInWork = 32
)

// learn lets the board use what others have found out, without work. No other
// board may be at work meanwhile.
func (b *board) learn() {
	for i, t := range b.bodies.clashes {
		for step := range t {
			c := t[step].Load()
			if c == nil {
				continue
			}
			k := b.learnOf(&b.known[i*b.bodies.steps+step], c)
			for i := range c.cells {
				k.cells[i] = c.cells[i].Load()
			}
		}
	}
}

// learnOf returns what the board knows of a clash.
func (b *board) learnOf(at **known, c *clash) *known {
	if *at == nil {
		*at = &known{c.raster, make([]*cell, len(c.cells)), c}
	}
	return *at
}

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
	c := b.known[(p.id*(p.id+1)/2+q.id)*b.bodies.steps+rel]
	if c == nil {
		c = b.clash(p, q, rel)
	}
	s := &p.poses[kp]
	x, y := s.cos*d.X+s.sin*d.Y, s.cos*d.Y-s.sin*d.X
	i, u, v := c.at(x, y)
	if i < 0 {
		return 0
	}
	k := c.cells[i]
	if k == nil {
		k = c.clash.cell(i)
		c.cells[i] = k
		b.work += int(k.work)
	}
	b.work += len(k.planes) / planesInWork
	return k.depthAt(x, y, u, v, enough)
}

// clash asks where q, turned by so many steps more than p, lies over p. It takes
// as much work whether or not a board at work beside this one was first.
func (b *board) clash(p, q *body, steps int) *known {
	i := p.id*(p.id+1)/2 + q.id
	at := &b.bodies.clashes[i][steps]
	c := at.Load()
	if c == nil {
		turn := q.poses[0].turn - p.poses[0].turn + 2*math.Pi*float64(steps)/float64(b.bodies.steps)
		if c = newClash(p, q, turn, b.bodies.steps); !at.CompareAndSwap(nil, c) {
			c = at.Load()
		}
	}
	b.work += clashWork * len(p.parts) * len(q.parts)
	return b.learnOf(&b.known[i*b.bodies.steps+steps], c)
}
