package render

import (
	"context"
	"math"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Gauge is one piece of a motif with what was measured on it.
type Gauge struct {
	say.Printer
	Name     string // what the maker calls the piece
	Piece    motif.Piece
	Measures motif.PieceMeasures
	Facts    []Fact // written beside the piece
}

// Fact is a line of words: what it is, and its value.
type Fact struct{ Name, Value string }

// Lengths on a page of measures, in millimetres.
const (
	gaugeWide   = 122.0 // of a drawing with its size arrows
	gaugeHigh   = 118.0 // at most
	gaugeRound  = 9.0   // room round the piece for labels that find none on it
	gaugeArrows = 6.0   // room for a size arrow with its figure
	gaugeFacts  = 62.0  // width of the words beside it
	factName    = 27.0  // width of the names in it
	gaugeBar    = 50.0  // longest scale bar
	arrowHead   = 1.8
)

// Measured draws pieces one below the other, each as large as there is room,
// with what was measured where it was: sizes, the narrowest felt and slot, the
// sharpest inner corner, the widest circle with its centre and the square that
// hides in it. more is how many pieces are left out. Write it at PageDPI.
func Measured(title, below string, list []Gauge, more int) *scene.Scene {
	const m = marginPage
	sc := &scene.Scene{Width: 2*m + gaugeWide + gapBlock + gaugeFacts}
	y := heading(sc, geom.Vec{X: m, Y: m}, sc.Width-2*m, title, below) + gapBlock
	for _, g := range list {
		if len(list)+more > 1 {
			y += scene.Points(sizeSub) * 1.2
			sc.Add(scene.Text{At: geom.Vec{X: m, Y: y}, Text: scene.Bold.Shorten(scene.Bold.Clean(g.Name), sizeSub, gaugeWide), Font: scene.Bold, Size: sizeSub, Colour: ink()})
			y += 2
		}
		foot := g.draw(sc, geom.Vec{X: m, Y: y})
		y = math.Max(foot, g.words(sc, geom.Vec{X: m + gaugeWide + gapBlock, Y: y})) + gapBlock
	}
	if more > 0 && len(list) > 0 {
		sc.Add(scene.Text{At: geom.Vec{X: m, Y: y}, Text: list[0].Many(more, "and %d more piece", "and %d more pieces"), Size: sizeSub, Colour: soft()})
		y += 2
	}
	sc.Height = y + m - gapBlock
	return sc
}

// words writes the facts below one another and returns how far down they
// reach. A fact without a value is left out.
func (g Gauge) words(sc *scene.Scene, at geom.Vec) float64 {
	y := at.Y
	for _, f := range g.Facts {
		if f.Value == "" {
			continue
		}
		y += scene.Points(sizeText) * 1.5
		sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y}, Text: scene.Regular.Shorten(f.Name, sizeSmall, factName-1), Size: sizeSmall, Colour: soft()})
		for i, line := range scene.Regular.Wrap(scene.Regular.Clean(f.Value), sizeText, gaugeFacts-factName, 3) {
			if i > 0 {
				y += scene.Points(sizeText) * 1.25
			}
			sc.Add(scene.Text{At: geom.Vec{X: at.X + factName, Y: y}, Text: line, Size: sizeText, Colour: ink()})
		}
	}
	return y
}

