package trace

import (
	"bytes"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"

	"strew/motif/geom"
)

// chunk returns a PNG chunk.
func chunk(kind string, body []byte) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	out = append(out, kind...)
	out = append(out, body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}

// withChunk puts a chunk behind a PNG's header.
func withChunk(data []byte, kind string, body []byte) []byte {
	const header = 33
	return bytes.Join([][]byte{data[:header], chunk(kind, body), data[header:]}, nil)
}

// exifOf returns a TIFF structure with an orientation, a density and, for a
// camera, an exposure time (EXIF 2.32).
func exifOf(order binary.AppendByteOrder, orientation, dpi int, camera bool) []byte {
	out := []byte("II*\x00")
	if order.String() == "BigEndian" {
		out = []byte("MM\x00*")
	}
	out = order.AppendUint32(out, 8)
	entry := func(tag, kind uint16, value uint32) {
		out = order.AppendUint16(out, tag)
		out = order.AppendUint16(out, kind)
		out = order.AppendUint32(out, 1)
		if kind == 3 { // a short stands at the front of its four bytes
			out = order.AppendUint16(out, uint16(value))
			out = order.AppendUint16(out, 0)
		} else {
			out = order.AppendUint32(out, value)
		}
	}
	const end = 8 + 2 + 4*12 + 4
	out = order.AppendUint16(out, 4)
	entry(tagOrientation, 3, uint32(orientation))
	entry(tagXResolution, 5, end)
	entry(tagResolutionUnit, 3, 2)
	entry(tagExifIFD, 4, end+8)
	out = order.AppendUint32(out, 0)
	out = order.AppendUint32(out, uint32(dpi))
	out = order.AppendUint32(out, 1)
	if !camera {
		return order.AppendUint16(out, 0)
	}
	out = order.AppendUint16(out, 1)
	entry(tagExposureTime, 5, 0)
	return order.AppendUint32(out, 0)
}

// withExif puts an APP1 segment behind a JPEG's start.
func withExif(data, exif []byte) []byte {
	body := append([]byte("Exif\x00\x00"), exif...)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(out, body...), data[2:]...)
}

func withJFIF(data []byte, unit byte, density int) []byte {
	body := append([]byte("JFIF\x00\x01\x02"), unit)
	body = binary.BigEndian.AppendUint16(body, uint16(density))
	body = binary.BigEndian.AppendUint16(body, uint16(density))
	body = append(body, 0, 0)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe0}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	return append(append(out, body...), data[2:]...)
}

// oblong is filled, 120 × 60 pixels, with a notch at its top left that shows
// how the picture lies.
func oblong() *image.Gray {
	r := geom.Ring{{X: 70, Y: 50}, {X: 160, Y: 50}, {X: 160, Y: 110}, {X: 40, Y: 110}, {X: 40, Y: 80}, {X: 70, Y: 80}}
	return drawn(coverage(200, 160, 1, geom.Region{Outer: r}), 30, 240)
}

func phys(perMetre uint32, unit byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, perMetre)
	return append(binary.BigEndian.AppendUint32(b, perMetre), unit)
}

