package sheet

import (
	"cmp"
	"slices"

	"strew/motif/geom"
)

// rowDepth is the share of its height by which a piece's middle may lie below that of
// the topmost piece of a row and still be cut in that row.
const rowDepth = 1. / 4

// cuttingOrder sorts pieces as one reads: rows from the top, each from the left.
func cuttingOrder(items []Item, pieces []Placed) []Placed {
	type boxed struct {
		Placed
		box geom.Box
	}
	bs := make([]boxed, len(pieces))
	for i, q := range pieces {
		bs[i] = boxed{q, placedRegion(items, q).Box()}
	}
	slices.SortStableFunc(bs, func(a, b boxed) int {
		return cmp.Or(cmp.Compare(a.box.Centre().Y, b.box.Centre().Y), cmp.Compare(a.box.Centre().X, b.box.Centre().X))
	})
	out := make([]Placed, 0, len(bs))
	for len(bs) > 0 {
		limit := bs[0].box.Centre().Y + bs[0].box.Height()*rowDepth
		n := 1
		for n < len(bs) && bs[n].box.Centre().Y <= limit {
			n++
		}
		row := bs[:n]
		slices.SortStableFunc(row, func(a, b boxed) int { return cmp.Compare(a.box.Centre().X, b.box.Centre().X) })
		for _, b := range row {
			out = append(out, b.Placed)
		}
		bs = bs[n:]
	}
	return out
}