// draw draws the piece with its marks, and its scale bar below; corner is the
// top left corner. It returns how far down the drawing reaches.
func (g Gauge) draw(sc *scene.Scene, corner geom.Vec) float64 {
	box := g.Piece.Region.Box()
	const wide, high = gaugeWide - 2*gaugeRound - gaugeArrows, gaugeHigh - 2*gaugeRound - gaugeArrows
	unit := unitOf(g.Printer)
	// A speck is not drawn larger than its scale bar allows.
	scale := math.Min(math.Min(wide/box.Width(), high/box.Height()), gaugeBar/(barLengths(unit)[0]*unit.MM()))
	size := geom.Vec{X: box.Width() * scale, Y: box.Height() * scale}
	middle := corner.Add(geom.Vec{X: gaugeRound + wide/2, Y: gaugeRound + size.Y/2})
	area := geom.Box{Min: corner, Max: corner.Add(geom.Vec{X: gaugeWide, Y: 2*gaugeRound + size.Y + gaugeArrows})}
	toPage := geom.Translation(box.Centre().Mul(-1)).Then(geom.Placing(middle, 0, scale, false))
	shape := g.Piece.Region.Transform(toPage)
	rings := shape.Rings()
	sc.Add(scene.Fill{Rings: rings, Colour: felt(g.Piece.Colour).Faded(0.22), EvenOdd: true},
		scene.Stroke{Lines: scene.Closed(rings...), Width: scene.Points(lineOutline), Colour: ink()})
	b := newBoard(area)
	for _, ring := range rings {
		for k := range ring {
			b.line(ring[k], ring.At(k+1))
		}
	}
	var want []wanted
	var texts []string
	label := func(at geom.Vec, text string) {
		texts = append(texts, text)
		want = append(want, wanted{at: at, width: scene.Bold.Width(text, sizeSmall), height: scene.Bold.CapHeight(sizeSmall) + 0.6, clear: 1.2, shy: true})
	}

	m := g.Measures
	g.circle(sc, b, toPage, scale)
	label(toPage.Apply(m.Widest.At), g.Say("circle %s", say.Fine(2*m.Widest.Radius)))
	felt := onPage(m.Felt, toPage)
	calliper(sc, b, felt)
	label(felt.From.Lerp(felt.To, 0.5), g.Say("felt %s", say.Fine(m.Felt.Width())))
	if m.Slot != (motif.Place{}) {
		slot := onPage(m.Slot, toPage)
		sizeArrow(sc, b, slot.From, slot.To, geom.Vec{})
		name := g.Say("slot %s", say.Fine(m.Slot.Width()))
		if g.Piece.Region.Outer.Contains(m.Slot.From.Lerp(m.Slot.To, 0.5)) {
			name = g.Say("hole %s", say.Fine(m.Slot.Width()))
		}
		label(slot.From.Lerp(slot.To, 0.5), name)
	}
	if c := m.InnerCorner; c != (motif.Corner{}) {
		at := toPage.Apply(c.At)
		cornerMark(sc, b, at, c.Before.Sub(c.At), c.After.Sub(c.At))
		label(at, g.Say("corner %.0f°", c.Angle*180/math.Pi))
	}

	low := geom.BoxOf(rings[0]...)
	off := geom.Vec{Y: gaugeRound + gaugeArrows/2}
	sizeArrow(sc, b, geom.Vec{X: low.Min.X, Y: low.Max.Y}, geom.Vec{X: low.Max.X, Y: low.Max.Y}, off)
	g.figure(sc, b, geom.Vec{X: low.Centre().X, Y: low.Max.Y}.Add(off), g.Say("%s", say.Fine(m.Width)), 0)
	off = geom.Vec{X: gaugeRound + gaugeArrows/2}
	sizeArrow(sc, b, geom.Vec{X: low.Max.X, Y: low.Min.Y}, geom.Vec{X: low.Max.X, Y: low.Max.Y}, off)
	g.figure(sc, b, geom.Vec{X: low.Max.X, Y: low.Centre().Y}.Add(off), g.Say("%s", say.Fine(m.Height)), -math.Pi/2)

	for _, w := range want {
		b.mark(geom.Box{Min: w.at, Max: w.at}.Grow(w.clear))
	}
	for i, l := range b.place(context.Background(), want, anything()) {
		if !l.placed {
			continue // it stands among the facts in any case
		}
		if l.led {
			sc.Add(scene.Stroke{Lines: scene.Open(l.leader[:]...), Width: scene.Points(lineHair), Colour: ink()})
		}
		sc.Add(scene.Fill{Rings: []geom.Ring{scene.Rect(l.box.Grow(0.3))}, Colour: white().Faded(0.75)},
			scene.Text{At: geom.Vec{X: l.box.Centre().X, Y: l.box.Max.Y - 0.3}, Text: texts[i], Font: scene.Bold, Size: sizeSmall, Anchor: scene.Middle, Colour: ink()})
	}
	scaleBar(sc, geom.Vec{X: area.Min.X, Y: area.Max.Y + gapBlock}, scale, gaugeBar, g.Printer)
	return area.Max.Y + gapBlock + barHeight
}

