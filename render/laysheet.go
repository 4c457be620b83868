package render

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Lay is one sheet of felt with what is cut from it, seen right side up with
// its top left corner at the origin, millimetres.
type Lay struct {
	say.Printer
	Title         string // of the plan
	Sheet         string // what the felt is called
	Number, Of    int    // as in "sheet 2 of 3" of its kind; Of 0: not said
	Colour        string // "#rrggbb"
	Width, Height float64
	Margin        float64    // kept free along every edge
	Cuts          []Cut      // in cutting order: the first is numbered 1
	LeftOver      []geom.Box // felt to keep
	Mirrored      bool       // the maker traces on the back: the drawing is turned over left to right
	Paper         Paper
}

// Cut is one piece on the sheet.
type Cut struct {
	Region geom.Region // where it lies
	Name   string      // the motif's
	Size   float64     // 1: as drawn
	Middle geom.Vec    // of the widest circle inside it, where its number goes; zero: not known
}

// LaySheet draws where to cut on one sheet, on a page of the paper, or of twice
// or four times its sides where the pieces would be too small for their
// numbers: every outline true to shape, faintly filled in the felt's colour,
// numbered in cutting order. Write it at SheetDPI. Once the context ends the
// numbers are not finished.
func LaySheet(ctx context.Context, l Lay) *scene.Scene {
	const m = marginPage
	groups := l.groups()
	title, about := l.words()
	head := func(sc *scene.Scene) geom.Box {
		const chip = 9.0 // of the felt, in the top right corner
		corner := geom.Vec{X: sc.Width - m, Y: m + 1}
		wide := math.Max(chip, scene.Regular.Width(l.Colour, sizeSmall))
		square := scene.Rect(geom.Box{Min: corner.Sub(geom.Vec{X: chip}), Max: corner.Add(geom.Vec{Y: chip})})
		sc.Add(scene.Fill{Rings: []geom.Ring{square}, Colour: felt(l.Colour)}, scene.Stroke{Lines: scene.Closed(square), Width: scene.Points(lineFine), Colour: edgeOf(felt(l.Colour))},
			scene.Text{At: corner.Add(geom.Vec{Y: chip + 3}), Text: l.Colour, Size: sizeSmall, Anchor: scene.End, Colour: soft()})
		top := heading(sc, geom.Vec{X: m, Y: m}, sc.Width-2*m-wide-3, l.Title, title, about) + 3
		foot := sc.Height - m - barHeight - gapBlock - listOf(l.Printer, groups, sc.Width-2*m, sc.Height*mostList).height
		return geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: foot}}
	}
	usual := l.Paper
	if usual.Width <= 0 {
		usual = Paper(geom.A4())
	}
	paper, lying, scale := usual, false, 0.0
	for {
		lying, scale = false, 0
		for _, landscape := range []bool{false, true} {
			area := head(paper.page(landscape))
			if k := math.Min(area.Width()/l.Width, (area.Height()-2)/l.Height); k > scale*1.03 {
				lying, scale = landscape, k
			}
		}
		if paper.Width >= mostEnlarged*usual.Width || !l.crowded(scale) {
			break
		}
		paper.Width, paper.Height = 2*paper.Width, 2*paper.Height
	}
	sc := paper.page(lying)
	area := head(sc)
	if scale <= 0 {
		return sc
	}
	l.draw(ctx, sc, geom.Vec{X: area.Centre().X - l.Width*scale/2, Y: area.Min.Y + (area.Height()-l.Height*scale)/3}, scale)
	scaleBar(sc, geom.Vec{X: m, Y: sc.Height - m - barHeight + 1}, scale, 50, l.Printer)
	listOf(l.Printer, groups, sc.Width-2*m, sc.Height*mostList).draw(sc, geom.Vec{X: m, Y: area.Max.Y + 1})
	return sc
}

const (
	// mostEnlarged is by how much the sides of a lay's page may grow.
	mostEnlarged = 4
	// numberRoom is the radius in which a number of two or three digits of the
	// smallest size fits, millimetres on the page.
	numberRoom = 1.6
	// mostCrowded is the share of pieces whose numbers may stand beside them.
	mostCrowded = 0.2
)

// crowded reports whether too many pieces are too small for their numbers when
// drawn at the scale.
func (l Lay) crowded(scale float64) bool {
	small := 0
	for _, c := range l.Cuts {
		middle := c.Middle
		if middle == (geom.Vec{}) {
			middle, _ = geom.Pole([]geom.Region{c.Region}, 0.1)
		}
		if c.Region.EdgeDist(middle)*scale < numberRoom {
			small++
		}
	}
	return float64(small) > mostCrowded*float64(len(l.Cuts))
}

// CutSheet draws the sheet alone at true size: the drawing is as large as the
// sheet.
func CutSheet(ctx context.Context, l Lay) *scene.Scene {
	sc := &scene.Scene{Width: l.Width, Height: l.Height}
	l.draw(ctx, sc, geom.Vec{}, 1)
	return sc
}

