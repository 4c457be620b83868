package skirt

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// Cutting the layers from cloth by the length. One piece is cut when it fits the
// fabric width, otherwise each panel in equal pieces (common practice, no
// source). A net hem is left raw and takes no allowance.

// Fabric is how to cut the layers of one part from cloth by the length; lengths
// in millimetres.
type Fabric struct {
	CuttingLength float64 // circle: radius + drop; else drop + seam allowance; outline: the tallest panel's
	Pieces        int     // of one layer
	Layers        int
	Length        float64 // to buy for all layers, rounded up to the shop's step
	Seamed        bool    // a layer is sewn from more than one piece
}

// TooWide is the error that a layer cannot be cut from cloth of the given width.
type TooWide struct {
	Needs, Width float64 // width of the narrowest cloth that would hold it, and of the cloth there is, mm
}

// Error is the message in English.
func (e *TooWide) Error() string { return e.Say().String() }

// Say returns the error's message.
func (e *TooWide) Say() say.Message {
	return say.New("the cloth is %s wide and the narrowest piece takes %s", geom.Length(e.Width), geom.Length(e.Needs))
}

// maxSplit is the most pieces a panel is split into to fit the cloth: beyond that
// the maker should choose another cut.
const maxSplit = 8

// CutFrom returns how layers of a surface are cut from cloth of the given
// width: each panel in as few equal pieces as fit it, lying along the cloth or
// across it, whichever takes less. allowance is added at every side seam, and
// at the waist but for a circle's; all round a drawn panel, which is not split.
// The length is rounded up to whole steps. It returns a *TooWide where no such
// pieces fit.
func CutFrom(s Surface, width, allowance, step float64, layers int) (Fabric, error) {
	narrowest := math.Inf(1)
	for split := 1; split <= maxSplit; split++ {
		boxes, cutting, ok := s.shape.pieces(split, allowance)
		least := 0.0
		for _, b := range boxes {
			least = math.Max(least, math.Min(b.X, b.Y))
		}
		narrowest = math.Min(narrowest, least)
		if !ok {
			continue
		}
		all := slices.Repeat(boxes, layers)
		length := math.Min(clothFor(all, width, false), clothFor(all, width, true))
		if math.IsInf(length, 1) {
			continue
		}
		return Fabric{
			CuttingLength: cutting,
			Pieces:        len(boxes),
			Layers:        layers,
			Length:        math.Ceil(length/step-roundingSlack) * step,
			Seamed:        len(boxes) > 1,
		}, nil
	}
	return Fabric{}, &TooWide{Needs: narrowest, Width: width}
}

// roundingSlack, in steps, keeps rounding noise from raising a whole number of
// steps by one.
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
