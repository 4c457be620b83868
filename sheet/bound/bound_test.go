package bound

import (
	"context"
	"math"
	"testing"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// shapeOf returns the shape of a region.
func shapeOf(g geom.Region, gap float64) *Shape { return NewShape(g, geom.Hull(g.Outer), gap) }

// Grown never exceeds the true area: Steiner's formula for convex shapes,
// and for a frame the areas of its strips (inside corners stay sharp).
func TestGrownArea(t *testing.T) {
	const d = 2.0
	frame := geom.Region{Outer: shapetest.Rect(50, 40).Outer, Holes: []geom.Ring{{{X: 10, Y: 10}, {X: 10, Y: 30}, {X: 40, Y: 30}, {X: 40, Y: 10}}}}
	l := geom.Region{Outer: geom.Ring{{}, {X: 60}, {X: 60, Y: 20}, {X: 20, Y: 20}, {X: 20, Y: 60}, {Y: 60}}}
	for _, c := range []struct {
		name string
		g    geom.Region
		want float64
	}{
		{"square", shapetest.Rect(10, 10), 100 + 40*d + math.Pi*d*d},
		{"frame", frame, 50*40 + 180*d + math.Pi*d*d - (30-2*d)*(20-2*d)},
		// Five outward corners make a disc and a quarter; at the inward one two
		// strips share a square.
		{"L", l, 2000 + 240*d + 5*math.Pi*d*d/4 - d*d},
	} {
		got := shapeOf(c.g, 2*d).Grown(context.Background())
		if got > c.want*(1+1e-9) || got < 0.98*c.want {
			t.Errorf("%s: %v, want at most %v and near it", c.name, got, c.want)
		}
	}
}

// Discs on a sheet: Oler's bound is not above what fits, and is near it.
func TestBoundOfDiscs(t *testing.T) {
	d := shapetest.Disc(20)
	// In 200 × 200 mm with no gap 25 discs of radius 20 fit in a square array.
	w := []Want{{shapeOf(d, 0), 25}}
	if got := Sheets(context.Background(), w, geom.Box{Max: geom.Vec{X: 200, Y: 200}}, 0); got != 1 {
		t.Errorf("25 discs: at least %d sheets, but one holds them", got)
	}
	w[0].N = 60
	if got := Sheets(context.Background(), w, geom.Box{Max: geom.Vec{X: 200, Y: 200}}, 0); got < 2 || got > 3 {
		t.Errorf("60 discs: at least %d sheets, want 2 or 3", got)
	}
	// Two discs wider than half the diagonal never share a sheet.
	w = []Want{{shapeOf(shapetest.Disc(60), 0), 5}}
	if got := Sheets(context.Background(), w, geom.Box{Max: geom.Vec{X: 200, Y: 200}}, 0); got != 5 {
		t.Errorf("5 wide discs: at least %d sheets, want 5", got)
	}
}

// Once the context is done the bounds are weaker, and still no more than what is proven
// with all the time in the world.
func TestStoppedBoundsAreProven(t *testing.T) {
	done, cancel := context.WithCancel(context.Background())
	cancel()
	star := geom.Region{Outer: shapetest.Ngon(5, 30, 12)}
	inner := geom.Box{Max: geom.Vec{X: 200, Y: 200}}
	for _, g := range []geom.Region{star, shapetest.Disc(20), shapetest.Rect(40, 30)} {
		full := Sheets(context.Background(), []Want{{shapeOf(g, 4), 100}}, inner, 4)
		quick := Sheets(done, []Want{{shapeOf(g, 4), 100}}, inner, 4)
		if quick > full || quick < full/2 {
			t.Errorf("%d sheets proven when stopped, %d otherwise", quick, full)
		}
	}
}