// words says which sheet it is and how it is to be used.
func (l Lay) words() (title, about string) {
	title, about = l.size()
	if len(l.LeftOver) > 0 {
		about = facts(about, l.Say("hatched: left over"))
	}
	if l.Mirrored {
		about = facts(about, l.Say("traced on the back: shown mirrored"))
	}
	return title, about
}

// size says which sheet it is, how large and with how much on it.
func (l Lay) size() (title, about string) {
	title = l.Sheet
	switch {
	case l.Of > 0:
		title = l.Say("%s, sheet %d of %d", l.Sheet, l.Number, l.Of)
	case l.Number > 0:
		title = l.Say("%s, sheet %d", l.Sheet, l.Number)
	}
	about = facts(l.Say("%s × %s", geom.Length(l.Width), geom.Length(l.Height)), l.Many(len(l.Cuts), "%d piece", "%d pieces"))
	if l.Margin > 0 {
		about = facts(about, l.Say("margin %s", geom.Length(l.Margin)))
	}
	return title, about
}

// draw draws the sheet with its top left corner at at.
func (l Lay) draw(ctx context.Context, sc *scene.Scene, at geom.Vec, scale float64) {
	toPage := geom.Scaling(scale, scale).Then(geom.Translation(at))
	if l.Mirrored {
		toPage = geom.Affine{A: -1, D: 1, E: l.Width}.Then(toPage)
	}
	sheet := geom.Box{Max: geom.Vec{X: l.Width, Y: l.Height}}
	edge := scene.Rect(sheet).Transform(toPage)
	colour := felt(l.Colour)
	sc.Add(scene.Fill{Rings: []geom.Ring{edge}, Colour: colour.Faded(0.06)})
	if l.Margin > 0 && 2*l.Margin < math.Min(l.Width, l.Height) {
		sc.Add(scene.Stroke{Lines: scene.Closed(scene.Rect(sheet.Grow(-l.Margin)).Transform(toPage)), Width: scene.Points(lineHair), Dash: dashMargin(), Colour: soft()})
	}
	sc.Add(scene.Stroke{Lines: scene.Closed(edge), Width: scene.Points(lineHem), Colour: ink()})
	b := newBoard(geom.BoxOf(edge...).Grow(-0.5))
	for _, left := range l.LeftOver {
		corners := scene.Rect(left).Transform(toPage)
		size := l.Say("%s × %s", geom.Length(left.Width()), geom.Length(left.Height()))
		sc.Add(keep(geom.BoxOf(corners...), size, b)...)
	}
	pieces := make([]geom.Region, len(l.Cuts))
	middles := make([]geom.Vec, len(l.Cuts))
	for i, c := range l.Cuts {
		pieces[i] = c.Region.Transform(toPage)
		if middles[i] = toPage.Apply(c.Middle); c.Middle == (geom.Vec{}) {
			middles[i], _ = geom.Pole([]geom.Region{pieces[i]}, 0.1)
		}
		rings := pieces[i].Rings()
		sc.Add(scene.Fill{Rings: rings, Colour: colour.Faded(0.3), EvenOdd: true},
			scene.Stroke{Lines: scene.Closed(rings...), Width: scene.Points(lineOutline), Colour: ink()})
	}
	sc.Add(numberPieces(ctx, b, pieces, middles)...)
}

// numberPieces writes each piece's number in its middle, that of its widest place,
// as large as fits there; where not even the smallest fits, beside the piece,
// on a leader if need be.
func numberPieces(ctx context.Context, b *board, pieces []geom.Region, middles []geom.Vec) []scene.Op {
	var ops []scene.Op
	for _, g := range pieces {
		for _, ring := range g.Rings() {
			for k := range ring {
				b.line(ring[k], ring.At(k+1))
			}
		}
	}
	var outside []lyingOn
	for i, at := range middles {
		if ctx.Err() != nil {
			break
		}
		placed := false
		for size := float64(sizeSub); size >= sizeLeast && !placed; size -= 0.5 {
			w := wanted{at: at, width: scene.Bold.Width(itoa(i+1), size), height: scene.Bold.CapHeight(size)}
			if box := w.box(geom.Vec{}); b.grade(box, at) == andOff {
				ops = append(ops, numberAt(at, i+1, size))
				b.take(box)
				placed = true
			}
		}
		if !placed {
			outside = append(outside, lyingOn{Mark{Number: i + 1}, at})
		}
	}
	beside := mapPen()
	beside.shy = true
	numbers, _ := numberAll(ctx, b, outside, beside, true)
	return append(ops, numbers...)
}

// group is the pieces of one motif and size on a sheet.
type group struct {
	name    string
	size    float64
	numbers []int
}

func (l Lay) groups() []group {
	var out []group
	for i, c := range l.Cuts {
		j := slices.IndexFunc(out, func(g group) bool { return g.name == c.Name && sameSize(g.size, c.Size) })
		if j < 0 {
			j = len(out)
			out = append(out, group{name: c.Name, size: c.Size})
		}
		out[j].numbers = append(out[j].numbers, i+1)
	}
	return out
}
