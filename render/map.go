package render

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// pen is how crosses and numbers are drawn.
type pen struct {
	cross   float64 // half the width of a cross, millimetres on the page
	largest float64 // of the numbers, points
	shy     bool    // numbers prefer a place farther off, on a leader, to one over a line
}

// The pens for maps on one page, and for marking paper at true size.
func mapPen() pen  { return pen{cross: 0.75, largest: sizeText} }
func truePen() pen { return pen{cross: 3, largest: 14} }

// drawMap draws the cloth of the views with its marks in outline, numbered,
// and labels what lies on it within the board. It returns the marks whose
// glue points are shown, and whether the numbers can be read; where they cannot,
// and there may be more maps, the map is not finished.
func (c Cloth) drawMap(ctx context.Context, sc *scene.Scene, b *board, shown []view, mayBeMore bool) (here []lyingOn, legible bool) {
	with := mapPen()
	for _, v := range shown {
		sc.Add(v.underlay()...)
	}
	for _, v := range shown {
		for _, l := range v.on.marks {
			if l.here {
				p := v.toPage.Apply(l.at)
				here = append(here, lyingOn{l.mark, p})
				b.mark(geom.Box{Min: p, Max: p}.Grow(with.cross))
			}
		}
	}
	for _, v := range shown {
		edges := v.edges()
		sc.Add(edges...)
		b.strokes(edges)
		if c.named() {
			for _, t := range v.names(c.Printer, 3, sizeText) {
				sc.Add(t)
				b.take(chunks(t)...)
			}
		}
		sc.Add(v.rowLabels(c, b, with)...)
	}
	sc.Add(arms(here, with.cross))
	finish := !mayBeMore || len(here) <= fewMarks
	numbers, legible := numberAll(ctx, b, here, with, finish)
	sc.Add(numbers...)
	return here, legible
}

// mapRoom returns the room round each stretch for names and row labels.
func (c Cloth) mapRoom(list []stretch, on []contents) room {
	rm := evenRoom(2)
	if c.named() {
		rm = evenRoom(5.5)
	}
	for i, s := range list {
		if s.whole() {
			continue
		}
		long := 0.0
		for _, g := range on[i].guides {
			long = math.Max(long, scene.Regular.Width(c.Message(g.text()), sizeSmall)+3)
		}
		// Row labels run on from the rows over the left edge.
		sin, cos := math.Sincos(s.upright(s.from, s.surface.Drop))
		rm.left = math.Max(rm.left, cos*long)
		rm.top = math.Max(rm.top, sin*long)
	}
	return rm
}

// named reports whether the panels need names to be told apart.
func (c Cloth) named() bool { return c.Surface.Panels > 1 }

// strokes puts the lines of all strokes on the board.
func (b *board) strokes(ops []scene.Op) {
	for _, op := range ops {
		if s, ok := op.(scene.Stroke); ok {
			for _, l := range s.Lines {
				for i := 1; i < len(l.Points); i++ {
					b.line(l.Points[i-1], l.Points[i])
				}
			}
		}
	}
}

// lyingOn is a mark on the page.
type lyingOn struct {
	mark Mark
	at   geom.Vec
}

// underlay draws the rows and the faint outlines, within the cloth.
func (v view) underlay() []scene.Op {
	var ops []scene.Op
	for _, r := range v.on.guides {
		ops = append(ops, scene.Stroke{Lines: scene.Open(v.line(r.down)...), Width: scene.Points(lineHair), Colour: faint()})
	}
	for _, l := range v.on.marks {
		place := l.placing().Then(v.toPage)
		for _, p := range l.mark.Motif.Pieces {
			rings := p.Region.Transform(place).Rings()
			ops = append(ops, scene.Fill{Rings: rings, Colour: felt(p.Colour).Faded(0.2), EvenOdd: true},
				scene.Stroke{Lines: scene.Closed(rings...), Width: scene.Points(lineHair), Colour: faint()})
		}
	}
	return []scene.Op{scene.Clip{Rings: v.rings(0, v.surface.Drop), Inside: ops}}
}

// guide is a line of equal depth with what is written at it.
type guide struct {
	row  int // 0: no row of marks, just a depth
	down float64
}

