package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A roll that is a hair longer than asked for is compressed, not searched; a longer one is
// searched to the end.
func TestNearlyShortEnough(t *testing.T) {
	every := []int{1, 2, 3, 4, 5, 6, 7, 8}
	for _, c := range []struct {
		goal float64 // of squares that lie on 240 at best
		want []int
	}{{240 - 0.9*atGoal, []int{1, 8}}, {240 - 2*atGoal, every}, {240, []int{1}}} {
		b := squaresRoll(4, 1).b
		b.rng = rand.New(rand.NewPCG(1, 2))
		var told []int
		(&Roll{b}).Shorten(context.Background(), Shortening{
			Goal: c.goal, Cut: func(h float64) float64 { return h }, Work: 80_000, Wait: math.MaxInt, Seed: 1, Workers: 1,
			Told: func(epoch int, _ float64) { told = append(told, epoch) },
		})
		if !slices.Equal(told, c.want) {
			t.Errorf("%v asked for: epochs %v, want %v", c.goal, told, c.want)
		}
		if b.bed.Height() > 240 || b.total() > 0 {
			t.Errorf("%v asked for: %v long, overlaps cost %v", c.goal, b.bed.Height(), b.total())
		}
	}
}