func TestDensities(t *testing.T) {
	img := oblong()
	asPNG, asJPEG := encodePNG(t, img), encodeJPEG(t, img)
	var asTIFF, asBMP, asGIF bytes.Buffer
	if err := tiff.Encode(&asTIFF, img, nil); err != nil { // x/image/tiff writes 72 dpi
		t.Fatal(err)
	}
	if err := bmp.Encode(&asBMP, img); err != nil {
		t.Fatal(err)
	}
	if err := gif.Encode(&asGIF, img, nil); err != nil {
		t.Fatal(err)
	}
	metricBMP := bytes.Clone(asBMP.Bytes())
	binary.LittleEndian.PutUint32(metricBMP[38:], 11811)
	for _, c := range []struct {
		name string
		data []byte
		dpi  float64 // 0: refused
		want string
	}{
		{"png with pHYs", withChunk(asPNG, "pHYs", phys(11811, 1)), 300, ""},
		{"png with a shape only", withChunk(asPNG, "pHYs", phys(1, 0)), 0, "does not say"},
		{"png of 72 dpi", withChunk(asPNG, "pHYs", phys(2835, 1)), 0, "says 72 dpi"},
		{"png with eXIf", withChunk(asPNG, "eXIf", exifOf(binary.BigEndian, 1, 200, false)), 200, ""},
		{"plain png", asPNG, 0, "does not say"},
		{"jpeg with dpi", withJFIF(asJPEG, 1, 150), 150, ""},
		{"jpeg with dots per cm", withJFIF(asJPEG, 2, 118), 118 * 2.54, ""},
		{"jpeg with exif", withExif(asJPEG, exifOf(binary.LittleEndian, 1, 300, false)), 300, ""},
		{"jpeg of a camera", withExif(asJPEG, exifOf(binary.LittleEndian, 1, 300, true)), 0, "comes from a camera"},
		{"tiff of 72 dpi", asTIFF.Bytes(), 0, "says 72 dpi"},
		{"bmp", metricBMP, 300, ""},
		{"gif", asGIF.Bytes(), 0, "does not say"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res, err := Read(context.Background(), c.data, DefaultOptions())
			if c.dpi == 0 {
				if err == nil || !strings.Contains(err.Error(), c.want) {
					t.Fatalf("%v: want an error with %q", err, c.want)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if w, want := res.Figures[0].Box().Width(), 120*25.4/c.dpi; math.Abs(w-want) > 0.005*want {
				t.Errorf("%.3f mm wide, want %.3f", w, want)
			}
		})
	}
}

// A picture stored turned, with the orientation that undoes it, gives the same
// outline (EXIF 2.32, Orientation).
func TestOrientations(t *testing.T) {
	img := oblong()
	opt := DefaultOptions()
	opt.DPI = inchMM
	upright, err := Read(context.Background(), encodePNG(t, img), opt)
	if err != nil {
		t.Fatal(err)
	}
	for o := 1; o <= 8; o++ {
		// stored(x, y) is where the upright pixel went, by the standard's table of
		// what the 0th row and column are.
		w, h := 200, 160
		m := image.NewGray(image.Rect(0, 0, w, h))
		if o >= 5 {
			m = image.NewGray(image.Rect(0, 0, h, w))
		}
		for y := range h {
			for x := range w {
				at := map[int][2]int{
					1: {x, y}, 2: {w - 1 - x, y}, 3: {w - 1 - x, h - 1 - y}, 4: {x, h - 1 - y},
					5: {y, x}, 6: {y, w - 1 - x}, 7: {h - 1 - y, w - 1 - x}, 8: {h - 1 - y, x},
				}[o]
				m.SetGray(at[0], at[1], img.GrayAt(x, y))
			}
		}
		for _, data := range [][]byte{
			withChunk(encodePNG(t, m), "eXIf", exifOf(binary.LittleEndian, o, 300, false)),
			withChunk(encodePNG(t, m), "eXIf", exifOf(binary.BigEndian, o, 300, false)),
		} {
			res, err := Read(context.Background(), data, opt)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(res.SVG(), upright.SVG()) {
				t.Errorf("orientation %d gives another outline:\n%s", o, res.SVG())
			}
		}
	}
}

// hugeHeader returns a PNG whose header states w × h pixels, without any.
func hugeHeader(w, h uint32) []byte {
	body := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
	return append([]byte("\x89PNG\r\n\x1a\n"), append(chunk("IHDR", append(body, 8, 2, 0, 0, 0)), chunk("IDAT", []byte{0x78, 0x9c})...)...)
}

// tiffOf returns a TIFF 6.0 of 400 × 400 pixels of a compression and a
// photometric interpretation, without its data.
func tiffOf(compression, photometric, samples uint32) []byte {
	tags := [][2]uint32{{256, 400}, {257, 400}, {258, 8}, {259, compression}, {262, photometric}, {273, 8}, {277, samples}, {278, 400}, {279, 100}}
	b := append([]byte("II*\x00"), 108, 0, 0, 0)
	b = append(b, make([]byte, 100)...)
	b = binary.LittleEndian.AppendUint16(b, uint16(len(tags)))
	for _, t := range tags {
		b = binary.LittleEndian.AppendUint16(b, uint16(t[0]))
		b = binary.LittleEndian.AppendUint16(b, 3)
		b = binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(b, 1), t[1])
	}
	return append(b, 0, 0, 0, 0)
}

// Files that cannot be traced are refused in under a second and 200 MB.
func TestBadFiles(t *testing.T) {
	img := oblong()
	asPNG, asJPEG := encodePNG(t, img), encodeJPEG(t, img)
	// An empty JPEG frame of four components, as CMYK has (ITU-T T.81, B.2.2).
	cmykHeader := []byte{0xff, 0xd8, 0xff, 0xc0, 0, 20, 8, 0, 160, 0, 200, 4, 1, 0x11, 0, 2, 0x11, 0, 3, 0x11, 0, 4, 0x11, 0, 0xff, 0xda, 0, 8}
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"empty", nil, "empty"},
		{"60,000 by 60,000", hugeHeader(60_000, 60_000), "at most 100 million"},
		{"10,000 by 10,000 and no data", hugeHeader(10_000, 10_000), "cut off"},
		{"tiny", encodePNG(t, image.NewGray(image.Rect(0, 0, 4, 4))), "too few"},
		{"cut png", asPNG[:len(asPNG)/2], "cut off"},
		{"cut jpeg", asJPEG[:len(asJPEG)/2], "cut off"},
		{"cut header", asPNG[:20], "cut off"},
		{"text", []byte("a leaf"), "not a supported picture"},
		{"pdf", []byte("%PDF-1.7\n"), "PDF"},
		{"svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), "SVG drawing"},
		{"heif", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00"), "HEIF"},
		{"cmyk", cmykHeader, "CMYK"},
		{"tiff packed as jpeg", tiffOf(7, 1, 1), "of an unsupported kind"},
		{"tiff packed in no known way", tiffOf(99, 1, 1), "of an unsupported kind"},
		{"tiff in cmyk", tiffOf(1, 5, 4), "of an unsupported kind"},
		{"gif of frames, cut", []byte("GIF89a\x40\x00\x40\x00\xf0\x00\x00\xff\xff\xff\x00\x00\x00\x21\xf9\x04\x00\x00\x00\x00\x00\x2c\x00\x00\x00\x00\x40\x00\x40\x00\x00\x02"), "cut off"},
		{"no webp", []byte("RIFF\x10\x00\x00\x00WEBPVP8 \x04\x00\x00\x00abcd"), "too few"},
	} {
		t.Run(c.name, func(t *testing.T) {
			opt := DefaultOptions()
			opt.DPI = 300
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			_, err := Read(context.Background(), c.data, opt)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Fatalf("%v: want an error with %q", err, c.want)
			}
			t.Log(err)
			if used := after.TotalAlloc - before.TotalAlloc; took > time.Second || used > 200<<20 {
				t.Errorf("took %v and %d MB", took, used>>20)
			}
		})
	}
}

