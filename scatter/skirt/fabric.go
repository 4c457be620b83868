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
	Split         int     // pieces of one panel: piece i is part i%Split of panel i/Split, from the left
	Rows          []Laid  // all pieces where they lie on the cloth
}

// Laid is a piece on the cloth, whose top left corner is the origin: x across it,
// y along it, millimetres.
type Laid struct {
	Piece, Layer int      // both from 0; Piece within the layer
	At           geom.Vec // top left corner of its box, allowances included
	Box          geom.Vec // width and height of its box as it was drafted
	Turned       bool     // by a quarter turn, clockwise as seen
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
		rows, length := clothFor(boxes, layers, width, false)
		if turned, l := clothFor(boxes, layers, width, true); l < length {
			rows, length = turned, l
		}
		if math.IsInf(length, 1) {
			continue
		}
		return Fabric{
			CuttingLength: cutting,
			Pieces:        len(boxes),
			Layers:        layers,
			Length:        math.Ceil(length/step-roundingSlack) * step,
			Seamed:        len(boxes) > 1,
			Split:         split,
			Rows:          rows,
		}, nil
	}
	return Fabric{}, &TooWide{Needs: narrowest, Width: width}
}

// roundingSlack, in steps, keeps rounding noise from raising a whole number of
// steps by one.
const roundingSlack = 1e-6

// clothFor lays the boxes of all layers across the cloth in rows, each as long
// as its longest box: the longest boxes first, each in the first row with room
// (first fit by decreasing length; E. G. Coffman et al., "Performance bounds for
// level-oriented two-dimensional packing algorithms", SIAM Journal on Computing
// 9, 1980). turned lays their heights across where that fits. It returns them with
// the length of all rows, infinite where a box is too wide.
func clothFor(boxes []geom.Vec, layers int, width float64, turned bool) ([]Laid, float64) {
	list := make([]Laid, 0, layers*len(boxes))
	for layer := range layers {
		for i, b := range boxes {
			l := Laid{Piece: i, Layer: layer, Box: b, Turned: turned}
			if l.Lying().X > width*(1+roundingSlack) {
				l.Turned = !l.Turned
			}
			if l.Lying().X > width*(1+roundingSlack) {
				return nil, math.Inf(1)
			}
			list = append(list, l)
		}
	}
	slices.SortStableFunc(list, func(a, b Laid) int { return cmp.Compare(b.Lying().Y, a.Lying().Y) })
	type row struct{ left, top float64 } // left: of its width
	var rows []row
	total := 0.0
	for i := range list {
		l := &list[i]
		k := slices.IndexFunc(rows, func(r row) bool { return r.left >= l.Lying().X-width*roundingSlack })
		if k < 0 {
			k, rows = len(rows), append(rows, row{width, total})
			total += l.Lying().Y
		}
		l.At = geom.Vec{X: width - rows[k].left, Y: rows[k].top}
		rows[k].left -= l.Lying().X
	}
	return list, total
}

// Lying returns how wide and how long the box lies on the cloth.
func (l Laid) Lying() geom.Vec {
	if l.Turned {
		return geom.Vec{X: l.Box.Y, Y: l.Box.X}
	}
	return l.Box
}
