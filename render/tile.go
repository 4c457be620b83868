package render

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// What is larger than the paper is printed at true size on several pages that
// overlap. A page shows a window of the drawing; neighbouring windows share a
// strip of tileOverlap, and what lies in a window nearer to it than to any
// neighbour is its core: cores cover the drawing once. A page is printed where
// something that must be printed lies in its core.
//
// Pages are named by the letter of their row and the number of their column.
// Where two printed pages meet, both show two ringed crosses in the strip, at
// the same places of the drawing and with the same number, and say which page
// they meet: laid on one another, the crosses of one number meet.

const (
	// printMargin is the white, in millimetres, that every printer leaves round
	// a page (common practice: 4 to 6 mm).
	printMargin = 6.0
	// tileOverlap is the strip shared by two pages: room to glue.
	tileOverlap = 10.0
	// tileHead is the line at the top of a page that says which page it is.
	tileHead = 9.0
)

// grid is how a drawing is cut into windows.
type grid struct {
	paper      Paper
	lying      bool // the paper lies on its side
	cols, rows int
	win        geom.Vec // size of one window
	at         geom.Vec // top left corner of the first window in the drawing
	first      int      // the letter of the first row, from 0
	printed    []bool   // by row and column
}

// gridShifts are the shares of the spare room at which grids are tried, the
// middle first: a shift may save pages at the rim.
func gridShifts() []float64 { return []float64{0.5, 0, 1, 0.25, 0.75} }

// gridOf finds the way to cut the box of a drawing into windows that prints
// the fewest pages; shown says which windows of a grid are printed.
func gridOf(box geom.Box, paper Paper, first int, shown func(grid) []bool) grid {
	var best grid
	fewest := math.MaxInt
	for _, lying := range []bool{false, true} {
		page := paper.page(lying)
		win := geom.Vec{X: page.Width - 2*printMargin, Y: page.Height - 2*printMargin - tileHead}
		n := func(whole, window float64) int {
			return max(1, int(math.Ceil((whole-tileOverlap-geom.Touch)/(window-tileOverlap))))
		}
		g := grid{paper: paper, lying: lying, cols: n(box.Width(), win.X), rows: n(box.Height(), win.Y), win: win, first: first}
		step := g.step()
		spare := geom.Vec{X: float64(g.cols)*step.X + tileOverlap - box.Width(), Y: float64(g.rows)*step.Y + tileOverlap - box.Height()}
		for _, ty := range gridShifts() {
			for _, tx := range gridShifts() {
				g.at = box.Min.Sub(geom.Vec{X: spare.X * tx, Y: spare.Y * ty})
				g.printed = shown(g)
				if k := g.count(); k < fewest {
					best, fewest = g, k
				}
			}
		}
	}
	return best
}

func (g grid) step() geom.Vec { return g.win.Sub(geom.Vec{X: tileOverlap, Y: tileOverlap}) }

func (g grid) count() int {
	n := 0
	for _, p := range g.printed {
		if p {
			n++
		}
	}
	return n
}

func (g grid) isPrinted(col, row int) bool {
	return col >= 0 && row >= 0 && col < g.cols && row < g.rows && g.printed[row*g.cols+col]
}

// window returns which part of the drawing a page shows.
func (g grid) window(col, row int) geom.Box {
	step := g.step()
	at := g.at.Add(geom.Vec{X: float64(col) * step.X, Y: float64(row) * step.Y})
	return geom.Box{Min: at, Max: at.Add(g.win)}
}

// core returns the part of a window that belongs to no neighbour.
func (g grid) core(col, row int) geom.Box {
	b := g.window(col, row)
	if col > 0 {
		b.Min.X += tileOverlap / 2
	}
	if row > 0 {
		b.Min.Y += tileOverlap / 2
	}
	if col+1 < g.cols {
		b.Max.X -= tileOverlap / 2
	}
	if row+1 < g.rows {
		b.Max.Y -= tileOverlap / 2
	}
	return b
}

// hit returns the windows into whose cores any of the boxes reaches.
func (g grid) hit(boxes []geom.Box) []bool {
	out := make([]bool, g.cols*g.rows)
	for _, b := range boxes {
		g.reach(out, b)
	}
	return out
}

