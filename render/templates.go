package render

import (
	"cmp"
	"math"
	"slices"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Template is a motif to be printed at true size.
type Template struct {
	Name  string
	Motif *motif.Motif
	Size  float64
	Cut   int  // how many to cut; 0: not said
	Nap   bool // the felt has a nap, which runs with the arrow
	Twin  bool // traced on the felt's back: print it mirrored as well
}

// Templates draws every piece of every template true to size on pages of the
// paper, with what it is and its glue point. The first page has a test square
// of 50 mm. A piece larger than a page is spread over several, which overlap.
func Templates(title string, list []Template, p say.Printer, paper Paper) []*scene.Scene {
	room := pageRoom(paper)
	var small, big []cell
	for _, t := range list {
		for i := range t.Motif.Pieces {
			cells := []cell{t.cell(i, p, false)}
			if t.Twin && !t.Motif.Pieces[i].MirrorsItself(sameTwin/t.Size) {
				cells = append(cells, t.cell(i, p, true))
			}
			for _, c := range cells {
				if paper.Name != Large && (c.size.X > room.X || c.size.Y > room.Y) {
					big = append(big, c)
				} else {
					small = append(small, c)
				}
			}
		}
	}
	// The tallest first, so that the shelves waste little.
	slices.SortStableFunc(small, func(a, b cell) int { return cmp.Compare(b.size.Y, a.size.Y) })
	pages := shelve(pageWords{p, title}, append([]cell{testCell(p)}, small...), paper, room)
	for _, c := range big {
		s := &scene.Scene{Width: c.size.X, Height: c.size.Y}
		// Words would be cut by the pages: they stand at each page's head.
		c.draw(s, geom.Vec{}, false)
		own, _ := tilesFrom(s, pageWords{p, facts(title, c.name)}, paper, nil, 0)
		pages = append(pages, own...)
	}
	return pages
}

// sameTwin is how far, in millimetres, a piece may stray from its mirror image
// and need no mirrored twin: a line's width.
const sameTwin = 0.3

// cell is one drawing with its caption on a page of templates.
type cell struct {
	name string
	size geom.Vec
	draw func(sc *scene.Scene, at geom.Vec, words bool)
}

// Lengths on a page of templates, in millimetres.
const (
	cellGap    = 5.0
	captionTop = 3.0
	caption    = 9.5 // three lines of text
	pageHead   = 9.0
	pageFoot   = ruleRoom
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
func shelve(words pageWords, cells []cell, paper Paper, room geom.Vec) []*scene.Scene {
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
		head := facts(words.Say("templates, true to size"), words.Say("page %d of %d", i+1, len(pages)), words.Say("print at 100 %, without fitting to the page"))
		y := printMargin + scene.Bold.Ascent(sizeText)
		w := sc.Width - 2*printMargin - scene.Regular.Width(head, sizeSmall) - 4
		sc.Add(scene.Text{At: geom.Vec{X: printMargin, Y: y}, Text: scene.Bold.Shorten(scene.Bold.Clean(words.name), sizeText, w), Font: scene.Bold, Size: sizeText, Colour: ink()},
			scene.Text{At: geom.Vec{X: sc.Width - printMargin, Y: y}, Text: head, Size: sizeSmall, Anchor: scene.End, Colour: soft()})
		testRule(sc, geom.Vec{X: printMargin + 1, Y: sc.Height - printMargin - 1}, words.Printer)
	}
	for i, c := range cells {
		c.draw(pages[on[i]], at[i].Add(geom.Vec{X: printMargin, Y: printMargin + pageHead}), true)
	}
	return pages
}

// testCell is the test square.
func testCell(p say.Printer) cell {
	side := testSide(unitOf(p))
	return cell{"", geom.Vec{X: side + 1, Y: side + 1}, func(sc *scene.Scene, at geom.Vec, _ bool) {
		testSquare(sc, at.Add(geom.Vec{X: 0.5, Y: 0.5}), p)
	}}
}

// captions writes a name and smaller lines below a drawing whose lower edge is
// at at.Y.
func captions(sc *scene.Scene, at geom.Vec, width float64, name string, below ...string) {
	y := at.Y + captionTop + scene.Bold.CapHeight(sizeSmall)
	sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y}, Text: scene.Bold.Shorten(scene.Bold.Clean(name), sizeSmall, width), Font: scene.Bold, Size: sizeSmall, Colour: ink()})
	for _, l := range below {
		y += scene.Points(sizeSmall) * 1.25
		sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y}, Text: scene.Regular.Shorten(scene.Regular.Clean(l), sizeSmall, width), Size: sizeSmall, Colour: soft()})
	}
}

