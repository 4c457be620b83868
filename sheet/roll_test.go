package sheet

import (
	"context"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// A roll holds every piece inside its width; its length is no less than the
// proof says, a multiple of the step, and no other seed or core changes that.
func TestRollHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var items []Item
		for range rapid.IntRange(1, 2).Draw(t, "items") {
			items = append(items, Item{Name: "piece", Shape: shapetest.Draw(t, "shape"), Colour: "#111111", Count: rapid.IntRange(1, 3).Draw(t, "count")})
		}
		step := rapid.SampledFrom([]float64{0, 100}).Draw(t, "step")
		st := Stock{Name: "roll", Roll: true, Width: 150, Margin: 3, SoldBy: step, Price: 9, Nap: rapid.SampledFrom([]Nap{AnyTurn, TwoWay}).Draw(t, "nap")}
		lay, err := Pack(context.Background(), items, []Stock{st}, Options{Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		s, n := lay.Sheets[0], lay.Needs[0]
		if len(lay.Sheets) != 1 || float64(n.AtLeast) > s.Height || math.Abs(n.Cost-9*s.Height/1000) > 1e-9 {
			t.Fatalf("%d sheets, length %v, at least %d, cost %v", len(lay.Sheets), s.Height, n.AtLeast, n.Cost)
		}
		if step > 0 && math.Abs(math.Remainder(s.Height, step)) > 1e-9 {
			t.Fatalf("length %v is no multiple of %v", s.Height, step)
		}
	})
}

// Eight triangles tile 200 × 200 mm, and the roll is no longer than that, nor
// does the proof ask for more (it gives a whole millimetre to rounding).
func TestRollShortens(t *testing.T) {
	tri := geom.Region{Outer: geom.Ring{{}, {X: 100}, {Y: 100}}}
	lay := mustPack(t, []Item{{Name: "triangle", Shape: tri, Colour: "#111111", Count: 8}},
		[]Stock{{Name: "roll", Roll: true, Width: 200, Nap: TwoWay}}, Options{Effort: 1})
	if h := lay.Sheets[0].Height; h > 200.1 || lay.Needs[0].AtLeast != 199 {
		t.Errorf("length %v, at least %d, want 200 and 199", h, lay.Needs[0].AtLeast)
	}
}

// A single long piece lies across the roll, and pieces longer than the roll is
// wide end at their own length: nothing goes on for ever, nothing sticks out.
func TestRollOfOnePiece(t *testing.T) {
	for _, c := range []struct{ w, h, want float64 }{{30, 140, 30}, {140, 30, 30}, {20, 300, 300}} {
		lay := mustPack(t, []Item{{Name: "strip", Shape: shapetest.Rect(c.w, c.h), Colour: "#111111", Count: 1}},
			[]Stock{{Name: "roll", Roll: true, Width: 150}}, Options{Effort: 1})
		if h := lay.Sheets[0].Height; math.Abs(h-c.want) > 0.1 && h > c.want {
			t.Errorf("%v × %v: length %v, want %v", c.w, c.h, h, c.want)
		}
	}
}

// However little work goes into it, a roll made shorter holds what it held,
// with the gap between, and is no longer than before; one core or many.
func TestShorterRollHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gap := rapid.SampledFrom([]float64{0, 2}).Draw(t, "gap")
		var items []Item
		for range rapid.IntRange(1, 2).Draw(t, "items") {
			items = append(items, Item{Name: "piece", Shape: shapetest.Draw(t, "shape"), Colour: "#111111", Count: rapid.IntRange(1, 2).Draw(t, "count")})
		}
		st := Stock{Name: "roll", Roll: true, Width: 150, Margin: 3, Nap: rapid.SampledFrom([]Nap{AnyTurn, FourWay, FourWay, TwoWay, OneWay}).Draw(t, "nap")}
		lay := func(workers int) (before, after Sheet) {
			p := improver{filling{testCall(items, st, Options{Gap: gap, Workers: workers})}}
			wants := p.wants("#111111", gap)
			before = p.sheet(0, p.fills(0, wants)[0])
			return before, p.shortened(before, wants, 5_000, func(int, float64) {})
		}
		before, after := lay(1)
		if _, again := lay(8); !reflect.DeepEqual(after, again) {
			t.Fatal("another roll with 8 workers")
		}
		if err := check(items, st, after, gap); err != nil {
			t.Fatal(err)
		}
		if len(before.Pieces) != len(after.Pieces) || after.Height > before.Height+geom.Touch {
			t.Fatalf("%d pieces on %v mm became %d on %v mm", len(before.Pieces), before.Height, len(after.Pieces), after.Height)
		}
	})
}
