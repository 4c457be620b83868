package sheet

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"
	"strew/motif/geom"
	"strew/sheet/shape"
)

// placedRegion returns the true outline where the piece lies on its sheet.
func placedRegion(items []Item, p Placed) geom.Region {
	return items[p.Item].Shape.Transform(geom.Placing(p.At, p.Turn, 1, false))
}

// check measures a sheet again with the true outlines alone: every piece
// inside the margins, every pair the gap apart. It returns a fault, if there is one.
func check(items []Item, st Stock, s Sheet, gap float64) error {
	inner := geom.Box{Min: geom.Vec{X: st.Margin, Y: st.Margin}, Max: geom.Vec{X: st.Width - st.Margin, Y: s.Height - st.Margin}}.Grow(geom.Touch)
	regions := make([]geom.Region, len(s.Pieces))
	boxes := make([]geom.Box, len(s.Pieces))
	order := make([]int, len(s.Pieces))
	for i, p := range s.Pieces {
		regions[i] = placedRegion(items, p)
		boxes[i] = regions[i].Box()
		order[i] = i
		if !inner.Contains(boxes[i].Min) || !inner.Contains(boxes[i].Max) {
			return fmt.Errorf("%s reaches past the margin of sheet %s %d: %v", items[p.Item].Name, st.Name, s.Number, boxes[i])
		}
		if !st.Nap.Allows(p.Turn) {
			return fmt.Errorf("%s is turned by %v on sheet %s %d", items[p.Item].Name, p.Turn, st.Name, s.Number)
		}
	}
	// From the top down, so that only pieces of one level are compared.
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(boxes[i].Min.Y, boxes[j].Min.Y), cmp.Compare(i, j))
	})
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for n, i := range order {
		g.Go(func() error {
			for _, j := range order[n+1:] {
				if boxes[j].Min.Y > boxes[i].Max.Y+gap {
					break
				}
				if boxes[i].Gap(boxes[j]) <= gap && !shape.Apart(regions[i], regions[j], gap) {
					return fmt.Errorf("%s and %s lie closer than %v mm on sheet %s %d", items[s.Pieces[i].Item].Name, items[s.Pieces[j].Item].Name, gap, st.Name, s.Number)
				}
			}
			return nil
		})
	}
	return g.Wait()
}
