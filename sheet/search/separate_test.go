package search

import (
	"context"
	"math"
	"testing"
)

// Pieces that lie too close for the length they are given come apart where it is drawn out
// as often as may be, and on no longer one; if that is not enough they do not.
func TestComeApart(t *testing.T) {
	for _, c := range []struct {
		close float64 // a share of the least length
		draws float64 // it takes so many
		want  bool
	}{{1, 0, true}, {1 / 1.005, 1, true}, {1 / 1.025, 3, true}, {1 / 1.05, draws, false}} {
		for seed := range uint64(6) {
			b := squaresRoll(4, seed).b
			least := b.bed.Height()
			b.setHeight(least * c.close)
			at := b.save()
			for i := range at {
				at[i].at.Y *= c.close
			}
			b.restore(at)
			if got := (&Roll{b}).ComeApart(context.Background(), 200_000); got != c.want || got != (b.total() == 0) {
				t.Errorf("%v of the length, seed %d: comes apart %v, overlaps cost %v", c.close, seed, got, b.total())
			}
			if want := least * c.close * math.Pow(drawnOut, c.draws); math.Abs(b.bed.Height()-want) > 1e-6 {
				t.Errorf("%v of the length, seed %d: drawn out to %v, want %v", c.close, seed, b.bed.Height(), want)
			}
		}
	}
}
