package render

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/render/scene"
)

// What is larger than the paper is printed at true size on several pages that
// overlap. A page shows a window of the drawing; neighbouring windows share a
// strip of tileOverlap. On both pages the strip's middle is a dashed line with
// a cross at each end, which lie at the same places of the drawing: laid on
// one another, the crosses meet.

const (
	// printMargin is the white, in millimetres, that every printer leaves round
	// a page (common practice: 4 to 6 mm).
	printMargin = 6.0
	// tileOverlap is the strip shared by two pages: room to glue.
	tileOverlap = 10.0
	// tileHead is the line at the top of a page that says which page it is.
	tileHead = 6.0
)

// Tile cuts a drawing into pages of the paper at true size; a drawing that
// fits, with its line of text, is one page. The pages run row by row, without
// those that would show nothing, and name says on each what it is a part of.
// On large paper there is one page.
func Tile(s *scene.Scene, name string, paper Paper) []*scene.Scene {
	if paper.Name == Large {
		page := &scene.Scene{Width: s.Width + 2*printMargin, Height: s.Height + 2*printMargin}
		page.Ops = scene.Shifted(s.Ops, geom.Vec{X: printMargin, Y: printMargin}, geom.Box{Max: geom.Vec{X: page.Width, Y: page.Height}})
		return []*scene.Scene{page}
	}
	upright, lying := cut(s, paper, false), cut(s, paper, true)
	best := upright
	if lying.cols*lying.rows < upright.cols*upright.rows {
		best = lying
	}
	var pages []*scene.Scene
	for row := range best.rows {
		for col := range best.cols {
			if page, ok := best.page(s, name, paper, col, row); ok {
				pages = append(pages, page)
			}
		}
	}
	return pages
}

// tiling is how a drawing is cut into windows.
type tiling struct {
	lying      bool
	cols, rows int
	win        geom.Vec // size of one window
}

func cut(s *scene.Scene, paper Paper, lying bool) tiling {
	page := paper.page(lying)
	win := geom.Vec{X: page.Width - 2*printMargin, Y: page.Height - 2*printMargin - tileHead}
	n := func(whole, window float64) int {
		return max(1, int(math.Ceil((whole-tileOverlap-geom.Touch)/(window-tileOverlap))))
	}
	return tiling{lying, n(s.Width, win.X), n(s.Height, win.Y), win}
}

// window returns which part of the drawing a page shows.
func (t tiling) window(col, row int) geom.Box {
	at := geom.Vec{X: float64(col) * (t.win.X - tileOverlap), Y: float64(row) * (t.win.Y - tileOverlap)}
	return geom.Box{Min: at, Max: at.Add(t.win)}
}

// page draws one page, and reports false where it would show nothing.
func (t tiling) page(s *scene.Scene, name string, paper Paper, col, row int) (page *scene.Scene, ok bool) {
	page = paper.page(t.lying)
	win := t.window(col, row)
	shift := geom.Vec{X: printMargin, Y: printMargin + tileHead}.Sub(win.Min)
	frame := geom.Box{Min: win.Min.Add(shift), Max: win.Max.Add(shift)}
	part := scene.Shifted(s.Ops, shift, frame)
	page.Add(scene.Clip{Rings: []geom.Ring{scene.Rect(frame)}, Inside: part})

	// Where pages join: the middle of each strip shared with a neighbour.
	var xs, ys []float64
	if col > 0 {
		xs = append(xs, frame.Min.X+tileOverlap/2)
	}
	if col+1 < t.cols {
		xs = append(xs, frame.Max.X-tileOverlap/2)
	}
	if row > 0 {
		ys = append(ys, frame.Min.Y+tileOverlap/2)
	}
	if row+1 < t.rows {
		ys = append(ys, frame.Max.Y-tileOverlap/2)
	}
	var joins, crosses []scene.Line
	cross := func(c geom.Vec) {
		const arm = 3.0
		crosses = append(crosses, scene.Line{Points: []geom.Vec{{X: c.X - arm, Y: c.Y}, {X: c.X + arm, Y: c.Y}}},
			scene.Line{Points: []geom.Vec{{X: c.X, Y: c.Y - arm}, {X: c.X, Y: c.Y + arm}}})
	}
	for _, x := range xs {
		joins = append(joins, scene.Line{Points: []geom.Vec{{X: x, Y: frame.Min.Y}, {X: x, Y: frame.Max.Y}}})
		cross(geom.Vec{X: x, Y: frame.Min.Y + 2*tileOverlap})
		cross(geom.Vec{X: x, Y: frame.Max.Y - 2*tileOverlap})
	}
	for _, y := range ys {
		joins = append(joins, scene.Line{Points: []geom.Vec{{X: frame.Min.X, Y: y}, {X: frame.Max.X, Y: y}}})
		cross(geom.Vec{X: frame.Min.X + 2*tileOverlap, Y: y})
		cross(geom.Vec{X: frame.Max.X - 2*tileOverlap, Y: y})
	}
	page.Add(scene.Stroke{Lines: joins, Width: scene.Points(lineHair), Dash: dashMargin(), Colour: soft()},
		scene.Stroke{Lines: crosses, Width: scene.Points(lineFine), Colour: ink()})
	where := ""
	if t.cols*t.rows > 1 {
		where = fmt.Sprintf("  ·  row %d of %d, column %d of %d  ·  lay the crosses on one another", row+1, t.rows, col+1, t.cols)
	}
	wide := frame.Width() - scene.Regular.Width(where, sizeSmall)
	head := scene.Regular.Shorten(scene.Regular.Clean(name), sizeSmall, wide) + where
	page.Add(scene.Text{At: geom.Vec{X: frame.Min.X, Y: printMargin + scene.Regular.Ascent(sizeSmall)}, Text: head, Size: sizeSmall, Colour: ink()})
	return page, len(part) > 0
}
