package raster

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"
	"io"
	"math"

	"strew/render/scene"
)

// WritePNG draws the scene at dpi pixels to the inch and writes it as PNG. The
// file says its true density in a pHYs chunk (PNG, W3C Recommendation, 11.3.4.3:
// pixels per unit, unit metre), so that a printing program keeps the scale. The
// same scene gives the same bytes.
func WritePNG(w io.Writer, s *scene.Scene, dpi float64) error {
	im, err := Image(s, dpi)
	if err != nil {
		return err
	}
	var file bytes.Buffer
	// Smaller files would take longer to pack than the picture takes to draw.
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&file, im); err != nil {
		return err
	}
	// The signature (8 bytes) and IHDR (25 bytes) come first; pHYs must stand
	// before the image data.
	const head = 8 + 25
	perMetre := uint32(math.Round(dpi / 0.0254))
	for _, part := range [][]byte{file.Bytes()[:head], phys(perMetre), file.Bytes()[head:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

func phys(perMetre uint32) []byte {
	body := append([]byte("pHYs"), make([]byte, 9)...)
	binary.BigEndian.PutUint32(body[4:], perMetre)
	binary.BigEndian.PutUint32(body[8:], perMetre)
	body[12] = 1 // the unit is the metre
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, body...)
	return binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(body))
}
