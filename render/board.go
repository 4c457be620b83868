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
	cols, rows int       // of the grid, which covers the page and a cell round it
	cells      [][]thing // row by row
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

func newBoard(page geom.Box) *board {
	side := func(long float64) int { return max(1, int(math.Ceil(long/cellSide))) + 2 }
	b := &board{page: page, cols: side(page.Width()), rows: side(page.Height())}
	b.cells = make([][]thing, b.cols*b.rows)
	return b
}

// clone returns a board with the same things on it, to try a layout.
func (b *board) clone() *board {
	c := *b
	c.cells = make([][]thing, len(b.cells))
	for i, things := range b.cells {
		c.cells[i] = things[:len(things):len(things)]
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

func (b *board) file(t thing) {
	r := b.touched(t.box)
	for y := r.top; y <= r.bottom; y++ {
		for x := r.left; x <= r.right; x++ {
			b.cells[y*b.cols+x] = append(b.cells[y*b.cols+x], t)
		}
	}
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
	for y := r.top; y <= r.bottom; y++ {
		for x := r.left; x <= r.right; x++ {
			things := b.cells[y*b.cols+x]
			for i := range things {
				t := &things[i]
				switch t.kind {
				case taken:
					if overlap(box, t.box, gapLabel) {
						return notFree
					}
				case spot:
					if overlap(box, t.box, 0) {
						return notFree
					}
					if best > onlyFree && overlap(box, t.box, lonely) && !t.box.Contains(at) {
						best = onlyFree
					}
				case drawn:
					if best == andOff && strikes(box, t.box, t.line, gapLabel/2) {
						best = andClear
					}
				case leading:
					if strikes(box, t.box, t.line, gapLabel/2) {
						return notFree
					}
				}
			}
		}
	}
	return best
}

// open reports whether a leader that starts at its point from crosses no
// label, no other leader and no other point's cross.
func (b *board) open(leader [2]geom.Vec, from geom.Vec) bool {
	round := geom.BoxOf(leader[0], leader[1])
	r := b.touched(round.Grow(gapLabel))
	for y := r.top; y <= r.bottom; y++ {
		for x := r.left; x <= r.right; x++ {
			things := b.cells[y*b.cols+x]
			for i := range things {
				t := &things[i]
				hit := false
				switch t.kind {
				case taken:
					hit = strikes(t.box, round, leader, gapLabel/2)
				case spot:
					hit = !t.box.Contains(from) && strikes(t.box, round, leader, 0)
				case leading:
					hit = geom.SegmentsCross(leader[0], leader[1], t.line[0], t.line[1])
				}
				if hit {
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

// strikes reports whether the straight line s, which round is the box of, comes
// within gap of the box.
func strikes(box, round geom.Box, s [2]geom.Vec, gap float64) bool {
	if !overlap(box, round, gap) {
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
