package sheet

import (
	"cmp"
	"slices"

	"strew/motif/geom"
	"strew/sheet/shape"
)

// Shelves: once a lay is stopped, what is not yet laid is laid at once, by its boxes
// in rows from the top, the tallest first, each row as high as its first piece (next-fit
// decreasing height: E. G. Coffman, M. R. Garey, D. S. Johnson, R. E. Tarjan,
// "Performance bounds for level-oriented two-dimensional packing algorithms", SIAM
// Journal on Computing 9, 1980).

// shelved appends to what lies on a bed of stock k as many of the wants' other pieces
// as find room below it.
func (p *call) shelved(k int, wants []want, laid []shape.Laid) []shape.Laid {
	bed := p.stock[k].bed()
	gap := max(p.opt.Gap, geom.Snug)
	left := map[*shape.Form]int{}
	for _, l := range laid {
		left[l.Form]--
	}
	type kind struct {
		view *shape.View
		n    int
	}
	var kinds []kind
	for _, x := range wants {
		if n := x.n + left[x.Form]; n > 0 {
			kinds = append(kinds, kind{x.View(p.fit(k, x.form).turn, false), n})
		}
	}
	slices.SortStableFunc(kinds, func(a, b kind) int { return cmp.Compare(b.view.Box.Height(), a.view.Box.Height()) })
	top := 0.0
	if len(laid) > 0 {
		top = shape.EndOf(laid, bed) + gap
	}
	at := geom.Vec{Y: top}
	for _, x := range kinds {
		b := x.view.Box
		for range x.n {
			if at.X > 0 && at.X+b.Width() > bed.Width()+geom.Press {
				at = geom.Vec{Y: top + gap}
			}
			if at.Y+b.Height() > bed.Height()+geom.Press {
				break // a lower kind may still fit
			}
			laid = append(laid, shape.Laid{View: x.view, At: at.Sub(b.Min)})
			top = max(top, at.Y+b.Height())
			at.X += b.Width() + gap
		}
	}
	return laid
}
