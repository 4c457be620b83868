package geom

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

// regular returns a regular polygon of n sides whose sides lie r from the origin.
func regular(n int, r float64) Ring {
	out := make(Ring, n)
	for i := range out {
		out[i] = Vec{X: r / math.Cos(math.Pi/float64(n))}.Rotate(2 * math.Pi * float64(i) / float64(n))
	}
	return out
}

func square(from, side float64) Ring {
	return Ring{{from, from}, {from + side, from}, {from + side, from + side}, {from, from + side}}
}

// Inradii that plane geometry gives exactly.
func TestPoleIsExact(t *testing.T) {
	for _, c := range []struct {
		name string
		g    Region
		want float64
	}{
		// two sides and the inner corner (4, 4): r + r/√2 = 4
		{"L with arms 10 long and 4 wide", Region{Outer: Ring{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 10}, {0, 10}}}, 4 * math.Sqrt2 / (1 + math.Sqrt2)},
		// r = (a + b - c) / 2 of a right triangle
		{"triangle 8, 6, 10", Region{Outer: Ring{{0, 0}, {8, 0}, {0, 6}}}, 2},
		// two sides and a corner of the hole: r + r/√2 = 5
		{"square ring 20 less 10", Region{square(0, 20), []Ring{square(5, 10).Reversed()}}, 5 * math.Sqrt2 / (1 + math.Sqrt2)},
		{"strip", Region{Outer: Ring{{0, 0}, {600, 0}, {600, 4}, {0, 4}}}, 2},
		// the middle line of an even ring, where nearly all circles are as wide;
		// two sides and a corner of the hole: r + r·cos(π/n) = 5
		{"even ring of 96 sides", Region{regular(96, 40), []Ring{regular(96, 35).Reversed()}}, 5 / (1 + math.Cos(math.Pi/96))},
		{"long even ring", Region{regular(360, 400), []Ring{regular(360, 395).Reversed()}}, 5 / (1 + math.Cos(math.Pi/360))},
		{"hexagon", Region{Outer: regular(6, 7)}, 7},
	} {
		for _, tol := range []float64{0.1, PoleTol, 1e-5} {
			if tol < PoleTol && len(c.g.Outer) > 100 {
				continue // a slow one is enough at the project's own tolerance
			}
			at, r := Pole([]Region{c.g}, tol)
			// The outline's own corners are rounded to 1e-13 of its size.
			if r > c.want*(1+1e-12) || r < c.want-tol {
				t.Errorf("%s: radius %.6f, want %.6f less %g at most", c.name, r, c.want, tol)
			}
			if !c.g.Contains(at) || math.Abs(c.g.EdgeDist(at)-r) > 1e-12 {
				t.Errorf("%s: %v is not the centre of a circle of radius %g", c.name, at, r)
			}
		}
	}
	// The figures published with these shapes, to the digits given.
	for i, want := range []float64{2.343146, 2, 2.928932} {
		shapes := []Region{
			{Outer: Ring{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 10}, {0, 10}}},
			{Outer: Ring{{0, 0}, {8, 0}, {0, 6}}},
			{square(0, 20), []Ring{square(5, 10).Reversed()}},
		}
		if _, r := Pole(shapes[i:i+1], 1e-7); math.Abs(r-want) > 1e-6 {
			t.Errorf("shape %d: radius %.7f, want %.6f", i, r, want)
		}
	}
}

// The lake of mapbox/polylabel's own tests (npm polylabel 1.0.2,
// test/fixtures/water1.json, ISC licence beside it). That library finds, to a
// precision of 1, the centre (3865.85009765625, 2124.87841796875) at a distance
// of 288.8493574779127: it is that far from our edges too, ours may be less wide
// by our tolerance only, and the widest is less than 1 wider. (To a precision of
// 50 it finds a centre 12 away: ours may lie as far off.)
func TestPoleInALake(t *testing.T) {
	data, err := os.ReadFile("testdata/water1.json")
	if err != nil {
		t.Fatal(err)
	}
	var rings [][][2]float64
	if err := json.Unmarshal(data, &rings); err != nil {
		t.Fatal(err)
	}
	var lake Region
	for i, ring := range rings {
		out := make(Ring, len(ring)-1) // the last point repeats the first
		for k := range out {
			out[k] = Vec{ring[k][0], ring[k][1]}
		}
		if i == 0 {
			lake.Outer = out
		} else {
			lake.Holes = append(lake.Holes, out)
		}
	}
	const published = 288.8493574779127
	theirs := Vec{3865.85009765625, 2124.87841796875}
	if d := lake.EdgeDist(theirs); math.Abs(d-published) > 1e-9 {
		t.Errorf("the published centre lies %.10f from the edge, want %.10f", d, published)
	}
	for _, tol := range []float64{1, PoleTol} {
		at, r := Pole([]Region{lake}, tol)
		if r < published-tol || r > published+1 || at.Dist(theirs) > 15 {
			t.Errorf("to %g: radius %.6f at %v; published %.6f at %v", tol, r, at, published, theirs)
		}
	}
}

// Polygons without area, from the tests of mapbox/polylabel ("works on
// degenerate polygons"): the first point and no distance.
func TestPoleOfNothing(t *testing.T) {
	for _, ring := range []Ring{
		{{0, 0}, {1, 0}, {2, 0}},
		{{0, 0}, {1, 0}, {1, 1}, {1, 0}},
	} {
		if at, r := Pole([]Region{{Outer: ring}}, 0.005); at != (Vec{}) || r != 0 {
			t.Errorf("%v: centre %v, radius %g, want the origin and 0", ring, at, r)
		}
	}
	if at, r := Pole(nil, 0.005); at != (Vec{}) || r != 0 {
		t.Errorf("no region: centre %v, radius %g", at, r)
	}
}

// No point of a fine grid lies farther from the edge than the circle found is
// wide, whatever the star-shaped outline, its hole and its turn.
func TestPoleIsWidest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 14).Draw(t, "corners")
		star := func(name string, low, high float64) Ring {
			out := make(Ring, n)
			for i := range out {
				out[i] = Vec{X: rapid.Float64Range(low, high).Draw(t, name)}.Rotate(2 * math.Pi * float64(i) / float64(n))
			}
			return out
		}
		g := Region{Outer: star("rim", 8, 30)}
		if rapid.Bool().Draw(t, "holed") {
			g.Holes = []Ring{star("hole", 1, 3.9).Reversed()}
		}
		g = g.Transform(Placing(Vec{100, -40}, rapid.Float64Range(0, 7).Draw(t, "turn"), 1, rapid.Bool().Draw(t, "mirrored")))
		edges := EdgesOf(g.Rings()...)
		const tol = 0.02
		_, r := Pole([]Region{g}, tol)
		box := g.Box()
		for i := range 40 {
			for j := range 40 {
				p := Vec{box.Min.X + box.Width()*float64(i)/39, box.Min.Y + box.Height()*float64(j)/39}
				if edges.Dist(p) != g.EdgeDist(p) || edges.Contains(p) != g.Contains(p) {
					t.Fatalf("the edges made ready say something else of %v", p)
				}
				if g.Contains(p) && g.EdgeDist(p) > r+tol {
					t.Fatalf("radius %g found, but %g fits at %v", r, g.EdgeDist(p), p)
				}
			}
		}
	})
}

func BenchmarkPoleRing(b *testing.B) {
	g := []Region{{regular(90, 40), []Ring{regular(80, 35).Reversed()}}}
	for b.Loop() {
		Pole(g, PoleTol)
	}
}
