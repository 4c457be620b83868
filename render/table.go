package render

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/render/scene"
)

// Table is a plain table for paper.
type Table struct {
	Name  string // written above it; "": none
	Heads []string
	Rows  [][]string
	Right []bool // columns aligned to the right; those beyond its end are aligned to the left
	Bold  int    // how many of the first columns are bold
}

const (
	tableLine = 4.4 // of one row, millimetres
	tableGap  = 4.0 // between columns
)

// widths returns how wide each column is with its widest words in the rows from
// each row on; the last is that of the heads alone.
func (t Table) widths() [][]float64 {
	out := make([][]float64, len(t.Rows)+1)
	wide := make([]float64, len(t.Heads))
	for i, h := range t.Heads {
		wide[i] = scene.Bold.Width(scene.Bold.Clean(h), sizeSmall)
	}
	out[len(t.Rows)] = wide
	for k, r := range slices.Backward(t.Rows) {
		wide = slices.Clone(wide)
		for i, cell := range r {
			wide[i] = math.Max(wide[i], t.font(i).Width(t.font(i).Clean(cell), sizeText))
		}
		out[k] = wide
	}
	return out
}

func (t Table) font(column int) scene.Font {
	if column < t.Bold {
		return scene.Bold
	}
	return scene.Regular
}

// draw draws the table in the room, side by side in as many blocks as fit, its
// columns as wide as given, and returns how many rows were left over and how far
// down it reaches. A column that is too wide for the room is shortened, the
// widest first.
func (t Table) draw(sc *scene.Scene, room geom.Box, wide []float64) (left int, end float64) {
	wide = slices.Clone(wide)
	whole := func() float64 {
		sum := -tableGap
		for _, w := range wide {
			sum += w + tableGap
		}
		return sum
	}
	for over := whole() - room.Width(); over > 0; over = whole() - room.Width() {
		k := 0
		for i := range wide {
			if wide[i] > wide[k] {
				k = i
			}
		}
		wide[k] = math.Max(4, wide[k]-math.Max(over, 1))
		if wide[k] == 4 {
			break
		}
	}
	const apart = 9.0 // block from block
	blocks := max(1, int((room.Width()+apart)/(whole()+apart)))
	perBlock := int(room.Height()/tableLine) - 1
	if perBlock < 1 {
		return len(t.Rows), room.Min.Y
	}
	// Even blocks read better than one full and one short.
	if n := len(t.Rows); n < blocks*perBlock {
		perBlock = max(min(perBlock, 8), (n+blocks-1)/blocks)
	}
	for b := range blocks {
		first := b * perBlock
		if first >= len(t.Rows) {
			break
		}
		x := room.Min.X + float64(b)*(whole()+apart)
		t.block(sc, geom.Vec{X: x, Y: room.Min.Y}, wide, t.Rows[first:min(len(t.Rows), first+perBlock)])
	}
	return max(0, len(t.Rows)-blocks*perBlock), room.Min.Y + float64(min(perBlock, len(t.Rows))+1)*tableLine
}

func (t Table) block(sc *scene.Scene, at geom.Vec, wide []float64, rows [][]string) {
	line := func(y float64, cells []string, head bool) {
		x := at.X
		for i, cell := range cells {
			font, size, colour := t.font(i), float64(sizeText), ink()
			if head {
				font, size, colour = scene.Bold, sizeSmall, soft()
			}
			text := scene.Text{At: geom.Vec{X: x, Y: y}, Text: font.Shorten(font.Clean(cell), size, wide[i]+0.01), Font: font, Size: size, Colour: colour}
			if i < len(t.Right) && t.Right[i] {
				text.At.X, text.Anchor = x+wide[i], scene.End
			}
			if text.Text != "" {
				sc.Add(text)
			}
			x += wide[i] + tableGap
		}
	}
	const lift = 1.3 // of the baseline above a row's lower edge
	line(at.Y+tableLine-lift, t.Heads, true)
	whole := -tableGap
	for _, w := range wide {
		whole += w + tableGap
	}
	var rules []scene.Line
	for i, r := range rows {
		y := at.Y + tableLine*float64(i+1)
		rules = append(rules, scene.Open(geom.Vec{X: at.X, Y: y}, geom.Vec{X: at.X + whole, Y: y})...)
		line(y+tableLine-lift, r, false)
	}
	sc.Add(scene.Stroke{Lines: rules, Width: scene.Points(lineHair), Colour: faint()})
}

// pages draws the table from y down on the first page and on as many further
// pages as it takes, and returns them and how far down the last is filled.
func (t Table) pages(ctx context.Context, first *scene.Scene, y float64, next func() *scene.Scene) (out []*scene.Scene, end float64) {
	out = []*scene.Scene{first}
	sc := first
	widths := t.widths()
	const top = marginPage + tileHead
	for {
		room := geom.Box{Min: geom.Vec{X: marginPage, Y: y}, Max: geom.Vec{X: sc.Width - marginPage, Y: sc.Height - marginPage - ruleRoom}}
		left, end := t.draw(sc, room, widths[len(widths)-1-len(t.Rows)])
		if ctx.Err() != nil || left == 0 || left == len(t.Rows) && y <= top {
			return out, end
		}
		t.Rows = t.Rows[len(t.Rows)-left:]
		sc = next()
		out = append(out, sc)
		y = top
	}
}
