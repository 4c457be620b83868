package trace

import (
	"bytes"
	"encoding/binary"
	"math"
)

// info is what a file says about its picture besides the pixels.
type info struct {
	orientation int     // EXIF orientation, 1 to 8; 0 where none is given
	dpi         float64 // 0 where none is given
	camera      bool    // it has an exposure time: no scanner writes one
}

// density returns the dots per inch that the file states, or 0 and that figure
// where it is not credible: programs that know nothing write 72 or 96, and a camera
// cannot know how large the drawing was.
func (i info) density() (dpi, doubted float64) {
	for _, placeholder := range []float64{72, 96} {
		// pHYs counts whole pixels a metre, so 72 dpi reads as 71.99.
		if math.Abs(i.dpi-placeholder) < 0.1 {
			return 0, i.dpi
		}
	}
	if i.camera || i.dpi < 20 || i.dpi > 10_000 {
		return 0, i.dpi
	}
	return i.dpi, 0
}

const inchMM = 25.4

// readInfo reads orientation and density where the format keeps them. Damaged
// parts are skipped.
func readInfo(data []byte, format string) info {
	var i info
	switch format {
	case "jpeg":
		i.jpeg(data)
	case "png":
		i.png(data)
	case "webp":
		i.webp(data)
	case "tiff":
		i.exif(data)
	case "bmp":
		// BITMAPINFOHEADER: pixels per metre at offset 38.
		if len(data) >= 42 {
			i.dpi = float64(binary.LittleEndian.Uint32(data[38:])) * inchMM / 1000
		}
	}
	return i
}

// jpeg walks the segments before the picture data: JFIF (ITU-T T.871) in APP0,
// EXIF in APP1. EXIF overrides JFIF.
func (i *info) jpeg(data []byte) {
	for at := 2; at+4 <= len(data) && data[at] == 0xff && data[at+1] != 0xda; {
		n := int(binary.BigEndian.Uint16(data[at+2:]))
		if n < 2 || at+2+n > len(data) {
			return
		}
		body := data[at+4 : at+2+n]
		switch {
		case data[at+1] == 0xe0 && len(body) >= 12 && string(body[:5]) == "JFIF\x00":
			x := float64(binary.BigEndian.Uint16(body[8:]))
			switch body[7] {
			case 1:
				i.dpi = x
			case 2:
				i.dpi = x * inchMM / 10
			}
		case data[at+1] == 0xe1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")):
			i.exif(body[6:])
		}
		at += 2 + n
	}
}

// png walks the chunks: pHYs and eXIf (PNG, third edition).
func (i *info) png(data []byte) {
	for at := 8; at+12 <= len(data); {
		n := int(binary.BigEndian.Uint32(data[at:]))
		if n < 0 || n > len(data)-at-12 {
			return
		}
		body := data[at+8 : at+8+n]
		switch string(data[at+4 : at+8]) {
		case "pHYs":
			if n == 9 && body[8] == 1 {
				i.dpi = float64(binary.BigEndian.Uint32(body)) * inchMM / 1000
			}
		case "eXIf":
			i.exif(body)
		}
		at += 12 + n
	}
}

// webp walks the RIFF chunks.
func (i *info) webp(data []byte) {
	for at := 12; at+8 <= len(data); {
		n := int(binary.LittleEndian.Uint32(data[at+4:]))
		if n < 0 || n > len(data)-at-8 {
			return
		}
		if string(data[at:at+4]) == "EXIF" {
			i.exif(bytes.TrimPrefix(data[at+8:at+8+n], []byte("Exif\x00\x00")))
		}
		at += 8 + n + n%2
	}
}

// Tags of TIFF 6.0 and EXIF 2.32.
const (
	tagOrientation    = 0x0112
	tagXResolution    = 0x011a
	tagResolutionUnit = 0x0128
	tagExifIFD        = 0x8769
	tagExposureTime   = 0x829a
)

// exif reads the first directory of a TIFF structure, which EXIF is, and looks for
// an exposure time in the EXIF directory.
func (i *info) exif(t []byte) {
	if len(t) < 8 {
		return
	}
	var order binary.ByteOrder
	switch string(t[:2]) {
	case "II":
		order = binary.LittleEndian
	case "MM":
		order = binary.BigEndian
	default:
		return
	}
	resolution, unit := 0.0, 2 // inches, unless stated (TIFF 6.0, section 8)
	sub := uint32(0)
	entries(t, order, order.Uint32(t[4:]), func(tag uint16, value []byte) {
		switch tag {
		case tagOrientation:
			i.orientation = int(order.Uint16(value))
		case tagResolutionUnit:
			unit = int(order.Uint16(value))
		case tagExifIFD:
			sub = order.Uint32(value)
		case tagXResolution:
			if at := uint64(order.Uint32(value)); at+8 <= uint64(len(t)) {
				if under := order.Uint32(t[at+4:]); under > 0 {
					resolution = float64(order.Uint32(t[at:])) / float64(under)
				}
			}
		}
	})
	if resolution > 0 {
		switch unit {
		case 2:
			i.dpi = resolution
		case 3:
			i.dpi = resolution * inchMM / 10
		}
	}
	if sub > 0 {
		entries(t, order, sub, func(tag uint16, _ []byte) {
			i.camera = i.camera || tag == tagExposureTime
		})
	}
}

// entries calls do with each tag of the directory at offset, and the four bytes
// that hold its value or where it is.
func entries(t []byte, order binary.ByteOrder, offset uint32, do func(tag uint16, value []byte)) {
	at := uint64(offset)
	if at+2 > uint64(len(t)) {
		return
	}
	n := uint64(order.Uint16(t[at:]))
	for k := range n {
		e := at + 2 + 12*k
		if e+12 > uint64(len(t)) {
			return
		}
		do(order.Uint16(t[e:]), t[e+8:e+12])
	}
}
