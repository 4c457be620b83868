package sheet

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
	return hull(points)
}).Filter(func(r geom.Ring) bool { return len(r) >= 3 && r.Area() > 0 })

// The quick cut through a sum of convex rings is the slow one.
func TestLevelIsChord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := convex.Draw(t, "a"), convex.Draw(t, "b")
		r := convexSum(a, b)
		box := r.Box()
		y := box.Min.Y + box.Height()*rapid.Float64Range(0.001, 0.999).Draw(t, "y")
		want, got := chord(r, y), level(r, top(r), y)
		if math.Abs(want.lo-got.lo) > 1e-9 || math.Abs(want.hi-got.hi) > 1e-9 {
			t.Fatalf("at %g of %v: %v, want %v", y, r, got, want)
		}
	})
}

// The room before a piece touches is as far as small steps get it: up to there it
// is clear of the ring by the give, and a hair farther it is not.
func TestRoomEndsAtTouch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := &view{parts: []geom.Ring{convex.Draw(t, "a")}}, &view{parts: []geom.Ring{convex.Draw(t, "b")}}
		n := newNofit(a, b)
		// clear is how far a point lies outside the half-plane that it is farthest from.
		clear := func(p geom.Vec) float64 {
			far := math.Inf(-1)
			for i, v := range n.rings[0] {
				e := n.rings[0].At(i + 1).Sub(v)
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
		room := n.room(p, d, far)
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
