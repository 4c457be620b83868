package render

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// heading writes the title, shortened or wrapped to two lines, and below it
// the smaller lines, and returns how far down the page it reaches. at is the
// heading's top left corner.
func heading(sc *scene.Scene, at geom.Vec, width float64, title string, below ...string) float64 {
	y := at.Y
	size := float64(sizeTitle)
	clean := scene.Bold.Clean(title)
	if scene.Bold.Width(clean, size) > 1.6*width {
		size -= 3
	}
	for _, line := range scene.Bold.Wrap(clean, size, width, 2) {
		y += scene.Points(size) * 1.05
		sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y - scene.Bold.Descent(size)/2}, Text: line, Font: scene.Bold, Size: size, Colour: ink()})
	}
	y += 0.8
	for _, b := range below {
		for _, line := range scene.Regular.Wrap(scene.Regular.Clean(b), sizeSub, width, 2) {
			y += scene.Points(sizeSub) * 1.3
			sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y - scene.Regular.Descent(sizeSub)}, Text: line, Size: sizeSub, Colour: soft()})
		}
	}
	return y
}

// barLengths are the lengths a scale bar may stand for, in the unit's own
// round numbers.
func barLengths(u geom.Unit) []float64 {
	switch u {
	case geom.Inch, geom.Foot:
		return []float64{0.125, 0.25, 0.5, 1, 2, 4, 6, 12, 24, 48}
	case geom.Millimetre:
		return []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}
	}
	return []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100}
}

const barHeight = 6.0 // of a scale bar with its figures, millimetres

// scaleBar draws a bar of a round length at most longest millimetres on the
// page, its top left corner at at, where scale is page millimetres per
// millimetre shown. It returns its width with figures.
func scaleBar(sc *scene.Scene, at geom.Vec, scale, longest float64, p say.Printer) float64 {
	u := unitOf(p)
	if u == geom.Metre {
		u = geom.Centimetre
	}
	if u == geom.Foot {
		u = geom.Inch
	}
	lengths := barLengths(u)
	n := lengths[0]
	for _, l := range lengths {
		if l*u.MM()*scale <= longest {
			n = l
		}
	}
	w := n * u.MM() * scale
	const parts, h = 4, 1.3
	for i := range parts {
		c := white()
		if i%2 == 0 {
			c = ink()
		}
		box := geom.Box{Min: geom.Vec{X: at.X + w*float64(i)/parts, Y: at.Y}, Max: geom.Vec{X: at.X + w*float64(i+1)/parts, Y: at.Y + h}}
		sc.Add(scene.Fill{Rings: []geom.Ring{scene.Rect(box)}, Colour: c})
	}
	frame := scene.Rect(geom.Box{Min: at, Max: at.Add(geom.Vec{X: w, Y: h})})
	sc.Add(scene.Stroke{Lines: scene.Closed(frame), Width: scene.Points(lineFine), Colour: ink()})
	y := at.Y + h + 0.9 + scene.Regular.CapHeight(sizeSmall)
	end := fmt.Sprintf("%s %s", strconv.FormatFloat(n, 'g', -1, 64), u)
	sc.Add(scene.Text{At: geom.Vec{X: at.X, Y: y}, Text: "0", Size: sizeSmall, Colour: ink()},
		scene.Text{At: geom.Vec{X: at.X + w, Y: y}, Text: end, Size: sizeSmall, Colour: ink(), Anchor: scene.Middle})
	return w + scene.Regular.Width(end, sizeSmall)/2
}

// kind is one motif with how many of it there are in each size.
type kind struct {
	name  string
	motif *motif.Motif
	total int
	sizes []float64 // falling
	each  []int
}

// kinds counts the marks by motif name, in the order in which they first come.
func kinds(marks []Mark) []kind {
	var out []kind
	for _, m := range marks {
		i := slices.IndexFunc(out, func(k kind) bool { return k.name == m.MotifName })
		if i < 0 {
			i = len(out)
			out = append(out, kind{name: m.MotifName, motif: m.Motif})
		}
		k := &out[i]
		k.total++
		j := 0
		for j < len(k.sizes) && k.sizes[j] > m.Size && !sameSize(k.sizes[j], m.Size) {
			j++
		}
		if j == len(k.sizes) || !sameSize(k.sizes[j], m.Size) {
			k.sizes = slices.Insert(k.sizes, j, m.Size)
			k.each = slices.Insert(k.each, j, 0)
		}
		k.each[j]++
	}
	return out
}

