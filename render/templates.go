package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"strew/motif"
	"strew/motif/geom"
	"strew/render/scene"
)

// Template is a motif to be printed at true size.
type Template struct {
	Name  string
	Motif *motif.Motif
	Size  float64
	Cut   int // how many to cut; 0: not said
}

// testSide is the side of the square, in millimetres, by which the maker
// checks that the printer kept the size.
const testSide = 50.0

// Templates draws every piece of every template true to size on pages of the
// paper, with what it is and its glue point. The first page has a test square
// of 50 mm. A piece larger than a page is spread over several, which overlap.
func Templates(title string, list []Template, unit geom.Unit, paper Paper) []*scene.Scene {
	unit = Cloth{Unit: unit}.unit()
	room := pageRoom(paper)
	var small, big []cell
	for _, t := range list {
		for i := range t.Motif.Pieces {
			c := t.cell(i, unit)
			if paper.Name != Large && (c.size.X > room.X || c.size.Y > room.Y) {
				big = append(big, c)
			} else {
				small = append(small, c)
			}
		}
	}
	// The tallest first, so that the shelves waste little.
	slices.SortStableFunc(small, func(a, b cell) int { return cmp.Compare(b.size.Y, a.size.Y) })
	pages := shelve(title, append([]cell{testCell(unit)}, small...), unit, paper, room)
	for _, c := range big {
		s := &scene.Scene{Width: c.size.X, Height: c.size.Y}
		c.draw(s, geom.Vec{})
		pages = append(pages, Tile(s, title+"  ·  "+c.name, paper)...)
	}
	return pages
}

// cell is one drawing with its caption on a page of templates.
type cell struct {
	name string
	size geom.Vec
	draw func(sc *scene.Scene, at geom.Vec)
}

// Lengths on a page of templates, in millimetres.
const (
	cellGap    = 5.0
	captionTop = 3.0
	caption    = 8.0 // two lines of text
	pageHead   = 9.0
	pageFoot   = barHeight + 2
)

// pageRoom returns the room for cells on one page, upright.
func pageRoom(paper Paper) geom.Vec {
	if paper.Name == Large {
		// Some four A4 pages wide; the height follows.
		return geom.Vec{X: 840, Y: math.Inf(1)}
	}
	p := paper.page(false)
	return geom.Vec{X: p.Width - 2*printMargin, Y: p.Height - 2*printMargin - pageHead - pageFoot}
}

// shelve sets the cells on shelves, each on the first that has room for it
// (first fit by falling height: E. G. Coffman, M. R. Garey, D. S. Johnson,
// R. E. Tarjan, "Performance bounds for level-oriented two-dimensional packing
// algorithms", SIAM Journal on Computing 9(4), 1980).
func shelve(title string, cells []cell, unit geom.Unit, paper Paper, room geom.Vec) []*scene.Scene {
	type shelf struct {
		page         int
		y, high, end float64 // end: how far it is filled from the left
	}
	var shelves []shelf
	filled := []float64{0} // how far each page is filled from the top
	at := make([]geom.Vec, len(cells))
	on := make([]int, len(cells))
	far := geom.Vec{}
	for i, c := range cells {
		k := slices.IndexFunc(shelves, func(s shelf) bool { return c.size.Y <= s.high && s.end+c.size.X <= room.X })
		if k < 0 {
			page := slices.IndexFunc(filled, func(y float64) bool { return y == 0 || y+c.size.Y <= room.Y })
			if page < 0 {
				page = len(filled)
				filled = append(filled, 0)
			}
			k = len(shelves)
			shelves = append(shelves, shelf{page: page, y: filled[page], high: c.size.Y})
			filled[page] += c.size.Y + cellGap
		}
		s := &shelves[k]
		at[i], on[i] = geom.Vec{X: s.end, Y: s.y}, s.page
		far = geom.Vec{X: math.Max(far.X, s.end+c.size.X), Y: math.Max(far.Y, s.y+s.high)}
		s.end += c.size.X + cellGap
	}
	pages := make([]*scene.Scene, len(filled))
	for i := range pages {
		pages[i] = paper.page(false)
		if paper.Name == Large {
			pages[i] = &scene.Scene{Width: math.Max(far.X, 180) + 2*printMargin, Height: far.Y + 2*printMargin + pageHead + pageFoot}
		}
		sc := pages[i]
		head := fmt.Sprintf("templates, true to size  ·  page %d of %d  ·  print at 100 %%, without fitting to the page", i+1, len(pages))
		y := printMargin + scene.Bold.Ascent(sizeText)
		w := sc.Width - 2*printMargin - scene.Regular.Width(head, sizeSmall) - 4
		sc.Add(scene.Text{At: geom.Vec{X: printMargin, Y: y}, Text: scene.Bold.Shorten(scene.Bold.Clean(title), sizeText, w), Font: scene.Bold, Size: sizeText, Colour: ink()},
			scene.Text{At: geom.Vec{X: sc.Width - printMargin, Y: y}, Text: head, Size: sizeSmall, Anchor: scene.End, Colour: soft()})
		scaleBar(sc, geom.Vec{X: printMargin + 0.5, Y: sc.Height - printMargin - barHeight + 1}, 1, 101.6, unit)
	}
	for i, c := range cells {
		c.draw(pages[on[i]], at[i].Add(geom.Vec{X: printMargin, Y: printMargin + pageHead}))
	}
	return pages
}

