package render

import (
	"math"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// firstPage says how to use the guide, and shows how its pages lie.
func (c Cloth) firstPage(parts []*truePart, grids []grid, pages int, cautions []string) *scene.Scene {
	sc := c.Paper.page(false)
	sheets := c.Many(pages, "%d sheet of %s, this one included", "%d sheets of %s, this one included", c.Paper.called())
	y := c.howTo(sc, parts, sheets, grids, cautions, sc.Width) + gapBlock
	c.overview(sc, geom.Box{Min: geom.Vec{X: marginPage, Y: y}, Max: geom.Vec{X: sc.Width - marginPage, Y: sc.Height - marginPage}}, parts, grids)
	return sc
}

// howTo writes what the guide is, how to print and use it, and the test square,
// and returns how far down it reaches.
func (c Cloth) howTo(sc *scene.Scene, parts []*truePart, sheets string, grids []grid, cautions []string, width float64) float64 {
	steps := []string{printTrue(c.Printer)}
	if grids != nil {
		steps = append(steps, c.Say("Lay the pages as shown below. Where two meet, put the ringed crosses with the same number on top of each other: cut or fold one page along the dashed line between them, and tape the two together."))
	}
	steps = append(steps, c.layNet(parts),
		c.Say("Mark the net with a dot or a clip at every cross: that is where a cutout is glued. The faint outline shows which cutout it is and how it is turned; the number is the mark's number in placement.png and marking.csv."))
	for _, p := range parts {
		if use := p.Use(c.Printer); use != "" {
			steps = append(steps, use)
		}
	}
	return coverPage{c.Printer, c.Title, facts(c.Say("Marking guide, true to size"), sheets), steps, cautions}.draw(sc, width)
}

// layNet says how the net is laid on the paper.
func (c Cloth) layNet(parts []*truePart) string {
	var lay string
	switch {
	case len(parts) > 0 && parts[0].drawn():
		lay = c.Say("Lay the net on the paper right side up: its edges on the full lines, seams on the dashed ones. Weight it down.")
	case len(parts) > 0 && parts[0].whole():
		lay = c.Say("Lay the net on the paper right side up: waist on the thick line, hem on the outer line.")
	default:
		lay = c.Say("Lay the net on the paper right side up: hem on hem, waist on the thick line, seams on the dashed lines. Weight it down.")
	}
	if c.SeamAllowance > 0 && len(parts) > 0 && len(parts[0].cutEdges(c.SeamAllowance)) > 0 {
		lay += " " + c.Say("The thin line %s outside a seam is the cut edge.", geom.Length(c.SeamAllowance))
	}
	return lay
}

// printTrue says how pages at true size are printed, and trueSize the same in
// few words.
func printTrue(p say.Printer) string {
	return p.Say("Print at 100 %, “actual size”, never “fit to page”. Measure the square and the bar with a ruler: if they are off, everything is.")
}

func trueSize(p say.Printer) string { return p.Say("true size: print at 100 %") }

// coverPage is what the first page of a file says.
type coverPage struct {
	say.Printer
	title, sub      string
	steps, cautions []string
}

// draw writes the title, the numbered steps beside the test square, and the
// cautions, from the top of a page, and returns how far down it reaches.
func (c coverPage) draw(sc *scene.Scene, width float64) float64 {
	const m = marginPage
	side := testSide(unitOf(c.Printer))
	y := heading(sc, geom.Vec{X: m, Y: m}, width-2*m, c.title, c.sub) + gapBlock
	square := testSquare(sc, geom.Vec{X: width - m - side, Y: y}, c.Printer)
	column := width - 2*m - side - 2*gapBlock
	for i, s := range c.steps {
		y = paragraph(sc, geom.Vec{X: m, Y: y}, column, sizeSub, itoa(i+1), s) + 1.2
	}
	y = math.Max(y, square) + 1
	for _, s := range c.cautions {
		y = paragraph(sc, geom.Vec{X: m, Y: y}, width-2*m, sizeSmall, "!", s) + 0.4
	}
	return y
}

// paragraph writes text in lines of at most width, with a bold sign before the
// first, and returns how far down it reaches.
func paragraph(sc *scene.Scene, at geom.Vec, width, size float64, sign, text string) float64 {
	const most = 40 // lines, more than any page of ours has room for
	indent := 0.0
	if sign != "" {
		indent = 5
	}
	line := scene.Points(size) * 1.32
	y := at.Y
	for i, l := range scene.Regular.Wrap(scene.Regular.Clean(text), size, width-indent, most) {
		y += line
		base := y - scene.Regular.Descent(size)
		if i == 0 && sign != "" {
			sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: base}, Text: sign, Font: scene.Bold, Size: size, Colour: ink()})
		}
		sc.Add(scene.Text{At: geom.Vec{X: at.X + indent, Y: base}, Text: l, Size: size, Colour: ink()})
	}
	return y
}

