package skirt

import (
	"cmp"
	"fmt"
	"math"
	"slices"

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
	CuttingLength float64 // circle: radius + drop; else drop + seam allowance; outline: the tallest panel's
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
// at the waist but for a circle's; all round a drawn panel, which is not split.
// The length is rounded up to whole steps.
func (s Surface) CutFrom(width, allowance, step float64, layers int) (Fabric, error) {
	narrowest := 0.0
	for split := 1; split <= maxSplit && (split == 1 || s.Cut != Outline); split++ {
		boxes, least := s.pieceBoxes(split, allowance), 0.0
		for _, b := range boxes {
			least = math.Max(least, math.Min(b.X, b.Y))
		}
		if split == 1 || least < narrowest {
			narrowest = least
		}
		if s.Wedges() && s.Angle/float64(split) > 2*math.Pi+geom.SameAngle {
			continue // a piece beyond a full turn does not lie flat
		}
		var all []geom.Vec
		for range layers {
			all = append(all, boxes...)
		}
		length := math.Min(clothFor(all, width, false), clothFor(all, width, true))
		if math.IsInf(length, 1) {
			continue
		}
		f := Fabric{
			CuttingLength: s.Drop + allowance,
			Pieces:        len(boxes),
			Layers:        layers,
			Length:        math.Ceil(length/step-roundingSlack) * step,
			Seamed:        len(boxes) > 1,
		}
		switch s.Cut {
		case Circle:
			f.CuttingLength = s.Inner + s.Drop
		case Outline:
			f.CuttingLength = 0
			for _, b := range boxes {
				f.CuttingLength = math.Max(f.CuttingLength, b.Y)
			}
		}
		return f, nil
	}
	return Fabric{}, &TooWide{Needs: narrowest, Width: width}
}

// roundingSlack, in steps, keeps a length that is a whole number of steps but
// for rounding noise from being raised by one.
const roundingSlack = 1e-6

// clothFor returns the length of cloth for boxes, laid across it in rows, each
// as long as its longest box: the longest boxes first, each in the first row
// with room (first fit by decreasing length; E. G. Coffman et al., "Performance
// bounds for level-oriented two-dimensional packing algorithms", SIAM Journal on
// Computing 9, 1980). turned lays their heights across where that fits.
func clothFor(boxes []geom.Vec, width float64, turned bool) float64 {
	type lain struct{ along, across float64 }
	list := make([]lain, len(boxes))
	for i, b := range boxes {
		l := lain{b.Y, b.X}
		if turned {
			l = lain{b.X, b.Y}
		}
		if l.across > width*(1+roundingSlack) {
			l = lain{l.across, l.along}
		}
		if l.across > width*(1+roundingSlack) {
			return math.Inf(1)
		}
		list[i] = l
	}
	slices.SortStableFunc(list, func(a, b lain) int { return cmp.Compare(b.along, a.along) })
	var left []float64 // of each row's width
	total := 0.0
	for _, l := range list {
		i := slices.IndexFunc(left, func(room float64) bool { return room >= l.across-width*roundingSlack })
		if i < 0 {
			i, left = len(left), append(left, width)
			total += l.along
		}
		left[i] -= l.across
	}
	return total
}

// pieceBoxes returns the width and height of the box round every piece of one
// layer, each panel in split equal pieces, seam allowances included.
func (s Surface) pieceBoxes(split int, allowance float64) []geom.Vec {
	if s.Cut == Outline {
		out := make([]geom.Vec, s.Panels)
		for k := range out {
			b := s.Drawn.panels[k].Box().Grow(allowance)
			out[k] = geom.Vec{X: b.Width(), Y: b.Height()}
		}
		return out
	}
	w, h := s.pieceBox(split, allowance)
	return slices.Repeat([]geom.Vec{{X: w, Y: h}}, split*s.Panels)
}

// pieceBox returns the width and height of the box round one of split equal
// pieces of a panel; the piece stands upright.
func (s Surface) pieceBox(split int, allowance float64) (w, h float64) {
	if s.Cut == Rectangle {
		return s.Width/float64(split) + 2*allowance, s.Drop + allowance
	}
	a, r, outer := s.Angle/float64(split), s.Inner, s.Outer()
	if s.Straight {
		if split == 1 {
			return 2*outer*math.Tan(a/2) + 2*allowance/math.Cos(a/2), s.Drop + allowance
		}
		outer /= math.Cos(s.Angle / 2) // its corners; the waist's middle lies at r
	}
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
	if s.Cut == Gores {
		h += allowance
	}
	return w, h
}
