package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The sign agrees with rational arithmetic, also where points lie on one line or
// a last bit off it, and for sizes from tiny to huge.
func TestOrientIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := math.Pow(10, float64(rapid.SampledFrom([]int{-160, -3, 0, 4, 140}).Draw(t, "scale")))
		draw := func(name string) float64 { return scale * float64(rapid.IntRange(-20, 20).Draw(t, name)) }
		a, d := Vec{draw("ax"), draw("ay")}, Vec{draw("dx"), draw("dy")}
		k := float64(rapid.IntRange(-3, 3).Draw(t, "k"))
		b, c := a.Add(d), a.Add(d.Mul(k))
		nudge := func(v float64) float64 {
			return math.Nextafter(v, v+float64(rapid.IntRange(-1, 1).Draw(t, "nudge"))*scale)
		}
		c = Vec{nudge(c.X), nudge(c.Y)}
		if got, want := Orient(a, b, c), orientExact(a, b, c); got != want {
			t.Fatalf("%v, %v, %v: %d, exactly %d", a, b, c, got, want)
		}
	})
}

// Points on one line are asked about often: corners on a grid of pixels.
func BenchmarkOrientOnOneLine(b *testing.B) {
	p, q, r := Vec{3, 5}, Vec{10, 26}, Vec{101, 299}
	for b.Loop() {
		if Orient(p, q, r) != 0 {
			b.Fatal("not on one line")
		}
	}
}
