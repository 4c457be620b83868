package skirt_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// folds draws a surface or one of its folds, down to narrow cones on which a
// place is seen many times.
func folds() *rapid.Generator[skirt.Surface] {
	return rapid.Custom(func(t *rapid.T) skirt.Surface {
		s := surfaces().Draw(t, "surface")
		n := rapid.IntRange(1, 12).Draw(t, "n")
		if !s.Folds(n) {
			return s
		}
		return s.Fold(n)
	})
}

// spotsOf fills an index.
func spotsOf(s skirt.Surface, all []skirt.Place, cell float64) *skirt.Spots {
	x := skirt.NewSpots(s, 0, s.Drop, cell)
	for _, p := range all {
		x.Add(s.Spot(p))
	}
	return x
}

// The slow obvious way: every sight of every place by Seen.
func TestSpotsSeeWhatSeenSees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := folds().Draw(t, "surface")
		all := rapid.SliceOfN(places(s), 1, 40).Draw(t, "places")
		x := spotsOf(s, all, rapid.Float64Range(10, 400).Draw(t, "cell"))
		gone := rapid.IntRange(0, len(all)-1).Draw(t, "gone")
		x.Remove(gone)
		p := s.Spot(places(s).Draw(t, "p"))
		reach := rapid.Float64Range(1, 700).Draw(t, "reach")
		if s.Cut == skirt.Rectangle { // of a straight tube Seen looks once round only
			reach = math.Min(reach, 1.4*s.Girth(0))
		}
		type sight struct {
			id   int
			off  geom.Vec
			turn float64
		}
		// Half a turn off a straight line runs through the apex: rounding decides
		// whether what lies there is still seen, and either answer is right.
		throughApex := func(q skirt.Place, off geom.Vec) bool {
			return s.Wedges() && math.Abs(off.Len()-(2*s.Inner+p.Down+q.Down)) < 1e-9
		}
		var got, want []sight
		x.Near(p, reach, func(id int, off geom.Vec, over int) {
			q := x.At(id)
			if throughApex(q.Place, off) {
				return
			}
			got = append(got, sight{id, off.Rotate(-p.Upright), q.Upright + s.OverTurn(over) - p.Upright})
		})
		for id, q := range all {
			s.Seen(p.Place, q, func(off geom.Vec, turn float64) {
				l := off.Len()
				if id == gone || l > reach+1e-6 || throughApex(q, off) {
					return
				}
				same := func(g sight) bool {
					return g.id == id && g.off.Dist(off) < 1e-6 && math.Abs(math.Remainder(g.turn-turn, 2*math.Pi)) < 1e-6
				}
				i := slices.IndexFunc(got, same)
				switch {
				case i >= 0:
					got = slices.Delete(got, i, i+1)
				case l < reach-1e-6:
					want = append(want, sight{id, off, turn})
				}
			})
		}
		if len(got)+len(want) > 0 {
			t.Fatalf("from %v within %g: saw %v in vain and missed %v", p, reach, got, want)
		}
	})
}

// The slow obvious way: Dist to every place.
func TestSpotsMeasureTheClothsWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := folds().Draw(t, "surface")
		all := rapid.SliceOfN(places(s), 1, 40).Draw(t, "places")
		x := spotsOf(s, all, rapid.Float64Range(10, 400).Draw(t, "cell"))
		p := s.Spot(places(s).Draw(t, "p"))
		best, least := -1, math.Inf(1)
		for id, q := range all {
			d := dist(s, p.Place, q)
			if d < least {
				best, least = id, d
			}
		}
		if id, d := x.Nearest(p, rapid.Float64Range(1, 300).Draw(t, "guess"), -1); math.Abs(d-least) > 1e-6 {
			t.Fatalf("nearest is %d at %g, want %d at %g", id, d, best, least)
		}
		if id, _ := x.Nearest(p, 10, best); id == best && len(all) > 1 {
			t.Fatalf("%d is found though it is left out", best)
		}
	})
}

// benchmarkPlaces spreads n places over a full circle in two panels.
func benchmarkPlaces(n int) (skirt.Surface, []skirt.Place, float64) {
	s := skirt.NewCircle(680, 570, 1, 2)
	r := rand.New(rand.NewPCG(1, 1))
	all := make([]skirt.Place, n)
	for i := range all {
		all[i] = skirt.Place{Round: r.Float64(), Down: s.Drop * r.Float64()}
	}
	area := (s.Girth(0) + s.Girth(s.Drop)) / 2 * s.Drop
	return s, all, math.Sqrt(area / float64(n))
}

func BenchmarkDist(b *testing.B) {
	s, places, _ := benchmarkPlaces(10_000)
	all := make([]skirt.Spot, len(places))
	for i, p := range places {
		all[i] = s.Spot(p)
	}
	for i := range b.N {
		s.Dist(all[i%len(all)], all[(i+1)%len(all)])
	}
}

func BenchmarkNearest(b *testing.B) {
	s, all, step := benchmarkPlaces(10_000)
	x := spotsOf(s, all, step)
	for i := range b.N {
		k := i % len(all)
		x.Nearest(x.At(k), 1.5*step, k)
	}
}

func BenchmarkNear(b *testing.B) {
	s, all, step := benchmarkPlaces(10_000)
	x := spotsOf(s, all, step)
	n := 0
	for i := range b.N {
		x.Near(x.At(i%len(all)), 1.5*step, func(int, geom.Vec, int) { n++ })
	}
}