// A JPEG is recognised by content, and colours and transparent pictures are read as
// they look on white.
func TestKindsOfPixels(t *testing.T) {
	want, err := Read(context.Background(), encodePNG(t, oblong()), Options{DPI: 100, Smooth: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	img := oblong()
	seeThrough := image.NewNRGBA(img.Rect)
	colours := image.NewRGBA(img.Rect)
	palette := image.NewPaletted(img.Rect, color.Palette{color.White, color.Black, color.RGBA{0xd9, 0xa5, 0x21, 0xff}})
	deep := image.NewGray16(img.Rect)
	for y := range 160 {
		for x := range 200 {
			v := img.GrayAt(x, y).Y
			seeThrough.SetNRGBA(x, y, color.NRGBA{0x80, 0x30, 0x10, 255 - uint8(min(255, (int(v)-30)*255/210))})
			colours.SetRGBA(x, y, color.RGBA{v, v, uint8(min(255, int(v)+10)), 255})
			deep.SetGray16(x, y, color.Gray16{uint16(v) * 257})
			if v < 128 {
				palette.SetColorIndex(x, y, 2)
			}
		}
	}
	var asGIF, asTIFF bytes.Buffer
	if err := gif.Encode(&asGIF, palette, nil); err != nil {
		t.Fatal(err)
	}
	if err := tiff.Encode(&asTIFF, colours, &tiff.Options{Compression: tiff.Deflate}); err != nil {
		t.Fatal(err)
	}
	var best bytes.Buffer
	if err := jpeg.Encode(&best, colours, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"see-through": encodePNG(t, seeThrough), "colours": encodePNG(t, colours), "palette": encodePNG(t, palette),
		"16 bits": encodePNG(t, deep), "gif": asGIF.Bytes(), "tiff": asTIFF.Bytes(), "jpeg": best.Bytes(),
	} {
		res, err := Read(context.Background(), data, Options{DPI: 100, Smooth: 0.5})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if a, b := res.Figures[0].Area(), want.Figures[0].Area(); math.Abs(a/b-1) > 0.01 {
			t.Errorf("%s: area %.2f, want %.2f", name, a, b)
		}
	}
}

func TestIsPicture(t *testing.T) {
	for _, c := range []struct {
		data []byte
		want bool
	}{
		{encodePNG(t, oblong()), true}, {encodeJPEG(t, oblong()), true}, {hugeHeader(60_000, 60_000), true},
		{encodePNG(t, oblong())[:20], true}, {nil, false}, {[]byte("<svg/>"), false}, {[]byte("\x1f\x8b\x08"), false},
	} {
		if got := IsPicture(c.data); got != c.want {
			t.Errorf("%.20q: %v, want %v", c.data, got, c.want)
		}
	}
}

// The same bytes twice, and on one core; the overlay is recognised.
func TestSameBytes(t *testing.T) {
	data := encodeJPEG(t, newScene(600, 800, 5, false).img)
	opt := DefaultOptions()
	opt.Paper = "a4"
	var svg, overlay [3][]byte
	for i := range svg {
		if i == 2 {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
		}
		res, err := Read(context.Background(), data, opt)
		if err != nil {
			t.Fatal(err)
		}
		svg[i] = res.SVG()
		if overlay[i], err = res.Overlay(); err != nil {
			t.Fatal(err)
		}
	}
	for i := 1; i < 3; i++ {
		if !bytes.Equal(svg[0], svg[i]) || !bytes.Equal(overlay[0], overlay[i]) {
			t.Errorf("run %d gives other bytes", i)
		}
	}
	if !IsOverlay(overlay[0]) || IsOverlay(data) {
		t.Error("an overlay is not known as such")
	}
	if _, err := png.Decode(bytes.NewReader(overlay[0])); err != nil {
		t.Error(err)
	}
}

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
