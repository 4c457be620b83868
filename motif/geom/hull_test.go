package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Every point lies in the hull, every corner is a point, and all turns go one way.
func TestHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coarse := rapid.Float64Range(-4, 4)
		points := make([]Vec, rapid.IntRange(0, 20).Draw(t, "points"))
		for i := range points {
			// Whole numbers make many points coincide or lie on one line.
			points[i] = Vec{math.Round(coarse.Draw(t, "x")), math.Round(coarse.Draw(t, "y"))}
		}
		h := Hull(points)
		given := map[Vec]bool{}
		for _, p := range points {
			given[p] = true
		}
		for i, a := range h {
			if !given[a] {
				t.Fatalf("corner %v is none of the points", a)
			}
			if len(h) < 3 {
				continue
			}
			b := h.At(i + 1)
			if Orient(a, b, h.At(i+2)) <= 0 {
				t.Fatalf("no turn at %v in %v", b, h)
			}
			for _, p := range points {
				if Orient(a, b, p) < 0 {
					t.Fatalf("%v lies outside %v", p, h)
				}
			}
		}
	})
}

// Widths of plain figures, and the least extent over many directions.
func TestLeastWidth(t *testing.T) {
	for _, c := range []struct {
		name string
		r    Ring
		want float64
	}{
		{"rectangle", Ring{{0, 0}, {9, 0}, {9, 4}, {0, 4}}, 4},
		{"triangle 3, 4, 5: its least height", Ring{{0, 0}, {4, 0}, {0, 3}}, 12.0 / 5},
		{"hexagon", regular(6, 5), 10},
		{"L", Ring{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 10}, {0, 10}}, 14 / math.Sqrt2},
		{"line", Ring{{0, 0}, {4, 4}, {2, 2}}, 0},
	} {
		if got := c.r.LeastWidth(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.name, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		r := make(Ring, rapid.IntRange(3, 12).Draw(t, "points"))
		for i := range r {
			r[i] = Vec{rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")}
		}
		got, least := r.LeastWidth(), math.Inf(1)
		for i := range 720 {
			least = min(least, r.Transform(Rotation(math.Pi*float64(i)/720)).Box().Width())
		}
		// Half a step off, a figure of at most 142 mm looks 142·sin(π/1440) wider.
		if got > least+1e-9 || got < least-0.31 {
			t.Fatalf("least width %g, and %g over 720 directions", got, least)
		}
	})
}
