package render

import (
	"math"
	"slices"

	"strew/motif/geom"
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
	step := g.step()
	cell := func(v, first, step float64, n int) int {
		return max(0, min(n-1, int(math.Floor((v-first-tileOverlap/2)/step))))
	}
	for _, b := range boxes {
		for row := cell(b.Min.Y, g.at.Y, step.Y, g.rows); row <= cell(b.Max.Y, g.at.Y, step.Y, g.rows); row++ {
			for col := cell(b.Min.X, g.at.X, step.X, g.cols); col <= cell(b.Max.X, g.at.X, step.X, g.cols); col++ {
				out[row*g.cols+col] = true
			}
		}
	}
	return out
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

// join is where two printed pages meet.
type join struct {
	number   int
	col, row int // of the page to the left or above
	beside   bool
	at       [2]geom.Vec // its ringed crosses in the drawing
}

// Lengths of a join's marks, in millimetres.
const (
	joinRing = 2.6
	joinArm  = 4.0
	joinText = 28.0 // along the strip beyond the cross: "17a meets B13"

	// plate is the opacity of the white below a join's words: a cut line below
	// them must still be seen.
	plate = 0.7
)

// joinFree is how far joins keep off obstacles where they can, in millimetres:
// room for a mark's number.
const joinFree = 8.0

// joins numbers where printed pages meet. The crosses lie a quarter of the way
// from either end, or as near to there as the obstacles leave room.
func (g grid) joins(obstacles []geom.Box) []join {
	var out []join
	add := func(col, row int, beside bool) {
		j := join{number: len(out) + 1, col: col, row: row, beside: beside}
		win := g.window(col, row)
		from, along, long := geom.Vec{X: win.Max.X - tileOverlap/2, Y: win.Min.Y}, geom.Vec{Y: 1}, win.Height()
		if !beside {
			from, along, long = geom.Vec{X: win.Min.X, Y: win.Max.Y - tileOverlap/2}, geom.Vec{X: 1}, win.Width()
		}
		for i, part := range []float64{0.25, 0.75} {
			want := part * long
			j.at[i] = from.Add(along.Mul(want))
			// Not into the corners, where four pages share the paper.
			low := math.Max(tileOverlap+joinArm, want-0.22*long)
			high := math.Min(long-tileOverlap-joinArm-joinText, want+0.22*long)
			j.at[i] = from.Add(along.Mul(math.Max(low, math.Min(high, want))))
			if at, ok := freeJoin(from, along, want, low, high, obstacles); ok {
				j.at[i] = at
			}
		}
		out = append(out, j)
	}
	for row := range g.rows {
		for col := range g.cols {
			if !g.isPrinted(col, row) {
				continue
			}
			if g.isPrinted(col+1, row) {
				add(col, row, true)
			}
			if g.isPrinted(col, row+1) {
				add(col, row, false)
			}
		}
	}
	return out
}

// freeJoin finds the place between low and high along the strip, nearest to
// want, at which a cross with its words is free of obstacles.
func freeJoin(from, along geom.Vec, want, low, high float64, obstacles []geom.Box) (geom.Vec, bool) {
	for _, keep := range []float64{joinFree, 0.5} {
		for off := 0.0; want-off >= low || want+off <= high; off += 2 {
			for _, s := range []float64{want + off, want - off} {
				at := from.Add(along.Mul(s))
				box := joinBox(at, along)
				if s >= low && s <= high && !slices.ContainsFunc(obstacles, func(o geom.Box) bool { return overlap(box, o, keep) }) {
					return at, true
				}
			}
		}
	}
	return geom.Vec{}, false
}

// joinBox is what a ringed cross and its words cover.
func joinBox(at, along geom.Vec) geom.Box {
	return geom.BoxOf(at.Sub(along.Mul(joinArm)), at.Add(along.Mul(joinArm+joinText))).Grow(tileOverlap/2 - joinArm + 1).
		Union(geom.Box{Min: at, Max: at}.Grow(joinArm))
}

// tile is one page of a grid while it is drawn.
type tile struct {
	*scene.Scene
	frame  geom.Box // where on the page the window shows
	window geom.Box
	toPage geom.Vec // from the drawing to the page
	taken  []geom.Box
	dashes []geom.Box // of the dashed lines where pages meet
	joins  []JoinMark
}

// page draws the parts of a page that every drawing has: its name and words at
// the top, and its joins. Draw the window's content first, on the tile that
// blank returns.
func (g grid) blank(col, row int) tile {
	t := tile{Scene: g.paper.page(g.lying), window: g.window(col, row)}
	t.toPage = geom.Vec{X: printMargin, Y: printMargin + tileHead}.Sub(t.window.Min)
	t.frame = geom.Box{Min: t.window.Min.Add(t.toPage), Max: t.window.Max.Add(t.toPage)}
	return t
}

// clip adds what of the operations, given in the drawing's frame, lies in the
// window.
func (t *tile) clip(ops []scene.Op) {
	if part := scene.Shifted(ops, t.toPage, t.frame); len(part) > 0 {
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

// join draws the joins of a page over its content, and takes their room.
func (t *tile) join(g grid, joins []join, col, row int) {
	var lines, arms []scene.Line
	var plates []geom.Ring
	var words []scene.Op
	for _, j := range joins {
		other := [2]int{j.col, j.row}
		if j.col == col && j.row == row {
			other[0]++
			if !j.beside {
				other = [2]int{j.col, j.row + 1}
			}
		} else if other != [2]int{col - 1, row} || !j.beside {
			if other != [2]int{col, row - 1} || j.beside {
				continue
			}
		}
		along, turn := geom.Vec{X: 1}, 0.0
		if j.beside {
			along, turn = geom.Vec{Y: 1}, math.Pi/2
		}
		a, b := t.frame.Min, t.frame.Max
		on := j.at[0].Add(t.toPage)
		if j.beside {
			a.X, b.X = on.X, on.X
		} else {
			a.Y, b.Y = on.Y, on.Y
		}
		t.dashes = append(t.dashes, geom.BoxOf(a, b).Grow(0.3))
		for i, at := range j.at {
			p := at.Add(t.toPage)
			t.taken = append(t.taken, joinBox(p, along))
			arms = append(arms, scene.Line{Points: []geom.Vec{p.Sub(geom.Vec{X: joinArm}), p.Add(geom.Vec{X: joinArm})}},
				scene.Line{Points: []geom.Vec{p.Sub(geom.Vec{Y: joinArm}), p.Add(geom.Vec{Y: joinArm})}},
				scene.Line{Points: scene.Disc(p, joinRing), Closed: true})
			// The dashed line stops before the cross and goes on after the words.
			lines = append(lines, scene.Line{Points: []geom.Vec{a, p.Sub(along.Mul(joinArm + 0.5))}})
			code := itoa(j.number) + string(rune('a'+i))
			t.joins = append(t.joins, JoinMark{code, p})
			start := p.Add(along.Mul(joinArm + 1.5))
			base := geom.Vec{Y: scene.Bold.CapHeight(sizeSub) / 2}.Rotate(turn)
			meets := "meets " + g.name(other[0], other[1])
			codeWide := scene.Bold.Width(code, sizeSub) + 1.5
			end := start.Add(along.Mul(codeWide + scene.Regular.Width(meets, sizeSmall)))
			a = end.Add(along)
			plates = append(plates, scene.Rect(geom.BoxOf(start, end).Grow(1.3)), scene.Disc(p, joinRing))
			words = append(words, scene.Text{At: start.Add(base), Text: code, Font: scene.Bold, Size: sizeSub, Turn: turn, Colour: ink()},
				scene.Text{At: start.Add(base).Add(along.Mul(codeWide)), Text: meets, Size: sizeSmall, Turn: turn, Colour: ink()})
		}
		lines = append(lines, scene.Line{Points: []geom.Vec{a, b}})
	}
	t.Add(scene.Stroke{Lines: lines, Width: scene.Points(lineHair), Dash: dashMargin(), Colour: soft()},
		scene.Fill{Rings: plates, Colour: white().Faded(plate)},
		scene.Stroke{Lines: arms, Width: scene.Points(lineFine), Colour: ink()})
	t.Add(words...)
}

// Tile cuts a drawing into pages of the paper at true size; a drawing that
// fits, with its line of text, is one page. Pages that would show nothing of
// need are left out; nil stands for all that is drawn. name says on each page
// what it is a part of. On large paper there is one page.
func Tile(s *scene.Scene, name string, paper Paper, need []geom.Box) []*scene.Scene {
	pages, _ := tilesFrom(s, name, paper, need, 0)
	return pages
}

// tilesFrom is Tile with the letter of the first row of pages; it returns also
// how many letters were used.
func tilesFrom(s *scene.Scene, name string, paper Paper, need []geom.Box, letter int) (pages []*scene.Scene, used int) {
	const print = "true size: print at 100 %"
	if paper.Name == Large {
		t := tile{Scene: &scene.Scene{Width: math.Max(s.Width, leastLarge) + 2*printMargin, Height: s.Height + 2*printMargin + tileHead + ruleRoom}}
		t.Ops = scene.Shifted(s.Ops, geom.Vec{X: printMargin, Y: printMargin + tileHead}, geom.Box{Max: geom.Vec{X: t.Width, Y: t.Height}})
		t.head("", name, print)
		testRule(t.Scene, geom.Vec{X: printMargin + 1, Y: t.Height - printMargin - 1})
		return []*scene.Scene{t.Scene}, 0
	}
	if need == nil {
		need = drawnBoxes(s.Ops)
	}
	box := geom.Box{Max: geom.Vec{X: s.Width, Y: s.Height}}
	g := gridOf(box, paper, letter, func(g grid) []bool { return g.hit(need) })
	joins := g.joins(nil)
	for row := range g.rows {
		for col := range g.cols {
			if !g.isPrinted(col, row) {
				continue
			}
			t := g.blank(col, row)
			t.clip(s.Ops)
			t.join(g, joins, col, row)
			called := ""
			if g.count() > 1 {
				called = g.name(col, row)
			}
			t.head(called, name, print)
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

// drawnBoxes returns boxes that cover all lines and words of the operations.
func drawnBoxes(ops []scene.Op) []geom.Box {
	var out []geom.Box
	for _, op := range ops {
		switch o := op.(type) {
		case scene.Stroke:
			for _, l := range o.Lines {
				for i := 1; i < len(l.Points); i++ {
					out = append(out, geom.BoxOf(l.Points[i-1], l.Points[i]))
				}
				if n := len(l.Points); n > 0 && l.Closed {
					out = append(out, geom.BoxOf(l.Points[n-1], l.Points[0]))
				}
			}
		case scene.Fill:
			for _, r := range o.Rings {
				out = append(out, r.Box())
			}
		case scene.Text:
			out = append(out, o.Box())
		case scene.Clip:
			out = append(out, drawnBoxes(o.Inside)...)
		}
	}
	return out
}
