package render

import (
	"math"

	"strew/motif/geom"
)

// board keeps what is already on a page, so that labels can keep clear of it.
// What lies on it is filed by the square cells of a grid that it touches.
type board struct {
	page  geom.Box
	cells map[[2]int][]thing
}

// thing is a box or a straight line on the board.
type thing struct {
	kind obstacle
	box  geom.Box
	line [2]geom.Vec // of drawn and leading
}

type obstacle int

const (
	taken   obstacle = iota // a label or furniture: no label may overlap it
	spot                    // a cross: no label may cover it
	drawn                   // a line of the drawing: labels keep off it where they can
	leading                 // a leader: no label and no other leader may cross it
)

// cellSide is the side of a cell in millimetres: some label's length.
const cellSide = 5.0

func newBoard(page geom.Box) *board { return &board{page, map[[2]int][]thing{}} }

// clone returns a board with the same things on it, to try a layout.
func (b *board) clone() *board {
	c := newBoard(b.page)
	for at, things := range b.cells {
		c.cells[at] = things[:len(things):len(things)]
	}
	return c
}

func (b *board) file(t thing) {
	b.within(t.box, func(at [2]int) bool {
		b.cells[at] = append(b.cells[at], t)
		return true
	})
}

// within calls yield for every cell that the box touches, until it says false.
func (b *board) within(box geom.Box, yield func(at [2]int) bool) {
	cell := func(f float64) int { return int(math.Floor(f / cellSide)) }
	for x := cell(box.Min.X); x <= cell(box.Max.X); x++ {
		for y := cell(box.Min.Y); y <= cell(box.Max.Y); y++ {
			if !yield([2]int{x, y}) {
				return
			}
		}
	}
}

// none reports whether no thing within reach of the box is hit.
func (b *board) none(box geom.Box, reach float64, hit func(thing) bool) bool {
	free := true
	b.within(box.Grow(reach), func(at [2]int) bool {
		for _, t := range b.cells[at] {
			if hit(t) {
				free = false
				return false
			}
		}
		return true
	})
	return free
}

// take puts boxes of labels or furniture on the board.
func (b *board) take(boxes ...geom.Box) {
	for _, x := range boxes {
		b.file(thing{kind: taken, box: x})
	}
}

// mark puts the box of a cross on the board.
func (b *board) mark(box geom.Box) { b.file(thing{kind: spot, box: box}) }

// line puts the straight line from p to q on the board, in pieces so short
// that each touches few cells.
func (b *board) line(k obstacle, p, q geom.Vec) {
	n := max(1, int(math.Ceil(p.Dist(q)/cellSide)))
	for i := range n {
		l := [2]geom.Vec{p.Lerp(q, float64(i)/float64(n)), p.Lerp(q, float64(i+1)/float64(n))}
		b.file(thing{k, geom.BoxOf(l[0], l[1]), l})
	}
}

// free reports whether a label may lie in all of the boxes.
func (b *board) free(boxes ...geom.Box) bool {
	for _, box := range boxes {
		if !b.fits(box, box.Centre(), onlyFree) {
			return false
		}
	}
	return true
}

// fits reports whether the label of the point at may lie in box.
func (b *board) fits(box geom.Box, at geom.Vec, c care) bool {
	if box.Min.X < b.page.Min.X || box.Min.Y < b.page.Min.Y || box.Max.X > b.page.Max.X || box.Max.Y > b.page.Max.Y {
		return false
	}
	return b.none(box, lonely, func(t thing) bool {
		switch t.kind {
		case taken:
			return overlap(box, t.box, gapLabel)
		case spot:
			return overlap(box, t.box, 0) || c >= andClear && overlap(box, t.box, lonely) && !t.box.Contains(at)
		case drawn:
			return c >= andOff && strikes(box, t.line, gapLabel/2)
		}
		return strikes(box, t.line, gapLabel/2)
	})
}

// open reports whether a leader that starts at its point from crosses no
// label, no other leader and no other point's cross.
func (b *board) open(leader [2]geom.Vec, from geom.Vec) bool {
	return b.none(geom.BoxOf(leader[0], leader[1]), gapLabel, func(t thing) bool {
		switch t.kind {
		case taken:
			return strikes(t.box, leader, gapLabel/2)
		case spot:
			return !t.box.Contains(from) && strikes(t.box, leader, 0)
		case leading:
			return geom.SegmentsCross(leader[0], leader[1], t.line[0], t.line[1])
		}
		return false
	})
}

// overlap reports whether two boxes come nearer than gap to one another in
// both directions.
func overlap(a, b geom.Box, gap float64) bool {
	return a.Min.X < b.Max.X+gap && b.Min.X < a.Max.X+gap && a.Min.Y < b.Max.Y+gap && b.Min.Y < a.Max.Y+gap
}

// strikes reports whether the straight line comes within gap of the box.
func strikes(box geom.Box, s [2]geom.Vec, gap float64) bool {
	if !overlap(box, geom.BoxOf(s[0], s[1]), gap) {
		return false
	}
	g := box.Grow(gap)
	if g.Contains(s[0]) || g.Contains(s[1]) {
		return true
	}
	a, c := g.Min, g.Max
	b, d := geom.Vec{X: c.X, Y: a.Y}, geom.Vec{X: a.X, Y: c.Y}
	return geom.SegmentsCross(s[0], s[1], a, c) || geom.SegmentsCross(s[0], s[1], b, d)
}