// testSide is the side of the test square, millimetres: 50 mm, or 2 in.
func testSide(u geom.Unit) float64 {
	if u == geom.Inch || u == geom.Foot {
		return 2 * 25.4
	}
	return 50
}

// testBar is the length of the test bar in millimetres, whatever the unit.
const testBar = 100.0

// testSquare draws the test square, its top left corner at at, and returns how
// far down it and its words reach.
func testSquare(sc *scene.Scene, at geom.Vec, p say.Printer) float64 {
	side := testSide(unitOf(p))
	box := geom.Box{Min: at, Max: at.Add(geom.Vec{X: side, Y: side})}
	sc.Add(scene.Stroke{Lines: scene.Closed(scene.Rect(box)), Width: scene.Points(lineOutline), Colour: ink()})
	name := p.Say("50 mm each way")
	if side != 50 {
		name = p.Say("2 in each way")
	}
	const margin = 11.5 // beside the words
	y := box.Centre().Y - 6
	write := func(text string, font scene.Font, size float64, colour scene.Colour, lines int) {
		for part := range strings.SplitSeq(text, "\n") { // a translator breaks lines where they read well
			for _, l := range font.Wrap(part, size, side-2*margin, lines) {
				sc.Add(scene.Text{At: geom.Vec{X: box.Centre().X, Y: y}, Text: l, Font: font, Size: size, Anchor: scene.Middle, Colour: colour})
				y += 4.6
			}
		}
	}
	write(p.Say("Test square"), scene.Bold, sizeSub, ink(), 1)
	write(name, scene.Bold, sizeSub, ink(), 1)
	write(p.Say("if it is not,\nprint again at 100 %"), scene.Regular, sizeSmall, soft(), 2)
	return box.Max.Y
}

// testRule draws the test bar from at to the right: a line between two end
// marks, a tick every centimetre.
func testRule(sc *scene.Scene, at geom.Vec, p say.Printer) {
	var lines []scene.Line
	add := func(x, up float64) {
		lines = append(lines, scene.Open(at.Add(geom.Vec{X: x}), at.Add(geom.Vec{X: x, Y: -up}))...)
	}
	for x := 0.0; x <= testBar; x += 10 {
		up := 1.6
		if x == 0 || x == testBar {
			up = 4
		}
		add(x, up)
	}
	lines = append(lines, scene.Open(at, at.Add(geom.Vec{X: testBar}))...)
	sc.Add(scene.Stroke{Lines: lines, Width: scene.Points(lineFine), Colour: ink()},
		scene.Text{At: at.Add(geom.Vec{X: testBar / 2, Y: -2.4}), Text: p.Say("test bar: 100 mm, just under 4 in"), Size: sizeSmall, Anchor: scene.Middle, Colour: soft()})
}

