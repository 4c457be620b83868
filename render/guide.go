package render

import (
	"context"
	"math"
	"unicode"
	"unicode/utf8"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// The marking guide is the cloth at true size. Net laid over it shows every
// mark: a cross at the glue point, the mark's number and the cutout's faint
// outline in its turn. It is cut into pages of the paper; only pages with a
// mark are printed, with enough of an edge to show how the cloth lies on them.
// Lines run on over the pages, words are set page by page, so that none is cut
// through.

// Guide is the marking guide, ready to be printed.
type Guide struct {
	Pages []*scene.Scene // the first says how to use it
	Parts []Part         // what of the cloth is on them
	Tiles []Tile         // what is where on every page that shows cloth
}

// Tile is a page's window on a part of the cloth. Places on the page are in
// millimetres from its top left corner; the part's own frame moved by ToPage is
// the page's.
type Tile struct {
	Page, Part    int    // indexes into Pages and Parts
	Name          string // printed on the page
	ToPage        geom.Vec
	Frame         geom.Box           // where on the page the window is
	Marks         map[int]geom.Vec   // glue points by the marks' numbers, of crosses shown whole
	Registrations []RegistrationMark // where it meets other pages
}

// RegistrationMark is a ringed cross; the page it meets shows one of the same
// code.
type RegistrationMark struct {
	Code string   // the same on both pages
	At   geom.Vec // on the page, millimetres
}

// MarkingGuide draws the marking guide on the cloth's paper. On large paper it
// is one page. cautions are printed on the first page. Once the context ends the
// guide is not finished.
func MarkingGuide(ctx context.Context, c Cloth, marks []Mark, cautions []string) Guide {
	g := Guide{Parts: c.Parts(marks)}
	sheets := make([]*truePart, len(g.Parts))
	for i, p := range g.Parts {
		sheets[i] = c.truePart(p, marks)
	}
	if c.Paper.Name == Large {
		g.large(ctx, c, sheets, cautions)
		return g
	}
	grids := make([]grid, len(sheets))
	letter, pages := 0, 1
	for i, t := range sheets {
		grids[i] = gridOf(t.box, c.Paper, letter, t.shown)
		letter += grids[i].letters()
		pages += grids[i].count()
	}
	g.Pages = []*scene.Scene{c.firstPage(sheets, grids, pages, cautions)}
	for i, t := range sheets {
		g.tiled(ctx, c, t, grids[i], i)
	}
	return g
}

// truePart is a part of the cloth drawn at true size in its own frame, and
// where on it things lie.
type truePart struct {
	Part
	view    view
	here    []lyingOn
	drawing scene.Windows // lines and outlines; no words, no crosses
	lines   []named       // lines that are named where they show
	box     geom.Box      // of the cloth with its allowances
	marks   []geom.Box    // what must be printed of each mark
	hem     []geom.Box
	waist   []geom.Box
	inside  []geom.Box // points all over the cloth
}

// named is a line with its name.
type named struct {
	name say.Message
	line []geom.Vec
}

func (c Cloth) truePart(p Part, marks []Mark) *truePart {
	t := &truePart{Part: p, view: view{stretch: p.stretch, scale: 1, toPage: geom.Identity(), on: p.contents(marks)}}
	ops := append(t.view.underlay(), t.view.edges()...)
	t.box = p.box()
	for _, line := range p.cutEdges(c.SeamAllowance) {
		ops = append(ops, scene.Stroke{Lines: scene.Open(line...), Width: scene.Points(lineFine), Colour: ink()})
		t.lines = append(t.lines, named{say.New("cut edge"), line})
		t.box = t.box.Union(geom.BoxOf(line...))
	}
	t.drawing = scene.NewWindows(ops)
	t.box = t.box.Grow(1)
	drop := p.surface.Drop
	if p.drawn() {
		t.drawnLines()
	} else {
		hem, waist := t.view.line(drop), t.view.line(0)
		t.lines = append(t.lines, named{say.New("hem"), hem}, named{say.New("waist seam"), waist})
		t.lines = append(t.lines, t.sides()...)
		t.hem, t.waist = steps(hem), steps(waist)
	}
	for _, g := range t.view.on.guides {
		for _, line := range t.view.onCloth(g.down) {
			t.lines = append(t.lines, named{g.below(p.stretch), line})
		}
	}
	for _, l := range t.view.on.marks {
		if !l.here {
			continue
		}
		t.here = append(t.here, lyingOn{l.mark, l.at})
		// The cross whole, and of the outline enough to see its turn.
		box := geom.Box{Min: l.at, Max: l.at}.Grow(truePen().cross)
		for _, pc := range l.mark.Motif.Pieces {
			o := pc.Region.Outer.Transform(geom.Scaling(0.5, 0.5).Then(l.placing())).Box()
			box = box.Union(o)
		}
		t.marks = append(t.marks, box)
	}
	const gap = 25.0
	for d := gap / 2; d < drop; d += gap {
		for _, q := range p.row(p.from, p.to, d, 1) {
			if p.drawn() && !p.surface.Inside(skirt.Point{Panel: p.Panels[0], At: q}) {
				continue
			}
			t.inside = append(t.inside, geom.Box{Min: q, Max: q})
		}
	}
	return t
}

// sides names the edges at which the part ends and the seams in it.
func (t *truePart) sides() []named {
	n := t.surface.Panels
	inner, fromSeam, toSeam := t.seams()
	across := func(u float64) []geom.Vec {
		// Short steps, so that a name finds its place on any page.
		line := make([]geom.Vec, 0, 64)
		for d := 0.0; d < t.surface.Drop; d += 10 {
			line = append(line, t.at(u, d))
		}
		return append(line, t.at(u, t.surface.Drop))
	}
	seam := func(u float64) say.Message {
		k := int(math.Round(u))
		if n == 1 {
			return say.New("seam")
		}
		return say.New("seam of panels %d and %d", (k-1+n)%n+1, k%n+1)
	}
	end := func(u float64, isSeam bool) say.Message {
		if !isSeam {
			return say.New("the next repeat begins here")
		}
		if len(t.Panels) > 1 {
			return say.New("side seam")
		}
		return seam(u)
	}
	out := []named{{end(t.from, fromSeam), across(t.from)}}
	if !t.whole() {
		out = append(out, named{end(t.to, toSeam), across(t.to)})
	}
	for _, u := range inner {
		out = append(out, named{seam(u), across(u)})
	}
	return out
}

// steps returns the boxes of a line's steps.
func steps(line []geom.Vec) []geom.Box {
	out := make([]geom.Box, 0, len(line))
	for i := 1; i < len(line); i++ {
		out = append(out, geom.BoxOf(line[i-1], line[i]))
	}
	return out
}

// surely is the share of the hem or waist that the printed pages must show for
// the cloth to be aligned by it (judged by trying: three sides of a page that
// ends in the air are enough).
const surely = 0.8

// shown returns the pages with a mark and, where those do not show enough of
// the hem or of the waist to lay the cloth by, those of the shorter of the two
// as well. Where that leaves pages that meet no other, all of the cloth is
// printed.
func (t *truePart) shown(g grid) []bool {
	if len(t.marks) == 0 {
		return g.hit(append(t.hem, t.waist...))
	}
	out := g.hit(t.marks)
	share := func(edge []geom.Box) float64 {
		n := 0
		for _, b := range edge {
			if out[g.cellAt(b.Centre())] {
				n++
			}
		}
		return float64(n) / float64(len(edge))
	}
	if share(t.hem) < surely && share(t.waist) < surely {
		hem, waist := g.hit(t.hem), g.hit(t.waist)
		more := func(a []bool) (n int) {
			for i := range a {
				if a[i] && !out[i] {
					n++
				}
			}
			return n
		}
		edge := hem
		if more(waist) < more(hem) {
			edge = waist
		}
		for i := range out {
			out[i] = out[i] || edge[i]
		}
	}
	if !connected(out, g.cols) {
		for i, hit := range g.hit(t.inside) {
			out[i] = out[i] || hit
		}
	}
	return out
}

// connected reports whether the cells that are set are joined by their sides.
func connected(set []bool, cols int) bool {
	seen := make([]bool, len(set))
	groups := 0
	for i := range set {
		if !set[i] || seen[i] {
			continue
		}
		groups++
		reached := []int{i}
		seen[i] = true
		for len(reached) > 0 {
			k := reached[len(reached)-1]
			reached = reached[:len(reached)-1]
			for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				x, y := k%cols+d[0], k/cols+d[1]
				if j := y*cols + x; x >= 0 && x < cols && y >= 0 && j < len(set) && set[j] && !seen[j] {
					seen[j] = true
					reached = append(reached, j)
				}
			}
		}
	}
	return groups < 2
}

