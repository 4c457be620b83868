package raster

import (
	"bytes"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode"

	"github.com/fogleman/gg"
	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/render/scene"
)

func square(x, y, side float64) geom.Ring {
	return scene.Rect(geom.Box{Min: geom.Vec{X: x, Y: y}, Max: geom.Vec{X: x + side, Y: y + side}})
}

func drawn(t rapid.TB, s *scene.Scene, dpi float64) *image.RGBA {
	t.Helper()
	im, err := Image(context.Background(), s, dpi)
	if err != nil {
		t.Fatal(err)
	}
	return im
}

func near(t *testing.T, im *image.RGBA, x, y int, want [3]float64, slack float64) {
	t.Helper()
	c := im.RGBAAt(x, y)
	for i, v := range [3]uint8{c.R, c.G, c.B} {
		if math.Abs(float64(v)-want[i]) > slack {
			t.Errorf("pixel (%d, %d) is (%d, %d, %d), want %v within %g", x, y, c.R, c.G, c.B, want, slack)
			return
		}
	}
}

// White at .35 over (200, 30, 90) gives (219.25, 108.75, 147.75): source-over,
// T. Porter, T. Duff, "Compositing digital images", SIGGRAPH 1984; the same in
// W3C Compositing and Blending Level 1, section 9.1.4.
func TestSourceOver(t *testing.T) {
	s := &scene.Scene{Width: 10, Height: 10}
	s.Add(scene.Fill{Rings: []geom.Ring{square(-1, -1, 12)}, Colour: scene.Colour{R: 200, G: 30, B: 90, Alpha: 1}},
		scene.Fill{Rings: []geom.Ring{square(-1, -1, 12)}, Colour: scene.Colour{R: 255, G: 255, B: 255, Alpha: 0.35}})
	near(t, drawn(t, s, 100), 20, 20, [3]float64{219.25, 108.75, 147.75}, 1)
}

// n layers of opacity α cover as one of 1 - (1-α)ⁿ (Porter & Duff 1984,
// source-over applied n times).
func TestLayersCoverAsOne(t *testing.T) {
	below, net := scene.Colour{R: 240, G: 10, B: 60, Alpha: 1}, scene.Colour{R: 20, G: 90, B: 200, Alpha: 0.3}
	for n := 1; n <= 5; n++ {
		one, many := &scene.Scene{Width: 10, Height: 10}, &scene.Scene{Width: 10, Height: 10}
		page := []geom.Ring{square(-1, -1, 12)}
		one.Add(scene.Fill{Rings: page, Colour: below}, scene.Fill{Rings: page, Colour: net.Faded(scene.LayersAlpha(net.Alpha, n))})
		many.Add(scene.Fill{Rings: page, Colour: below})
		for range n {
			many.Add(scene.Fill{Rings: page, Colour: net})
		}
		a := 1 - math.Pow(0.7, float64(n))
		want := [3]float64{240 + a*(20-240), 10 + a*(90-10), 60 + a*(200-60)}
		near(t, drawn(t, one, 50), 10, 10, want, 1)
		near(t, drawn(t, many, 50), 10, 10, want, 2) // each layer rounds once
	}
}

// ink sums how black the pixels of a row are, in pixels.
func ink(im *image.RGBA, y int) float64 {
	sum := 0.0
	for x := range im.Bounds().Dx() {
		sum += 1 - float64(im.RGBAAt(x, y).G)/255
	}
	return sum
}