// text names the guide and says how deep it lies.
func (g guide) text() say.Message {
	if g.row == 0 {
		return say.New("%s", geom.Length(g.down))
	}
	return say.New("row %d · %s", g.row, geom.Length(g.down))
}

// below is text with from where the depth is measured.
func (g guide) below(s stretch) say.Message {
	if g.row == 0 {
		return s.below(g.down)
	}
	return say.New("row %d · %s", g.row, s.below(g.down))
}

// looseRow is how far, in millimetres, a mark may lie from its row's mean
// depth for the row to be drawn as a line.
const looseRow = 1.0

// guides returns the rows in the stretch; where marks lie in no rows, lines
// of equal depth every 10 cm, or 5 cm on a short cloth.
func (s stretch) guides(marks []lying) []guide {
	depths := map[int][]float64{}
	var rows []int
	for _, l := range marks {
		if l.mark.Row > 0 && l.here {
			if depths[l.mark.Row] == nil {
				rows = append(rows, l.mark.Row)
			}
			depths[l.mark.Row] = append(depths[l.mark.Row], s.surface.Down(l.mark.Point.At))
		}
	}
	slices.Sort(rows)
	var out []guide
	for _, r := range rows {
		if lo, hi := slices.Min(depths[r]), slices.Max(depths[r]); hi-lo <= 2*looseRow {
			out = append(out, guide{r, (lo + hi) / 2})
		}
	}
	if len(out) > 0 {
		return out
	}
	step, top, bottom := 100.0, 0.0, s.surface.Drop
	if s.drawn() {
		top, bottom = s.box().Min.Y, s.box().Max.Y
	}
	if bottom-top < 300 {
		step = 50
	}
	for d := step; d < bottom-step/4; d += step {
		if d > top {
			out = append(out, guide{0, d})
		}
	}
	return out
}

// rowLabels writes at each row its number and depth: beyond the cloth's left
// edge along the row, or above the row near the seam where the cloth closes
// upon itself.
func (v view) rowLabels(c Cloth, b *board, with pen) []scene.Op {
	var ops []scene.Op
	for _, g := range v.on.guides {
		texts := []string{c.Message(g.text())}
		if g.row > 0 {
			texts = append(texts, c.Say("row %d", g.row))
		}
		for _, text := range texts {
			if t, ok := v.rowLabel(text, g.down, b, with); ok {
				b.take(chunks(t)...)
				ops = append(ops, t)
				break
			}
		}
	}
	return ops
}

// rowLabel finds a free place for the text at the row at down.
func (v view) rowLabel(text string, down float64, b *board, with pen) (scene.Text, bool) {
	for size := float64(sizeSmall); size >= sizeLeast; size-- {
		w := scene.Regular.Width(text, size)
		if !v.whole() {
			end, turn := v.at(v.from, down), v.upright(v.from, down)
			if v.drawn() {
				start, ok := v.rowStart(down)
				if !ok {
					return scene.Text{}, false
				}
				end = start
			}
			p := v.toPage.Apply(end).Sub(geom.Vec{X: 1.5 + w/2}.Rotate(turn))
			if t := along(text, p, turn, size, scene.Regular, soft()); b.free(chunks(t)...) {
				return t, true
			}
			continue
		}
		perPanel := v.surface.PanelGirth(down) * v.scale
		lift := scene.Regular.CapHeight(size)/2 + scene.Regular.Descent(size) + with.cross + 0.2
		for side := w/2 + 1; side < w/2+25; side++ {
			for _, at := range [][2]float64{{side, lift}, {-side, lift}, {side, -lift}, {-side, -lift}} {
				// To the right of the seam as seen at the top, above the row.
				u, d := v.from-at[0]/perPanel, down+at[1]/v.scale
				t := along(text, v.toPage.Apply(v.at(u, d)), v.upright(u, d), size, scene.Regular, soft())
				if b.free(chunks(t)...) {
					return t, true
				}
			}
		}
	}
	return scene.Text{}, false
}

