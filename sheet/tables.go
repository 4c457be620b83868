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

// pairing is what the clashes of two bodies depend on: their forms, how closely they
// follow these, and at which turns these lie.
type pairing struct {
	p, q         *form
	detail       detail
	pBase, qBase float64
	steps        int
}

// table holds the clashes of two bodies by how many steps more the second is
// turned than the first; nil where none was asked for.
type table []atomic.Pointer[clash]

// of returns the table of two bodies of so many steps.
func (t tables) of(p, q *body, steps int) table {
	k := pairing{p.form, q.form, p.detail, p.poses[0].turn, q.poses[0].turn, steps}
	if t[k] == nil {
		t[k] = make(table, steps)
	}
	return t[k]
}

// known is what a board knows of a clash; nil where it has not asked for it. What every
// look asks comes first: it is fetched from memory together.
type known struct {
	scale   geom.Vec // columns and rows per millimetre
	origin  geom.Vec // where the one body lies seen from the other, in columns and rows
	rows    float32  // as many as side
	side    int32
	at      []asked // the cells asked for, row by row; none before the first is
	edges   []edge  // of its border cells
	clash   *clash
	learned []uint64 // the cells others had asked for, a bit each
}

// asked is what a board knows of a cell.
type asked struct {
	slope
	from int32 // where its edges begin in known.edges; unasked, or even where it has none
}

// What a place's from may be beside a number.
const (
	unasked = 0
	even    = -1
)

const (
	// clashWork is what working out one polygon of a clash costs, in places and
	// pairs looked at, and cutWork what one costs in a cell.
	clashWork = 10
	cutWork   = 4
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
				if c.cells[i].Load() != nil {
					k.learned[i/64] |= 1 << (i % 64)
				}
			}
		}
	}
}

// learnOf returns what the board knows of a clash.
func (b *board) learnOf(at **known, c *clash) *known {
	if *at == nil {
		*at = &known{
			scale: c.scale, origin: geom.Vec{X: -c.box.Min.X * c.scale.X, Y: -c.box.Min.Y * c.scale.Y},
			rows: float32(c.side), side: int32(c.side), clash: c, learned: make([]uint64, (len(c.cells)+63)/64),
		}
	}
	return *at
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
