package sheet

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// Offcuts: what is left over. The sheet is ruled into small square cells; those that a
// piece touches are taken. In every row each cell knows how many free cells
// stand above it, and the largest rectangle below such a skyline is found with
// a stack that keeps rising heights: a height is popped when a lower one ends
// its rectangle (common knowledge of the largest rectangle in a histogram, no
// single source). So every rectangle found is free, and falls short of the
// largest free one by less than two cells each way.

const (
	offcutCell = 1.0 // mm: felt is cut no truer
	// mostCells bounds the cells of a long roll, which are then larger.
	mostCells = 4_000_000
	// mostOffcuts is how many rectangles of one sheet are worth keeping.
	mostOffcuts = 3
)

// LeftOver returns the largest rectangles, sides along the sheet's edges, that
// no piece is cut from: at most three that do not overlap, the largest first,
// each with both sides at least least, in millimetres of the sheet. They may
// touch cut edges and reach into the margin. The pieces must be of the items.
func LeftOver(items []Item, st Stock, s Sheet, least float64) []geom.Box {
	cell := math.Max(offcutCell, math.Sqrt(st.Width*s.Height/mostCells))
	g := newCells(geom.Box{Max: geom.Vec{X: st.Width, Y: s.Height}}, cell)
	for _, p := range s.Pieces {
		g.take(placedRegion(items, p))
	}
	side := max(1, int(math.Ceil(least/cell-geom.SameRatio)))
	var out []geom.Box
	for len(out) < mostOffcuts {
		r, ok := g.largest(side)
		if !ok {
			break
		}
		g.fill(r)
		out = append(out, geom.Box{
			Min: geom.Vec{X: float64(r.x0) * cell, Y: float64(r.y0) * cell},
			Max: geom.Vec{X: float64(r.x1) * cell, Y: float64(r.y1) * cell},
		})
	}
	return out
}

// cells are a sheet ruled into squares; what is less than a cell at its far edges is
// lost.
type cells struct {
	cell       float64
	cols, rows int
	taken      []bool // row by row
}

// block is a rectangle of cells, its far ends not included.
type block struct{ x0, y0, x1, y1 int }

func newCells(sheet geom.Box, cell float64) *cells {
	g := &cells{cell: cell, cols: int(sheet.Width()/cell + geom.SameRatio), rows: int(sheet.Height()/cell + geom.SameRatio)}
	g.taken = make([]bool, g.cols*g.rows)
	return g
}

// fill marks the cells of a block that lie on the sheet.
func (g *cells) fill(r block) {
	for y := max(0, r.y0); y < min(g.rows, r.y1); y++ {
		for x := max(0, r.x0); x < min(g.cols, r.x1); x++ {
			g.taken[y*g.cols+x] = true
		}
	}
}

// take marks the cells that a region touches: those that its edges run
// through, and those whose middle is felt.
func (g *cells) take(r geom.Region) {
	at := func(v float64) int { return int(math.Floor(v / g.cell)) }
	box := r.Box()
	crossings := make([][]float64, max(0, at(box.Max.Y)-at(box.Min.Y)+1))
	first := at(box.Min.Y)
	for _, ring := range r.Rings() {
		for i, a := range ring {
			b := ring.At(i + 1)
			if a.Y > b.Y {
				a, b = b, a
			}
			for y := at(a.Y); y <= at(b.Y); y++ {
				// The edge within the row runs from x to x.
				from, to := a, b
				if top := float64(y) * g.cell; a.Y < top {
					from = a.Lerp(b, (top-a.Y)/(b.Y-a.Y))
				}
				if low := float64(y+1) * g.cell; b.Y > low {
					to = a.Lerp(b, (low-a.Y)/(b.Y-a.Y))
				}
				x0, x1 := math.Min(from.X, to.X), math.Max(from.X, to.X)
				g.fill(block{at(x0), y, at(x1) + 1, y + 1})
				if mid := (float64(y) + 0.5) * g.cell; a.Y <= mid && mid < b.Y {
					crossings[y-first] = append(crossings[y-first], a.X+(b.X-a.X)*(mid-a.Y)/(b.Y-a.Y))
				}
			}
		}
	}
	for i, xs := range crossings {
		slices.Sort(xs)
		for k := 0; k+1 < len(xs); k += 2 {
			x0, x1 := int(math.Ceil(xs[k]/g.cell-0.5)), int(math.Floor(xs[k+1]/g.cell-0.5))
			g.fill(block{x0, first + i, x1 + 1, first + i + 1})
		}
	}
}

// largest returns the free rectangle of the most cells with both sides at
// least side, the first of equals in reading order of its foot.
func (g *cells) largest(side int) (best block, ok bool) {
	type rise struct{ from, height int }
	free := make([]int, g.cols+1) // the last stays 0 and ends every rectangle
	most := 0
	var open []rise
	for y := range g.rows {
		open = open[:0]
		for x := 0; x <= g.cols; x++ {
			if x < g.cols {
				free[x]++
				if g.taken[y*g.cols+x] {
					free[x] = 0
				}
			}
			from := x
			for len(open) > 0 && open[len(open)-1].height >= free[x] {
				o := open[len(open)-1]
				open = open[:len(open)-1]
				from = o.from
				if w := x - o.from; w >= side && o.height >= side && w*o.height > most {
					most = w * o.height
					best, ok = block{o.from, y + 1 - o.height, x, y + 1}, true
				}
			}
			if free[x] > 0 {
				open = append(open, rise{from, free[x]})
			}
		}
	}
	return best, ok
}