// reach marks the windows into whose cores the box reaches.
func (g grid) reach(windows []bool, b geom.Box) {
	left, top := g.cell(b.Min)
	right, bottom := g.cell(b.Max)
	for row := top; row <= bottom; row++ {
		for col := left; col <= right; col++ {
			windows[row*g.cols+col] = true
		}
	}
}

// cell returns the column and row of the core that holds p, or of the one
// nearest to it.
func (g grid) cell(p geom.Vec) (col, row int) {
	step := g.step()
	index := func(v, first, step float64, n int) int {
		return max(0, min(n-1, int(math.Floor((v-first-tileOverlap/2)/step))))
	}
	return index(p.X, g.at.X, step.X, g.cols), index(p.Y, g.at.Y, step.Y, g.rows)
}

// cellAt returns the index of that core among all, row by row.
func (g grid) cellAt(p geom.Vec) int {
	col, row := g.cell(p)
	return row*g.cols + col
}

// name returns what a page is called: A1, A2, … B1, … counted from the first
// row and column of which a page is printed.
func (g grid) name(col, row int) string {
	c, r := g.begins()
	return letters(g.first+row-r) + itoa(col-c+1)
}

// begins returns the first column and row of which a page is printed.
func (g grid) begins() (col, row int) {
	col, row = g.cols, g.rows
	for i, p := range g.printed {
		if p {
			col, row = min(col, i%g.cols), min(row, i/g.cols)
		}
	}
	return col, row
}

// letters returns how many rows are named.
func (g grid) letters() int {
	_, first := g.begins()
	for row := g.rows - 1; row >= first; row-- {
		for col := range g.cols {
			if g.isPrinted(col, row) {
				return row - first + 1
			}
		}
	}
	return 0
}

// letters counts A, B, … Z, AA, AB, …
func letters(n int) string {
	if n < 26 {
		return string(rune('A' + n))
	}
	return letters(n/26-1) + string(rune('A'+n%26))
}

// tile is one page of a grid while it is drawn.
type tile struct {
	*scene.Scene
	frame         geom.Box // where on the page the window shows
	window        geom.Box
	toPage        geom.Vec // from the drawing to the page
	taken         []geom.Box
	dashes        []geom.Box // of the dashed lines where pages meet
	registrations []RegistrationMark
}

// blank returns an empty page for a window. Draw the window's content on it
// first, then its registration marks, then its head.
func (g grid) blank(col, row int) tile {
	t := tile{Scene: g.paper.page(g.lying), window: g.window(col, row)}
	t.toPage = geom.Vec{X: printMargin, Y: printMargin + tileHead}.Sub(t.window.Min)
	t.frame = geom.Box{Min: t.window.Min.Add(t.toPage), Max: t.window.Max.Add(t.toPage)}
	return t
}

// clip adds what of the drawing lies in the window.
func (t *tile) clip(drawing scene.Windows) {
	if part := drawing.Shifted(t.toPage, t.frame); len(part) > 0 {
		t.Add(scene.Clip{Rings: []geom.Ring{scene.Rect(t.frame)}, Inside: part})
	}
}

// head writes the page's name large and the words beside it.
func (t *tile) head(name, words, right string) {
	base := printMargin + tileHead - 2.8
	t.Add(scene.Text{At: geom.Vec{X: printMargin, Y: base}, Text: name, Font: scene.Bold, Size: sizeTitle, Colour: ink()})
	x := printMargin
	if name != "" {
		x += scene.Bold.Width(name, sizeTitle) + 4
	}
	end := t.Width - printMargin
	t.Add(scene.Text{At: geom.Vec{X: end, Y: base}, Text: right, Size: sizeSmall, Anchor: scene.End, Colour: soft()})
	room := end - x - scene.Regular.Width(right, sizeSmall) - 4
	t.Add(scene.Text{At: geom.Vec{X: x, Y: base}, Text: scene.Regular.Shorten(scene.Regular.Clean(words), sizeSmall, room), Size: sizeSmall, Colour: ink()})
}

