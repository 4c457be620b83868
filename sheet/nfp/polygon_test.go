package nfp

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

// convex draws a convex ring with area.
var convex = rapid.Custom(func(t *rapid.T) geom.Ring {
	n := rapid.IntRange(3, 12).Draw(t, "n")
	var points []geom.Vec
	for range n {
		points = append(points, geom.Vec{
			X: float64(rapid.IntRange(-20, 20).Draw(t, "x")), Y: float64(rapid.IntRange(-20, 20).Draw(t, "y")),
		})
	}
	return geom.Hull(points)
}).Filter(func(r geom.Ring) bool { return len(r) >= 3 && r.Area() > 0 })

// The quick cut through a sum of convex rings is the slow one.
func TestQuickChord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := convex.Draw(t, "a"), convex.Draw(t, "b")
		r := convexSum(a, b)
		box := r.Box()
		y := box.Min.Y + box.Height()*rapid.Float64Range(0.001, 0.999).Draw(t, "y")
		want, got := Chord(r, y), quickChord(r, highest(r), y)
		if math.Abs(want.Lo-got.Lo) > 1e-9 || math.Abs(want.Hi-got.Hi) > 1e-9 {
			t.Fatalf("at %g of %v: %v, want %v", y, r, got, want)
		}
	})
}

// A piece slides as far as small steps get it: up to there it
// is clear of the ring by the give, and a hair farther it is not.
func TestSlideEndsAtTouch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := New([]geom.Ring{convex.Draw(t, "a")}, []geom.Ring{convex.Draw(t, "b")})
		// clear is how far a point lies outside the half-plane that it is farthest from.
		clear := func(p geom.Vec) float64 {
			far := math.Inf(-1)
			for i, v := range n.Rings[0] {
				e := n.Rings[0].At(i + 1).Sub(v)
				far = max(far, -e.Cross(p.Sub(v))/e.Len())
			}
			return far
		}
		p := geom.Vec{X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: rapid.Float64Range(-90, 90).Draw(t, "y")}
		d := rapid.SampledFrom([]geom.Vec{{X: -1}, {Y: -1}}).Draw(t, "direction")
		if clear(p) < geom.Press {
			return // it lies there already
		}
		const far, hair = 150.0, 1e-7
		room := n.Slide(p, d, far)
		for k := range 1001 {
			if c := clear(p.Add(d.Mul(room * float64(k) / 1000))); c < geom.Press-seamLap-hair {
				t.Fatalf("room %v, and at %d thousandths of it %v from the ring", room, k, c)
			}
		}
		if c := clear(p.Add(d.Mul(room + hair))); room < far && c > geom.Press {
			t.Fatalf("room %v, and after it still %v from the ring", room, c)
		}
	})
}

// Sums of convex rings against the hull of all sums of points.
func TestConvexSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(label string) geom.Ring {
			var ps []geom.Vec
			for range rapid.IntRange(3, 8).Draw(t, label) {
				ps = append(ps, geom.Vec{X: float64(rapid.IntRange(-20, 20).Draw(t, "x")), Y: float64(rapid.IntRange(-20, 20).Draw(t, "y"))})
			}
			return geom.Hull(ps)
		}
		a, b := draw("a"), draw("b")
		if len(a) < 3 || len(b) < 3 {
			t.Skip("flat")
		}
		var all []geom.Vec
		for _, p := range a {
			for _, q := range b {
				all = append(all, p.Add(q))
			}
		}
		if got, want := convexSum(a, b).Area(), geom.Hull(all).Area(); math.Abs(got-want) > 1e-6 {
			t.Fatalf("area %v, want %v", got, want)
		}
	})
}