func sameSize(a, b float64) bool { return math.Abs(a-b) <= geom.SameRatio*math.Max(a, b) }

// note says how many there are and of which felt.
func (k kind) note(p say.Printer) string { return facts(k.counted(p), k.colours(p)) }

// mostNamed is how many colours of felt are named by their hex.
const mostNamed = 3

// colours names the felt of the pieces, for those who cannot tell colours apart
// well.
func (k kind) colours(p say.Printer) string {
	var out []string
	for _, piece := range k.motif.Pieces {
		if !slices.Contains(out, piece.Colour) {
			out = append(out, piece.Colour)
		}
	}
	if len(out) > mostNamed {
		return p.Many(len(out), "%d colour", "%d colours")
	}
	return strings.Join(out, ", ")
}

// counted says how many there are, of each size where there are two.
func (k kind) counted(p say.Printer) string {
	switch {
	case len(k.sizes) == 1 && sameSize(k.sizes[0], 1):
		return p.Many(k.total, "%d cutout", "%d cutouts")
	case len(k.sizes) > 2:
		return p.Many(k.total, "%d cutout in %d sizes", "%d cutouts in %d sizes", len(k.sizes))
	}
	parts := make([]string, len(k.sizes))
	for i, s := range k.sizes {
		parts[i] = p.Say("%d × size %s", k.each[i], sizeName(s))
	}
	return strings.Join(parts, ", ")
}

func sizeName(s float64) string { return strconv.FormatFloat(math.Round(s*1e4)/1e4, 'g', -1, 64) }

// icon draws the motif in its colours, as large as fits in a square of side
// side about c.
func icon(sc *scene.Scene, m *motif.Motif, c geom.Vec, side float64) {
	box := m.Box()
	big := math.Max(box.Width(), box.Height())
	if box.IsEmpty() || big <= 0 {
		return
	}
	k := side / big
	place := geom.Translation(box.Centre().Mul(-1)).Then(geom.Placing(c, 0, k, false))
	for _, p := range m.Pieces {
		sc.Add(cutout(p, place, lineFine)...)
	}
}

// cutout returns a piece of felt in its colour with its outline; holes show
// what is below.
func cutout(p motif.Piece, place geom.Affine, line float64) []scene.Op {
	rings := p.Region.Transform(place).Rings()
	c := felt(p.Colour)
	return []scene.Op{
		scene.Fill{Rings: rings, Colour: c, EvenOdd: true},
		scene.Stroke{Lines: scene.Closed(rings...), Width: scene.Points(line), Colour: edgeOf(c)},
	}
}

// sizes of one entry of the legend, millimetres.
const (
	entryIcon   = 7.5
	entryHeight = 10.0
)

// legend lists the kinds with their counts within the box, in columns as wide
// as their widest entry, and returns how far down it reaches. What does not
// fit is counted at the end.
func legend(sc *scene.Scene, box geom.Box, list []kind, p say.Printer) float64 {
	const beside, between = entryIcon + 2.5, 7.0 // icon to text, column to column
	names, notes := make([]string, len(list)), make([]string, len(list))
	wide := 20.0
	most := math.Min(box.Width(), 88) - beside
	for i, k := range list {
		names[i] = scene.Bold.Shorten(scene.Bold.Clean(k.name), sizeText, most)
		notes[i] = scene.Regular.Shorten(k.note(p), sizeSmall, most)
		wide = math.Max(wide, math.Max(scene.Bold.Width(names[i], sizeText), scene.Regular.Width(notes[i], sizeSmall)))
	}
	col := beside + wide + between
	cols := max(1, int((box.Width()+between)/col))
	rows := max(1, int(box.Height()/entryHeight+0.01)) // a whole number of rows may have lost its last bit
	shown := len(list)
	if shown > cols*rows {
		shown = cols*rows - 1
	}
	bottom := box.Min.Y
	cell := func(i int) geom.Vec {
		at := box.Min.Add(geom.Vec{X: float64(i%cols) * col, Y: float64(i/cols) * entryHeight})
		bottom = math.Max(bottom, at.Y+entryHeight)
		return at
	}
	for i, k := range list[:shown] {
		at := cell(i)
		icon(sc, k.motif, at.Add(geom.Vec{X: entryIcon / 2, Y: entryHeight / 2}), entryIcon)
		sc.Add(scene.Text{At: at.Add(geom.Vec{X: beside, Y: entryHeight/2 - 0.5}), Text: names[i], Font: scene.Bold, Size: sizeText, Colour: ink()},
			scene.Text{At: at.Add(geom.Vec{X: beside, Y: entryHeight/2 + 2.9}), Text: notes[i], Size: sizeSmall, Colour: soft()})
	}
	if rest := len(list) - shown; rest > 0 {
		sc.Add(scene.Text{At: cell(shown).Add(geom.Vec{X: beside, Y: entryHeight/2 + 1}), Text: p.Many(rest, "and %d more kind", "and %d more kinds"), Size: sizeText, Colour: soft()})
	}
	return bottom
}

