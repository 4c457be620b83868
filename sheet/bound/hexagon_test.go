package bound

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// The smallest polygon of n sides round a disc is the regular one, of area
// n·tan(π/n); round a square the smallest triangle is twice as large; round a
// regular hexagon the smallest of four sides is 4/3 (its sides run on to a
// rhombus) and of three 3/2 as large. From elementary geometry; the first is
// proven in L. Fejes Tóth, "Lagerungen in der Ebene", 1953.
func TestSmallestAround(t *testing.T) {
	round := smallestAround(shapetest.Ngon(mostCorners, 1, 0))
	for n := 3; n <= mostSides; n++ {
		if want := float64(n) * math.Tan(math.Pi/float64(n)); round[n] > want || round[n] < 0.995*want {
			t.Errorf("%d sides round a disc: %v, want at most %v and near it", n, round[n], want)
		}
	}
	hexagon := shapetest.Ngon(6, 1, 0)
	for _, c := range []struct {
		name string
		r    geom.Ring
		n    int
		want float64 // of the ring's own area
	}{
		{"square, 3", shapetest.Rect(10, 10).Outer, 3, 2},
		{"square, 4", shapetest.Rect(10, 10).Outer, 4, 1},
		{"square, 6", shapetest.Rect(10, 10).Outer, 6, 1},
		{"triangle, 3", shapetest.Ngon(3, 5, 0), 3, 1},
		{"triangle, 5", shapetest.Ngon(3, 5, 0), 5, 1},
		{"hexagon, 3", hexagon, 3, 1.5},
		{"hexagon, 4", hexagon, 4, 4.0 / 3},
		{"hexagon, 5", hexagon, 5, 7.0 / 6},
		{"hexagon, 6", hexagon, 6, 1},
		{"pentagon, 6", shapetest.Ngon(5, 3, 0), 6, 1},
	} {
		if got := smallestAround(positive(c.r))[c.n] / math.Abs(c.r.Area()); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s sides: %v of its area, want %v", c.name, got, c.want)
		}
	}
}

// No polygon of n touching lines is smaller, those of chance and those walked
// downhill from them.
func TestNoSmallerRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		var points []geom.Vec
		for range rapid.IntRange(3, 14).Draw(t, "points") {
			points = append(points, geom.Vec{X: 100 * rng.Float64(), Y: 60 * rng.Float64()})
		}
		r := geom.Hull(points)
		if len(r) < 3 || r.Area() < 100 {
			t.Skip("no area")
		}
		least := smallestAround(r)
		n := rapid.IntRange(3, mostSides).Draw(t, "sides")
		turns := make([]float64, n)
		for i := range turns {
			turns[i] = 2 * math.Pi * (float64(i) + rng.Float64()) / float64(n)
		}
		area := touching(r, turns)
		for step := 0.5; step > 1e-4; {
			better := false
			for i := range turns {
				for _, d := range []float64{step, -step} {
					turns[i] += d
					if a := touching(r, turns); a < area {
						area, better = a, true
					} else {
						turns[i] -= d
					}
				}
			}
			if !better {
				step /= 2
			}
		}
		if area < least[n]*(1-1e-9) {
			t.Fatalf("%d sides: found %v, said to be at least %v; ring %v", n, area, least[n], r)
		}
	})
}

// touching returns the area of the polygon bounded by the lines that touch the
// ring with the outward normals at the turns; +Inf where it is open.
func touching(r geom.Ring, turns []float64) float64 {
	const far = 1e6
	out := geom.Ring{{X: -far, Y: -far}, {X: far, Y: -far}, {X: far, Y: far}, {X: -far, Y: far}}
	for _, a := range turns {
		s, c := math.Sincos(a)
		reach := math.Inf(-1)
		for _, p := range r {
			reach = max(reach, p.X*c+p.Y*s)
		}
		var cut geom.Ring
		for i, p := range out {
			q := out.At(i + 1)
			x, y := p.X*c+p.Y*s-reach, q.X*c+q.Y*s-reach
			if x <= 0 {
				cut = append(cut, p)
			}
			if x*y < 0 {
				cut = append(cut, p.Add(q.Sub(p).Mul(x/(x-y))))
			}
		}
		out = cut
	}
	if a := math.Abs(out.Area()); a < far {
		return a
	}
	return math.Inf(1)
}

// What the bound allows is never less than what is laid: ovals, drops and boxes
// of chance on a sheet. And it is worth having: discs of one size in the plane
// cover at most π/√12 of it (A. Thue 1910, L. Fejes Tóth 1940), ovals no more.
func TestHexagonsHold(t *testing.T) {
	oval := geom.Region{}
	for k := range 60 {
		s, c := math.Sincos(2 * math.Pi * float64(k) / 60)
		oval.Outer = append(oval.Outer, geom.Vec{X: 30 * c, Y: 15 * s})
	}
	f := shapeOf(oval, 0)
	if got, want := 100*f.area/hexagons(context.Background(), []Want{{f, 100}}, 0), math.Pi/math.Sqrt(12); got < want || got > want*1.003 {
		t.Errorf("ovals fill at most %v, want a little over %v", got, want)
	}
	// Boxes and ovals: boxes waste nothing, and save the ovals' no side.
	b := shapeOf(shapetest.Rect(20, 20), 0)
	both := hexagons(context.Background(), []Want{{f, 100}, {b, 100}}, 0)
	if alone := hexagons(context.Background(), []Want{{f, 100}}, 0); both > alone+100*400 || both < 100*(f.area+400) {
		t.Errorf("ovals and boxes take %v, ovals alone %v", both, alone)
	}
}

// positive returns the ring with positive area.
func positive(r geom.Ring) geom.Ring {
	if r.Area() < 0 {
		return r.Reversed()
	}
	return r
}
