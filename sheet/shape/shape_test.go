package shape_test

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/sheet/nfp"
	"strew/sheet/shape"
	"strew/sheet/shapetest"
)

// gapBetween measures two regions the slow and obvious way; 0 where they overlap.
func gapBetween(g, h geom.Region) float64 {
	best := math.Inf(1)
	for _, r := range g.Rings() {
		for i, a := range r {
			for _, s := range h.Rings() {
				for j, c := range s {
					best = math.Min(best, geom.SegmentGap(a, r.At(i+1), c, s.At(j+1)))
				}
			}
		}
	}
	if g.Contains(h.Outer[0]) || h.Contains(g.Outer[0]) {
		return 0
	}
	return best
}

// Outlines are apart where every edge is from every other, tried one by one.
func TestApart(t *testing.T) {
	apart, close := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		g := shapetest.Draw(t, "g")
		h := shapetest.Draw(t, "h").Transform(geom.Placing(geom.Vec{
			X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: rapid.Float64Range(-90, 90).Draw(t, "y"),
		}, rapid.Float64Range(-4, 4).Draw(t, "turn"), 1, false))
		gap := rapid.SampledFrom([]float64{0.4, 2, 10}).Draw(t, "gap")
		slow := gapBetween(g, h)
		if math.Abs(slow-gap) < 2*geom.Touch {
			return // either is right
		}
		got := shape.Apart(g, h, gap)
		if got != (slow > gap) || got != shape.Apart(h, g, gap) {
			t.Fatalf("%v mm apart, asked %v: %v", slow, gap, got)
		}
		if got {
			apart++
		} else {
			close++
		}
	})
	if apart == 0 || close == 0 {
		t.Errorf("%d apart and %d not: no check", apart, close)
	}
}

// Touching outlines are apart at gap 0; pressed into one another by more than geom.Touch
// they are not, nor is one within the other or a copy on itself.
func TestApartTouching(t *testing.T) {
	square := shapetest.Rect(20, 20)
	for _, c := range []struct {
		name string
		h    geom.Region
		want bool
	}{
		{"beside", square.Transform(geom.Translation(geom.Vec{X: 20})), true},
		{"at a corner", square.Transform(geom.Translation(geom.Vec{X: 20, Y: 20})), true},
		{"pressed by a hair", square.Transform(geom.Translation(geom.Vec{X: 20 - geom.Touch/2})), true},
		{"pressed", square.Transform(geom.Translation(geom.Vec{X: 20 - 3*geom.Touch})), false},
		{"within", shapetest.Rect(5, 5).Transform(geom.Translation(geom.Vec{X: 4, Y: 4})), false},
		{"on itself", square, false},
	} {
		if got := shape.Apart(square, c.h, 0); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A form fits at the turn found; where none is found it fits at no whole degree.
func TestFitTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := shape.NewForm(0, shapetest.Draw(t, "shape"), 2, 0)
		nap := rapid.SampledFrom([]shape.Nap{shape.AnyTurn, shape.FourWay, shape.TwoWay, shape.OneWay}).Draw(t, "nap")
		bed := shape.NewBed(rapid.Float64Range(10, 90).Draw(t, "width"), rapid.Float64Range(10, 90).Draw(t, "height"), nap)
		turn, ok := f.FitTurn(bed)
		if ok && (!bed.Holds(f.Turned(turn)) || !nap.Allows(turn)) {
			t.Fatalf("turned by %v it does not fit", turn)
		}
		for k := range 360 {
			if a := float64(k) * math.Pi / 180; !ok && nap.Allows(a) && bed.CutAt(bed.Height()-2*geom.Press).Holds(f.Turned(a)) && bed.Width()-f.Turned(a).Width() > 0 {
				t.Fatalf("it fits turned by %d degrees", k)
			}
		}
		for _, a := range f.Turns(bed, shape.FewTurns) {
			if !bed.Holds(f.Turned(a)) || !nap.Allows(a) {
				t.Fatalf("turned by %v it does not fit, or may not lie", a)
			}
		}
	})
}

// A regular polygon covers the same felt turned by a whole part, and no other.
func TestSameAt(t *testing.T) {
	f := shape.NewForm(0, geom.Region{Outer: shapetest.Ngon(5, 30, 12)}, 0, 0)
	for k := range 20 {
		if turn := 2 * math.Pi * float64(k) / 20; f.SameAt(0.3, 0.3+turn) != (k%4 == 0) {
			t.Errorf("a star turned by %d twentieths: same %v", k, k%4 != 0)
		}
	}
}

// A view's parts hold the true outline grown by half the gap, but for its inset, and a
// mirrored view is the view with x and y exchanged.
func TestViews(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := shape.NewForm(0, shapetest.Draw(t, "shape"), 2, math.Inf(-1))
		turn := rapid.Float64Range(-4, 4).Draw(t, "turn")
		v, m := f.View(turn, false), f.View(turn, true)
		if v != f.View(turn, false) || v == m {
			t.Fatal("not the same view for the same turn")
		}
		for _, p := range f.Region.Transform(geom.Rotation(turn)).Outer {
			in, mirrored := false, false
			for i, r := range v.Parts() {
				in = in || r.Contains(p)
				mirrored = mirrored || m.Parts()[i].Contains(geom.Vec{X: p.Y, Y: p.X})
			}
			if !in || !mirrored {
				t.Fatalf("%v lies in no part: %v, mirrored %v", p, in, mirrored)
			}
		}
		if b := v.Box; math.Abs(m.Box.Min.X-b.Min.Y) > 1e-9 || math.Abs(m.Box.Max.Y-b.Max.X) > 1e-9 {
			t.Fatalf("box %v, mirrored %v", b, m.Box)
		}
	})
}

// A form is not prepared once the context is done, and is as soon as one is not.
func TestPrepareStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	f := shape.NewForm(0, geom.Region{Outer: shapetest.Ngon(50, 30, 25)}, 0, 0)
	if f.Prepare(ctx, nfp.Fine) {
		t.Error("prepared all the same")
	}
	if !f.Prepare(context.Background(), nfp.Fine) || !f.Prepare(ctx, nfp.Fine) {
		t.Error("not prepared")
	}
}
