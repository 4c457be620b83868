package search

import (
	"context"
	"math"

	"strew/motif/geom"
	"strew/sheet/shape"
)

// formOf returns the form of a region with all its holes.
func formOf(item int, g geom.Region, gap float64) *shape.Form {
	return shape.NewForm(item, g, gap, math.Inf(-1))
}

// bodiesOf returns the bodies of the forms on a bed.
func bodiesOf(bed shape.Bed, fs ...*shape.Form) *Bodies {
	bs, ok := NewSession(&Store{}, Asked{}).Bodies(context.Background(), fs, bed)
	if !ok {
		panic("no bodies")
	}
	return bs
}

// trueOutline returns the true outline where the piece lies.
func trueOutline(p Piece) geom.Region {
	l := p.Laid()
	return l.Region.Transform(geom.Placing(l.At, l.Turn, 1, false))
}