// overview shows how the pages lie on the cloth, each with its name.
func (c Cloth) overview(sc *scene.Scene, area geom.Box, parts []*truePart, grids []grid) {
	const gap, name = 6.0, 5.0
	testRule(sc, geom.Vec{X: area.Min.X, Y: area.Max.Y - 0.5}, c.Printer)
	area.Max.Y -= 8
	boxes := make([]geom.Box, len(parts))
	big := geom.Vec{}
	for i, t := range parts {
		b := t.box
		for row := range grids[i].rows {
			for col := range grids[i].cols {
				if grids[i].isPrinted(col, row) {
					b = b.Union(grids[i].window(col, row))
				}
			}
		}
		boxes[i] = b
		big = geom.Vec{X: math.Max(big.X, b.Width()), Y: math.Max(big.Y, b.Height())}
	}
	scale, cols := 0.0, 1
	for n := 1; n <= len(parts); n++ {
		rows := float64((len(parts) + n - 1) / n)
		k := math.Min((area.Width()-gap*float64(n-1))/float64(n)/big.X, (area.Height()-rows*(name+gap)+gap)/rows/big.Y)
		if k > scale {
			scale, cols = k, n
		}
	}
	if scale <= 0 {
		return
	}
	scale = math.Min(scale, 0.35) // small cloth needs no large overview
	for i, t := range parts {
		x := area.Min.X + float64(i%cols)*(big.X*scale+gap)
		y := area.Min.Y + float64(i/cols)*(big.Y*scale+gap+name) + name
		if cols == 1 {
			x = area.Centre().X - boxes[i].Width()*scale/2
		}
		toPage := geom.Scaling(scale, scale).Then(geom.Translation(geom.Vec{X: x, Y: y}.Sub(boxes[i].Min.Mul(scale))))
		sc.Add(scene.Text{At: geom.Vec{X: x, Y: y - 1.5}, Text: scene.Bold.Shorten(c.Say("How the pages lie: %s", t.Name(c.Printer)), sizeText, math.Max(30, big.X*scale)), Font: scene.Bold, Size: sizeText, Colour: ink()})
		v := view{stretch: t.stretch, scale: scale, toPage: toPage}
		for _, r := range v.rings(0, v.surface.Drop) {
			sc.Add(scene.Fill{Rings: []geom.Ring{r}, Colour: faint().Faded(0.14), EvenOdd: true})
			if v.whole() {
				break
			}
		}
		sc.Add(v.edges()...)
		var dots []geom.Ring
		for _, h := range t.here {
			dots = append(dots, scene.Disc(toPage.Apply(h.at), 0.45))
		}
		sc.Add(scene.Fill{Rings: dots, Colour: soft()})
		var frames, plates []geom.Ring // plates keep dots off the names
		var names []scene.Op
		g := grids[i]
		size := math.Min(12, math.Max(sizeLeast, g.step().X*scale/scene.Points(1)/2.6))
		for row := range g.rows {
			for col := range g.cols {
				if g.isPrinted(col, row) {
					b := g.core(col, row)
					ring := scene.Rect(b).Transform(toPage)
					frames = append(frames, ring)
					at := toPage.Apply(b.Centre())
					half := geom.Vec{X: scene.Bold.Width(g.name(col, row), size)/2 + 0.6, Y: scene.Bold.CapHeight(size)/2 + 0.6}
					plates = append(plates, scene.Rect(geom.Box{Min: at.Sub(half), Max: at.Add(half)}))
					names = append(names, scene.Text{At: at.Add(geom.Vec{Y: scene.Bold.CapHeight(size) / 2}), Text: g.name(col, row), Font: scene.Bold, Size: size, Anchor: scene.Middle, Colour: ink()})
				}
			}
		}
		sc.Add(scene.Fill{Rings: frames, Colour: white().Faded(0.25)},
			scene.Stroke{Lines: scene.Closed(frames...), Width: scene.Points(lineFine), Colour: ink()},
			scene.Fill{Rings: plates, Colour: white().Faded(0.85)})
		sc.Add(names...)
	}
}
