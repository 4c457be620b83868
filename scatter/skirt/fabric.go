package skirt

import (
	"fmt"
	"math"

	"strew/motif/geom"
)

// Drafting: from body measures to the flat shape.
//
// A circle's waist seam is an arc of the given share of a full circle as long
// as the edge before gathering, so radius = girth / (2π · share); the cutting
// length is radius + drop. One piece is cut when twice the cutting length fits
// the fabric width, otherwise two halves from four times the cutting length
// (common practice, no source). A net hem is left raw and takes no allowance.

// NewCircle returns the surface of a circle cut: share of a full circle, sewn
// from panels, whose waist edge is girth long and whose hem lies drop below.
func NewCircle(girth, drop, share float64, panels int) Surface {
	return Surface{
		Cut: Circle, Panels: panels, Drop: drop,
		Inner: girth / (2 * math.Pi * share),
		Angle: 2 * math.Pi * share / float64(panels),
	}
}

// NewRectangle returns the surface of straight panels that are girth wide
// together and drop long.
func NewRectangle(girth, drop float64, panels int) Surface {
	return Surface{Cut: Rectangle, Panels: panels, Drop: drop, Width: girth / float64(panels)}
}

// Fabric says how to cut the layers of one part from cloth by the length.
type Fabric struct {
	CuttingLength float64 // circle: radius + drop; rectangle: drop + seam allowance
	Pieces        int     // of one layer
	Layers        int
	Length        float64 // to buy for all layers, rounded up to the shop's step
	Seamed        bool    // a layer is sewn from more than one piece
}

// TooWide tells that a layer cannot be cut from cloth of the given width.
type TooWide struct {
	Needs, Width float64 // the narrowest cloth that would do, and the cloth there is, mm
}

func (e *TooWide) Error() string {
	return fmt.Sprintf("the cloth is %.0f mm wide and the narrowest piece takes %.0f mm", e.Width, e.Needs)
}

// maxSplit bounds into how many pieces a panel may be split to fit the cloth:
// beyond eight seams a panel the maker should choose another cut.
const maxSplit = 8

// CutFrom says how layers of the surface are cut from cloth of the given
// width: each panel in as few equal pieces as fit it, lying along the cloth or
// across it, whichever takes less. allowance is added at every side seam, and
// at the waist of a rectangle; the length is rounded up to whole steps.
func (s Surface) CutFrom(width, allowance, step float64, layers int) (Fabric, error) {
	narrowest := math.Inf(1)
	for split := 1; split <= maxSplit; split++ {
		w, h := s.pieceBox(split, allowance)
		narrowest = math.Min(narrowest, math.Min(w, h))
		if s.Cut == Circle && s.Angle/float64(split) > 2*math.Pi+geom.SameAngle {
			continue // a piece beyond a full turn does not lie flat
		}
		n := split * s.Panels * layers
		length := math.Min(along(n, w, h, width), along(n, h, w, width))
		if math.IsInf(length, 1) {
			continue
		}
		f := Fabric{
			CuttingLength: s.Inner + s.Drop,
			Pieces:        split * s.Panels,
			Layers:        layers,
			Length:        math.Ceil(length/step-roundingSlack) * step,
			Seamed:        split*s.Panels > 1,
		}
		if s.Cut == Rectangle {
			f.CuttingLength = s.Drop + allowance
		}
		return f, nil
	}
	return Fabric{}, &TooWide{Needs: narrowest, Width: width}
}

// roundingSlack, in steps, keeps a length that is a whole number of steps but
// for rounding noise from being raised by one.
const roundingSlack = 1e-6

// along returns the length of cloth for n boxes, a along the cloth and b
// across it, in as many columns as the width holds.
func along(n int, a, b, width float64) float64 {
	columns := int(width/b + roundingSlack)
	if columns == 0 {
		return math.Inf(1)
	}
	return float64((n+columns-1)/columns) * a
}

// pieceBox returns the width and height of the box round one of split equal
// pieces of a panel, side seam allowances included; the piece stands upright.
func (s Surface) pieceBox(split int, allowance float64) (w, h float64) {
	if s.Cut == Rectangle {
		return s.Width/float64(split) + 2*allowance, s.Drop + allowance
	}
	a, r, outer := s.Angle/float64(split), s.Inner, s.Outer()
	switch {
	case a <= math.Pi:
		// The corners at the hem are widest, the corners at the waist highest.
		w = 2*outer*math.Sin(a/2) + 2*allowance*math.Cos(a/2)
		h = outer - r*math.Cos(a/2) + allowance*math.Sin(a/2)
	case a < 2*math.Pi:
		w = 2 * outer
		h = outer - outer*math.Cos(a/2) + allowance*math.Sin(a/2)
	default:
		w, h = 2*outer, 2*outer
	}
	return w, h
}
