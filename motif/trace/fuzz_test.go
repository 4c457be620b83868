package trace

import (
	"bytes"
	"context"
	"encoding/binary"
	"image"
	"testing"

	"golang.org/x/image/bmp"

	"strew/motif/geom"
)

// sound fails the test where a result is not: rings that are not simple or
// meet, holes outside, a figure without area, an origin that is not the top left.
func sound(t *testing.T, res Result) {
	t.Helper()
	if len(res.Figures) == 0 {
		t.Fatal("no figure and no error")
	}
	var all []geom.Ring
	box := geom.EmptyBox()
	for _, g := range res.Figures {
		if g.Outer.Area() <= 0 || g.Area() <= 0 {
			t.Fatalf("area %g, outer ring %g", g.Area(), g.Outer.Area())
		}
		for _, h := range g.Holes {
			if h.Area() >= 0 || !g.Outer.Contains(h[0]) {
				t.Fatalf("a hole of area %g", h.Area())
			}
		}
		all = append(all, g.Rings()...)
		box = box.Union(g.Box())
	}
	if !geom.Simple(all...) {
		t.Fatal("rings cross")
	}
	if box.Min.Len() > geom.SamePoint {
		t.Fatalf("the box starts at %v", box.Min)
	}
}

// FuzzTrace: whatever the file and the options, the result is sound or there
// is an error.
func FuzzTrace(f *testing.F) {
	// Small ones: what is found in them is found soon.
	small := func(lines ...[]geom.Vec) []byte {
		return encodePNG(f, drawn(stroked(96, 96, asIs, 4, lines...), 60, 230))
	}
	c := geom.Vec{X: 48, Y: 48}
	seeds := [][]byte{
		small(arc(c, 36, 0, 1)), small(arc(c, 36, 0, 0.98)), small(arc(c, 36, 0, 1), arc(c, 12, 0, 0.9)),
		small(arc(c, 20, 0, 0.5), []geom.Vec{{X: 10, Y: 10}, {X: 80, Y: 85}}),
		encodePNG(f, twoShades(drawn(coverage(96, 96, 1, geom.Region{Outer: star(c, 40, 15, 0.2, 5)}), 0, 255))),
		encodeJPEG(f, newScene(150, 200, 2, false).img), encodeJPEG(f, newScene(150, 200, 3, true).img),
		hugeHeader(60_000, 60_000), withExif(encodeJPEG(f, newScene(120, 160, 4, true).img), exifOf(binary.BigEndian, 6, 300, true)),
		encodePNG(f, specks(64, 64, 60, 3)),
	}
	for i, s := range seeds {
		f.Add(s, uint8(i), uint8(i*40))
	}
	f.Fuzz(func(t *testing.T, data []byte, how, smooth uint8) {
		// Big pictures only make the search slow.
		if cfg, _, err := image.DecodeConfig(bytes.NewReader(data)); err == nil && cfg.Width*cfg.Height > 1<<15 && cfg.Width*cfg.Height <= maxPixels {
			t.Skip("a big picture only makes the search slow")
		}
		opt := Options{Smooth: float64(smooth) / 255}
		switch how % 4 {
		case 0:
			opt.DPI = 100
		case 1:
			opt.Width = 60
		case 2:
			opt.Paper = "a4"
		}
		opt.Edge = []Edge{Middle, Outer}[how/4%2]
		opt.Kind = []Kind{Auto, Line, Filled}[how/8%3]
		res, err := Read(context.Background(), data, opt)
		if err != nil {
			return
		}
		sound(t, res)
		if _, err := res.Overlay(); err != nil {
			t.Fatal(err)
		}
	})
}

// FuzzPixels: whatever is on the page, the result is sound or there is an
// error. A pixel is four bits of data.
func FuzzPixels(f *testing.F) {
	for i, m := range []*image.Gray{
		drawn(stroked(40, 40, asIs, 3, arc(geom.Vec{X: 20, Y: 20}, 12, 0, 0.97)), 60, 230),
		drawn(coverage(40, 40, 1, geom.Region{Outer: star(geom.Vec{X: 20, Y: 20}, 17, 7, 0.3, 5)}), 0, 255),
		specks(40, 40, 20, 4),
	} {
		var data []byte
		for k := 0; k < len(m.Pix); k += 2 {
			data = append(data, m.Pix[k]&0xf0|m.Pix[k+1]>>4)
		}
		f.Add(data, uint8(40), uint8(i), uint8(128))
	}
	f.Fuzz(func(t *testing.T, data []byte, width, how, smooth uint8) {
		w := max(minSide, int(width))
		h := 2 * len(data) / w
		if h < minSide || w*h > 1<<14 {
			t.Skip("no picture, or one so big that it only makes the search slow")
		}
		m := image.NewGray(image.Rect(0, 0, w, h))
		for k := range m.Pix {
			m.Pix[k] = data[k/2] << (4 * (k % 2)) & 0xf0
			m.Pix[k] |= m.Pix[k] >> 4
		}
		var b bytes.Buffer
		if err := bmp.Encode(&b, m); err != nil {
			t.Fatal(err)
		}
		opt := Options{Width: 60, Smooth: float64(smooth) / 255}
		opt.Edge = []Edge{Middle, Outer}[how%2]
		opt.Kind = []Kind{Auto, Line, Filled}[how/2%3]
		if res, err := Read(context.Background(), b.Bytes(), opt); err == nil {
			sound(t, res)
		}
	})
}
