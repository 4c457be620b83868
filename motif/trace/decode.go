package trace

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/color"
	_ "image/gif" // the decoders register themselves
	_ "image/jpeg"
	_ "image/png"
	"io"

	_ "golang.org/x/image/bmp"
	_ "golang.org/x/image/tiff"
	_ "golang.org/x/image/webp"

	"strew/motif/say"
)

const (
	// maxPixels is the largest picture read: an A3 page at 600 dpi has 70 million
	// pixels, and more would not fit in memory beside other work.
	maxPixels = 100_000_000

	// minSide is the least width and height, in pixels, that an outline can be found
	// in.
	minSide = 16

	// pixelsPerByte is more than a PNG or JPEG can hold: deflate compresses by at
	// most 1032 (zlib's technical details), and a PNG has at least an eighth of a
	// byte for each pixel. A file that claims more is cut off or hostile.
	pixelsPerByte = 8 * 1032
)

// picture is a drawing as read: upright, in grey.
type picture struct {
	plane
	dpi      float64 // of the upright picture; 0 where the file states none that is credible
	coloured bool    // the file may hold more than grey
	camera   bool    // taken with a camera
	told     float64 // the density stated, where it is not credible
	shrunk   int     // pixels of the file, in a row, that make one here
}

// IsPicture reports whether data begins as a picture of a kind that Read supports.
// Only Read finds out whether it is whole.
func IsPicture(data []byte) bool {
	_, _, err := image.DecodeConfig(bytes.NewReader(data))
	return !errors.Is(err, image.ErrFormat)
}

// decodeUntil is decode, given up when ctx ends. Decoders cannot be stopped, so
// one that is given up works on, for a second or two at most, and its picture is
// dropped.
func decodeUntil(ctx context.Context, data []byte, grey func(image.Image) plane) (picture, error) {
	var pic picture
	var err error
	done := make(chan struct{})
	go func() {
		defer close(done)
		pic, err = decode(data, grey)
	}()
	select {
	case <-done:
		return pic, err
	case <-ctx.Done():
		return picture{}, stopped(ctx)
	}
}

// decode reads a picture by its content and turns it upright; grey takes one value
// from its colours.
func decode(data []byte, grey func(image.Image) plane) (picture, error) {
	if len(data) == 0 {
		return picture{}, say.Errorf("the file is empty")
	}
	cfg, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return picture{}, unreadable(data, format, err)
	}
	switch n := float64(cfg.Width) * float64(cfg.Height); {
	case cfg.Width < minSide || cfg.Height < minSide:
		return picture{}, say.Errorf("the picture has %d × %d pixels, too few to find an outline in: it needs a few hundred each way", cfg.Width, cfg.Height)
	case n > maxPixels:
		return picture{}, say.Errorf("the picture says it has %d × %d pixels, and at most %d million are read: scan at a lower density, such as 300 dpi, or cut it down to the drawing",
			cfg.Width, cfg.Height, maxPixels/1_000_000)
	case (format == "png" || format == "jpeg") && n > pixelsPerByte*float64(len(data)):
		return picture{}, say.Errorf("the %s file is cut off or damaged: it says it has %d × %d pixels and holds %d bytes; copy or scan it again", format, cfg.Width, cfg.Height, len(data))
	}
	if cfg.ColorModel == color.CMYKModel {
		return picture{}, say.Errorf("the picture is in CMYK printing colours, which say little of what is on paper: save it in RGB or grey")
	}
	img, err := decodeSafely(data)
	if err != nil {
		return picture{}, unreadable(data, format, err)
	}
	info := readInfo(data, format)
	pic := picture{plane: grey(img), coloured: isColoured(img), camera: info.camera, shrunk: 1}
	pic.dpi, pic.told = info.density()
	pic.plane = pic.upright(info.orientation)
	for pic.w*pic.h > maxWorked {
		pic.plane = pic.half()
		pic.shrunk *= 2
	}
	pic.dpi /= float64(pic.shrunk)
	return pic, nil
}

// decodeSafely turns a decoder's panic into an error: the decoders are not
// ours, and a damaged file must not end the program.
func decodeSafely(data []byte) (img image.Image, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = say.Errorf("the decoder failed on it: %v", p)
		}
	}()
	img, _, err = image.Decode(bytes.NewReader(data))
	return img, err
}

// unreadable says why a file could not be decoded.
func unreadable(data []byte, format string, err error) error {
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF):
		return say.Errorf("the %s file is cut off before its end: copy or scan it again", orPicture(format))
	case !errors.Is(err, image.ErrFormat):
		return say.Errorf("the %s file is cut off, damaged or of an unsupported kind (%s): copy or scan it again, or save it as plain PNG or JPEG", orPicture(format), err)
	case IsSVG(data):
		return say.Errorf("it is an SVG drawing, an outline already: name it in the project file as it is")
	case bytes.HasPrefix(data, []byte("%PDF")):
		return say.Errorf("it is a PDF: save the page as PNG or JPEG at 300 dpi")
	case len(data) > 12 && string(data[4:8]) == "ftyp":
		return say.Errorf("it is a HEIF, AVIF or video file, which cannot be read: set the phone to save photos as JPEG")
	}
	return say.Errorf("not a supported picture; use PNG, JPEG, TIFF, WebP, BMP or GIF")
}

// orPicture names a kind of file in a message.
func orPicture(format string) any {
	if format == "" {
		return say.New("picture")
	}
	return format
}

// IsSVG reports whether data begins as an SVG drawing does, which needs no tracing.
func IsSVG(data []byte) bool {
	head := data[:min(len(data), 1024)]
	return bytes.Contains(head, []byte("<svg")) || bytes.HasPrefix(bytes.TrimSpace(head), []byte("<?xml"))
}
