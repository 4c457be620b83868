package trace

import (
	"bytes"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/gif"
	"math"
	"strings"
	"testing"

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
