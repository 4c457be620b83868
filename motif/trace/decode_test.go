package trace

import (
	"bytes"
	"context"
	"encoding/binary"
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

	"golang.org/x/image/tiff"
)

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
