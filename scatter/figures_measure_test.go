//go:build measure

package scatter_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// TestFigures prints how even polka is at jitter 0.5: of every cut and motif the
// worst over 100, 160, 250 and 400 marks and seeds 0 to 2; and plain dart throwing
// (maximal Poisson-disk sampling) on the same cloth beside it.
func TestFigures(t *testing.T) {
	motifs := []struct {
		name    string
		outline geom.Ring
		dir     scatter.Direction
	}{
		{"disc", disc(8), scatter.OneWay},
		{"leaf, one-way", leaf(36, 12), scatter.OneWay},
		{"leaf, tossed", leaf(36, 12), scatter.Tossed},
		{"crescent, tossed", crescent(12), scatter.Tossed},
		{"star, tossed", star(14), scatter.Tossed},
	}
	fmt.Printf("%-28s %-17s %9s %7s %11s %6s\n", "cut", "motif", "closest/d", "empty/d", "Clark-Evans", "psi6")
	for _, c := range cuts(t) {
		t.Run(c.name, func(t *testing.T) {
			for m, motif := range motifs {
				worst := figure{closest: math.Inf(1), clarkEvans: math.Inf(1)}
				darts := worst
				for _, n := range []int{100, 160, 250, 400} {
					for seed := range uint64(3) {
						l, err := strew(context.Background(), c.surface, []scatter.Kind{{Name: motif.name, Outline: []geom.Ring{motif.outline}, Share: 1, Direction: motif.dir}}, scatter.Options{
							Pattern: scatter.Polka, Cutouts: n, Jitter: 0.5, Repeat: 1, RepeatSet: true, Seed: seed,
							Clearance: scatter.Clearance{Between: 1, Waist: 20, Hem: 15}})
						if err != nil {
							t.Errorf("%s, %s, %d: %v", c.name, motif.name, n, err)
							continue
						}
						worst = worst.with(l.Evenness, m > 0)
						if m == 0 && c.surface.Banded() {
							darts = throwDarts(c.surface, 20+8, c.surface.Drop-15-8, l.Evenness, seed, darts)
						}
					}
				}
				row := func(name string, f figure) {
					fmt.Printf("%-28s %-17s %9.3f %7.3f %11.3f %6.3f\n", c.name, name, f.closest, f.empty, f.clarkEvans, f.psi6)
				}
				row(motif.name, worst)
				if m == 0 && c.surface.Banded() {
					row("darts", darts)
				}
			}
		})
	}
}

// throwDarts throws darts between two rows, none nearer to another than 0.75 d,
// until a hundred times as many as hold have missed, and adds what came out.
func throwDarts(s skirt.Surface, low, high float64, e scatter.Evenness, seed uint64, f figure) figure {
	d := e.NearestMin / e.RelativeRadius
	r := rand.New(rand.NewPCG(seed, 99))
	fold := s.Fold(1)
	x := skirt.NewSpots(fold, low, high, d)
	random := func() skirt.Spot {
		for {
			down := low + r.Float64()*(high-low)
			if r.Float64()*fold.Girth(s.Drop) <= fold.Girth(down) {
				return fold.Spot(skirt.Place{Round: r.Float64(), Down: down})
			}
		}
	}
	for missed := 0; missed < 100*(x.Len()+1); {
		at := random()
		if _, l := x.Nearest(at, d, -1); l < 0.75*d {
			missed++
			continue
		}
		x.Add(at)
		missed = 0
	}
	n := x.Len()
	d = scatter.OlerSpacing(n, e.Area, fold.Girth(low)+fold.Girth(high), 0)
	closest, sum, empty := math.Inf(1), 0.0, 0.0
	for i := range n {
		_, l := x.Nearest(x.At(i), d, i)
		closest, sum = math.Min(closest, l), sum+l
	}
	for range 100 * n {
		_, l := x.Nearest(random(), d, -1)
		empty = math.Max(empty, l)
	}
	return figure{
		math.Min(f.closest, closest/d), math.Max(f.empty, empty/d),
		math.Min(f.clarkEvans, sum/float64(n)/(0.5*math.Sqrt(e.Area/float64(n)))), f.psi6,
	}
}

// TestAlike prints how many neighbours are alike on a full circle, and how many a
// random mix would have.
func TestAlike(t *testing.T) {
	fmt.Printf("%-10s %6s %6s %6s %7s\n", "shares", "jitter", "pairs", "alike", "chance")
	for _, shares := range [][]float64{{1, 1}, {1, 1, 1}, {1, 1, 1, 1}, {3, 2, 2}} {
		var kinds []scatter.Kind
		for i, s := range shares {
			kinds = append(kinds, scatter.Kind{Name: fmt.Sprint(i), Motif: i, Share: s, Outline: []geom.Ring{disc(12)}})
		}
		for _, jitter := range []float64{0, 0.5} {
			l, err := strew(context.Background(), skirt.NewCircle(680, 570, 1, 2), kinds, scatter.Options{
				Pattern: scatter.Polka, Jitter: jitter, Spacing: 80, Repeat: 1, Seed: 1, Clearance: scatter.Clearance{Between: 4}})
			if err != nil {
				t.Fatal(err)
			}
			e := l.Evenness
			fmt.Printf("%-10s %6g %6d %6d %7.0f\n", fmt.Sprint(shares), jitter, e.Neighbours, e.Alike, e.AlikeByChance)
		}
	}
}
