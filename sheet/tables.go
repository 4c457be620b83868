package sheet

import (
	"math"
	"sync/atomic"
)

// Clashes are kept for all boards, and from one board to the next: to work one
// out costs as much as a thousand looks at it. A board learns what others have
// found out before it begins, and where its strands meet, so that what it does
// depends on no other one at work at the same time.

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

// learn lets the board use the clashes others have found out, without work. No
// other board may be at work meanwhile.
func (b *board) learn() {
	for i, t := range b.bodies.clashes {
		for k := range t {
			b.known[i*b.bodies.steps+k] = t[k].Load()
		}
	}
}

// clash returns where q, turned by so many steps more than p, lies over p.
func (b *board) clash(p, q *body, steps int) *clash {
	i := p.id*(p.id+1)/2 + q.id
	known := &b.known[i*b.bodies.steps+steps]
	if *known == nil {
		at := &b.bodies.clashes[i][steps]
		c := at.Load()
		if c == nil {
			turn := q.poses[0].turn - p.poses[0].turn + 2*math.Pi*float64(steps)/float64(b.bodies.steps)
			c = newClash(p, q, turn, b.bodies.cutting)
			at.Store(c)
		}
		*known = c
		// As much work whether or not a board at work beside this one was first.
		b.work += clashWork * len(p.parts) * len(q.parts)
	}
	return *known
}
