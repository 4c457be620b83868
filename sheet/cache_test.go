package sheet

import (
	"context"
	"testing"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// Lays found with hints of earlier counts are sound, and not a sheet and more
// worse than those found without.
func TestHints(t *testing.T) {
	st := []Stock{{Name: "s", Width: 150, Height: 120, Margin: 3}}
	var h Hints
	items := []Item{
		{Name: "triangle", Shape: geom.Region{Outer: geom.Ring{{}, {X: 40}, {X: 13, Y: 36}}}, Colour: "#111111"},
		{Name: "square", Shape: shapetest.Rect(25, 25), Colour: "#111111"},
	}
	for _, n := range []int{1, 9, 30, 14, 30} {
		items[0].Count, items[1].Count = n, n/2
		with, err := Pack(context.Background(), items, st, Options{Gap: 2, Effort: 2, Hints: &h})
		if err != nil {
			t.Fatal(err)
		}
		without, err := Pack(context.Background(), items, st, Options{Gap: 2, Effort: 2})
		if err != nil {
			t.Fatal(err)
		}
		isWhole(t, items, st, with)
		if len(with.Sheets) > len(without.Sheets)+1 {
			t.Errorf("%d: %d sheets with hints, %d without", n, len(with.Sheets), len(without.Sheets))
		}
	}
	// Other shapes under the same numbers are not taken for the known ones.
	items[0].Shape = shapetest.Rect(60, 30)
	lay, err := Pack(context.Background(), items, st, Options{Gap: 2, Effort: 2, Hints: &h})
	if err != nil {
		t.Fatal(err)
	}
	isWhole(t, items, st, lay)
}

// isWhole checks that a lay holds every piece, 2 mm apart.
func isWhole(t *testing.T, items []Item, st []Stock, lay Lay) {
	t.Helper()
	laid := make([]int, len(items))
	for _, s := range lay.Sheets {
		for _, q := range s.Pieces {
			laid[q.Item]++
		}
		if err := check(items, st[s.Stock], s, 2); err != nil {
			t.Error(err)
		}
	}
	for i, n := range laid {
		if n != items[i].Count {
			t.Errorf("%d of %s laid, want %d", n, items[i].Name, items[i].Count)
		}
	}
}