// Many parts of one operation are drawn as if they were one path, pixel for
// pixel, though they are drawn in several.
func TestManyPartsAreOneOperation(t *testing.T) {
	half := scene.Colour{Alpha: 0.5}
	rng := rand.New(rand.NewPCG(1, 0))
	var rings []geom.Ring
	var lines []scene.Line
	for range 400 {
		at := geom.Vec{X: 100 * rng.Float64(), Y: 100 * rng.Float64()}
		rings = append(rings, square(at.X, at.Y, 1+3*rng.Float64()))
		lines = append(lines, scene.Open(at, at.Add(geom.Vec{X: 4 * rng.Float64(), Y: 4 * rng.Float64()}))...)
	}
	const dpi, k = 100, 100 / 25.4
	for i, op := range []scene.Op{
		scene.Fill{Rings: rings, Colour: half}, scene.Fill{Rings: rings, Colour: half, EvenOdd: true},
		scene.Stroke{Lines: lines, Width: 0.4, Colour: half},
	} {
		s := &scene.Scene{Width: 105, Height: 105}
		s.Add(op)
		got := drawn(t, s, dpi)
		want := drawn(t, &scene.Scene{Width: 105, Height: 105}, dpi)
		p := player{dc: gg.NewContextForRGBA(want), k: k}
		switch o := op.(type) {
		case scene.Fill:
			p.paint(half, o.EvenOdd)
			p.rings(o.Rings)
			p.dc.Fill()
		case scene.Stroke:
			p.paint(half, false)
			p.dc.SetLineWidth(o.Width * k)
			p.dc.SetLineCapRound()
			for _, l := range o.Lines {
				p.line(l)
			}
			p.dc.Stroke()
		}
		if !bytes.Equal(got.Pix, want.Pix) {
			t.Errorf("operation %d of many parts looks otherwise than as one path", i)
		}
	}
	boxes := make([]geom.Box, len(rings))
	for i, r := range rings {
		boxes[i] = geom.BoxOf(r...)
	}
	if n := len(batches(boxes)); n < 8 {
		t.Errorf("400 parts are drawn in %d paths only", n)
	}
}

// 100 mm in the scene are 100/25.4·dpi pixels (the inch is 25.4 mm, 1959).
func TestTrueToScale(t *testing.T) {
	for _, dpi := range []float64{72, 96, 144, 200, 300} {
		s := &scene.Scene{Width: 120, Height: 12}
		s.Add(scene.Fill{Rings: []geom.Ring{{{X: 7.3, Y: 2}, {X: 107.3, Y: 2}, {X: 107.3, Y: 10}, {X: 7.3, Y: 10}}}, Colour: scene.Colour{Alpha: 1}})
		im := drawn(t, s, dpi)
		want := 100 / 25.4 * dpi
		if got := ink(im, im.Bounds().Dy()/2); math.Abs(got-want) > 0.5 {
			t.Errorf("at %g dpi 100 mm are %.2f pixels, want %.2f", dpi, got, want)
		}
		left := 0
		for im.RGBAAt(left, im.Bounds().Dy()/2).G > 127 {
			left++
		}
		if want := 7.3 / 25.4 * dpi; math.Abs(float64(left)-want) > 0.5+0.05 {
			t.Errorf("at %g dpi the left edge lies at pixel %d, want %.2f", dpi, left, want)
		}
	}
}

func TestStrokeWidthAndDash(t *testing.T) {
	s := &scene.Scene{Width: 50, Height: 20}
	s.Add(scene.Stroke{Lines: scene.Open(geom.Vec{X: -5, Y: 10}, geom.Vec{X: 55, Y: 10}), Width: scene.Points(12), Colour: scene.Colour{Alpha: 1}})
	im := drawn(t, s, 254) // ten pixels to the millimetre
	high := 0.0
	for y := range im.Bounds().Dy() {
		high += 1 - float64(im.RGBAAt(250, y).G)/255
	}
	if want := 12 * 254.0 / 72; math.Abs(high-want) > 0.5 {
		t.Errorf("a line of 12 points is %.2f pixels wide, want %.2f", high, want)
	}
	s.Ops = nil
	s.Add(scene.Stroke{Lines: scene.Open(geom.Vec{X: 0, Y: 10}, geom.Vec{X: 50, Y: 10}), Width: 1, Dash: []float64{3, 2}, Colour: scene.Colour{Alpha: 1}})
	if got := ink(drawn(t, s, 254), 100); math.Abs(got-300) > 3 {
		t.Errorf("dashes of 3 mm and gaps of 2 mm over 50 mm cover %.1f pixels, want 300", got)
	}
}

