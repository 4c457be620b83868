package raster

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/binary"
	"hash/crc32"
	"io"
	"math"

	"strew/render/scene"
)

// WritePNG draws the scene at dpi pixels to the inch and writes it as PNG. The
// file says its true density in a pHYs chunk (PNG, W3C Recommendation, 11.3.4.3:
// pixels per unit, unit metre), so that a printing program keeps the scale. The
// same scene gives the same bytes. Once the context ends it writes nothing and
// returns the context's error.
//
// The pictures are large and flat: rows go to the packer as they are, which
// takes half the time of trying filters on each, for files hardly larger.
func WritePNG(ctx context.Context, w io.Writer, s *scene.Scene, dpi float64) error {
	im, err := Image(ctx, s, dpi)
	if err != nil {
		return err
	}
	size := im.Bounds().Size()
	head := make([]byte, 13)
	binary.BigEndian.PutUint32(head, uint32(size.X))
	binary.BigEndian.PutUint32(head[4:], uint32(size.Y))
	head[8], head[9] = 8, 2 // bits of each of red, green and blue; the rest is plain
	perMetre := uint32(math.Round(dpi / 0.0254))

	var data bytes.Buffer
	// Smaller files would take longer to pack than the picture takes to draw.
	z, err := zlib.NewWriterLevel(&data, zlib.BestSpeed)
	if err != nil {
		return err
	}
	row := make([]byte, 1+3*size.X) // the first byte says: no filter
	for y := range size.Y {
		if err := ctx.Err(); err != nil {
			return err
		}
		from := im.Pix[y*im.Stride : y*im.Stride+4*size.X]
		for x, to := 0, row[1:]; x < len(from); x, to = x+4, to[3:] {
			to[0], to[1], to[2] = from[x], from[x+1], from[x+2]
		}
		if _, err := z.Write(row); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	for _, part := range [][]byte{[]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", head), chunk("pHYs", phys(perMetre)), chunk("IDAT", data.Bytes()), chunk("IEND", nil)} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// phys returns the body of the pHYs chunk.
func phys(perMetre uint32) []byte {
	body := make([]byte, 9)
	binary.BigEndian.PutUint32(body, perMetre)
	binary.BigEndian.PutUint32(body[4:], perMetre)
	body[8] = 1 // the unit is the metre
	return body
}

// chunk returns a chunk of a PNG file: its length, name, body and checksum.
func chunk(name string, body []byte) []byte {
	out := binary.BigEndian.AppendUint32(make([]byte, 0, len(body)+12), uint32(len(body)))
	out = append(append(out, name...), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}
