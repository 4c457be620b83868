package render

import (
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/render/scene"
)

// crossHalf is half the width of a mark's cross on the page, in millimetres.
const crossHalf = 0.75

// Placement draws the numbered placement map for printing: each cutout as a
// cross at its glue point, a faint outline in its turn and its number; rows as
// thin lines with how far they lie below the waist seam, or else lines of equal
// depth. Numbers never overlap and never leave the page. Where one page would
// be too crowded to read, the cloth is split over several maps. Write them at
// PageDPI.
func Placement(c Cloth, marks []Mark) []*scene.Scene {
	for _, groups := range divisions(c) {
		var pages []*scene.Scene
		legible := true
		for i, g := range groups {
			p := mapPage(c, marks, g, i+1, len(groups))
			pages = append(pages, p.scene)
			if legible = legible && p.legible; !legible {
				break
			}
		}
		if legible {
			return pages
		}
	}
	groups := divisions(c)
	finest := groups[len(groups)-1]
	pages := make([]*scene.Scene, len(finest))
	for i, g := range finest {
		pages[i] = mapPage(c, marks, g, i+1, len(finest)).scene
	}
	return pages
}

// finestSplit is the largest number of maps for one panel: beyond it the
// cutouts would have to lie closer than their numbers are tall at true size.
const finestSplit = 8

// divisions lists the ways in which the cloth is spread over maps, the fewest
// maps first: all on one, then panel by panel, then each panel in parts.
func divisions(c Cloth) [][][]stretch {
	n := max(1, c.Surface.Panels)
	var out [][][]stretch
	for per := n; per >= 1; per-- {
		if pages := (n + per - 1) / per; per < n && pages == len(out[len(out)-1]) {
			continue
		}
		var groups [][]stretch
		for k := 0; k < n; k += per {
			groups = append(groups, []stretch{{c.Surface, float64(k), float64(min(n, k+per))}})
		}
		out = append(out, groups)
	}
	for parts := 2; parts <= finestSplit; parts++ {
		var groups [][]stretch
		for i := range n * parts {
			groups = append(groups, []stretch{{c.Surface, float64(i) / float64(parts), float64(i+1) / float64(parts)}})
		}
		out = append(out, groups)
	}
	return out
}

// layouts returns the ways in which a run of panels can be shown: joined as
// one piece where it lies flat, or panel by panel.
func layouts(g stretch) [][]stretch {
	n := g.to - g.from
	var out [][]stretch
	if !g.polar() || n*g.surface.Angle <= 2*math.Pi+geom.SameAngle {
		out = append(out, []stretch{g})
	}
	if n > 1 && n == math.Floor(n) && (!g.polar() || len(out) == 0) {
		var apart []stretch
		for u := g.from; u < g.to; u++ {
			apart = append(apart, stretch{g.surface, u, u + 1})
		}
		out = append(out, apart)
	}
	if len(out) == 0 {
		out = append(out, []stretch{g})
	}
	return out
}

type mapped struct {
	scene   *scene.Scene
	legible bool
}

