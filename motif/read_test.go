package motif

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/motif/say"
)

// Sizes: 96 px are an inch and the other units follow (CSS Values 3, 6.2);
// viewBox and preserveAspectRatio after SVG 2, chapter 8. Each drawing holds a
// square; its side in mm is checked.
func TestSizes(t *testing.T) {
	const px = 25.4 / 96
	for _, c := range []struct {
		name, svg     string
		width, height float64
	}{
		{"px", `<svg width="300" height="300"><rect width="100" height="50"/></svg>`, 100 * px, 50 * px},
		{"mm", `<svg width="300mm" height="300mm" viewBox="0 0 300 300"><rect width="100" height="50"/></svg>`, 100, 50},
		{"cm", `<svg width="30cm" height="30cm" viewBox="0 0 300 300"><rect width="100" height="50"/></svg>`, 100, 50},
		{"in", `<svg width="3in" height="3in" viewBox="0 0 300 300"><rect width="100" height="50"/></svg>`, 25.4, 12.7},
		{"pt", `<svg width="72pt" height="72pt" viewBox="0 0 100 100"><rect width="100" height="50"/></svg>`, 25.4, 12.7},
		{"pc", `<svg width="6pc" height="6pc" viewBox="0 0 100 100"><rect width="100" height="50"/></svg>`, 25.4, 12.7},
		{"Q", `<svg width="400Q" height="400Q" viewBox="0 0 100 100"><rect width="100" height="50"/></svg>`, 100, 50},
		{"em", `<svg width="10em" height="10em" viewBox="0 0 100 100"><rect width="100" height="50"/></svg>`, 160 * px, 80 * px},
		{"lengths in mm", `<svg width="300mm" height="300mm"><rect width="100mm" height="5cm"/></svg>`, 100, 50},
		{"percent size", `<svg width="100%" height="100%" viewBox="0 0 300 300"><rect width="100" height="50"/></svg>`, 100 * px, 50 * px},
		{"no size", `<svg viewBox="0 0 300 300"><rect width="100" height="50"/></svg>`, 100 * px, 50 * px},
		{"nothing at all", `<svg><rect width="100" height="50"/></svg>`, 100 * px, 50 * px},
		{"width only", `<svg width="200mm" viewBox="0 0 100 300"><rect width="100" height="50"/></svg>`, 200, 100},
		{"height only", `<svg height="600mm" viewBox="0 0 100 300"><rect width="100" height="50"/></svg>`, 200, 100},
		{"meet", `<svg width="100mm" height="400mm" viewBox="0 0 100 100"><rect width="100" height="50"/></svg>`, 100, 50},
		{"slice", `<svg width="100mm" height="400mm" viewBox="0 0 100 100" preserveAspectRatio="xMinYMin slice"><rect width="100" height="50"/></svg>`, 400, 200},
		{"stretched", `<svg width="100mm" height="400mm" viewBox="0 0 100 100" preserveAspectRatio="none"><rect width="100" height="50"/></svg>`, 100, 200},
		{"percent of the viewBox", `<svg width="100mm" height="100mm" viewBox="0 0 10 10"><rect width="50%" height="20%"/></svg>`, 50, 20},
		{"nested", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><svg x="10" width="50" height="50" viewBox="0 0 5 5"><rect width="4" height="2"/></svg></svg>`, 40, 20},
		{"nested, cut at its frame", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><svg width="50" height="50"><rect x="-20" width="90" height="20"/></svg></svg>`, 50, 20},
		{"nested, let out of its frame", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><svg width="50" height="50" overflow="visible"><rect x="5" width="90" height="20"/></svg></svg>`, 90, 20},
		{"symbol", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><symbol id="s" viewBox="0 0 10 10"><rect width="10" height="5"/></symbol><use href="#s" width="40" height="40"/></svg>`, 40, 20},
		{"use", `<svg width="100mm" height="100mm" viewBox="0 0 100 100" xmlns:xlink="http://www.w3.org/1999/xlink"><defs><rect id="r" width="10" height="5"/></defs><use xlink:href="#r" transform="scale(2)"/></svg>`, 20, 10},
		{"transforms", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><g transform="translate(50 50) rotate(90)"><rect width="10" height="5" transform="scale(2,3)"/></g></svg>`, 15, 20},
		{"rotate about a point", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><g transform="rotate(-90, 50 50)"><rect x="40" y="40" width="20" height="10"/></g></svg>`, 10, 20},
		{"matrix", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><rect width="10" height="5" transform="matrix(0 2 3 0 1 1)"/></svg>`, 15, 20},
		{"skew", `<svg width="100mm" height="100mm" viewBox="0 0 100 100"><rect width="10" height="10" transform="skewX(45)"/></svg>`, 20, 10},
	} {
		t.Run(c.name, func(t *testing.T) {
			box := mustRead(t, c.svg, Options{}).Box()
			if math.Abs(box.Width()-c.width) > 1e-3 || math.Abs(box.Height()-c.height) > 1e-3 {
				t.Errorf("%.4f x %.4f mm, want %.4f x %.4f", box.Width(), box.Height(), c.width, c.height)
			}
		})
	}
}

// Areas of shapes by the formulas of plane geometry, in mm².
func TestShapes(t *testing.T) {
	for _, c := range []struct {
		name, body string
		area       float64
		pieces     int
	}{
		{"rect", `<rect x="1" y="2" width="30" height="20"/>`, 600, 1},
		{"rounded rect", `<rect width="30" height="20" rx="5"/>`, 600 - (4-math.Pi)*25, 1},
		{"rounded rect, ry only", `<rect width="30" height="20" ry="5"/>`, 600 - (4-math.Pi)*25, 1},
		{"radii held to half the side", `<rect width="30" height="20" rx="40" ry="40"/>`, math.Pi * 150, 1},
		{"circle", `<circle cx="40" cy="40" r="20"/>`, math.Pi * 400, 1},
		{"ellipse", `<ellipse cx="40" cy="40" rx="20" ry="10"/>`, math.Pi * 200, 1},
		{"polygon", `<polygon points="0,0 40,0 40,30"/>`, 600, 1},
		{"polyline closes itself when filled", `<polyline points="0 0 40 0 40 30"/>`, 600, 1},
		{"open path closes itself when filled", `<path d="M0 0h40v30"/>`, 600, 1},
		{"path that breaks off", `<path d="M0 0h40v30z L 9 9 oops"/>`, 600, 1},
		{"two islands", `<path d="M0 0h10v10h-10z M20 0h10v10h-10z"/>`, 200, 2},
		{"touching sides", `<rect width="10" height="10"/><rect x="10" width="10" height="10"/>`, 200, 1},
		{"touching corners", `<rect width="10" height="10"/><rect x="10" y="10" width="10" height="10"/>`, 200, 2},
		{"overlap", `<rect width="10" height="10"/><rect x="5" width="10" height="10"/>`, 150, 1},
		{"nonzero", `<path d="M0 0h30v30h-30z M10 10h10v10h-10z"/>`, 900, 1},
		{"nonzero, hole run backwards", `<path d="M0 0h30v30h-30z M10 10v10h10v-10z"/>`, 800, 1},
		{"evenodd", `<path fill-rule="evenodd" d="M0 0h30v30h-30z M10 10h10v10h-10z"/>`, 800, 1},
		{"evenodd in a style", `<g style="fill-rule:evenodd"><path d="M0 0h30v30h-30z M10 10h10v10h-10z"/></g>`, 800, 1},
		{"figure of eight", `<path d="M0 0L20 20V0L0 20z"/>`, 200, 2},
		// a pentagram of circumradius R = 20: its ten corners lie at R and at
		// r = R·cos 72°/cos 36°, so the whole star has an area of 5·R·r·sin 36°
		{"pentagram, nonzero", `<path d="M50 30 L61.7557 66.1803 30.9789 43.8197 69.0211 43.8197 38.2443 66.1803z"/>`, 449.03, 1},
		// evenodd leaves the pentagon in the middle out, 5/2·r²·sin 72°, and the five points hang by nothing
		{"pentagram, evenodd", `<path fill-rule="evenodd" d="M50 30 L61.7557 66.1803 30.9789 43.8197 69.0211 43.8197 38.2443 66.1803z"/>`, 310.27, 5},
		{"clip", `<clipPath id="c"><circle cx="20" cy="20" r="10"/></clipPath><rect width="40" height="40" clip-path="url(#c)"/>`, math.Pi * 100, 1},
		{"clip in the box's units", `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".5"/></clipPath><rect x="10" y="10" width="40" height="20" clip-path="url(#c)"/>`, 200, 1},
		{"clip of a clip", `<clipPath id="b"><rect width="15" height="40"/></clipPath><clipPath id="c" clip-path="url(#b)"><rect width="40" height="20"/></clipPath><rect width="40" height="40" clip-path="url(#c)"/>`, 300, 1},
		{"clip-rule", `<clipPath id="c"><path clip-rule="evenodd" d="M0 0h30v30h-30z M10 10h10v10h-10z"/></clipPath><rect width="40" height="40" clip-path="url(#c)"/>`, 800, 1},
		{"clip on a group", `<clipPath id="c"><rect width="20" height="20"/></clipPath><g clip-path="url(#c)" transform="translate(5 5)"><rect x="-9" y="-9" width="20" height="20"/></g>`, 121, 1},
		{"huge clip", `<clipPath id="c"><rect x="-1e7" width="2e7" height="20"/></clipPath><rect width="10" height="40" clip-path="url(#c)"/>`, 200, 1},
		{"transform about an origin", `<rect x="20" y="20" width="10" height="10"/><rect x="20" y="20" width="10" height="10" style="transform: rotate(90deg); transform-origin: 25px 25px"/><rect x="45" y="45" width="10" height="10" transform="scale(2)" transform-origin="center"/>`, 500, 2},
		{"transform in a style", `<rect width="10" height="10" style="transform: scale(2) rotate(90deg)"/>`, 400, 1},
		{"not drawn", `<rect width="10" height="10"/><rect x="20" width="10" height="10" display="none"/><rect x="40" width="10" height="10" fill="none"/><g opacity="0"><rect x="20" width="10" height="10"/></g><rect x="20" width="10" height="10" visibility="hidden"/><rect x="20" width="10" height="10" fill-opacity="0%"/><defs><rect x="20" width="10" height="10"/></defs><rect x="20" width="10" height="10" fill="transparent"/>`, 100, 1},
		{"visible child of a hidden group", `<g visibility="hidden"><rect width="10" height="10"/><rect x="20" width="10" height="10" visibility="visible"/></g>`, 100, 1},
		{"switch", `<switch><rect width="10" height="10" systemLanguage="xx"/><rect width="20" height="10" systemLanguage="de, en-GB"/><rect width="30" height="10"/></switch>`, 200, 1},
		{"lines only, closed", `<path fill="none" stroke="red" d="M0 0h30v30h-30z M10 10h10v10h-10z"/>`, 800, 1},
		{"lines only, ends nearly meet", `<path fill="none" stroke="red" d="M0 0h30v30h-30v-29.8"/>`, 900, 1},
		{"entity", `<path d="&leaf;"/>`, 600, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			svg := `<!DOCTYPE svg [<!ENTITY half "M0 0h40"><!ENTITY leaf "&half;v30z">]>` + mmSVG(c.body)
			m := mustRead(t, svg, Options{})
			got := m.Measure().Area
			slack := 0.02 // corners are given to four decimals, areas to two
			for _, curved := range []string{"circle", "ellipse", " rx=", " ry="} {
				if strings.Contains(c.body, curved) {
					slack = geom.FlattenTol * m.Measure().Edge
				}
			}
			if math.Abs(got-c.area) > slack || len(m.Pieces) != c.pieces {
				t.Errorf("%.3f mm² in %d pieces, want %.3f in %d", got, len(m.Pieces), c.area, c.pieces)
			}
		})
	}
}

func TestColoursAndLayers(t *testing.T) {
	for _, c := range []struct {
		name, body string
		want       []string // colour and rounded area, lowest piece first
		opt        Options
	}{
		{name: "black by default", body: `<rect width="10" height="10"/>`, want: []string{"#000000 100"}},
		{name: "ways to write red", body: `<rect width="10" height="10" fill="red"/><rect x="10" width="10" height="10" fill="#F00"/><rect x="20" width="10" height="10" style="fill:rgb(255,0,0)"/><rect x="30" width="10" height="10" fill="rgb(100%, 0%, 0%)"/><rect x="40" width="10" height="10" fill="hsl(0 100% 50%)"/><rect x="50" width="10" height="10" fill="#ff0000ff"/>`, want: []string{"#ff0000 600"}},
		{name: "inherited", body: `<g fill="gold" color="teal"><rect width="10" height="10"/><rect x="20" width="10" height="10" fill="currentColor"/><g fill="blue"><rect x="40" width="10" height="10" fill="inherit"/></g></g>`, want: []string{"#ffd700 100", "#008080 100", "#0000ff 100"}},
		{name: "style sheet", body: `<style>/* leaf */ .leaf, #x { fill: #123456 } g > path.leaf { fill: #654321 } rect { fill: red } @media print { rect { fill: blue } }</style><rect class="leaf dry" width="10" height="10"/><g><path class="leaf" d="M20 0h10v10h-10z"/></g><rect x="40" width="10" height="10" style="fill:lime"/><rect x="60" width="10" height="10" fill="blue"/>`,
			want: []string{"#123456 100", "#654321 100", "#00ff00 100", "#ff0000 100"}},
		{name: "attribute selectors", body: `<style>[data-felt] { fill: red } rect[id^="leaf"][id$='9'], [class~=b] { fill: blue } [lang|=en] { fill: lime } [id*="x, y > z"] { fill: teal }</style><rect data-felt="" width="10" height="10"/><rect id="leaf 9" x="20" width="10" height="10"/><rect class="a b" x="40" width="10" height="10"/><rect lang="en-GB" x="60" width="10" height="10"/><rect id="an x, y > z" x="80" width="10" height="10"/><rect id="leaf 8" x="20" y="20" width="10" height="10"/>`,
			want: []string{"#ff0000 100", "#0000ff 100", "#0000ff 100", "#00ff00 100", "#008080 100", "#000000 100"}},
		{name: "pseudo-classes", body: `<style>rect:first-child { fill: red } rect:last-child { fill: blue } rect:not(.a):not([x]) { fill: lime } rect:hover { fill: teal } svg:root > g { fill: gold }</style><g><rect class="a" width="10" height="10"/><rect y="20" width="10" height="10"/><rect class="a" x="20" width="10" height="10"/><rect class="a" x="40" width="10" height="10"/></g>`,
			want: []string{"#ff0000 100", "#00ff00 100", "#ffd700 100", "#0000ff 100"}},
		{name: "blocks for a screen", body: `<style>@media screen, print { rect { fill: red } } @font-face { font-family: x } @media print { rect { fill: blue } }</style><style media="print">rect { fill: lime }</style><rect width="10" height="10"/>`, want: []string{"#ff0000 100"}},
		{name: "sizes in a style", body: `<style>rect { width: 10px; height: 10px } .b { x: 20px; y: 5px; fill: blue } path { d: path("M40 0h10v10h-10z") }</style><rect fill="red" width="3"/><rect class="b" height="2"/><path fill="lime" d="M0 0h50v50z"/><circle style="r: 5.6419px; cx: 80px; cy: 40px" r="1" fill="teal"/>`,
			want: []string{"#ff0000 100", "#0000ff 100", "#00ff00 100", "#008080 99"}},
		{name: "important", body: `<style>rect { fill: red !important }</style><rect width="10" height="10" style="fill:blue"/>`, want: []string{"#ff0000 100"}},
		{name: "bad colour is passed over", body: `<g fill="green"><rect width="10" height="10" fill="rgb(1,2)"/></g>`, want: []string{"#008000 100"}},
		{name: "laid on top, not cut away beneath", body: `<rect width="20" height="20" fill="red"/><rect x="5" y="5" width="10" height="10" fill="blue"/>`, want: []string{"#ff0000 400", "#0000ff 100"}},
		{name: "target", body: `<rect width="30" height="30" fill="red"/><rect x="5" y="5" width="20" height="20" fill="white"/><rect x="10" y="10" width="10" height="10" fill="red"/>`, want: []string{"#ff0000 900", "#ffffff 400", "#ff0000 100"}},
		{name: "one colour through a gap between others", body: `<rect width="10" height="10" fill="red"/><rect x="40" width="10" height="10" fill="blue"/><rect x="10" width="10" height="10" fill="red"/>`, want: []string{"#ff0000 200", "#0000ff 100"}},
		{name: "neighbours edge to edge do not part a colour", body: `<rect width="10" height="30" fill="red"/><rect x="9.99" width="10" height="10" fill="blue"/><rect y="30" width="20" height="10" fill="red"/>`, want: []string{"#ff0000 500", "#0000ff 100"}},
		{name: "one colour asked", body: `<rect width="20" height="20" fill="red"/><rect x="10" width="20" height="20" fill="blue"/>`, want: []string{"#d9a521 600"}, opt: Options{Colour: "#D9A521"}},
		{name: "gradient", body: `<linearGradient id="g"><stop stop-color="#112233"/><stop offset="1" stop-color="white"/></linearGradient><rect width="10" height="10" fill="url(#g)"/>`, want: []string{"#112233 100"}},
		{name: "gradient by reference", body: `<linearGradient id="g"><stop style="stop-color:#112233"/></linearGradient><radialGradient id="h" href="#g"/><rect width="10" height="10" fill="url('#h') red"/>`, want: []string{"#112233 100"}},
		{name: "missing paint with a fallback", body: `<rect width="10" height="10" fill="url(#none) red"/>`, want: []string{"#ff0000 100"}},
		{name: "lines of two colours", body: `<rect width="10" height="10" fill="none" stroke="red"/><circle cx="40" cy="40" r="0"/><rect x="20" width="10" height="10" fill="none" stroke="blue"/>`, want: []string{"#ff0000 100", "#0000ff 100"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := mustRead(t, mmSVG(c.body), c.opt)
			var got []string
			for _, p := range m.Pieces {
				got = append(got, fmt.Sprintf("%s %.0f", p.Colour, p.Region.Area()))
			}
			if strings.Join(got, ", ") != strings.Join(c.want, ", ") {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

func TestWarnings(t *testing.T) {
	const rect = `<rect width="20" height="20"/>`
	for _, c := range []struct{ name, body, want string }{
		{"text", rect + `<text>hello</text>`, "text is left out"},
		{"image", rect + `<image href="a.png"/>`, "an image is left out"},
		{"gradient", `<linearGradient id="g"><stop stop-color="red"/></linearGradient><rect id="r" width="20" height="20" fill="url(#g)"/>`, `<rect id="r"> is filled with a gradient`},
		{"pattern", `<pattern id="g"/><rect width="20" height="20" fill="url(#g)"/>`, "pattern"},
		{"mask", `<rect width="20" height="20" mask="url(#m)"/>`, "its mask was ignored"},
		{"filter", `<rect width="20" height="20" style="filter:url(#m)"/>`, "its filter was ignored"},
		{"other file", rect + `<use href="other.svg#a"/>`, "refers to another file, and is left out"},
		{"missing use", rect + `<use href="#a"/>`, "does not hold"},
		{"broken path", `<path d="M0 0h20v20h-20z L 5 x"/>`, `break off at "x"`},
		{"sliver", rect + `<rect x="30" width="0.1" height="50"/>`, "1 piece smaller than 1 mm² or narrower than 0.3 mm is left out"},
		{"tiny hole", `<path fill-rule="evenodd" d="M0 0h20v20h-20z M5 5h.5v.5h-.5z"/>`, "1 hole smaller than"},
		{"off the page", rect + `<rect x="500" width="20" height="20"/>`, "off the page"},
		{"over the edge", `<rect x="-5" width="20" height="20"/>`, "extends beyond the edge of the page"},
		{"background", `<rect width="100%" height="100%" fill="white"/>` + rect, "covers the whole page and is cut too"},
		{"wide line", `<rect width="20" height="20" stroke="red" stroke-width="2"/>`, "has a line 2.0 mm wide round it"},
		{"line beside fills", rect + `<path d="M0 0h50" stroke="red" fill="none"/>`, "1 line without a fill is left out"},
		{"lines only", `<rect width="20" height="20" fill="none" stroke="red"/>`, "cut along the middle of its lines"},
		{"ends joined", `<path fill="none" stroke="red" d="M0 0h30v30h-30v-29"/>`, "were joined"},
		{"a selector not known", `<style>rect + rect, rect:nth-of-type(2n) { fill: red }</style><rect width="20" height="20"/>`, `the style rule for "rect:nth-of-type(2n)" cannot be read`},
		{"siblings", `<style>rect + rect { fill: red }</style><rect width="20" height="20"/>`, `the style rule for "rect + rect" cannot be read`},
		{"some screens", `<style>@media (min-width: 30em) { rect { fill: red } }</style><rect width="20" height="20"/>`, `the styles for media "(min-width: 30em)" were ignored`},
		{"imported styles", `<style>@import url("http://localhost/a.css");</style><rect width="20" height="20"/>`, `@import url("http://localhost/a.css") is not followed`},
		{"origin in its own box", `<rect width="20" height="20" style="transform: rotate(9deg); transform-box: fill-box; transform-origin: center"/>`, `its transform-origin was ignored`},
		{"transform", `<rect width="20" height="20" transform="rotate(x)"/>`, `the transform "rotate(x)" cannot be read`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, warnings, err := ReadSVG([]byte(mmSVG(c.body)), Options{})
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(strings.Join(say.Printer{}.Messages(warnings), "\n"), c.want) {
				t.Errorf("warnings %q do not say %q", warnings, c.want)
			}
		})
	}
}

func TestEncodings(t *testing.T) {
	svg := mmSVG(`<title>Blätter</title><rect width="20" height="10"/>`)
	wide := func(order func(uint16) []byte) []byte {
		var b []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + `<?xml version="1.0" encoding="UTF-16"?>` + svg)) {
			b = append(b, order(u)...)
		}
		return b
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	z.Write([]byte(svg))
	z.Close()
	for name, data := range map[string][]byte{
		"UTF-8 with a mark": []byte("\ufeff" + svg),
		"UTF-16 big":        wide(func(u uint16) []byte { return []byte{byte(u >> 8), byte(u)} }),
		"UTF-16 little":     wide(func(u uint16) []byte { return []byte{byte(u), byte(u >> 8)} }),
		"Latin-1":           []byte(strings.ReplaceAll(`<?xml version="1.0" encoding="ISO-8859-1"?>`+svg, "ä", "\xe4")),
		"svgz":              packed.Bytes(),
	} {
		if a := mustRead(t, string(data), Options{}).Measure().Area; math.Abs(a-200) > 0.01 {
			t.Errorf("%s: area %.3f, want 200", name, a)
		}
	}
	var bomb bytes.Buffer
	z = gzip.NewWriter(&bomb)
	for range maxBytes>>20 + 1 {
		z.Write(make([]byte, 1<<20))
	}
	z.Close()
	if _, _, err := ReadSVG(bomb.Bytes(), Options{}); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a bomb of %d kB gives %v", bomb.Len()/1024, err)
	}
}

// A motif has the size asked for, and a drawing shifted, scaled or turned about its
// page gives the same motif.
func TestSizeAskedAndMovedDrawings(t *testing.T) {
	const body = `<path d="M30 10C50 12 58 30 44 44S10 52 8 30 20 8 30 10z" fill="gold"/><circle cx="52" cy="40" r="14" fill="teal"/>`
	plain := mustRead(t, mmSVG(body), Options{Width: 60}).Measure()
	rapid.Check(t, func(rt *rapid.T) {
		x, y := rapid.Float64Range(-500, 500).Draw(rt, "x"), rapid.Float64Range(-500, 500).Draw(rt, "y")
		k := rapid.Float64Range(0.1, 20).Draw(rt, "scale")
		svg := fmt.Sprintf(`<svg viewBox="0 0 9 9" overflow="visible"><g transform="translate(%g %g) scale(%g)">%s</g></svg>`, x, y, k, body)
		svg = strings.Replace(svg, ` viewBox="0 0 9 9"`, "", 1)
		m := mustRead(t, svg, Options{Width: 60})
		got := m.Measure()
		if math.Abs(got.Width-60) > 1e-9 {
			rt.Fatalf("width %v, want 60", got.Width)
		}
		for _, d := range []float64{got.Height - plain.Height, got.BackingRound - plain.BackingRound, got.Narrowest - plain.Narrowest} {
			if math.Abs(d) > 2*geom.FlattenTol {
				rt.Fatalf("%+v, want %+v", got, plain)
			}
		}
		if math.Abs(got.Area-plain.Area) > geom.FlattenTol*plain.Edge/2 {
			rt.Fatalf("area %v, want %v", got.Area, plain.Area)
		}
		if d := m.Pieces[0].Region.EdgeDist(geom.Vec{}); math.Abs(2*d-got.BackingRound) > 1e-9 && math.Abs(2*m.Pieces[1].Region.EdgeDist(geom.Vec{})-got.BackingRound) > 1e-9 {
			rt.Fatalf("the origin is %v from the edge, not the centre of the widest circle", d)
		}
	})
	// A small window on a large shape: the width is that of what shows.
	window := mustRead(t, mmSVG(`<clipPath id="c"><rect x="50" y="50" width="2" height="1"/></clipPath><circle cx="50" cy="50" r="40" clip-path="url(#c)"/>`), Options{Width: 60}).Measure()
	if math.Abs(window.Width-60) > 1e-9 || math.Abs(window.Height-30) > 1e-3 {
		t.Errorf("the window is %.4f x %.4f mm, want 60 x 30", window.Width, window.Height)
	}
	tall := mustRead(t, mmSVG(body), Options{Height: 60})
	if h := tall.Box().Height(); math.Abs(h-60) > 1e-9 {
		t.Errorf("height %v, want 60", h)
	}
}

// FuzzReadSVG: a drawing is refused with a reason or gives a sound motif of the
// size asked for.
func FuzzReadSVG(f *testing.F) {
	for _, s := range []string{
		mmSVG(`<rect width="20" height="20"/><path d="M0 0L20 20V0L0 20z" fill="red"/>`),
		mmSVG(`<style>.a{fill:red}</style><g class="a" transform="rotate(3)"><circle r="9"/></g><use href="#x"/>`),
		mmSVG(`<clipPath id="c"><circle r="9"/></clipPath><rect id="x" width="20" height="20" clip-path="url(#c)"/>`),
		mmSVG(`<path fill="none" stroke="red" d="M0 0h30v30h-30v-29"/>`),
		`<svg viewBox="0 0 5 5"><path fill-rule="evenodd" d="M0 0h4v4h-4zM1 1h1v1h-1zM2 2h1v1h-1z"/></svg>`,
		`<!DOCTYPE svg [<!ENTITY a "M0 0h9v9z">]><svg><path d="&a;"/></svg>`,
		"<svg><g>", "\x1f\x8b", "",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<16 {
			return
		}
		begun := time.Now()
		m, _, err := ReadSVG(data, Options{Width: 60})
		if d := time.Since(begun); d > 10*time.Second {
			t.Fatalf("took %v", d)
		}
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		if len(m.Pieces) == 0 || math.Abs(m.Box().Width()-60) > 1e-6 || !(m.Inradius > 0) {
			t.Fatalf("%d pieces, %v mm wide, inradius %v", len(m.Pieces), m.Box().Width(), m.Inradius)
		}
		for i, p := range m.Pieces {
			if n := len(p.Region.Outer); n > 2000 {
				continue // the check below takes all pairs
			}
			if why := unsound(p.Region); why != "" {
				t.Fatalf("piece %d: %s", i, why)
			}
			if len(p.Colour) != 7 {
				t.Fatalf("piece %d: colour %q", i, p.Colour)
			}
		}
	})
}
