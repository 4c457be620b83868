package trace

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"strconv"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"strew/motif/geom"
	"strew/motif/say"
)

// Sizes of an overlay, in pixels: a picture is shrunk to fit a screen, or enlarged
// until a line on it can be judged.
const (
	overlayMost  = 1600
	overlayLeast = 800
	overlayPen   = 2.0
	overlayType  = 26
)

var (
	tracedColour  = color.RGBA{0xd8, 0x1e, 0x4a, 0xff}
	passedColour  = color.RGBA{0x50, 0x80, 0xb0, 0xff}
	sheetColour   = color.RGBA{0x20, 0x80, 0xff, 0xff}
	overlayMarked = []byte("Software\x00strew trace")
)

// Overlay returns a PNG of the drawing in pale grey with the outlines and their
// numbers on it. Figures that were not picked are blue.
func (r Result) Overlay() ([]byte, error) {
	img, scale := r.backdrop()
	toImg := geom.Scaling(scale, scale)
	if r.corners != nil {
		strokeRing(img, geom.Ring(r.corners).Transform(toImg), overlayPen, sheetColour)
	}
	face, err := overlayFace()
	if err != nil {
		return nil, err
	}
	for i, g := range r.onPic {
		c := passedColour
		if r.picked == 0 || r.picked == i+1 {
			c = tracedColour
		}
		g = g.Transform(toImg)
		for _, ring := range g.Rings() {
			strokeRing(img, ring, overlayPen, c)
		}
		at, _ := geom.Pole([]geom.Region{g}, 1)
		label(img, face, at, strconv.Itoa(i+1), c)
	}
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&b, img); err != nil {
		return nil, say.Errorf("cannot write the overlay: %s", err)
	}
	return marked(b.Bytes()), nil
}

// IsOverlay reports whether data is a PNG made by Overlay.
func IsOverlay(data []byte) bool {
	return bytes.HasPrefix(data, []byte("\x89PNG")) && bytes.Contains(data[:min(len(data), 100)], overlayMarked)
}

// marked adds a tEXt chunk with the program's name after a PNG's header.
func marked(data []byte) []byte {
	const header = 8 + 12 + 13
	chunk := append([]byte("tEXt"), overlayMarked...)
	out := append([]byte{}, data[:header]...)
	out = binary.BigEndian.AppendUint32(out, uint32(len(overlayMarked)))
	out = append(out, chunk...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
	return append(out, data[header:]...)
}

// backdrop returns the picture at a size that suits a screen, and its scale.
func (r Result) backdrop() (*image.RGBA, float64) {
	p := r.pic
	scale := 1.0
	if side := max(p.w, p.h); side > overlayMost {
		k := (side + overlayMost - 1) / overlayMost
		p = p.shrink(k)
		scale = 1 / float64(k)
	} else if side < overlayLeast {
		scale = float64((overlayLeast + side - 1) / side)
	}
	up := max(1, int(scale))
	img := image.NewRGBA(image.Rect(0, 0, p.w*up, p.h*up))
	overRows(img.Rect.Max.Y, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range img.Rect.Max.X {
				v := 96 + uint8(int(p.pix[y/up*p.w+x/up])*159/255)
				o := img.PixOffset(x, y)
				img.Pix[o], img.Pix[o+1], img.Pix[o+2], img.Pix[o+3] = v, v, v, 255
			}
		}
	})
	return img, scale
}

// strokeRing draws a closed line.
func strokeRing(img *image.RGBA, r geom.Ring, width float64, c color.Color) {
	box := r.Box().Grow(width)
	at := image.Rect(int(box.Min.X)-1, int(box.Min.Y)-1, int(box.Max.X)+2, int(box.Max.Y)+2).Intersect(img.Rect)
	if at.Empty() {
		return
	}
	z := vector.NewRasterizer(at.Dx(), at.Dy())
	o := geom.Vec{X: float64(at.Min.X), Y: float64(at.Min.Y)}
	for i, p := range r {
		q := r.At(i + 1)
		d := q.Sub(p)
		l := d.Len()
		if l == 0 {
			continue
		}
		along := d.Mul(width / 2 / l)
		side := geom.Vec{X: -along.Y, Y: along.X}
		along = along.Mul(0.5) // so that neighbours overlap at the corner
		p, q := p.Sub(o).Sub(along), q.Sub(o).Add(along)
		for k, v := range []geom.Vec{p.Add(side), q.Add(side), q.Sub(side), p.Sub(side)} {
			if k == 0 {
				z.MoveTo(float32(v.X), float32(v.Y))
			} else {
				z.LineTo(float32(v.X), float32(v.Y))
			}
		}
		z.ClosePath()
	}
	z.Draw(img, at, image.NewUniform(c), image.Point{})
}

func overlayFace() (font.Face, error) {
	f, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, say.Errorf("cannot write numbers on the overlay: %s", err)
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: overlayType, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return nil, say.Errorf("cannot write numbers on the overlay: %s", err)
	}
	return face, nil
}

// label writes text centred on a white box.
func label(img *image.RGBA, face font.Face, at geom.Vec, text string, c color.Color) {
	w := font.MeasureString(face, text).Ceil()
	x, y := int(at.X)-w/2, int(at.Y)+overlayType*3/8
	box := image.Rect(x-4, y-overlayType*3/4-5, x+w+4, y+5)
	draw.Draw(img, box, image.NewUniform(color.White), image.Point{}, draw.Src)
	d := font.Drawer{Dst: img, Src: image.NewUniform(c), Face: face, Dot: fixed.P(x, y)}
	d.DrawString(text)
}
