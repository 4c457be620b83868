package scene

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"pgregory.net/rapid"

	"strew/motif/geom"
)

func TestCleanShowsWhatIsMissing(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"Ginkgo walk", "Ginkgo walk"},
		{"  two\n lines\tand a tab ", "two lines and a tab"},
		{"cafe\u0301", "café"},               // composed, Unicode normal form C
		{"leaf 🍂 中", "leaf □ □"},             // no glyphs in the font
		{"a\u200bb\u202ec\ufe0f\x07", "abc"}, // marks that show nothing
		{"bad \xff byte", "bad □ byte"},
		{"Αα Жж 2½ × 3 · …", "Αα Жж 2½ × 3 · …"},
		{"", ""},
	} {
		if got := Regular.Clean(c.in); got != c.want {
			t.Errorf("Clean(%q) = %q, want %q", c.in, got, c.want)
		}
	}
}

func TestLinesKeepTheirWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom([]Font{Regular, Bold}).Draw(t, "font")
		text := f.Clean(rapid.String().Draw(t, "text"))
		size, width := rapid.Float64Range(5, 20).Draw(t, "size"), rapid.Float64Range(10, 100).Draw(t, "width")
		n := rapid.IntRange(1, 4).Draw(t, "lines")
		lines := f.Wrap(text, size, width, n)
		if len(lines) > n || (len(lines) == 0) != (text == "") {
			t.Fatalf("%d lines of at most %d for %q", len(lines), n, text)
		}
		for _, l := range lines {
			if f.Width(l, size) > width || !utf8.ValidString(l) {
				t.Fatalf("line %q is %.2f mm wide, more than %.2f", l, f.Width(l, size), width)
			}
		}
		if all := strings.Join(lines, " "); !strings.Contains(all, "…") && all != text && !strings.Contains(text, "…") {
			t.Fatalf("%q became %q without a sign of it", text, all)
		}
	})
}

// Widths add up and grow with the size, and at 72 points figures are as wide
// as a face of golang.org/x/image/font/opentype says.
func TestWidthsAreTheFonts(t *testing.T) {
	face, err := opentype.Parse(Regular.TTF())
	if err != nil {
		t.Fatal(err)
	}
	// 2048 pixels to the em: one pixel is one unit of the font.
	at, err := opentype.NewFace(face, &opentype.FaceOptions{Size: 2048, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"0", "H", "waist seam", "12½ · row"} {
		want := float64(font.MeasureString(at, text)) / 64 / 2048 * Points(9)
		if got := Regular.Width(text, 9); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is %g mm wide at 9 points, want %g", text, got, want)
		}
	}
	if m := at.Metrics(); math.Abs(Regular.CapHeight(9)-float64(m.CapHeight)/64/2048*Points(9)) > 1e-9 ||
		math.Abs(Regular.Ascent(9)-float64(m.Ascent)/64/2048*Points(9)) > 1e-9 ||
		math.Abs(Regular.Descent(9)-float64(m.Descent)/64/2048*Points(9)) > 1e-9 {
		t.Errorf("heights are not the font's own: %v", m)
	}
}

// Every glyph of both fonts lies in the box of a text that shows it: the
// outlines are the font's own, their control points hold the curves.
func TestEveryGlyphLiesInItsBox(t *testing.T) {
	for _, f := range []Font{Regular, Bold} {
		shown := 0
		for r := rune(' '); r <= 0xffff; r++ {
			text := string(r)
			if f.Missing(text) != nil || f.Clean(text) != text {
				continue
			}
			shown++
			for _, turn := range []float64{0, math.Pi, 0.7} {
				for _, anchor := range []Anchor{Start, Middle, End} {
					x := Text{Text: text, Font: f, Size: 16, Anchor: anchor, Turn: turn}
					box := x.Box().Grow(1e-9)
					for _, c := range x.Outline() {
						if !box.Contains(c.P) || c.Curved && !box.Contains(c.C) {
							t.Fatalf("%q of font %d at turn %g, anchor %d writes at %v, outside its box %v", text, f, turn, anchor, c.P, box)
						}
					}
				}
			}
		}
		if shown < 600 { // Latin, Greek and Cyrillic
			t.Errorf("font %d shows %d letters only", f, shown)
		}
	}
}

func TestPoints(t *testing.T) {
	if Points(72) != 25.4 {
		t.Errorf("72 points are %g mm, want 25.4", Points(72))
	}
}

func TestHex(t *testing.T) {
	if c, ok := Hex("#d9a521"); !ok || c != (Colour{0xd9, 0xa5, 0x21, 1}) {
		t.Errorf("got %v %v", c, ok)
	}
	for _, bad := range []string{"", "#fff", "d9a521", "#d9a52g", "#+9a521", "#d9a5211"} {
		if c, ok := Hex(bad); ok {
			t.Errorf("%q was read as %v", bad, c)
		}
	}
}

// Contrast ratios against white: WCAG 2.2 defines ratio (L1+.05)/(L2+.05);
// black on white is 21, #767676 on white 4.54 (the well-known greyest grey that
// passes 4.5).
func TestLuminance(t *testing.T) {
	for _, c := range []struct {
		hex  string
		want float64
	}{{"#000000", 21}, {"#767676", 4.5422}, {"#ffffff", 1}} {
		col, _ := Hex(c.hex)
		if got := 1.05 / (col.Luminance() + 0.05); math.Abs(got-c.want) > 1e-3 {
			t.Errorf("%s on white has contrast %.4f, want %.4f", c.hex, got, c.want)
		}
	}
	// The blue of the standard's own examples on black.
	blue, _ := Hex("#3366cc")
	if got := (blue.Luminance() + 0.05) / 0.05; math.Abs(got-3.91) > 5e-3 {
		t.Errorf("#3366cc on black has contrast %.4f, want 3.91", got)
	}
}

// 1 - (1-α)ⁿ: Porter & Duff 1984, source-over applied n times.
func TestLayersAlpha(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, n := rapid.Float64Range(0, 1).Draw(t, "alpha"), rapid.IntRange(0, 12).Draw(t, "layers")
		seen := 0.0
		for range n {
			seen = a + seen*(1-a)
		}
		if got := LayersAlpha(a, n); math.Abs(got-seen) > 1e-12 {
			t.Fatalf("%d layers of %g cover %g, want %g", n, a, got, seen)
		}
	})
}

func TestDiscIsRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.01, 3000).Draw(t, "radius")
		d := Disc(geom.Vec{X: 5, Y: 7}, r)
		for i, p := range d {
			mid := p.Lerp(d.At(i+1), 0.5)
			if s := r - mid.Dist(geom.Vec{X: 5, Y: 7}); s > 0.0101 && len(d) > 8 || s < -1e-9 {
				t.Fatalf("a step of a disc of radius %g lies %g inside", r, s)
			}
		}
	})
}
