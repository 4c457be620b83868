package stage

import (
	"errors"
	"math/bits"
	"testing"

	"pgregory.net/rapid"
)

// The last number that holds is found wherever it lies and whatever is guessed,
// never is a number tried beyond the limits, and never are there many tries:
// four guesses, and then no more than to stride out and to halve.
func TestLastThatHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.IntRange(1, 50).Draw(t, "low")
		high := low + rapid.IntRange(0, 3000).Draw(t, "more")
		last := rapid.IntRange(low, high).Draw(t, "last")
		guess := rapid.OneOf(rapid.IntRange(last-3, last+3), rapid.IntRange(-10, 4000))
		held, tries, most := low, 0, 4+2*bits.Len(uint(high-low))
		got, err := lastThatHolds(low, high, func() int { return guess.Draw(t, "guess") }, func(n, above int) (bool, error) {
			if tries++; tries > most {
				t.Fatalf("more than %d tries", most)
			}
			if n <= low || n > high || n-above != held {
				t.Fatalf("%d is tried, %d above %d, of %d to %d", n, above, held, low, high)
			}
			if n <= last {
				held = n
			}
			return n <= last, nil
		})
		if got != last || err != nil {
			t.Fatalf("%d, %v; want %d", got, err, last)
		}
	})
	fault := errors.New("fault")
	if _, err := lastThatHolds(1, 9, func() int { return 5 }, func(int, int) (bool, error) { return false, fault }); err != fault {
		t.Errorf("got %v", err)
	}
}
