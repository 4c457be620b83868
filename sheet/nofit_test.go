package sheet

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

// The quick cut through a sum of convex rings is the slow one.
func TestLevelIsChord(t *testing.T) {
	convex := rapid.Custom(func(t *rapid.T) geom.Ring {
		n := rapid.IntRange(3, 12).Draw(t, "n")
		var points []geom.Vec
		for range n {
			points = append(points, geom.Vec{
				X: float64(rapid.IntRange(-20, 20).Draw(t, "x")), Y: float64(rapid.IntRange(-20, 20).Draw(t, "y")),
			})
		}
		return hull(points)
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := convex.Draw(t, "a"), convex.Draw(t, "b")
		if len(a) < 3 || len(b) < 3 || a.Area() <= 0 || b.Area() <= 0 {
			t.Skip("no area")
		}
		r := convexSum(a, b)
		box := r.Box()
		y := box.Min.Y + box.Height()*rapid.Float64Range(0.001, 0.999).Draw(t, "y")
		want, got := chord(r, y), level(r, top(r), y)
		if math.Abs(want.lo-got.lo) > 1e-9 || math.Abs(want.hi-got.hi) > 1e-9 {
			t.Fatalf("at %g of %v: %v, want %v", y, r, got, want)
		}
	})
}