// chunks covers turned text with boxes about as long as it is high, which
// follow it closer than one box round it all.
func chunks(t scene.Text) []geom.Box {
	w := t.Font.Width(t.Text, t.Size)
	high := t.Font.CapHeight(t.Size) + t.Font.Descent(t.Size)
	if t.Turn == 0 {
		high = 4 * w // straight text is one box
	}
	n := max(1, int(math.Ceil(w/high)))
	x := -w * float64(t.Anchor) / 2
	up, low := -t.Font.CapHeight(t.Size), t.Font.Descent(t.Size)
	m := geom.Placing(t.At, t.Turn, 1, false)
	out := make([]geom.Box, n)
	for i := range out {
		l, r := x+w*float64(i)/float64(n), x+w*float64(i+1)/float64(n)
		out[i] = geom.BoxOf(m.Apply(geom.Vec{X: l, Y: up}), m.Apply(geom.Vec{X: r, Y: up}), m.Apply(geom.Vec{X: l, Y: low}), m.Apply(geom.Vec{X: r, Y: low}))
	}
	return out
}

// A map is legible while its numbers are not too small, few need a leader and
// hardly any stands where it might belong to two crosses (judged by looking at
// printed maps). Where no more maps can be made, sizeLeast must do.
const (
	sizeLegible  = 6.0 // points
	mostLed      = 0.04
	mostDoubtful = 0.01
)

// numberAll writes the numbers at the largest size at which all stand beside
// their crosses, else at the largest at which the map can still be read, else
// at the least size, and reports whether the map can be read. A map that cannot
// be read is not numbered unless it is to be finished all the same.
func numberAll(ctx context.Context, b *board, here []lyingOn, with pen, finish bool) (ops []scene.Op, legible bool) {
	var kept []label
	var keptSize float64
	n := float64(len(here))
	for size := with.largest; size >= sizeLeast; size -= 0.5 {
		want := make([]wanted, len(here))
		for i, h := range here {
			want[i] = wanted{at: h.at, width: scene.Bold.Width(itoa(h.mark.Number), size) + 0.3, height: scene.Bold.CapHeight(size) + 0.5, clear: with.cross, shy: with.shy}
		}
		most := sacrifice{} // to be better than what is kept
		if kept == nil && size >= sizeLegible {
			most = sacrifice{led: int(mostLed * n), doubtful: int(mostDoubtful * n)}
		}
		if kept == nil && size == sizeLeast && finish {
			most = anything()
		}
		labels := b.clone().place(ctx, want, most)
		if labels == nil {
			continue
		}
		given, lost := given(labels)
		if given == (sacrifice{}) {
			return drawNumbers(here, labels, size), size >= sizeLegible
		}
		if lost == 0 || size == sizeLeast && finish {
			kept, keptSize = labels, size
			legible = size >= sizeLegible
		}
	}
	return drawNumbers(here, kept, keptSize), legible
}

// given returns what the layout sacrificed, and how many labels it lost.
func given(labels []label) (s sacrifice, lost int) {
	for _, l := range labels {
		switch {
		case !l.placed:
			lost++
			s.doubtful++
		case l.doubtful:
			s.doubtful++
		case l.led:
			s.led++
		}
	}
	return s, lost
}

func drawNumbers(here []lyingOn, labels []label, size float64) []scene.Op {
	var leaders []scene.Line
	var plates []geom.Ring
	var texts []scene.Op
	for i, l := range labels {
		if !l.placed {
			continue
		}
		if l.led {
			leaders = append(leaders, scene.Open(l.leader[0], l.leader[1])...)
		}
		plates = append(plates, scene.Rect(l.box))
		texts = append(texts, numberAt(l.box.Centre(), here[i].mark.Number, size))
	}
	return append([]scene.Op{
		scene.Stroke{Lines: leaders, Width: scene.Points(lineHair), Colour: ink()},
		scene.Fill{Rings: plates, Colour: white().Faded(0.75)},
	}, texts...)
}

// numberAt writes a number with its middle at c.
func numberAt(c geom.Vec, n int, size float64) scene.Op {
	return scene.Text{At: c.Add(geom.Vec{Y: scene.Bold.CapHeight(size) / 2}), Text: itoa(n), Font: scene.Bold, Size: size, Anchor: scene.Middle, Colour: ink()}
}
