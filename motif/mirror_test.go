package motif

import (
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

func TestMirrorsItself(t *testing.T) {
	for _, c := range []struct {
		name string
		r    geom.Region
		want bool
	}{
		{"square", regionOf(box(0, 0, 40, 40)), true},
		{"isosceles triangle", regionOf(ringOf(0, 0, 40, 0, 20, 50)), true},
		{"scalene triangle", regionOf(ringOf(0, 0, 40, 0, 10, 30)), false},
		// turns onto itself, but has no mirror image
		{"parallelogram", regionOf(ringOf(0, 0, 40, 0, 50, 20, 10, 20)), false},
		{"rhombus", regionOf(ringOf(0, 0, 25, 0, 40, 20, 15, 20)), true}, // sides 25: 15² + 20²
		{"square with a hole off its axes", regionOf(box(0, 0, 40, 40), box(5, 15, 6, 6).Reversed()), false},
		{"square with a hole on its diagonal", regionOf(box(0, 0, 40, 40), box(5, 5, 6, 6).Reversed()), true},
		{"Z", regionOf(ringOf(0, 0, 30, 0, 30, 25, 40, 25, 40, 33, 22, 33, 22, 8, 0, 8)), false},
	} {
		for _, turn := range []float64{0, 0.3, 1.7} {
			g := c.r.Transform(geom.Placing(geom.Vec{X: 9, Y: 90}, turn, 1, false))
			if got := (Piece{Region: g}).MirrorsItself(geom.MirrorTol); got != c.want {
				t.Errorf("%s turned by %g: %v, want %v", c.name, turn, got, c.want)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		// Half a leaf and its mirror image, stem to tip.
		var left, right geom.Ring
		n := rapid.IntRange(1, 9).Draw(t, "corners")
		for i := range n {
			p := geom.Vec{X: rapid.Float64Range(2, 30).Draw(t, "wide"), Y: float64(i+1) * 50 / float64(n+1)}
			right = append(right, p)
			left = append(left, geom.Vec{X: -p.X, Y: p.Y})
		}
		r := append(geom.Ring{{}}, right...)
		r = append(append(r, geom.Vec{Y: 50}), left.Reversed()...)
		g := regionOf(r).Transform(geom.Rotation(rapid.Float64Range(0, 7).Draw(t, "turn")))
		if !(Piece{Region: g}).MirrorsItself(0.01) {
			t.Fatal("a leaf of two mirrored halves is lopsided")
		}
	})
}