func TestClipsNestAndEnd(t *testing.T) {
	black := scene.Colour{Alpha: 1}
	all := []geom.Ring{square(-1, -1, 42)}
	s := &scene.Scene{Width: 40, Height: 40}
	s.Add(scene.Clip{Rings: []geom.Ring{square(5, 5, 20), square(10, 10, 4)}, Inside: []scene.Op{
		scene.Clip{Rings: []geom.Ring{square(0, 0, 20)}, Inside: []scene.Op{scene.Fill{Rings: all, Colour: black}}},
		scene.Fill{Rings: []geom.Ring{square(22, 22, 10)}, Colour: black},
	}}, scene.Fill{Rings: []geom.Ring{square(35, 35, 3)}, Colour: black})
	im := drawn(t, s, 254)
	for _, c := range []struct {
		name string
		x, y int
		dark bool
	}{
		{"in both clips", 80, 80, true}, {"in the hole of the outer clip", 120, 120, false},
		{"in the outer clip only", 230, 60, false}, {"after the inner clip ended", 230, 230, true},
		{"outside the outer clip", 280, 280, false}, {"after all clips ended", 365, 365, true},
	} {
		if dark := im.RGBAAt(c.x, c.y).G < 128; dark != c.dark {
			t.Errorf("%s: dark is %v, want %v", c.name, dark, c.dark)
		}
	}
}

// What is written lies in the box that the scene says, whatever the text.
func TestTextStaysInItsBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := scene.Text{
			At: geom.Vec{X: 60, Y: 60}, Font: rapid.SampledFrom([]scene.Font{scene.Regular, scene.Bold}).Draw(t, "font"),
			Size: rapid.Float64Range(5, 16).Draw(t, "size"), Anchor: rapid.SampledFrom([]scene.Anchor{scene.Start, scene.Middle, scene.End}).Draw(t, "anchor"),
			Turn: rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn"), Colour: scene.Colour{Alpha: 1},
		}
		letters := rapid.RuneFrom([]rune("…·½×–(),;"), unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Nd, unicode.Han)
		text.Text = text.Font.Clean(rapid.StringOfN(letters, 1, 12, -1).Draw(t, "text"))
		s := &scene.Scene{Width: 120, Height: 120}
		s.Add(text)
		im := drawn(t, s, 100)
		const mm = 100 / 25.4
		box := text.Box().Grow(0.6) // italic overhang and a pixel's edge
		for y := range im.Bounds().Dy() {
			for x := range im.Bounds().Dx() {
				p := geom.Vec{X: (float64(x) + 0.5) / mm, Y: (float64(y) + 0.5) / mm}
				if im.RGBAAt(x, y).G < 128 && !box.Contains(p) {
					t.Fatalf("%q writes at %v, outside its box %v", text.Text, p, box)
				}
			}
		}
	})
}

// The pHYs chunk: PNG (W3C Recommendation, third edition) 11.3.4.3, four bytes
// across, four down, unit 1 the metre, before the first IDAT; CRC as in 5.5.
func TestDensityIsWritten(t *testing.T) {
	s := &scene.Scene{Width: 20, Height: 10}
	for _, c := range []struct {
		dpi  float64
		want uint32
	}{{200, 7874}, {144, 5669}, {300, 11811}, {254, 10000}} { // dpi / 0.0254, rounded
		var file bytes.Buffer
		if err := WritePNG(context.Background(), &file, s, c.dpi); err != nil {
			t.Fatal(err)
		}
		if _, err := png.Decode(bytes.NewReader(file.Bytes())); err != nil {
			t.Fatal(err)
		}
		var names []string
		for b := file.Bytes()[8:]; len(b) > 0; {
			n := binary.BigEndian.Uint32(b)
			name, body := string(b[4:8]), b[8:8+n]
			if crc := binary.BigEndian.Uint32(b[8+n:]); crc != crc32.ChecksumIEEE(b[4:8+n]) {
				t.Errorf("%s has a wrong CRC", name)
			}
			if name == "pHYs" {
				if x, y := binary.BigEndian.Uint32(body), binary.BigEndian.Uint32(body[4:]); len(body) != 9 || x != c.want || y != c.want || body[8] != 1 {
					t.Errorf("at %g dpi pHYs says %v, want %d pixels per metre both ways", c.dpi, body, c.want)
				}
			}
			names = append(names, name)
			b = b[12+n:]
		}
		if got := strings.Join(names[:3], " "); got != "IHDR pHYs IDAT" {
			t.Errorf("the file begins with %s", got)
		}
	}
}

