package render

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Card is what a maker needs to mark the cloth with a tape, without the guide.
type Card struct {
	say.Printer
	Title    string
	Steps    []string // how to use it
	Cautions []string
	Tables   []Table
	Paper    Paper // large paper: A4
}

// Pages draws the card: what to do, then the tables. Once the context ends the
// pages are not finished.
func (c Card) Pages(ctx context.Context) []*scene.Scene {
	if c.Paper.Name == Large {
		c.Paper = Paper{}
	}
	first := c.Paper.page(false)
	y := coverPage{c.Printer, c.Title, c.Say("Marking card: how to mark with a tape, without the guide"), c.Steps, c.Cautions}.draw(first, first.Width) + gapBlock
	testRule(first, geom.Vec{X: marginPage, Y: first.Height - marginPage}, c.Printer)
	next := func() *scene.Scene {
		sc := c.Paper.page(false)
		sc.Add(scene.Text{At: geom.Vec{X: marginPage, Y: marginPage + 4}, Text: scene.Regular.Shorten(scene.Regular.Clean(facts(c.Title, c.Say("marking card"))), sizeSmall, sc.Width-2*marginPage), Size: sizeSmall, Colour: soft()})
		return sc
	}
	out := []*scene.Scene{first}
	for _, t := range c.Tables {
		if ctx.Err() != nil {
			break
		}
		page := out[len(out)-1]
		if t.Name != "" {
			// A name alone at the foot of a page would be lost.
			if page.Height-marginPage-ruleRoom-y < 12+3*tableLine {
				page, y = next(), marginPage+tileHead
				out = append(out, page)
			}
			y += 6
			page.Add(scene.Text{At: geom.Vec{X: marginPage, Y: y}, Text: scene.Bold.Shorten(scene.Bold.Clean(t.Name), sizeSub, page.Width-2*marginPage), Font: scene.Bold, Size: sizeSub, Colour: ink()})
			y += 1.5
		}
		pages, end := t.pages(ctx, page, y, next)
		out = append(out, pages[1:]...)
		y = end
	}
	return out
}

// Strips are paper tapes, one for each row that keeps its depth, with a tick
// and a number for every mark: true to size, cut into pieces as long as the
// paper, which overlap.

// Lengths of a strip, in millimetres.
const (
	stripHeight = 15.0
	stripTick   = 4.5
)

// Strips draws the strips of all rows of the parts; nil where the marks lie in
// no rows. Once the context ends they are not finished.
func Strips(ctx context.Context, c Cloth, parts []Part, marks []Mark) []*scene.Scene {
	paper := c.Paper
	if paper.Name == Large {
		paper = Paper{}
	}
	long := paper.page(true).Width - 2*printMargin
	var all []strip
	for _, p := range parts {
		for _, s := range p.strips(c.Printer, marks) {
			all = append(all, s.pieces(long)...)
		}
	}
	if len(all) == 0 {
		return nil
	}
	perPage := max(1, int((paper.page(true).Height-2*printMargin-tileHead-ruleRoom)/stripHeight))
	var out []*scene.Scene
	for first := 0; first < len(all) && ctx.Err() == nil; first += perPage {
		t := tile{Scene: paper.page(true)}
		t.head("", facts(c.Title, c.Say("row strips: cut apart, join, and stand on edge along the row, ticks to the cloth"), c.Say("page %d of %d", first/perPage+1, (len(all)+perPage-1)/perPage)), trueSize(c.Printer))
		y := printMargin + tileHead
		for _, s := range all[first:min(len(all), first+perPage)] {
			s.draw(t.Scene, geom.Vec{X: printMargin, Y: y})
			y += stripHeight
		}
		testRule(t.Scene, geom.Vec{X: printMargin + 1, Y: t.Height - printMargin - 1}, c.Printer)
		out = append(out, t.Scene)
	}
	return out
}

// strip is a row's tape, or the piece of it from from to to.
type strip struct {
	say.Printer
	part       Part
	row        int
	down       float64
	whole      float64 // length of the row over the part
	from, to   float64
	piece, of  int
	ticks      []tick
	start, end string // what the tape's ends are
}

type tick struct {
	at     float64 // from the part's left edge along the row
	number int
}