// tiled draws the pages of one part.
func (g *Guide) tiled(ctx context.Context, c Cloth, t *truePart, gr grid, part int) {
	crosses := make([]geom.Box, len(t.here))
	for i, h := range t.here {
		crosses[i] = geom.Box{Min: h.at, Max: h.at}.Grow(truePen().cross)
	}
	meetings := gr.registrations(crosses)
	words := facts(t.Name(c.Printer), c.Title)
	for row := range gr.rows {
		for col := range gr.cols {
			if ctx.Err() != nil {
				return
			}
			if !gr.isPrinted(col, row) {
				continue
			}
			page := gr.blank(col, row)
			page.clip(t.drawing)
			page.register(gr, meetings, [2]int{col, row}, c.Printer)
			here := t.letter(ctx, &page, c.Printer)
			page.head(gr.name(col, row), words, trueSize(c.Printer))
			g.Tiles = append(g.Tiles, page.placed(len(g.Pages), part, gr.name(col, row), here))
			g.Pages = append(g.Pages, page.Scene)
		}
	}
}

// letter draws what of a part is set page by page: the crosses with their
// numbers and the names of lines. It returns the marks of which the page shows
// the whole cross.
func (t *truePart) letter(ctx context.Context, page *tile, p say.Printer) []lyingOn {
	b := newBoard(page.frame.Grow(-1))
	b.take(page.taken...)
	with := truePen()
	var here []lyingOn
	for _, h := range t.here {
		at := h.at.Add(page.toPage)
		if page.frame.Grow(-with.cross).Contains(at) {
			here = append(here, lyingOn{h.mark, at})
			b.mark(geom.Box{Min: at, Max: at}.Grow(with.cross))
		}
	}
	var lines [][]geom.Vec
	for _, l := range t.lines {
		shifted := geom.Ring(l.line).Transform(geom.Translation(page.toPage))
		lines = append(lines, shifted)
		for i := 1; i < len(shifted); i++ {
			if geom.BoxOf(shifted[i-1], shifted[i]).Gap(page.frame) == 0 {
				b.line(shifted[i-1], shifted[i])
			}
		}
	}
	page.Add(arms(here, with.cross))
	numbers, _ := numberAll(ctx, b, here, with, true)
	page.Add(numbers...)
	for _, op := range numbers {
		switch o := op.(type) {
		case scene.Text:
			b.take(o.Box())
		case scene.Stroke:
			for _, l := range o.Lines {
				b.leader(l.Points[0], l.Points[1])
			}
		}
	}
	b.take(page.dashes...)
	for i, l := range t.lines {
		if text, ok := nameLine(p.Message(l.name), lines[i], b); ok {
			b.take(chunks(text)...)
			page.Add(text)
		}
	}
	return here
}