// What the file holds, read by the standard library, is the picture drawn.
func TestFileHoldsThePicture(t *testing.T) {
	s := &scene.Scene{Width: 40, Height: 25}
	s.Add(scene.Fill{Rings: []geom.Ring{scene.Disc(geom.Vec{X: 20, Y: 12}, 11)}, Colour: scene.Colour{R: 217, G: 165, B: 33, Alpha: 0.6}},
		scene.Text{At: geom.Vec{X: 4, Y: 9}, Text: "hem", Size: 11, Turn: 0.2, Colour: scene.Colour{Alpha: 1}})
	want := drawn(t, s, 150)
	var file bytes.Buffer
	if err := WritePNG(context.Background(), &file, s, 150); err != nil {
		t.Fatal(err)
	}
	got, err := png.Decode(&file)
	if err != nil || got.Bounds() != want.Bounds() {
		t.Fatalf("read back: %v, %v", got.Bounds(), err)
	}
	for y := range want.Bounds().Dy() {
		for x := range want.Bounds().Dx() {
			r, g, b, a := got.At(x, y).RGBA()
			c := want.RGBAAt(x, y)
			if uint8(r>>8) != c.R || uint8(g>>8) != c.G || uint8(b>>8) != c.B || a != 0xffff {
				t.Fatalf("pixel (%d, %d) is %v, drawn %v", x, y, got.At(x, y), c)
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	s := &scene.Scene{Width: 60, Height: 40}
	s.Add(scene.Clip{Rings: []geom.Ring{scene.Disc(geom.Vec{X: 30, Y: 20}, 15)}, Inside: []scene.Op{
		scene.Fill{Rings: []geom.Ring{square(10, 5, 25)}, Colour: scene.Colour{R: 9, G: 99, B: 199, Alpha: 0.4}}}},
		scene.Text{At: geom.Vec{X: 30, Y: 20}, Text: "hem 12½ cm", Size: 9, Turn: 0.3, Anchor: scene.Middle, Colour: scene.Colour{Alpha: 1}})
	var a, b bytes.Buffer
	if err := WritePNG(context.Background(), &a, s, 200); err != nil {
		t.Fatal(err)
	}
	if err := WritePNG(context.Background(), &b, s, 200); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same scene gave two different files")
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	nowhere := &scene.Scene{Width: 10, Height: 10}
	nowhere.Add(scene.Fill{Rings: []geom.Ring{{{X: math.NaN()}, {X: 1}, {Y: 1}}}, Colour: scene.Colour{Alpha: 1}})
	for _, c := range []struct {
		name string
		s    *scene.Scene
		dpi  float64
		want string
	}{
		{"no size", &scene.Scene{}, 200, "0 × 0 pixels"},
		{"too large", &scene.Scene{Width: 2000, Height: 2000}, 200, "between 1 and 60 million"},
		{"not a number", &scene.Scene{Width: math.NaN(), Height: 1}, 200, "pixels"},
		{"a point nowhere", nowhere, 200, "not finite"},
	} {
		if err := WritePNG(context.Background(), &bytes.Buffer{}, c.s, c.dpi); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

// Too large a picture is drawn at a lower density, as high as the bound allows.
func TestWithinTheBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &scene.Scene{Width: rapid.Float64Range(10, 20000).Draw(t, "width"), Height: rapid.Float64Range(10, 20000).Draw(t, "height")}
		asked := rapid.SampledFrom([]float64{72, 120, 200, 300}).Draw(t, "dpi")
		dpi, less := Within(s, asked)
		pixels := func(dpi float64) float64 { return math.Round(s.Width*dpi/25.4) * math.Round(s.Height*dpi/25.4) }
		if pixels(dpi) > MaxPixels || dpi > asked || less != (dpi < asked) {
			t.Fatalf("%g × %g mm at %g dpi: %g dpi, %g pixels", s.Width, s.Height, asked, dpi, pixels(dpi))
		}
		if less && pixels(dpi+2) < MaxPixels && dpi > 20 {
			t.Fatalf("%g × %g mm could be drawn at %g dpi, not only %g", s.Width, s.Height, dpi+2, dpi)
		}
	})
}
