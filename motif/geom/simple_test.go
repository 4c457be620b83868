package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// slowContact looks at every pair of edges with whole coordinates and solves
// for the shared points in integers: no predicate, no grid.
func slowContact(rings []Ring) bool {
	type edge struct{ ax, ay, bx, by, ring, at, n int }
	var all []edge
	for i, r := range rings {
		for k, p := range r {
			q := r.At(k + 1)
			all = append(all, edge{int(p.X), int(p.Y), int(q.X), int(q.Y), i, k, len(r)})
		}
	}
	// shared returns whether the segments share a point other than skip.
	shared := func(e, f edge, skip func(num, den int) bool) bool {
		rx, ry, sx, sy := e.bx-e.ax, e.by-e.ay, f.bx-f.ax, f.by-f.ay
		px, py := f.ax-e.ax, f.ay-e.ay
		den := rx*sy - ry*sx
		if den != 0 {
			t, u := px*sy-py*sx, px*ry-py*rx
			if den < 0 {
				t, u, den = -t, -u, -den
			}
			return t >= 0 && t <= den && u >= 0 && u <= den && !skip(t, den)
		}
		if px*ry-py*rx != 0 || px*sy-py*sx != 0 {
			return false
		}
		// On one line, measured along e; a point where e has no length.
		l := rx*rx + ry*ry
		if l == 0 {
			return px*sx+py*sy <= 0 && px*px+py*py <= sx*sx+sy*sy
		}
		a, b := px*rx+py*ry, (px+sx)*rx+(py+sy)*ry
		lo, hi := max(0, min(a, b)), min(l, max(a, b))
		return lo < hi || lo == hi && !skip(lo, l)
	}
	never := func(int, int) bool { return false }
	for i, e := range all {
		for _, f := range all[i+1:] {
			next, last := e.ring == f.ring && (e.at+1)%e.n == f.at, e.ring == f.ring && (f.at+1)%e.n == e.at
			switch {
			case e.ax == e.bx && e.ay == e.by || f.ax == f.bx && f.ay == f.by:
				if shared(e, f, never) { // a point given twice touches its neighbours
					return true
				}
			case next && last:
				return true
			case next:
				if shared(e, f, func(n, d int) bool { return n == d }) {
					return true
				}
			case last:
				if shared(e, f, func(n, _ int) bool { return n == 0 }) {
					return true
				}
			case shared(e, f, never):
				return true
			}
		}
	}
	return false
}

// The grid finds a contact exactly where looking at every pair of edges does,
// and the point it names lies on two edges.
func TestContactAgreesWithEveryPair(t *testing.T) {
	met := 0
	check := func(t interface {
		Fatalf(string, ...any)
	}, rings []Ring) {
		at, between, got := Contact(rings...)
		if want := slowContact(rings); got != want {
			t.Fatalf("%v: contact %v, every pair says %v", rings, got, want)
		}
		if !got {
			return
		}
		met++
		if between[0] > between[1] {
			t.Fatalf("rings %v are not in order", between)
		}
		for _, ring := range between {
			on := 0
			for k, p := range rings[ring] {
				if PointSegment(at, p, rings[ring].At(k+1)) < 1e-9 {
					on++
				}
			}
			least := 1
			if between[0] == between[1] {
				least = 2
			}
			if on < least {
				t.Fatalf("%v: %v lies on %d edges of ring %d", rings, at, on, ring)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.SampledFrom([]int{3, 9, 1000}).Draw(t, "side") // small: many points on one line
		rings := make([]Ring, rapid.IntRange(1, 3).Draw(t, "rings"))
		for i := range rings {
			rings[i] = make(Ring, rapid.IntRange(3, 7).Draw(t, "points"))
			for k := range rings[i] {
				rings[i][k] = Vec{float64(rapid.IntRange(0, side).Draw(t, "x")), float64(rapid.IntRange(0, side).Draw(t, "y"))}
			}
		}
		check(t, rings)
	})
	// Stars are simple until one point is moved across.
	rng := rand.New(rand.NewPCG(1, 1))
	simple := 0
	for range 300 {
		r := make(Ring, 3+rng.IntN(60))
		for i := range r {
			a := 2 * math.Pi * float64(i) / float64(len(r))
			l := 2e4 + 8e4*rng.Float64()
			r[i] = Vec{math.Round(l * math.Cos(a)), math.Round(l * math.Sin(a))}
		}
		check(t, []Ring{r})
		if Simple(r) {
			simple++
		}
		r[rng.IntN(len(r))] = Vec{math.Round(1e5 * rng.NormFloat64()), math.Round(1e5 * rng.NormFloat64())}
		check(t, []Ring{r})
	}
	if met < 100 || simple < 250 {
		t.Errorf("%d contacts and %d simple stars: the cases are too much alike", met, simple)
	}
}

func TestSimple(t *testing.T) {
	box := square(0, 10)
	for _, c := range []struct {
		name  string
		rings []Ring
		want  bool
	}{
		{"none", nil, true},
		{"square", []Ring{box}, true},
		{"with a hole", []Ring{box, square(2, 3).Reversed()}, true},
		{"hole touches the edge", []Ring{box, square(0, 3)}, false},
		{"corner on an edge", []Ring{box, {{10, 5}, {12, 4}, {12, 6}}}, false},
		{"bow tie", []Ring{{{0, 0}, {4, 4}, {4, 0}, {0, 4}}}, false},
		{"spike", []Ring{{{0, 0}, {8, 0}, {4, 0}, {4, 4}}}, false},
		{"point given twice", []Ring{{{0, 0}, {4, 0}, {4, 0}, {4, 4}}}, false},
		{"no area", []Ring{{{0, 0}, {4, 0}, {8, 0}}}, false},
		{"straight on", []Ring{{{0, 0}, {4, 0}, {8, 0}, {4, 4}}}, true},
		{"two points", []Ring{{{0, 0}, {4, 0}}}, false},
		{"not finite", []Ring{{{0, 0}, {math.NaN(), 0}, {4, 4}}}, false},
	} {
		if got := Simple(c.rings...); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A point is found where it can be told: two outlines that cross, and
// one that touches with a corner.
func TestContactPoint(t *testing.T) {
	bar := Ring{{0, 4}, {20, 4}, {20, 6}, {0, 6}}
	for _, c := range []struct {
		other Ring
		want  Vec
	}{
		{Ring{{9, 0}, {11, 5}, {7, 0}}, Vec{10.6, 4}},
		{Ring{{15, 6}, {16, 9}, {14, 9}}, Vec{15, 6}},
	} {
		if at, between, met := Contact(bar, c.other); !met || between != [2]int{0, 1} || at.Dist(c.want) > 1e-12 {
			t.Errorf("%v: %v, %v, want %v", c.other, at, met, c.want)
		}
	}
}

func BenchmarkSimpleRing(b *testing.B) {
	r := regular(5000, 60)
	for b.Loop() {
		if !Simple(r) {
			b.Fatal("a regular polygon is not simple")
		}
	}
}
