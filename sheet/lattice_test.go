package sheet

import (
	"math"
	"testing"

	"strew/motif/geom"
)

// Densest double lattices: the regular pentagon 0.92131…, the regular heptagon
// 0.89269… (G. Kuperberg and W. Kuperberg 1990); a disc's lattice π/√12; what
// tiles the plane fills it.
func TestLatticeDensity(t *testing.T) {
	for _, c := range []struct {
		name  string
		shape geom.Region
		want  float64
	}{
		{"pentagon", geom.Region{Outer: ngon(5, 500, 0)}, 0.9213},
		{"heptagon", geom.Region{Outer: ngon(7, 500, 0)}, 0.8927},
		{"hexagon", geom.Region{Outer: ngon(6, 500, 0)}, 1},
		{"triangle", geom.Region{Outer: geom.Ring{{}, {X: 700}, {X: 100, Y: 400}}}, 1},
		{"L", geom.Region{Outer: geom.Ring{{}, {X: 600}, {X: 600, Y: 300}, {X: 300, Y: 300}, {X: 300, Y: 600}, {Y: 600}}}, 1},
		{"40-gon", geom.Region{Outer: ngon(40, 500, 0)}, 40 * math.Sin(math.Pi/20) / 2 / math.Sqrt(12)},
	} {
		f := newForm(0, Item{Shape: c.shape}, 0)
		if got := f.area / newRower(f, false).densest().cell(); math.Abs(got-c.want) > 5e-4 && !(c.name == "40-gon" && got > c.want) {
			t.Errorf("%s: density %.5f, want %.4f", c.name, got, c.want)
		}
	}
}