// placed says where on the page things are.
func (t *tile) placed(page, part int, name string, here []lyingOn) Tile {
	out := Tile{Page: page, Part: part, Name: name, ToPage: t.toPage, Frame: t.frame, Marks: map[int]geom.Vec{}, Registrations: t.registrations}
	for _, h := range here {
		out.Marks[h.mark.Number] = h.at
	}
	return out
}

// arms draws a cross at every mark.
func arms(here []lyingOn, arm float64) scene.Op {
	var out []scene.Line
	for _, h := range here {
		across, down := geom.Vec{X: arm}, geom.Vec{Y: arm}
		out = append(out, scene.Open(h.at.Sub(across), h.at.Add(across))...)
		out = append(out, scene.Open(h.at.Sub(down), h.at.Add(down))...)
	}
	return scene.Stroke{Lines: out, Width: scene.Points(lineFine), Colour: ink()}
}

// nameLine finds a place for a line's name beside it, where it shows on the
// board's page: from the middle of what shows outwards.
func nameLine(name string, line []geom.Vec, b *board) (scene.Text, bool) {
	var spots [][2]geom.Vec // a place on the line and the way it runs there
	for i := 1; i < len(line); i++ {
		d := line[i].Sub(line[i-1])
		n := max(1, int(d.Len()/4))
		for j := range n {
			at := line[i-1].Lerp(line[i], (float64(j)+0.5)/float64(n))
			if b.page.Contains(at) {
				spots = append(spots, [2]geom.Vec{at, d})
			}
		}
	}
	for k := range spots {
		// The middle first, then by turns to either side.
		i := len(spots)/2 + (k+1)/2*(1-2*(k%2))
		if i < 0 || i >= len(spots) {
			continue
		}
		turn := math.Atan2(spots[i][1].Y, spots[i][1].X)
		off := geom.Vec{Y: scene.Regular.CapHeight(sizeSmall)/2 + 1.6}.Rotate(turn)
		for _, side := range []geom.Vec{off.Mul(-1), off} {
			t := along(name, spots[i][0].Add(side), turn, sizeSmall, scene.Regular, soft())
			if b.free(chunks(t)...) {
				return t, true
			}
		}
	}
	return scene.Text{}, false
}