// circle draws the widest circle with a cross at its centre and the square
// that hides in it.
func (g Gauge) circle(sc *scene.Scene, b *board, toPage geom.Affine, scale float64) {
	const arm = 2.2
	c, r := toPage.Apply(g.Measures.Widest.At), g.Measures.Widest.Radius*scale
	half := geom.Vec{X: r / math.Sqrt2, Y: r / math.Sqrt2}
	disc, square := scene.Disc(c, r), scene.Rect(geom.Box{Min: c.Sub(half), Max: c.Add(half)})
	sc.Add(scene.Stroke{Lines: scene.Closed(disc), Width: scene.Points(lineFine), Dash: dashSeam(), Colour: soft()},
		scene.Stroke{Lines: scene.Closed(square), Width: scene.Points(lineHair), Dash: dashCut(), Colour: soft()},
		scene.Stroke{Lines: append(scene.Open(c.Add(geom.Vec{X: -arm}), c.Add(geom.Vec{X: arm})), scene.Open(c.Add(geom.Vec{Y: -arm}), c.Add(geom.Vec{Y: arm}))...),
			Width: scene.Points(lineSeam), Colour: ink()})
	for _, ring := range []geom.Ring{disc, square} {
		for k := range ring {
			b.line(ring[k], ring.At(k+1))
		}
	}
}

func onPage(p motif.Place, toPage geom.Affine) motif.Place {
	return motif.Place{From: toPage.Apply(p.From), To: toPage.Apply(p.To)}
}

// calliper draws a stout line across the felt with a jaw at each end.
func calliper(sc *scene.Scene, b *board, p motif.Place) {
	const jaw = 1.6
	along := p.To.Sub(p.From)
	if along.Len() == 0 {
		return
	}
	across := along.Mul(jaw / along.Len()).Rotate(math.Pi / 2)
	lines := scene.Open(p.From, p.To)
	for _, e := range []geom.Vec{p.From, p.To} {
		lines = append(lines, scene.Open(e.Sub(across), e.Add(across))...)
	}
	sc.Add(scene.Stroke{Lines: lines, Width: scene.Points(lineWaist) * 0.7, Colour: ink()})
	for _, l := range lines {
		b.line(l.Points[0], l.Points[1])
	}
}

// sizeArrow draws a line with a head at each end from p to q, moved off by
// off with hair lines back to where it was. Where the line is too short for
// heads they point at it from outside.
func sizeArrow(sc *scene.Scene, b *board, p, q, off geom.Vec) {
	if off != (geom.Vec{}) {
		past := off.Mul(1.5 / off.Len())
		for _, e := range []geom.Vec{p, q} {
			sc.Add(scene.Stroke{Lines: scene.Open(e.Add(past), e.Add(off).Add(past)), Width: scene.Points(lineHair), Colour: faint()})
			b.line(e, e.Add(off).Add(past))
		}
	}
	p, q = p.Add(off), q.Add(off)
	l := p.Dist(q)
	if l == 0 {
		return
	}
	dir := q.Sub(p).Mul(1 / l)
	head := func(tip, back geom.Vec) {
		side := back.Rotate(math.Pi / 2).Mul(0.3)
		sc.Add(scene.Fill{Rings: []geom.Ring{{tip, tip.Add(back).Add(side), tip.Add(back).Sub(side)}}, Colour: ink()})
	}
	a, z := p, q
	if back := dir.Mul(arrowHead); l >= 2.6*arrowHead {
		head(p, back)
		head(q, back.Mul(-1))
	} else {
		head(p, back.Mul(-1))
		head(q, back)
		a, z = p.Sub(back.Mul(2)), q.Add(back.Mul(2))
	}
	sc.Add(scene.Stroke{Lines: scene.Open(a, z), Width: scene.Points(lineFine), Colour: ink()})
	b.line(a, z)
}

// figure writes a size on its arrow.
func (g Gauge) figure(sc *scene.Scene, b *board, at geom.Vec, text string, turn float64) {
	t := along(text, at, turn, sizeText, scene.Bold, ink())
	box := t.Box()
	sc.Add(scene.Fill{Rings: []geom.Ring{scene.Rect(box)}, Colour: white()}, t)
	b.take(box)
}

// cornerMark draws an arc between the two sides of a corner.
func cornerMark(sc *scene.Scene, b *board, at, before, after geom.Vec) {
	const radius, steps = 4.0, 24
	if before.Len() == 0 || after.Len() == 0 {
		return
	}
	from := before.Mul(radius / before.Len())
	turn := math.Atan2(before.Cross(after), before.Dot(after))
	arc := make([]geom.Vec, steps+1)
	for i := range arc {
		arc[i] = at.Add(from.Rotate(turn * float64(i) / steps))
	}
	sc.Add(scene.Stroke{Lines: append(scene.Open(arc...), scene.Open(arc[0], at, arc[steps])...), Width: scene.Points(lineHem), Colour: ink()})
	for i := range steps {
		b.line(arc[i], arc[i+1])
	}
}
