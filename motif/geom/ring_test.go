package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Each point lies as far along the ring as its number says, by walking the ring
// from its start for every point anew.
func TestResampledStepsAreEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := make(Ring, rapid.IntRange(2, 9).Draw(t, "points"))
		for i := range r {
			r[i] = Vec{float64(rapid.IntRange(-5, 5).Draw(t, "x")), float64(rapid.IntRange(-5, 5).Draw(t, "y"))}
		}
		if r.Length() == 0 {
			return
		}
		n := rapid.IntRange(1, 40).Draw(t, "n")
		got := r.Resampled(n)
		if len(got) != n || got[0] != r[0] {
			t.Fatalf("%d points from %v, want %d from %v", len(got), got[0], n, r[0])
		}
		for k, p := range got {
			way := r.Length() * float64(k) / float64(n)
			want := r[0]
			for i := range r {
				l := r[i].Dist(r.At(i + 1))
				if way <= l {
					if l > 0 {
						want = r[i].Lerp(r.At(i+1), way/l)
					}
					break
				}
				way -= l
			}
			if p.Dist(want) > 1e-9 {
				t.Fatalf("point %d of %d is %v, want %v", k, n, p, want)
			}
		}
	})
}

// Areas and perimeters that plane geometry gives exactly, and the centroid of a
// triangle, where its medians meet.
func TestRingOfKnownFigures(t *testing.T) {
	tri := Ring{{0, 0}, {8, 0}, {0, 6}}
	if tri.Area() != 24 || tri.Reversed().Area() != -24 || tri.Length() != 24 {
		t.Errorf("area %g, length %g", tri.Area(), tri.Length())
	}
	if c := tri.Centroid(); c.Dist(Vec{8.0 / 3, 2}) > 1e-12 {
		t.Errorf("centroid %v", c)
	}
	hex := regular(6, 5) // inradius 5: area 2√3·r², perimeter 4√3·r
	if a, l := hex.Area(), hex.Length(); math.Abs(a-2*math.Sqrt(3)*25) > 1e-9 || math.Abs(l-4*math.Sqrt(3)*5) > 1e-9 {
		t.Errorf("hexagon: area %g, length %g", a, l)
	}
}