// large draws all parts on one page, below how to use it.
func (g *Guide) large(ctx context.Context, c Cloth, parts []*truePart, cautions []string) {
	const gap = 15.0
	cols, size := bestColumns(parts, gap)
	width := math.Max(size.X, 180) + 2*marginPage
	sc := &scene.Scene{Width: width, Height: 1e5}
	top := c.howTo(sc, parts, c.Say("one large sheet"), nil, cautions, math.Min(width, 420)) + gapBlock + ruleRoom
	testRule(sc, geom.Vec{X: marginPage, Y: top}, c.Printer)
	top += gap
	sc.Height = top + size.Y + marginPage
	g.Pages = []*scene.Scene{sc}
	y := top
	for first := 0; first < len(parts); first += cols {
		x, high := marginPage, 0.0
		for i, t := range parts[first:min(len(parts), first+cols)] {
			page := tile{Scene: sc, window: t.box.Grow(partRoom)}
			page.toPage = geom.Vec{X: x, Y: y}.Sub(page.window.Min)
			page.frame = geom.Box{Min: geom.Vec{X: x, Y: y}, Max: page.window.Max.Add(page.toPage)}
			sc.Add(t.drawing.Shifted(page.toPage, page.frame)...)
			name := scene.Text{At: page.frame.Min.Add(geom.Vec{Y: scene.Bold.Ascent(sizeTitle)}), Text: capital(t.Name(c.Printer)), Font: scene.Bold, Size: sizeTitle, Colour: ink()}
			sc.Add(name)
			page.taken = append(page.taken, name.Box())
			here := t.letter(ctx, &page, c.Printer)
			g.Tiles = append(g.Tiles, page.placed(0, first+i, "", here))
			x += page.frame.Width() + gap
			high = math.Max(high, page.frame.Height())
		}
		y += high + gap
	}
}

// capital returns the text with its first letter as a capital.
func capital(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[n:]
}

// partRoom is the white round a part on large paper, for its words.
const partRoom = 8.0

// largestPage is the longest side of a page, in millimetres, that every PDF
// reader takes: 14 400 points (ISO 32000-1, annex C.2), less a margin for the
// words above the drawing.
const largestPage = 14400/72*25.4 - 150

// bestColumns returns in how many columns the parts make the sheet whose
// shorter side is least, since copy shops print on rolls, and how large
// they are together. Sheets longer than a PDF page may be come last.
func bestColumns(parts []*truePart, gap float64) (cols int, size geom.Vec) {
	least := math.Inf(1)
	for n := 1; n <= len(parts); n++ {
		var all geom.Vec
		for first := 0; first < len(parts); first += n {
			wide, high := -gap, 0.0
			for _, t := range parts[first:min(len(parts), first+n)] {
				wide += t.box.Width() + 2*partRoom + gap
				high = math.Max(high, t.box.Height()+2*partRoom)
			}
			all = geom.Vec{X: math.Max(all.X, wide), Y: all.Y + high + gap}
		}
		s := math.Min(all.X, all.Y)
		if long := math.Max(all.X, all.Y); long > largestPage {
			s += 1e6 + long
		}
		if s < least {
			least, cols, size = s, n, all
		}
	}
	return cols, size
}
