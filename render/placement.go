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
	pad := geom.Vec{X: 30, Y: 14} // room for row labels at the left, names below
	var chosen []stretch
	var scale float64
	var cols int
	var lying bool
	for _, list := range layouts(group[0]) {
		sizes := make([]geom.Vec, len(list))
		for i, s := range list {
			b := s.box()
			sizes[i] = geom.Vec{X: b.Width(), Y: b.Height()}
		}
		for _, landscape := range []bool{false, true} {
			page := c.Paper.page(landscape)
			area := geom.Vec{X: page.Width - 2*marginPage, Y: page.Height - 2*marginPage - headRoom - footRoom}
			if k, n := arrange(sizes, area, pad, gapBlock); k > scale*1.03 {
				chosen, scale, cols, lying = list, k, n, landscape
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
	top := heading(sc, geom.Vec{X: m, Y: m}, sc.Width-2*m, title, head, "Placement map: the cross is the glue point, the number is the mark.") + 2
	foot := sc.Height - m - footRoom
	area := geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: foot}}
	shown := views(chosen, area, scale, cols, pad, gapBlock)
	// In the middle of what is left between heading and foot.
	low := viewsBox(shown).Max.Y + pad.Y/2
	if spare := foot - low; spare > 0 {
		for i := range shown {
			shown[i].toPage.F += spare / 2
		}
	}

	b := &board{page: geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: foot}}}
	var here []lyingOn
	for _, v := range shown {
		sc.Add(v.underlay(marks)...)
	}
	for _, v := range shown {
		for _, l := range v.marks(marks) {
			if l.here {
				p := v.toPage.Apply(l.at)
				here = append(here, lyingOn{l.mark, p})
				b.spots = append(b.spots, cross(p))
			}
		}
	}
	for _, v := range shown {
		sc.Add(v.edges()...)
		for _, t := range v.names(3, sizeText) {
			sc.Add(t)
			b.taken = append(b.taken, chunks(t)...)
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
	numbers, legible := numberAll(b, here)
	sc.Add(numbers...)
	c.footer(sc, marks, here, scale, foot)
	return mapped{sc, legible}
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

func cross(p geom.Vec) geom.Box { return geom.Box{Min: p, Max: p}.Grow(crossHalf) }

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

// looseRow is how far, in millimetres, a mark may lie from its row's mean
// depth for the row to be drawn as a line.
const looseRow = 1.0

// guides returns the rows in the stretch; where marks lie in no rows, lines
// of equal depth every 10 cm, or 5 cm on a short cloth.
func (v view) guides(marks []Mark) []guide {
	depths := map[int][]float64{}
	var rows []int
	for _, l := range v.marks(marks) {
		if l.mark.Row > 0 && l.here {
			if depths[l.mark.Row] == nil {
				rows = append(rows, l.mark.Row)
			}
			depths[l.mark.Row] = append(depths[l.mark.Row], v.surface.Down(l.mark.Point.At))
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
	if v.surface.Drop < 300 {
		step = 50
	}
	for d := step; d < v.surface.Drop-step/4; d += step {
		out = append(out, guide{0, d})
	}
	return out
}

// rowLabels writes at each row its number and depth: beyond the cloth's left
// edge along the row, or on the seam where the cloth closes upon itself.
func (v view) rowLabels(c Cloth, marks []Mark, b *board) []scene.Op {
	var ops []scene.Op
	for _, g := range v.guides(marks) {
		deep := geom.Length(g.down).In(c.unit())
		texts := []string{deep}
		if g.row > 0 {
			texts = []string{fmt.Sprintf("row %d · %s", g.row, deep), fmt.Sprintf("row %d", g.row)}
		}
		for size := float64(sizeSmall); size >= sizeLeast; size-- {
			if t, ok := v.rowLabel(texts, g.down, size, b); ok {
				boxes := chunks(t)
				b.taken = append(b.taken, boxes...)
				if v.whole() {
					ops = append(ops, scene.Fill{Rings: []geom.Ring{scene.Rect(t.Box())}, Colour: white()})
				}
				ops = append(ops, t)
				break
			}
		}
	}
	return ops
}

// rowLabel finds a free place for the first of the texts that has one.
func (v view) rowLabel(texts []string, down, size float64, b *board) (scene.Text, bool) {
	end := v.at(v.from, down)
	turn := stretchTurn(v.stretch, end)
	for _, text := range texts {
		w := scene.Regular.Width(text, size)
		if !v.whole() {
			p := v.toPage.Apply(end).Sub(geom.Vec{X: 1.5 + w/2}.Rotate(turn))
			if t := along(text, p, turn, size, scene.Regular, soft()); b.allFree(chunks(t)) {
				return t, true
			}
			continue
		}
		girth := v.surface.Girth(down) * v.scale
		for i := range 60 {
			// On the seam, then to its left and right by turns, a millimetre at a time.
			off := float64((i+1)/2) * (float64(i%2)*2 - 1)
			u := math.Mod(v.from-off/girth*(v.to-v.from)+(v.to-v.from), v.to-v.from)
			p := v.toPage.Apply(v.at(v.from+u, down))
			t := along(text, p, 0, size, scene.Regular, soft())
			if b.allFree(chunks(t)) {
				return t, true
			}
		}
	}
	return scene.Text{}, false
}

// stretchTurn returns the turn of text whose top points to the waist at p.
func stretchTurn(s stretch, p geom.Vec) float64 { return s.surface.Upright(p) }

func (b *board) allFree(boxes []geom.Box) bool {
	for _, x := range boxes {
		if !b.free(x) {
			return false
		}
	}
	return true
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

// A map is legible while few numbers need a leader: the eye follows one in
// eight, not a thicket (judged by looking at printed maps).
const mostLed = 0.12

// numberAll writes the numbers at the largest size at which all find a place
// near their cross, and reports whether the map can be read.
func numberAll(b *board, here []lyingOn) (ops []scene.Op, legible bool) {
	for size := float64(sizeText); ; size -= 0.5 {
		try := board{b.page, slices.Clone(b.taken), b.spots, nil}
		want := make([]wanted, len(here))
		for i, h := range here {
			want[i] = wanted{at: h.at, width: scene.Bold.Width(itoa(h.mark.Number), size) + 0.3, height: scene.Bold.CapHeight(size) + 0.5, clear: crossHalf}
		}
		labels := try.place(want)
		led, lost := 0, 0
		for _, l := range labels {
			if l.led {
				led++
			}
			if !l.placed {
				lost++
			}
		}
		good := lost == 0 && float64(led) <= mostLed*float64(len(here))
		if good && led == 0 || size <= sizeLeast || good && size <= sizeLeast+1.5 {
			return drawNumbers(here, labels, size), good
		}
	}
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
		c := l.box.Centre()
		texts = append(texts, scene.Text{At: geom.Vec{X: c.X, Y: c.Y + scene.Bold.CapHeight(size)/2}, Text: itoa(here[i].mark.Number), Font: scene.Bold, Size: size, Anchor: scene.Middle, Colour: ink()})
	}
	return append([]scene.Op{
		scene.Stroke{Lines: leaders, Width: scene.Points(lineHair), Colour: ink()},
		scene.Fill{Rings: plates, Colour: white().Faded(0.75)},
	}, texts...)
}

// footer draws scale bar, key and the motifs with their counts on this page.
func (c Cloth) footer(sc *scene.Scene, marks []Mark, here []lyingOn, scale, top float64) {
	m := marginPage
	on := make([]Mark, len(here))
	for i, h := range here {
		on[i] = h.mark
	}
	y := sc.Height - m - barHeight + 1
	bar := scaleBar(sc, geom.Vec{X: m, Y: y}, scale, 40, c.unit())
	lineKey(sc, geom.Vec{X: m + bar + 8, Y: y - 1.2}, clothKey(), false)
	legend(sc, geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: sc.Width - m, Y: top + entryHeight}}, kinds(on), 40)
}
