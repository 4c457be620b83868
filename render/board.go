package render

import (
	"math"

	"strew/motif/geom"
)

// board keeps what is already on a page, so that labels can keep clear of it.
// What lies on it is filed by the square cells of a grid that it touches; what
// lies off the page is left out, since neither a label nor a leader goes there.
type board struct {
	page       geom.Box
	cols, rows int      // of the grid, which covers the page and a cell round it
	cells      []square // row by row
}

// square holds what touches one cell of the grid.
type square struct {
	areas []area
	lines []line
}

// area is a box that no label may lie over: a label or furniture, or a cross.
type area struct {
	box   geom.Box
	cross bool // labels may touch it, but not come near another point's
}

// line is a straight line on the board.
type line struct {
	ends  [2]geom.Vec
	round geom.Box
	// A leader may not be crossed by a label or another leader; labels keep off a
	// line of the drawing where they can.
	leader bool
}

// cellSide is the side of a cell in millimetres: some label's length.
const cellSide = 5.0

func newBoard(page geom.Box) *board {
	side := func(long float64) int { return max(1, int(math.Ceil(long/cellSide))) + 2 }
	b := &board{page: page, cols: side(page.Width()), rows: side(page.Height())}
	b.cells = make([]square, b.cols*b.rows)
	return b
}

// clone returns a board with the same things on it, to try a layout.
func (b *board) clone() *board {
	c := *b
	c.cells = make([]square, len(b.cells))
	for i, x := range b.cells {
		c.cells[i] = square{x.areas[:len(x.areas):len(x.areas)], x.lines[:len(x.lines):len(x.lines)]}
	}
	return &c
}

// cellRange is the cells that a box touches, as far as they are on the grid:
// columns from left to right and rows from top to bottom, all included.
type cellRange struct{ left, right, top, bottom int }

func (b *board) touched(box geom.Box) cellRange {
	cell := func(v, first float64) int { return int(math.Floor((v-first)/cellSide)) + 1 }
	return cellRange{
		max(0, cell(box.Min.X, b.page.Min.X)), min(b.cols-1, cell(box.Max.X, b.page.Min.X)),
		max(0, cell(box.Min.Y, b.page.Min.Y)), min(b.rows-1, cell(box.Max.Y, b.page.Min.Y)),
	}
}

// each calls do for every cell that the box touches.
func (b *board) each(box geom.Box, do func(*square)) {
	r := b.touched(box)
	for y := r.top; y <= r.bottom; y++ {
		for x := r.left; x <= r.right; x++ {
			do(&b.cells[y*b.cols+x])
		}
	}
}

// take puts boxes of labels or furniture on the board.
func (b *board) take(boxes ...geom.Box) {
	for _, x := range boxes {
		b.each(x, func(c *square) { c.areas = append(c.areas, area{box: x}) })
	}
}

// mark puts the box of a cross on the board.
func (b *board) mark(box geom.Box) {
	b.each(box, func(c *square) { c.areas = append(c.areas, area{box: box, cross: true}) })
}

// line puts a straight line of the drawing on the board.
func (b *board) line(p, q geom.Vec) { b.lay(p, q, false) }

// leader puts a leader on the board.
func (b *board) leader(p, q geom.Vec) { b.lay(p, q, true) }

// lay puts the straight line from p to q on the board, in pieces so short that
// each touches few cells.
func (b *board) lay(p, q geom.Vec, leader bool) {
	n := max(1, int(math.Ceil(p.Dist(q)/cellSide)))
	for i := range n {
		ends := [2]geom.Vec{p.Lerp(q, float64(i)/float64(n)), p.Lerp(q, float64(i+1)/float64(n))}
		l := line{ends, geom.BoxOf(ends[0], ends[1]), leader}
		b.each(l.round, func(c *square) { c.lines = append(c.lines, l) })
	}
}