// mapPage draws one map and judges whether it can be read.
func mapPage(c Cloth, marks []Mark, group []stretch, number, of int) mapped {
	var chosen []stretch
	var scale float64
	var cols int
	var lying bool
	var rm room
	for _, list := range layouts(group[0]) {
		need := c.mapRoom(list, marks)
		sizes := make([]geom.Vec, len(list))
		for i, s := range list {
			b := s.box()
			sizes[i] = geom.Vec{X: b.Width(), Y: b.Height()}
		}
		for _, landscape := range []bool{false, true} {
			page := c.Paper.page(landscape)
			area := geom.Vec{X: page.Width - 2*marginPage, Y: page.Height - 2*marginPage - headRoom - footRoom}
			if k, n := arrange(sizes, area, need.pad(), gapBlock); k > scale*1.03 {
				chosen, scale, cols, lying, rm = list, k, n, landscape, need
			}
		}
	}
	sc := c.Paper.page(lying)
	if scale <= 0 {
		return mapped{sc, true}
	}
	m := marginPage
	title := c.Title
	head := c.describe(len(marks))
	if of > 1 {
		head = fmt.Sprintf("map %d of %d  ·  %s", number, of, head)
	}
	cut := slices.ContainsFunc(chosen, func(s stretch) bool { _, l, r := s.seams(); return !l || !r })
	top := heading(sc, geom.Vec{X: m, Y: m}, sc.Width-2*m, title, head, "Placement map: the cross is the glue point, the number is the mark.") + 2
	foot := sc.Height - m - footRoom
	area := geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: foot}}
	shown := views(chosen, area, scale, cols, rm, gapBlock)
	// In the middle of what is left between heading and foot.
	low := viewsBox(shown).Max.Y + rm.bottom
	if spare := foot - low; spare > 0 {
		for i := range shown {
			shown[i].toPage.F += spare / 2
		}
	}

	b := newBoard(geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: foot}})
	var here []lyingOn
	for _, v := range shown {
		sc.Add(v.underlay(marks)...)
	}
	for _, v := range shown {
		for _, l := range v.marks(marks) {
			if l.here {
				p := v.toPage.Apply(l.at)
				here = append(here, lyingOn{l.mark, p})
				b.mark(geom.Box{Min: p, Max: p}.Grow(crossHalf))
			}
		}
	}
	for _, v := range shown {
		edges := v.edges()
		sc.Add(edges...)
		b.strokes(edges)
		if c.named() {
			for _, t := range v.names(3, sizeText) {
				sc.Add(t)
				b.take(chunks(t)...)
			}
		}
		sc.Add(v.rowLabels(c, marks, b)...)
	}
	var arms []scene.Line
	for _, h := range here {
		d := geom.Vec{X: crossHalf}
		e := geom.Vec{Y: crossHalf}
		arms = append(arms, scene.Open(h.at.Sub(d), h.at.Add(d))...)
		arms = append(arms, scene.Open(h.at.Sub(e), h.at.Add(e))...)
	}
	sc.Add(scene.Stroke{Lines: arms, Width: scene.Points(lineFine), Colour: ink()})
	numbers, legible := numberAll(b, here, false)
	sc.Add(numbers...)
	c.footer(sc, here, cut, scale, foot)
	return mapped{sc, legible}
}

// mapRoom returns the room round each stretch for names and row labels.
func (c Cloth) mapRoom(list []stretch, marks []Mark) room {
	rm := evenRoom(2)
	if c.named() {
		rm = evenRoom(5.5)
	}
	for _, s := range list {
		if s.whole() {
			continue
		}
		long := 0.0
		for _, g := range s.guides(marks) {
			long = math.Max(long, scene.Regular.Width(g.text(c.unit()), sizeSmall)+3)
		}
		// Row labels run on from the rows over the left edge.
		sin, cos := math.Sincos(s.surface.Upright(s.at(s.from, s.surface.Drop)))
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
					b.line(drawn, l.Points[i-1], l.Points[i])
				}
			}
		}
	}
}

const (
	headRoom = 22.0 // for the title and two lines
	footRoom = 16.0 // for scale bar, key and motifs
)

// lyingOn is a mark on the page.
type lyingOn struct {
	mark Mark
	at   geom.Vec
}

