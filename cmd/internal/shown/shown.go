// Package shown turns a plan into the numbers that the page draws from: the flat
// cloth with its cutouts, the sheets of felt, the cloth and how it is cut. All
// values are ready for encoding/json. Lengths are millimetres, x right, y down;
// turns are degrees, clockwise as seen; outlines are SVG path data for the
// even-odd rule. What differs by cut is known to skirt and render only.
package shown

import (
	"math"
	"strconv"

	"strew/motif/geom"
	"strew/render/scene"
)

// Decimals of path data.
const (
	clothDecimals = 1 // of cloth: a tenth of a millimetre is less than a pixel even enlarged
	motifDecimals = 2 // of motifs, which are shown far larger on their cards
)

// round returns x to two decimals: finer than any screen shows, and short in JSON.
func round(x float64) float64 { return math.Round(x*100)/100 + 0 }

// degrees returns a turn in radians in degrees, from -180 to 180.
func degrees(turn float64) float64 { return round(math.Remainder(turn*180/math.Pi, 360)) }

func pointOf(p geom.Vec) [2]float64 { return [2]float64{round(p.X), round(p.Y)} }

// boxOf returns x, y, width and height of a box.
func boxOf(b geom.Box) [4]float64 {
	return [4]float64{round(b.Min.X), round(b.Min.Y), round(b.Width()), round(b.Height())}
}

// pathOf returns lines as path data.
func pathOf(lines []scene.Line, decimals int) string {
	var out []byte
	for _, l := range lines {
		for i, p := range l.Points {
			out = append(out, "ML"[min(i, 1)])
			out = number(out, p.X, decimals)
			out = append(out, ' ')
			out = number(out, p.Y, decimals)
		}
		if l.Closed {
			out = append(out, 'Z')
		}
	}
	return string(out)
}

// number appends x without needless zeros.
func number(out []byte, x float64, decimals int) []byte {
	unit := math.Pow10(decimals)
	return strconv.AppendFloat(out, math.Round(x*unit)/unit+0, 'f', -1, 64)
}

func ringPath(rings []geom.Ring, decimals int) string {
	return pathOf(scene.Closed(rings...), decimals)
}
