// Package scene records a drawing in millimetres, so that it can be replayed
// in any format: a picture, a page to print, a vector file.
//
// The set of operations is small on purpose: fill, stroke, text and clip. A
// scene's origin is its top left corner, x to the right and y down, and a
// positive turn is clockwise as seen. Later operations lie over earlier ones
// and are composited source-over (T. Porter, T. Duff, "Compositing digital
// images", SIGGRAPH 1984).
package scene

import (
	"fmt"
	"math"
	"strconv"

	"strew/motif/geom"
)

// Scene is a recorded drawing. The paper is white.
type Scene struct {
	Width, Height float64 // millimetres
	Ops           []Op    // in painting order
}

// Add records more operations over what is there.
func (s *Scene) Add(ops ...Op) { s.Ops = append(s.Ops, ops...) }

// Op is one operation: a Fill, a Stroke, a Text or a Clip.
type Op interface{ op() }

// Fill paints the inside of rings, by the non-zero winding rule unless EvenOdd is
// set, so that rings that overlap are painted once.
type Fill struct {
	Rings   []geom.Ring // millimetres on the page
	Colour  Colour
	EvenOdd bool // the even-odd rule
}

// Stroke draws along lines with round joins and ends. Dash holds the lengths
// of dashes and gaps in millimetres, in turn; empty for a solid line.
type Stroke struct {
	Lines  []Line
	Width  float64 // millimetres; see Points
	Colour Colour
	Dash   []float64
}

// Line is a polyline; a closed one returns to its first point without
// repeating it.
type Line struct {
	Points []geom.Vec // millimetres on the page
	Closed bool
}

// Text writes one line of text. At is where its baseline starts, has its
// middle or ends, as Anchor says; Turn is about At.
type Text struct {
	At     geom.Vec
	Text   string
	Font   Font
	Size   float64 // points
	Anchor Anchor
	Turn   float64 // radians, clockwise as seen
	Colour Colour
}

// Clip confines the operations in Inside to the inside of rings by the
// even-odd rule. Clips nest.
type Clip struct {
	Rings  []geom.Ring
	Inside []Op
}

func (Fill) op()   {}
func (Stroke) op() {}
func (Text) op()   {}
func (Clip) op()   {}

// Anchor says which place of a line of text its position names.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Closed returns the rings as closed lines, to stroke them.
func Closed(rings ...geom.Ring) []Line {
	out := make([]Line, len(rings))
	for i, r := range rings {
		out[i] = Line{Points: r, Closed: true}
	}
	return out
}

// Open returns the points as one open line.
func Open(points ...geom.Vec) []Line { return []Line{{Points: points}} }

// Rect returns the box as a ring, clockwise as seen.
func Rect(b geom.Box) geom.Ring {
	return geom.Ring{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}
}

// Disc returns the circle about c as a ring whose steps lie within a
// hundredth of a millimetre of it.
func Disc(c geom.Vec, radius float64) geom.Ring {
	const tol = 0.01 // a twelfth of a pixel at 200 dpi
	n := 8
	if radius > tol {
		n = max(n, int(math.Ceil(math.Pi/math.Acos(1-tol/radius))))
	}
	ring := make(geom.Ring, n)
	for i := range ring {
		s, k := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring[i] = geom.Vec{X: c.X + radius*k, Y: c.Y + radius*s}
	}
	return ring
}

// Points returns n typographic points in millimetres: 72 to the inch.
func Points(n float64) float64 { return n * 25.4 / 72 }

// Colour is a colour in sRGB with its opacity, not multiplied in. The zero
// Colour paints nothing.
type Colour struct {
	R, G, B uint8
	Alpha   float64 // 0 clear to 1 solid
}

// Hex returns the solid colour "#rrggbb", and false where text is none.
func Hex(text string) (Colour, bool) {
	if len(text) != 7 || text[0] != '#' {
		return Colour{}, false
	}
	n, err := strconv.ParseUint(text[1:], 16, 32)
	if err != nil {
		return Colour{}, false
	}
	return Colour{uint8(n >> 16), uint8(n >> 8), uint8(n), 1}, true
}

// Hex returns the colour as "#rrggbb", without its opacity: the inverse of the
// function Hex.
func (c Colour) Hex() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// Faded returns the colour at opacity alpha.
func (c Colour) Faded(alpha float64) Colour {
	c.Alpha = alpha
	return c
}

// Mixed returns the solid colour t of the way from c to d, channel by channel.
func (c Colour) Mixed(d Colour, t float64) Colour {
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + t*(float64(b)-float64(a)))) }
	return Colour{mix(c.R, d.R), mix(c.G, d.G), mix(c.B, d.B), 1}
}

// Luminance returns the relative luminance of the solid colour, 0 black to 1
// white (WCAG 2.2, "relative luminance").
func (c Colour) Luminance() float64 {
	lin := func(v uint8) float64 {
		f := float64(v) / 255
		if f <= 0.04045 {
			return f / 12.92
		}
		return math.Pow((f+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

// LayersAlpha returns the opacity of n layers that each have opacity alpha,
// laid on one another: source-over repeated gives 1 - (1-α)ⁿ (Porter & Duff
// 1984).
func LayersAlpha(alpha float64, n int) float64 {
	return 1 - math.Pow(1-alpha, float64(n))
}