// A cell is wide enough for its captions, but no wider than most of them need.
const leastCaption, mostCaption = 24.0, 66.0

// arrowRoom is the room beside a piece for the arrow that shows its top.
const arrowRoom = 6.0

// cell draws one piece with its name, its size, which way it stands and where
// the glue goes.
func (t Template) cell(i int, p say.Printer, mirrored bool) cell {
	piece := t.Motif.Pieces[i]
	shape := geom.Scaling(t.Size, t.Size)
	if mirrored {
		shape = geom.Scaling(-t.Size, t.Size)
	}
	g := piece.Region.Transform(shape)
	box := g.Box()
	name := t.Name
	if mirrored {
		name = p.Say("%s, mirrored: for the back", t.Name)
	}
	note := p.Say("%s × %s", geom.Length(box.Width()), geom.Length(box.Height()))
	if t.Cut > 0 && !mirrored {
		note = facts(p.Say("cut %d", t.Cut), note)
	}
	if !sameSize(t.Size, 1) {
		note = facts(p.Say("size %s", sizeName(t.Size)), note)
	}
	if n := len(t.Motif.Pieces); n > 1 {
		note = facts(p.Say("piece %d of %d", i+1, n), note)
	}
	last := p.Say("felt %s", piece.Colour)
	if g.Contains(geom.Vec{}) {
		last = facts(last, p.Say("cross: glue point"))
	}
	text := math.Max(scene.Bold.Width(scene.Bold.Clean(name), sizeSmall), math.Max(scene.Regular.Width(note, sizeSmall), scene.Regular.Width(scene.Regular.Clean(last), sizeSmall)))
	width := math.Max(box.Width()+1+arrowRoom, math.Max(leastCaption, math.Min(text+0.1, mostCaption)))
	size := geom.Vec{X: width, Y: math.Max(box.Height(), arrowLong) + 1 + captionTop + caption}
	return cell{facts(name, note), size, func(sc *scene.Scene, at geom.Vec, words bool) {
		move := geom.Translation(at.Add(geom.Vec{X: 0.5, Y: 0.5}).Sub(box.Min))
		rings := g.Transform(move).Rings()
		sc.Add(scene.Fill{Rings: rings, Colour: felt(piece.Colour).Faded(0.12), EvenOdd: true},
			scene.Stroke{Lines: scene.Closed(rings...), Width: scene.Points(lineOutline), Colour: ink()})
		if g.Contains(geom.Vec{}) {
			c := move.Apply(geom.Vec{})
			sc.Add(scene.Stroke{Lines: append(scene.Open(c.Add(geom.Vec{X: -2}), c.Add(geom.Vec{X: 2})), scene.Open(c.Add(geom.Vec{Y: -2}), c.Add(geom.Vec{Y: 2}))...), Width: scene.Points(lineFine), Colour: ink()})
		}
		word := p.Say("top")
		if t.Nap {
			word = p.Say("nap")
		}
		upArrow(sc, at.Add(geom.Vec{X: box.Width() + 1 + arrowRoom/2, Y: 0.5}), word)
		if words {
			captions(sc, geom.Vec{X: at.X, Y: at.Y + size.Y - captionTop - caption}, width, name, note, last)
		}
	}}
}

// arrowLong is the length of the arrow with its word, millimetres.
const arrowLong = 16.0

// upArrow draws an arrow whose tip is at at, with a word along it.
func upArrow(sc *scene.Scene, at geom.Vec, word string) {
	const head = 1.4
	tail := at.Add(geom.Vec{Y: arrowLong})
	sc.Add(scene.Stroke{Lines: append(scene.Open(tail, at), scene.Open(at.Add(geom.Vec{X: -head, Y: 2 * head}), at, at.Add(geom.Vec{X: head, Y: 2 * head}))...), Width: scene.Points(lineFine), Colour: soft()},
		along(word, at.Add(geom.Vec{X: 1.9, Y: arrowLong/2 + 1.5}), -math.Pi/2, sizeSmall, scene.Regular, soft()))
}
