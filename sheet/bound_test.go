package sheet

import (
	"context"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
)

// grownArea never exceeds the true area: Steiner's formula for convex shapes,
// and for a frame the areas of its strips (inside corners stay sharp).
func TestGrownArea(t *testing.T) {
	const d = 2.0
	frame := geom.Region{Outer: rect(50, 40).Outer, Holes: []geom.Ring{{{X: 10, Y: 10}, {X: 10, Y: 30}, {X: 40, Y: 30}, {X: 40, Y: 10}}}}
	l := geom.Region{Outer: geom.Ring{{}, {X: 60}, {X: 60, Y: 20}, {X: 20, Y: 20}, {X: 20, Y: 60}, {Y: 60}}}
	for _, c := range []struct {
		name string
		g    geom.Region
		want float64
	}{
		{"square", rect(10, 10), 100 + 40*d + math.Pi*d*d},
		{"frame", frame, 50*40 + 180*d + math.Pi*d*d - (30-2*d)*(20-2*d)},
		// Five outward corners make a disc and a quarter; at the inward one two
		// strips share a square.
		{"L", l, 2000 + 240*d + 5*math.Pi*d*d/4 - d*d},
	} {
		got := grownArea(c.g, d)
		if got > c.want*(1+1e-9) || got < 0.98*c.want {
			t.Errorf("%s: %v, want at most %v and near it", c.name, got, c.want)
		}
	}
}

// Discs on a sheet: Oler's bound is not above what fits, and is near it.
func TestBoundOfDiscs(t *testing.T) {
	d := disc(20)
	// In 200 × 200 mm with no gap 25 discs of radius 20 fit in a square array.
	w := []want{{newForm(0, Item{Shape: d}, 0), 25}}
	if got := sheetsAtLeast(w, 200, 200, 0); got != 1 {
		t.Errorf("25 discs: at least %d sheets, but one holds them", got)
	}
	w[0].n = 60
	if got := sheetsAtLeast(w, 200, 200, 0); got < 2 || got > 3 {
		t.Errorf("60 discs: at least %d sheets, want 2 or 3", got)
	}
	// Two discs wider than half the diagonal never share a sheet.
	w = []want{{newForm(0, Item{Shape: disc(60)}, 0), 5}}
	if got := sheetsAtLeast(w, 200, 200, 0); got != 5 {
		t.Errorf("5 wide discs: at least %d sheets, want 5", got)
	}
}

// A roll holds every piece inside its width; its length is no less than the
// proof says, a multiple of the step, and no other seed or core changes that.
func TestRollHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var items []Item
		for range rapid.IntRange(1, 2).Draw(t, "items") {
			items = append(items, Item{Name: "piece", Shape: drawShape(t, "shape"), Colour: "#111111", Count: rapid.IntRange(1, 3).Draw(t, "count")})
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
		lay := mustPack(t, []Item{{Name: "strip", Shape: rect(c.w, c.h), Colour: "#111111", Count: 1}},
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
			items = append(items, Item{Name: "piece", Shape: drawShape(t, "shape"), Colour: "#111111", Count: rapid.IntRange(1, 2).Draw(t, "count")})
		}
		st := Stock{Name: "roll", Roll: true, Width: 150, Margin: 3, Nap: rapid.SampledFrom([]Nap{AnyTurn, FourWay, FourWay, TwoWay, OneWay}).Draw(t, "nap")}
		lay := func(workers int) (before, after Sheet) {
			p := &packer{ctx: context.Background(), items: items, stock: []Stock{st}, opt: Options{Gap: gap, Workers: workers}, known: (*Memory)(nil).begin()}
			wants, _, err := p.sort("#111111", gap)
			if err != nil {
				t.Fatal(err)
			}
			before = p.sheet(0, p.fills(0, wants)[0])
			return before, p.shorter(before, wants, 5_000)
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
