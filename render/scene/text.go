package scene

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"

	"strew/motif/geom"
)

// Font is one of the embedded typefaces.
type Font int

// The fonts: the Go family of Bigelow & Holmes, which has Latin, Greek and
// Cyrillic letters and no kerning pairs, so widths simply add up.
const (
	Regular Font = iota
	Bold
)

// TTF returns the font's file, to be embedded in a format that carries fonts.
// The caller must not change it.
func (f Font) TTF() []byte {
	if f == Bold {
		return gobold.TTF
	}
	return goregular.TTF
}

// missing stands in for every rune that the fonts have no letter for: a hollow
// square, so that the maker sees that something is not shown.
const missing = '□'

// faces are the parsed fonts, read-only after start-up.
var faces = [...]*sfnt.Font{Regular: parse(goregular.TTF), Bold: parse(gobold.TTF)}

func parse(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(fmt.Sprintf("scene: embedded font: %v", err))
	}
	return f
}

// glyph is what a letter takes, in units of 1/64 of the em's own units.
type glyph struct {
	found   bool // the font has the letter; else this is its sign for none
	advance fixed.Int26_6
	bounds  fixed.Rectangle26_6 // from the origin on the baseline
}

// commonLetters bounds the letters whose glyphs are looked up once: Latin, Greek
// and Cyrillic end below it.
const commonLetters = 0x530

// common holds the glyphs of the common letters of each font.
var common = [...]func() []glyph{
	Regular: sync.OnceValue(func() []glyph { return Regular.commonGlyphs() }),
	Bold:    sync.OnceValue(func() []glyph { return Bold.commonGlyphs() }),
}

func (f Font) commonGlyphs() []glyph {
	out := make([]glyph, commonLetters)
	for r := range out {
		out[r] = f.lookUp(rune(r))
	}
	return out
}

// glyph returns the glyph of a letter.
func (f Font) glyph(r rune) glyph {
	if r >= 0 && r < commonLetters {
		return common[f]()[r]
	}
	return f.lookUp(r)
}

func (f Font) lookUp(r rune) glyph {
	var buf sfnt.Buffer
	g, err := faces[f].GlyphIndex(&buf, r)
	out := glyph{found: err == nil && g != 0}
	out.bounds, out.advance, err = faces[f].GlyphBounds(&buf, g, f.em(), font.HintingNone)
	if err != nil {
		return glyph{}
	}
	return out
}

// em is the size at which glyphs are looked up: the font's own units.
func (f Font) em() fixed.Int26_6 { return fixed.I(int(faces[f].UnitsPerEm())) }

// Clean returns text as it can be written on one line: composed (Unicode
// normal form C), line ends and other white space as single spaces, control
// and direction marks dropped, and a hollow square for every letter that the
// font lacks.
func (f Font) Clean(text string) string {
	if isClean(text) {
		return text
	}
	var b strings.Builder
	space := false
	for _, r := range kept(text) {
		if unicode.IsSpace(r) {
			space = b.Len() > 0
			continue
		}
		if space {
			b.WriteByte(' ')
			space = false
		}
		if !f.glyph(r).found {
			r = missing
		}
		b.WriteRune(r)
	}
	return b.String()
}

// isClean reports whether Clean would leave the text as it is, for a text of
// plain ASCII letters with single spaces between them, which both fonts have.
func isClean(text string) bool {
	before := byte(' ')
	for i := range len(text) {
		c := text[i]
		if c < ' ' || c > '~' || c == ' ' && before == ' ' {
			return false
		}
		before = c
	}
	return before != ' ' || text == ""
}

// Missing returns the letters of text for which Clean writes hollow squares, each
// once.
func (f Font) Missing(text string) []rune {
	var out []rune
	for _, r := range kept(text) {
		if !f.glyph(r).found && !unicode.IsSpace(r) && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return out
}

// kept is text, composed, without control and direction marks.
func kept(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsSpace(r) && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r)) {
			return -1
		}
		return r
	}, norm.NFC.String(strings.ToValidUTF8(text, string(missing))))
}

// Width returns the width in millimetres of text at size points.
func (f Font) Width(text string, size float64) float64 {
	sum := fixed.Int26_6(0)
	for _, r := range text {
		sum += f.glyph(r).advance
	}
	return Points(size) * float64(sum) / float64(f.em())
}

// CapHeight returns the height in millimetres of capitals and figures.
func (f Font) CapHeight(size float64) float64 { return 1480.0 / 2048 * Points(size) }

// Descent returns how far in millimetres letters reach below the baseline.
func (f Font) Descent(size float64) float64 { return 432.0 / 2048 * Points(size) }

// Ascent returns how far in millimetres accented letters reach above the baseline.
func (f Font) Ascent(size float64) float64 { return 1935.0 / 2048 * Points(size) }

// Shorten returns text if it is at most width millimetres wide, else as much
// of its beginning as fits together with "…".
func (f Font) Shorten(text string, size, width float64) string {
	if f.Width(text, size) <= width {
		return text
	}
	runes := []rune(text)
	for n := len(runes) - 1; n > 0; n-- {
		s := strings.TrimRight(string(runes[:n]), " ") + "…"
		if f.Width(s, size) <= width {
			return s
		}
	}
	return "…"
}