func (p Part) strips(sayer say.Printer, marks []Mark) []strip {
	here := p.here(marks)
	var out []strip
	for _, g := range p.guides(here) {
		if g.row == 0 {
			continue
		}
		girth := p.surface.PanelGirth(g.down)
		seam := sayer.Say("seam")
		s := strip{Printer: sayer, part: p, row: g.row, down: g.down, whole: (p.to - p.from) * girth, start: seam, end: seam}
		_, left, right := p.seams()
		edge := 0.0
		if p.drawn() {
			edge, s.whole = p.tape(g.down)
			s.start = sayer.Say("edge")
			s.end = s.start
		}
		if !left {
			s.start = sayer.Say("repeat")
		}
		if !right {
			s.end = sayer.Say("repeat")
		}
		for _, l := range here {
			if l.mark.Row == g.row {
				u := float64(l.mark.Point.Panel) + p.share(l.mark.Point)
				at := (u - p.from) * girth
				if p.drawn() {
					at = l.at.X - edge
				}
				s.ticks = append(s.ticks, tick{at, l.mark.Number})
			}
		}
		slices.SortFunc(s.ticks, func(a, b tick) int { return int(math.Copysign(1, a.at-b.at)) })
		out = append(out, s)
	}
	return out
}

// pieces cuts the strip into pieces of at most long, which overlap.
func (s strip) pieces(long float64) []strip {
	n := max(1, int(math.Ceil((s.whole-tileOverlap-geom.Touch)/(long-tileOverlap))))
	out := make([]strip, n)
	for i := range out {
		c := s
		c.from = float64(i) * (long - tileOverlap)
		c.to = math.Min(s.whole, c.from+long)
		c.piece, c.of = i+1, n
		c.ticks = nil
		for _, t := range s.ticks {
			if t.at >= c.from-geom.Touch && t.at <= c.to+geom.Touch {
				c.ticks = append(c.ticks, t)
			}
		}
		out[i] = c
	}
	return out
}

// draw draws one piece with its top left corner at at. Its upper edge lies
// along the row.
func (s strip) draw(sc *scene.Scene, at geom.Vec) {
	w := s.to - s.from
	box := geom.Box{Min: at, Max: at.Add(geom.Vec{X: w, Y: stripHeight})}
	sc.Add(scene.Stroke{Lines: scene.Closed(scene.Rect(box)), Width: scene.Points(lineHair), Colour: faint()})
	upright := func(x, h float64) []scene.Line {
		p := at.Add(geom.Vec{X: x})
		return scene.Open(p, p.Add(geom.Vec{Y: h}))
	}
	b := newBoard(box.Grow(0.2))
	var ticks, joins []scene.Line
	note := func(x float64, text string, anchor scene.Anchor) {
		t := scene.Text{At: at.Add(geom.Vec{X: x, Y: stripHeight - 1.6}), Text: text, Size: sizeSmall, Anchor: anchor, Colour: soft()}
		sc.Add(t)
		b.take(t.Box())
	}
	name := facts(s.Say("row %d", s.row), s.Message(s.part.below(s.down)), s.part.Name(s.Printer))
	if s.of > 1 {
		name = facts(name, s.Say("piece %d of %d", s.piece, s.of))
	}
	left, right := s.start, s.end
	if s.piece > 1 {
		left = s.Say("meets piece %d", s.piece-1)
		joins = append(joins, upright(tileOverlap/2, stripHeight)...)
	}
	if s.piece < s.of {
		right = s.Say("meets piece %d", s.piece+1)
		joins = append(joins, upright(w-tileOverlap/2, stripHeight)...)
	}
	const inset = 1.5
	x0 := inset
	if s.piece > 1 {
		x0 += tileOverlap / 2
	}
	x1 := w - inset
	if s.piece < s.of {
		x1 -= tileOverlap / 2
	}
	leftWide, rightWide := scene.Regular.Width(left, sizeSmall), scene.Regular.Width(right, sizeSmall)
	if leftWide+rightWide+8 < x1-x0 {
		note(x0, left, scene.Start)
		note(x1, right, scene.End)
		if room := x1 - x0 - leftWide - rightWide - 12; room > 20 {
			note((x0+leftWide+x1-rightWide)/2, scene.Regular.Shorten(name, sizeSmall, room), scene.Middle)
		}
	}
	var thick []scene.Line
	if s.piece == 1 {
		thick = append(thick, upright(0, stripHeight)...)
	}
	if s.piece == s.of {
		thick = append(thick, upright(w, stripHeight)...)
	}
	size := float64(sizeSub)
	for _, t := range s.ticks {
		x := t.at - s.from
		ticks = append(ticks, upright(x, stripTick)...)
		wide := scene.Bold.Width(itoa(t.number), size)
		centre := math.Max(wide/2+0.6, math.Min(w-wide/2-0.6, x))
		label := numberAt(at.Add(geom.Vec{X: centre, Y: stripTick + 1 + scene.Bold.CapHeight(size)/2}), t.number, size)
		sc.Add(label)
	}
	sc.Add(scene.Stroke{Lines: joins, Width: scene.Points(lineHair), Dash: dashMargin(), Colour: soft()},
		scene.Stroke{Lines: thick, Width: scene.Points(lineHem), Colour: ink()},
		scene.Stroke{Lines: ticks, Width: scene.Points(lineOutline), Colour: ink()})
}