// underlay draws the rows and the faint outlines, within the cloth.
func (v view) underlay(marks []Mark) []scene.Op {
	var ops []scene.Op
	for _, r := range v.guides(marks) {
		ops = append(ops, scene.Stroke{Lines: scene.Open(v.line(r.down)...), Width: scene.Points(lineHair), Colour: faint()})
	}
	for _, l := range v.marks(marks) {
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
func (g guide) text(u geom.Unit) string {
	deep := geom.Length(g.down).In(u)
	if g.row == 0 {
		return deep
	}
	return fmt.Sprintf("row %d · %s", g.row, deep)
}

// looseRow is how far, in millimetres, a mark may lie from its row's mean
// depth for the row to be drawn as a line.
const looseRow = 1.0

// guides returns the rows in the stretch; where marks lie in no rows, lines
// of equal depth every 10 cm, or 5 cm on a short cloth.
func (s stretch) guides(marks []Mark) []guide {
	depths := map[int][]float64{}
	var rows []int
	for _, l := range s.marks(marks) {
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
	step := 100.0
	if s.surface.Drop < 300 {
		step = 50
	}
	for d := step; d < s.surface.Drop-step/4; d += step {
		out = append(out, guide{0, d})
	}
	return out
}

// rowLabels writes at each row its number and depth: beyond the cloth's left
// edge along the row, or above the row near the seam where the cloth closes
// upon itself.
func (v view) rowLabels(c Cloth, marks []Mark, b *board) []scene.Op {
	var ops []scene.Op
	for _, g := range v.guides(marks) {
		texts := []string{g.text(c.unit())}
		if g.row > 0 {
			texts = append(texts, fmt.Sprintf("row %d", g.row))
		}
		for _, text := range texts {
			if t, ok := v.rowLabel(text, g.down, b); ok {
				b.take(chunks(t)...)
				ops = append(ops, t)
				break
			}
		}
	}
	return ops
}

// rowLabel finds a free place for the text at the row at down.
func (v view) rowLabel(text string, down float64, b *board) (scene.Text, bool) {
	for size := float64(sizeSmall); size >= sizeLeast; size-- {
		w := scene.Regular.Width(text, size)
		if !v.whole() {
			end := v.at(v.from, down)
			turn := v.surface.Upright(end)
			p := v.toPage.Apply(end).Sub(geom.Vec{X: 1.5 + w/2}.Rotate(turn))
			if t := along(text, p, turn, size, scene.Regular, soft()); b.free(chunks(t)...) {
				return t, true
			}
			continue
		}
		perPanel := v.surface.PanelGirth(down) * v.scale
		lift := scene.Regular.CapHeight(size)/2 + scene.Regular.Descent(size) + crossHalf + 0.2
		for side := w/2 + 1; side < w/2+25; side++ {
			for _, at := range [][2]float64{{side, lift}, {-side, lift}, {side, -lift}, {-side, -lift}} {
				// To the right of the seam as seen at the top, above the row.
				p := v.at(v.from-at[0]/perPanel, down+at[1]/v.scale)
				t := along(text, v.toPage.Apply(p), v.surface.Upright(p), size, scene.Regular, soft())
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
// at the least size, and reports whether the map can be read.
func numberAll(b *board, here []lyingOn, shy bool) (ops []scene.Op, legible bool) {
	var kept []label
	var keptSize float64
	for size := float64(sizeText); size >= sizeLeast; size -= 0.5 {
		want := make([]wanted, len(here))
		for i, h := range here {
			want[i] = wanted{at: h.at, width: scene.Bold.Width(itoa(h.mark.Number), size) + 0.3, height: scene.Bold.CapHeight(size) + 0.5, clear: crossHalf, shy: shy}
		}
		labels := b.clone().place(want)
		led, doubtful, lost := 0, 0, 0
		for _, l := range labels {
			switch {
			case !l.placed:
				lost++
			case l.doubtful:
				doubtful++
			case l.led:
				led++
			}
		}
		n := float64(len(here))
		good := size >= sizeLegible && lost == 0 && float64(led) <= mostLed*n && float64(doubtful) <= mostDoubtful*n
		if good && !legible || size == sizeLeast && !legible {
			kept, keptSize, legible = labels, size, good
		}
		if lost+led+doubtful == 0 {
			return drawNumbers(here, labels, size), size >= sizeLegible
		}
	}
	return drawNumbers(here, kept, keptSize), legible
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

// footer draws scale bar, key and the motifs with their counts on this page.
func (c Cloth) footer(sc *scene.Scene, here []lyingOn, cut bool, scale, top float64) {
	m := marginPage
	on := make([]Mark, len(here))
	for i, h := range here {
		on[i] = h.mark
	}
	y := sc.Height - m - barHeight + 1
	bar := scaleBar(sc, geom.Vec{X: m, Y: y}, scale, 40, c.unit())
	key := clothKey()
	if cut {
		key = append(key, sample{name: "continued on another map", width: lineSeam, dash: dashCut()})
	}
	lineKey(sc, geom.Vec{X: m + bar + 8, Y: y - 1.2}, key, false)
	legend(sc, geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: top + entryHeight}}, kinds(on))
}