// Wrap breaks text between words into at most lines lines of at most width
// millimetres; what does not fit is shortened with "…". An empty text gives
// no line.
func (f Font) Wrap(text string, size, width float64, lines int) []string {
	var out []string
	words := strings.Fields(text)
	for len(words) > 0 && len(out) < lines-1 {
		n := 1
		for n < len(words) && f.Width(strings.Join(words[:n+1], " "), size) <= width {
			n++
		}
		out = append(out, f.Shorten(strings.Join(words[:n], " "), size, width))
		words = words[n:]
	}
	if len(words) > 0 {
		out = append(out, f.Shorten(strings.Join(words, " "), size, width))
	}
	return out
}

// Box returns the box that the text's letters stay in, at turn 0 or 180°
// exactly and, for other turns, the box round the turned box. It is at least as
// high as Ascent and Descent, and higher where a letter with stacked accents is.
func (t Text) Box() geom.Box {
	own := t.Font.reach(t.Text, t.Size)
	shift := geom.Vec{X: -t.Font.Width(t.Text, t.Size) * float64(t.Anchor) / 2}
	own = geom.Box{Min: own.Min.Add(shift), Max: own.Max.Add(shift)}
	m := geom.Placing(t.At, t.Turn, 1, false)
	return geom.BoxOf(m.Apply(own.Min), m.Apply(geom.Vec{X: own.Max.X, Y: own.Min.Y}),
		m.Apply(own.Max), m.Apply(geom.Vec{X: own.Min.X, Y: own.Max.Y}))
}

// reach returns the box round the text as it is written from the origin: its
// width, ascent and descent, and what its glyphs have beyond those.
func (f Font) reach(text string, size float64) geom.Box {
	k := Points(size) / float64(f.em())
	box := geom.Box{Min: geom.Vec{Y: -f.Ascent(size)}, Max: geom.Vec{X: f.Width(text, size), Y: f.Descent(size)}}
	x := fixed.Int26_6(0)
	for _, r := range text {
		g := f.glyph(r)
		if b := g.bounds; !b.Empty() {
			box = box.Union(geom.Box{Min: geom.Vec{X: k * float64(x+b.Min.X), Y: k * float64(b.Min.Y)}, Max: geom.Vec{X: k * float64(x+b.Max.X), Y: k * float64(b.Max.Y)}})
		}
		x += g.advance
	}
	return box
}

// Curve is one step of a glyph's outline: from where the last one ended to P,
// with the control point C of a quadratic curve where Curved, or a new start
// at P where Move.
type Curve struct {
	C, P         geom.Vec
	Move, Curved bool
}

// Outline returns the outlines of the text's letters where they lie in the
// scene, to be filled by the non-zero winding rule. It is how formats without
// fonts write: sharp at every turn and size.
func (t Text) Outline() []Curve {
	var buf sfnt.Buffer
	face := faces[t.Font]
	em := fixed.I(int(face.UnitsPerEm()))
	k := Points(t.Size) / float64(em)
	m := geom.Placing(t.At, t.Turn, 1, false)
	x := -t.Font.Width(t.Text, t.Size) * float64(t.Anchor) / 2
	var out []Curve
	for _, r := range t.Text {
		g, _ := face.GlyphIndex(&buf, r)
		segments, err := face.LoadGlyph(&buf, g, em, nil)
		if err != nil {
			continue
		}
		at := func(p fixed.Point26_6) geom.Vec {
			return m.Apply(geom.Vec{X: x + k*float64(p.X), Y: k * float64(p.Y)})
		}
		for _, s := range segments {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				out = append(out, Curve{P: at(s.Args[0]), Move: true})
			case sfnt.SegmentOpLineTo:
				out = append(out, Curve{P: at(s.Args[0])})
			case sfnt.SegmentOpQuadTo:
				out = append(out, Curve{C: at(s.Args[0]), P: at(s.Args[1]), Curved: true})
			}
		}
		adv, _ := face.GlyphAdvance(&buf, g, em, font.HintingNone)
		x += k * float64(adv)
	}
	return out
}

// IsFinite reports whether every number of the scene can be drawn.
func (s Scene) IsFinite() bool {
	sound := func(f float64) bool { return !math.IsNaN(f) && !math.IsInf(f, 0) }
	return sound(s.Width) && sound(s.Height) && finite(s.Ops)
}

func finite(ops []Op) bool {
	rings := func(rs []geom.Ring) bool {
		for _, r := range rs {
			for _, p := range r {
				if !p.IsFinite() {
					return false
				}
			}
		}
		return true
	}
	for _, op := range ops {
		ok := true
		switch o := op.(type) {
		case Fill:
			ok = rings(o.Rings)
		case Clip:
			ok = rings(o.Rings) && finite(o.Inside)
		case Stroke:
			for _, l := range o.Lines {
				ok = ok && rings([]geom.Ring{l.Points})
			}
			ok = ok && geom.Vec{X: o.Width}.IsFinite()
		case Text:
			ok = o.At.IsFinite() && geom.Vec{X: o.Size, Y: o.Turn}.IsFinite()
		}
		if !ok {
			return false
		}
	}
	return true
}
