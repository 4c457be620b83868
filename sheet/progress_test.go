package sheet

import (
	"context"
	"reflect"
	"slices"
	"testing"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// Progress names the best order so far: never a dearer one than before, at last that of
// the lay; and what was told stays as it was.
func TestProgressNamesTheBestOrder(t *testing.T) {
	items := []Item{
		{Name: "star", Shape: geom.Region{Outer: shapetest.Ngon(5, 25, 10)}, Colour: "#111111", Count: 26},
		{Name: "strip", Shape: shapetest.Rect(50, 14), Colour: "#111111", Count: 20},
		{Name: "other", Shape: shapetest.Disc(20), Colour: "#222222", Count: 8},
	}
	for name, stock := range map[string][]Stock{
		"sheets": {{Name: "large", Width: 300, Height: 400, Price: 3}, {Name: "small", Width: 210, Height: 297, Price: 1}},
		"a roll": {{Name: "roll", Roll: true, Width: 300, Price: 9}},
		"step":   {{Name: "roll", Roll: true, Width: 300, Price: 9, SoldBy: 50}},
	} {
		items, total := slices.Clone(items), 0
		for i := range items {
			if stock[0].Roll {
				items[i].Count = 2 // a moment's search
			}
			total += items[i].Count
		}
		var told []Progress
		var copies [][]Need
		lay, err := Pack(context.Background(), items, stock, Options{Gap: 2, Effort: 1, Progress: func(p Progress) {
			told = append(told, p)
			copies = append(copies, slices.Clone(p.Best))
		}})
		if err != nil {
			t.Fatal(err)
		}
		cost := func(ns []Need, colour string) float64 {
			sum := 0.0
			for _, n := range ns {
				if n.Colour == colour {
					sum += n.Cost
				}
			}
			return sum
		}
		last := map[string]float64{}
		for i, p := range told {
			if !reflect.DeepEqual(p.Best, copies[i]) {
				t.Errorf("%s: the order told at call %d has changed", name, i)
			}
			if p.Done < 0 || p.Done > p.Total || p.Total != total || len(p.Best) == 0 || i > 0 && p.Done < told[i-1].Done {
				t.Errorf("%s: call %d tells %d of %d pieces, %d kinds of sheet", name, i, p.Done, p.Total, len(p.Best))
			}
			for _, colour := range []string{"#111111", "#222222"} {
				c := cost(p.Best, colour)
				if was, ok := last[colour]; ok && c > was+1e-9 {
					t.Errorf("%s: call %d names an order of %v for %s after one of %v", name, i, c, colour, was)
				}
				if c > 0 {
					last[colour] = c
				}
			}
		}
		if end := told[len(told)-1]; end.Done != total || !reflect.DeepEqual(end.Best, lay.Needs) {
			t.Errorf("%s: at last %+v is told, and the lay takes %+v", name, end, lay.Needs)
		}
		if len(told) < 4 {
			t.Errorf("%s: only %d calls", name, len(told))
		}
	}
}

// The length of a roll is that of its sheets; a kind of sheets has none.
func TestNeedLength(t *testing.T) {
	items := []Item{{Name: "a", Shape: shapetest.Rect(90, 40), Colour: "#111111", Count: 5}, {Name: "b", Shape: shapetest.Rect(90, 40), Colour: "#222222", Count: 2}}
	lay := mustPack(t, items, []Stock{{Name: "roll", Roll: true, Width: 100, SoldBy: 30}}, Options{Gap: 1})
	for i, n := range lay.Needs {
		if n.Length != lay.Sheets[i].Height || n.Length == 0 {
			t.Errorf("%v of roll needed, %v laid", n.Length, lay.Sheets[i].Height)
		}
	}
	if lay = mustPack(t, items, []Stock{{Name: "a", Width: 100, Height: 100}}, Options{Gap: 1}); lay.Needs[0].Length != 0 {
		t.Errorf("a kind of sheets has a length of %v", lay.Needs[0].Length)
	}
}
