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
	c, x, y, _, _ := b.meet(p, kp, q, kq, d)
	k, u, v := b.cellAt(c, x, y)
	if k == nil {
		return 0
	}
	return k.depthAt(x, y, u, v, enough)
}

// wayOut returns how deep q overlaps p, as overlap does, and by which way q
// leaves it soonest, of unit length.
func (b *board) wayOut(p *body, kp int, q *body, kq int, d geom.Vec) (depth float64, way geom.Vec) {
	c, x, y, s, flip := b.meet(p, kp, q, kq, d)
	k, u, v := b.cellAt(c, x, y)
	if k == nil {
		return 0, geom.Vec{}
	}
	depth, n := k.wayOut(x, y, u, v, c.scale)
	if flip {
		n = n.Mul(-1)
	}
	return depth, geom.Vec{X: s.cos*n.X - s.sin*n.Y, Y: s.sin*n.X + s.cos*n.Y}
}

// meet returns the clash for q at step kq and p at step kp, d from p to q, and the
// point in it that tells of them. The clash lies on the board turned as the pose is, and
// seen from the other piece where flip is set.
func (b *board) meet(p *body, kp int, q *body, kq int, d geom.Vec) (c *known, x, y float64, s *pose, flip bool) {
	if p.id < q.id {
		p, kp, q, kq = q, kq, p, kp
		d, flip = geom.Vec{X: -d.X, Y: -d.Y}, true
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
		d, flip = geom.Vec{X: -d.X, Y: -d.Y}, true
	}
	c = b.known[(p.id*(p.id+1)/2+q.id)*b.bodies.steps+rel]
	if c == nil {
		c = b.clash(p, q, rel)
	}
	s = &p.poses[kp]
	return c, s.cos*d.X + s.sin*d.Y, s.cos*d.Y - s.sin*d.X, s, flip
}

// cellAt returns the cell of the clash that holds a point, and the point in the cell;
// nil outside all.
func (b *board) cellAt(c *known, x, y float64) (k *cell, u, v float64) {
	i, u, v := c.at(x, y)
	if i < 0 {
		return nil, 0, 0
	}
	if k = c.cells[i]; k == nil {
		k = c.clash.cell(i)
		c.cells[i] = k
		b.work += int(k.work)
	}
	b.work += len(k.planes) / planesInWork
	return k, u, v
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
