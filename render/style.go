package render

import "strew/render/scene"

// Densities at which the pictures are meant to be written, in pixels per inch.
const (
	// PageDPI makes an A4 page 1654 × 2339 pixels: a hair line of a third of a
	// millimetre is three pixels wide.
	PageDPI = 200
	// SheetDPI is enough for lays, whose numbers are large and of which there are
	// many: an A4 page of 992 × 1403 pixels.
	SheetDPI = 120
	// ScreenDPI makes the skirt picture, 320 mm wide, some 1800 pixels wide.
	ScreenDPI = 144
)

// Sizes of type, in points. Nothing on paper is smaller than sizeLeast: five
// points are the least that is read without effort at arm's length (common
// practice, no source).
const (
	sizeTitle = 15
	sizeSub   = 9
	sizeText  = 8
	sizeSmall = 7
	sizeLeast = 5
)

// Widths of lines, in points.
const (
	lineHair    = 0.35 // rows, leaders, faint outlines
	lineFine    = 0.6  // outlines of cutouts, margins
	lineSeam    = 0.9
	lineHem     = 1.3
	lineWaist   = 2.4
	lineOutline = 0.8 // what scissors follow
)

// Lengths on the page, in millimetres.
const (
	marginPage   = 10.0 // printers leave some 6 mm white; scissors and pins want a little more
	marginScreen = 8.0
	gapBlock     = 4.0 // between title, drawing and legend
)

// Dashes, in millimetres on the page.
func dashSeam() []float64   { return []float64{2.4, 1.4} }
func dashMargin() []float64 { return []float64{1.2, 1} }
func dashCut() []float64    { return []float64{0.5, 1.1} }

// The colours of the drawing itself: black lines on white that keep their
// order in grey.
func ink() scene.Colour   { return scene.Colour{R: 0x1a, G: 0x1a, B: 0x1a, Alpha: 1} }
func soft() scene.Colour  { return scene.Colour{R: 0x55, G: 0x55, B: 0x55, Alpha: 1} }
func faint() scene.Colour { return scene.Colour{R: 0x9a, G: 0x9a, B: 0x9a, Alpha: 1} }
func white() scene.Colour { return scene.Colour{R: 0xff, G: 0xff, B: 0xff, Alpha: 1} }

// felt returns the colour as given, and mid grey for an empty or unreadable one.
func felt(colour string) scene.Colour {
	if c, ok := scene.Hex(colour); ok {
		return c
	}
	return scene.Colour{R: 0x88, G: 0x88, B: 0x88, Alpha: 1}
}

// edgeOf returns the colour in which a piece of felt is outlined: darker than
// the felt, or lighter where the felt is too dark to show it.
func edgeOf(c scene.Colour) scene.Colour {
	// Below this luminance black is less than twice as dark as the felt
	// (WCAG contrast 2 against black: L = 0.05).
	if c.Luminance() < 0.05 {
		return c.Mixed(white(), 0.45)
	}
	return c.Mixed(scene.Colour{}, 0.45)
}
