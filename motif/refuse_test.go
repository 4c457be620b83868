package motif

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"strew/motif/geom"
)

// Bad and hostile drawings are refused quickly, with a reason.
func TestErrors(t *testing.T) {
	many := func(n int, s string) string { return strings.Repeat(s, n) }
	ids := func(n int) string { // each group draws the one before ten times: 10ⁿ shapes
		var b strings.Builder
		b.WriteString(`<defs><rect id="u0" width="20" height="20"/>`)
		for i := 1; i <= n; i++ {
			fmt.Fprintf(&b, `<g id="u%d">%s</g>`, i, many(10, fmt.Sprintf(`<use href="#u%d"/>`, i-1)))
		}
		return b.String() + fmt.Sprintf(`</defs><use href="#u%d"/>`, n)
	}
	for _, c := range []struct {
		name, svg, want string
		opt             Options
	}{
		{name: "empty", svg: "", want: "the file is empty"},
		{name: "blank", svg: " \n\t ", want: "the file is empty"},
		{name: "a picture", svg: "\x89PNG\r\n\x1a\n....", want: "not an SVG drawing"},
		{name: "html", svg: "<html><body/></html>", want: "not an SVG drawing"},
		{name: "broken", svg: "<svg>\n<g>\n</svg>", want: "line 3: the drawing is damaged"},
		{name: "cut off", svg: "<svg><rect width='9'", want: "line 1: the drawing breaks off"},
		{name: "no shapes", svg: mmSVG(""), want: "no shape to cut"},
		{name: "only text", svg: mmSVG("<text>leaf</text><image href='x'/>"), want: "the drawing holds only text and pictures, no shape to cut"},
		{name: "nothing visible", svg: mmSVG(`<rect width="20" height="20" fill="none"/>`), want: "no shape to cut"},
		{name: "zero width", svg: `<svg width="0" height="10"><rect width="9" height="9"/></svg>`, want: "must be more than zero"},
		{name: "zero size", svg: mmSVG(`<rect width="20" height="20" transform="scale(0)"/>`), want: "no area"},
		{name: "a line", svg: mmSVG(`<path d="M0 0L50 50"/>`), want: "large enough"},
		{name: "a flat line", svg: mmSVG(`<path d="M0 0H50"/>`), want: "no area"},
		{name: "open line", svg: mmSVG(`<path id="stem" fill="none" stroke="red" d="M0 0h30v30"/>`), want: `<path id="stem"> is an open line whose ends lie 42.4 mm apart`},
		{name: "too small", svg: `<svg width="0.2mm" height="0.2mm" viewBox="0 0 9 9"><rect width="9" height="9"/></svg>`, want: "large enough"},
		{name: "too large", svg: mmSVG(`<rect width="1e300" height="1e300"/>`), want: "larger than 50000 mm"},
		{name: "overflow", svg: mmSVG(`<rect width="1e300" height="1e300" transform="scale(1e300)"/>`), want: "too large"},
		{name: "far away", svg: mmSVG(`<rect width="20" height="20"/><path d="M0 0h1e9v1z"/>`), want: "larger than 50000 mm"},
		{name: "NaN is no number", svg: mmSVG(`<path d="M0 0 L NaN 5 5 5z"/>`), want: "no "},
		{name: "1e400 is no number", svg: mmSVG(`<rect width="1e400" height="20"/>`), want: "no shape"},
		{name: "use loop", svg: mmSVG(`<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>`), want: "draws itself without end"},
		{name: "use of its own group", svg: mmSVG(`<g id="a"><use href="#a"/></g>`), want: "draws itself without end"},
		{name: "clip loop", svg: mmSVG(`<clipPath id="c" clip-path="url(#c)"><rect width="9" height="9"/></clipPath><rect width="20" height="20" clip-path="url(#c)"/>`), want: "draws itself without end"},
		{name: "uses of uses", svg: mmSVG(ids(9)), want: "more than 250000 points"},
		{name: "deep groups", svg: many(100_000, "<g>"), want: "nests groups more than 256"},
		{name: "deep groups in a drawing", svg: "<svg>" + many(100_000, "<g>"), want: "nests groups more than 256"},
		{name: "many elements", svg: "<svg>" + many(200_001, "<g/>") + "</svg>", want: "more than 200000 elements"},
		{name: "many points", svg: mmSVG(`<path d="M0 0` + many(600_000, "h1v1") + `z"/>`), want: "more than 250000 points"},
		{name: "many colours", svg: mmSVG(many(1100, `<rect width="20" height="20" fill="red"/><rect width="20" height="20" fill="blue"/>`)), want: "layers of alternating colours"},
		{name: "entity bomb", svg: `<!DOCTYPE svg [<!ENTITY a "` + many(1000, "x") + `"><!ENTITY b "` + many(100, "&a;") + `">]><svg><rect width="&b;"/></svg>`, want: "expands to more than"},
		{name: "unknown entity", svg: `<svg><rect id="&file;"/></svg>`, want: "the drawing is damaged"},
		{name: "damaged pack", svg: "\x1f\x8b\x08 junk", want: "damaged"},
		{name: "unknown encoding", svg: `<?xml version="1.0" encoding="EBCDIC"?><svg/>`, want: `the text encoding "EBCDIC" is not known`},
		{name: "width and height", svg: mmSVG(`<rect width="20" height="20"/>`), want: "give one of them", opt: Options{Width: 5, Height: 5}},
		{name: "negative width", svg: mmSVG(`<rect width="20" height="20"/>`), want: "cannot be -5 mm", opt: Options{Width: -5}},
		{name: "NaN width", svg: mmSVG(`<rect width="20" height="20"/>`), want: "cannot be NaN mm", opt: Options{Width: math.NaN()}},
		{name: "bad colour", svg: mmSVG(`<rect width="20" height="20"/>`), want: "not a colour", opt: Options{Colour: "reddish"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			begun := time.Now()
			_, _, err := ReadSVG([]byte(c.svg), c.opt)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one that says %q", err, c.want)
			}
			if d := time.Since(begun); d > 20*time.Second {
				t.Errorf("took %v", d)
			}
		})
	}
}

func TestFaultsHaveAPlace(t *testing.T) {
	// A scribble in a corner of the page, read at another size too.
	var b strings.Builder
	rng := rand.New(rand.NewPCG(1, 3))
	for range 5000 {
		fmt.Fprintf(&b, "%.2f %.2f ", 100+90*rng.Float64(), 100+90*rng.Float64())
	}
	for _, opt := range []Options{{}, {Width: 20}} {
		_, _, err := ReadSVG([]byte(mmSVG(`<rect width="9" height="9"/><path id="knot" d="M`+b.String()+`z"/>`)), opt)
		var f *Fault
		if !errors.As(err, &f) || f.Rule != "tangled" || !strings.Contains(err.Error(), "knot") {
			t.Fatalf("got %v, want a tangled outline", err)
		}
		if !(geom.Box{Min: geom.Vec{X: 99, Y: 99}, Max: geom.Vec{X: 190, Y: 190}}).Contains(f.At) || !strings.Contains(err.Error(), fmt.Sprintf("x %.1f mm", f.At.X)) {
			t.Errorf("the place is %v in %q", f.At, err)
		}
	}
}