// pageWords is what pages say: what they are a part of, and by whom it is said.
type pageWords struct {
	say.Printer
	name string
}

// tilesFrom cuts a drawing into pages of the paper at true size; a drawing that
// fits, with its line of text, is one page. Pages that would show nothing that
// is needed are left out; nil stands for all that is drawn. letter is that of
// the first row of pages. It also returns how many letters were used. On large
// paper there is one page.
func tilesFrom(s *scene.Scene, words pageWords, paper Paper, need []needed, letter int) (pages []*scene.Scene, used int) {
	if paper.Name == Large {
		t := tile{Scene: &scene.Scene{Width: math.Max(s.Width, leastLarge) + 2*printMargin, Height: s.Height + 2*printMargin + tileHead + ruleRoom}}
		t.Ops = scene.NewWindows(s.Ops).Shifted(geom.Vec{X: printMargin, Y: printMargin + tileHead}, geom.Box{Max: geom.Vec{X: t.Width, Y: t.Height}})
		t.head("", words.name, trueSize(words.Printer))
		testRule(t.Scene, geom.Vec{X: printMargin + 1, Y: t.Height - printMargin - 1}, words.Printer)
		return []*scene.Scene{t.Scene}, 0
	}
	if need == nil {
		need = drawnNeeds(s.Ops)
	}
	box := geom.Box{Max: geom.Vec{X: s.Width, Y: s.Height}}
	g := gridOf(box, paper, letter, func(g grid) []bool { return g.shows(need) })
	meets := g.registrations(nil)
	drawing := scene.NewWindows(s.Ops)
	for row := range g.rows {
		for col := range g.cols {
			if !g.isPrinted(col, row) {
				continue
			}
			t := g.blank(col, row)
			t.clip(drawing)
			t.register(g, meets, [2]int{col, row}, words.Printer)
			called := ""
			if g.count() > 1 {
				called = g.name(col, row)
			}
			t.head(called, words.name, trueSize(words.Printer))
			pages = append(pages, t.Scene)
		}
	}
	if g.count() == 1 {
		return pages, 0
	}
	return pages, g.letters()
}

// ruleRoom is the height of the test bar with its words.
const ruleRoom = 9.0

// leastLarge is the least width of a large page: room for its line of text.
const leastLarge = 150.0

// needed is something that must be printed: boxes along it, and the one round
// them all.
type needed struct {
	all   geom.Box
	parts []geom.Box // nil: all is the only one
}

func (n needed) moved(v geom.Vec) needed {
	move := func(b geom.Box) geom.Box { return geom.Box{Min: b.Min.Add(v), Max: b.Max.Add(v)} }
	out := needed{all: move(n.all)}
	for _, b := range n.parts {
		out.parts = append(out.parts, move(b))
	}
	return out
}

// shows returns the windows into whose cores anything needed reaches.
func (g grid) shows(list []needed) []bool {
	out := make([]bool, g.cols*g.rows)
	for _, n := range list {
		if at := g.cellAt(n.all.Min); at == g.cellAt(n.all.Max) {
			out[at] = true
			continue
		}
		if n.parts == nil {
			g.reach(out, n.all)
		}
		for _, b := range n.parts {
			g.reach(out, b)
		}
	}
	return out
}

// drawnNeeds returns all lines and words of the operations.
func drawnNeeds(ops []scene.Op) []needed {
	var out []needed
	for _, op := range ops {
		switch o := op.(type) {
		case scene.Stroke:
			for _, l := range o.Lines {
				if len(l.Points) > 1 {
					out = append(out, needs(l))
				}
			}
		case scene.Fill:
			for _, r := range o.Rings {
				out = append(out, needed{all: r.Box()})
			}
		case scene.Text:
			out = append(out, needed{all: o.Box()})
		case scene.Clip:
			out = append(out, drawnNeeds(o.Inside)...)
		}
	}
	return out
}

// needs returns a line as something needed.
func needs(l scene.Line) needed {
	n := needed{all: geom.BoxOf(l.Points...), parts: steps(l.Points)}
	if l.Closed {
		n.parts = append(n.parts, geom.BoxOf(l.Points[len(l.Points)-1], l.Points[0]))
	}
	return n
}