// sample is one entry of the key: a line, or a shade where there is any.
type sample struct {
	name  string
	width float64 // points
	dash  []float64
	shade []scene.Colour // laid over one another
}

// edgeKey names the edges of the cloth.
func (c Cloth) edgeKey() []sample {
	if !c.Surface.Closed() {
		return drawnKey(c.Printer, c.Surface)
	}
	return []sample{{name: c.Say("waist seam"), width: lineWaist}, {name: c.Say("hem"), width: lineHem}, {name: c.Say("seam"), width: lineSeam, dash: dashSeam()}}
}

const keyHeight = 4.2 // of one line of the key, millimetres

// lineKey draws the samples in one line from at, or below one another where
// stacked, and returns the width used.
func lineKey(sc *scene.Scene, at geom.Vec, list []sample, stacked bool) float64 {
	const long = 9.0
	x, y, wide := at.X, at.Y, 0.0
	for _, s := range list {
		mid := y + keyHeight/2
		w := scene.Regular.Width(s.name, sizeSmall)
		chip := scene.Rect(geom.Box{Min: geom.Vec{X: x, Y: mid - 1.5}, Max: geom.Vec{X: x + long, Y: mid + 1.5}})
		for _, c := range s.shade {
			sc.Add(scene.Fill{Rings: []geom.Ring{chip}, Colour: c})
		}
		if len(s.shade) > 0 {
			sc.Add(scene.Stroke{Lines: scene.Closed(chip), Width: scene.Points(lineHair), Colour: soft()})
		}
		sc.Add(scene.Stroke{Lines: scene.Open(geom.Vec{X: x, Y: mid}, geom.Vec{X: x + long, Y: mid}), Width: scene.Points(s.width), Dash: s.dash, Colour: ink()},
			scene.Text{At: geom.Vec{X: x + long + 1.5, Y: mid + scene.Regular.CapHeight(sizeSmall)/2}, Text: s.name, Size: sizeSmall, Colour: ink()})
		end := x + long + 1.5 + w
		wide = math.Max(wide, end-at.X)
		if stacked {
			y += keyHeight
		} else {
			x = end + 5
		}
	}
	return wide
}

// along returns text centred at p whose top points to up, turned round where
// it would stand on its head.
func along(text string, p geom.Vec, turn, size float64, font scene.Font, c scene.Colour) scene.Text {
	turn = readable(turn)
	// The baseline lies half a capital below the middle.
	at := p.Add(geom.Vec{Y: font.CapHeight(size) / 2}.Rotate(turn))
	return scene.Text{At: at, Text: text, Font: font, Size: size, Anchor: scene.Middle, Turn: turn, Colour: c}
}

// readable returns the turn, or the opposite one, at which words are not upside
// down.
func readable(turn float64) float64 {
	turn = math.Remainder(turn, 2*math.Pi)
	if math.Abs(turn) > math.Pi/2+1e-3 {
		turn += math.Pi
	}
	return turn
}

func itoa(n int) string { return strconv.Itoa(n) }