// free reports whether a label may lie in all of the boxes.
func (b *board) free(boxes ...geom.Box) bool {
	for _, box := range boxes {
		if b.grade(box, box.Centre()) < onlyFree {
			return false
		}
	}
	return true
}

// grade returns how well the label of the point at would lie in the box.
func (b *board) grade(box geom.Box, at geom.Vec) grade {
	if box.Min.X < b.page.Min.X || box.Min.Y < b.page.Min.Y || box.Max.X > b.page.Max.X || box.Max.Y > b.page.Max.Y {
		return notFree
	}
	best := andOff
	r := b.touched(box.Grow(lonely))
	for y := r.top; y <= r.bottom && best > notFree; y++ {
		for x := r.left; x <= r.right && best > notFree; x++ {
			best = min(best, b.cells[y*b.cols+x].amongAreas(box, at))
		}
	}
	for y := r.top; y <= r.bottom && best > notFree; y++ {
		for x := r.left; x <= r.right && best > notFree; x++ {
			best = b.cells[y*b.cols+x].amongLines(box, best)
		}
	}
	return best
}

// amongAreas returns how well the label of the point at would lie in the box, as
// far as the areas in the square tell.
func (c *square) amongAreas(box geom.Box, at geom.Vec) grade {
	best := andOff
	for i := range c.areas {
		switch t := &c.areas[i]; {
		case !t.cross:
			if overlap(box, t.box, gapLabel) {
				return notFree
			}
		case overlap(box, t.box, lonely):
			if overlap(box, t.box, 0) {
				return notFree
			}
			if !t.box.Contains(at) {
				best = onlyFree
			}
		}
	}
	return best
}

// amongLines lowers a label's grade where lines in the square run through the
// box.
func (c *square) amongLines(box geom.Box, best grade) grade {
	for i := range c.lines {
		t := &c.lines[i]
		if (t.leader || best == andOff) && t.strikes(box, gapLabel/2) {
			if t.leader {
				return notFree
			}
			best = andClear
		}
	}
	return best
}

// open reports whether a leader that starts at its point from crosses no
// label, no other leader and no other point's cross.
func (b *board) open(ends [2]geom.Vec, from geom.Vec) bool {
	leader := line{ends: ends, round: geom.BoxOf(ends[0], ends[1])}
	r := b.touched(leader.round.Grow(gapLabel))
	for y := r.top; y <= r.bottom; y++ {
		for x := r.left; x <= r.right; x++ {
			c := &b.cells[y*b.cols+x]
			for i := range c.areas {
				t := &c.areas[i]
				gap := gapLabel / 2
				if t.cross {
					if t.box.Contains(from) {
						continue
					}
					gap = 0
				}
				if leader.strikes(t.box, gap) {
					return false
				}
			}
			for i := range c.lines {
				if t := &c.lines[i]; t.leader && geom.SegmentsCross(ends[0], ends[1], t.ends[0], t.ends[1]) {
					return false
				}
			}
		}
	}
	return true
}

// overlap reports whether two boxes come nearer than gap to one another in
// both directions.
func overlap(a, b geom.Box, gap float64) bool {
	return a.Min.X < b.Max.X+gap && b.Min.X < a.Max.X+gap && a.Min.Y < b.Max.Y+gap && b.Min.Y < a.Max.Y+gap
}

// strikes reports whether the line comes within gap of the box.
func (l *line) strikes(box geom.Box, gap float64) bool {
	if !overlap(box, l.round, gap) {
		return false
	}
	g, s := box.Grow(gap), l.ends
	if g.Contains(s[0]) || g.Contains(s[1]) {
		return true
	}
	a, c := g.Min, g.Max
	b, d := geom.Vec{X: c.X, Y: a.Y}, geom.Vec{X: a.X, Y: c.Y}
	return geom.SegmentsCross(s[0], s[1], a, c) || geom.SegmentsCross(s[0], s[1], b, d)
}