// testCell is the test square.
func testCell(unit geom.Unit) cell {
	first, second := "test square: 50 mm each way", "if it is not, print again at 100 %"
	if unit == geom.Inch {
		first = "test square: 50 mm (1 31/32 in) each way"
	}
	size := geom.Vec{X: testSide + 1, Y: testSide + 1 + captionTop + caption}
	return cell{"test square", size, func(sc *scene.Scene, at geom.Vec) {
		box := geom.Box{Min: at.Add(geom.Vec{X: 0.5, Y: 0.5}), Max: at.Add(geom.Vec{X: 0.5 + testSide, Y: 0.5 + testSide})}
		sc.Add(scene.Stroke{Lines: scene.Closed(scene.Rect(box)), Width: scene.Points(lineOutline), Colour: ink()})
		captions(sc, geom.Vec{X: at.X, Y: box.Max.Y}, testSide, first, second)
	}}
}

// captions writes two lines below a drawing whose lower edge is at at.Y.
func captions(sc *scene.Scene, at geom.Vec, width float64, first, second string) {
	y := at.Y + captionTop + scene.Bold.CapHeight(sizeSmall)
	sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y}, Text: scene.Bold.Shorten(scene.Bold.Clean(first), sizeSmall, width), Font: scene.Bold, Size: sizeSmall, Colour: ink()})
	y += scene.Points(sizeSmall) * 1.3
	sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y}, Text: scene.Regular.Shorten(scene.Regular.Clean(second), sizeSmall, width), Size: sizeSmall, Colour: soft()})
}

// A cell is wide enough for its captions, but no wider than most of them need.
const leastCaption, mostCaption = 24.0, 62.0

// cell draws one piece with its name, its size and where the glue goes.
func (t Template) cell(piece int, unit geom.Unit) cell {
	p := t.Motif.Pieces[piece]
	g := p.Region.Transform(geom.Scaling(t.Size, t.Size))
	box := g.Box()
	note := fmt.Sprintf("%s × %s", geom.Length(box.Width()).In(unit), geom.Length(box.Height()).In(unit))
	if t.Cut > 0 {
		note = fmt.Sprintf("cut %d  ·  %s", t.Cut, note)
	}
	if !sameSize(t.Size, 1) {
		note = fmt.Sprintf("size %s  ·  %s", sizeName(t.Size), note)
	}
	if n := len(t.Motif.Pieces); n > 1 {
		note = fmt.Sprintf("piece %d of %d  ·  %s", piece+1, n, note)
	}
	text := math.Max(scene.Bold.Width(scene.Bold.Clean(t.Name), sizeSmall), scene.Regular.Width(note, sizeSmall))
	width := math.Max(box.Width()+1, math.Max(leastCaption, math.Min(text+0.1, mostCaption)))
	size := geom.Vec{X: width, Y: box.Height() + 1 + captionTop + caption}
	return cell{t.Name + "  ·  " + note, size, func(sc *scene.Scene, at geom.Vec) {
		move := geom.Translation(at.Add(geom.Vec{X: 0.5, Y: 0.5}).Sub(box.Min))
		rings := g.Transform(move).Rings()
		sc.Add(scene.Fill{Rings: rings, Colour: felt(p.Colour).Faded(0.12), EvenOdd: true},
			scene.Stroke{Lines: scene.Closed(rings...), Width: scene.Points(lineOutline), Colour: ink()})
		if g.Contains(geom.Vec{}) {
			c := move.Apply(geom.Vec{})
			sc.Add(scene.Stroke{Lines: append(scene.Open(c.Add(geom.Vec{X: -2}), c.Add(geom.Vec{X: 2})), scene.Open(c.Add(geom.Vec{Y: -2}), c.Add(geom.Vec{Y: 2}))...), Width: scene.Points(lineFine), Colour: soft()})
		}
		captions(sc, geom.Vec{X: at.X, Y: at.Y + 1 + box.Height()}, width, t.Name, note)
	}}
}
