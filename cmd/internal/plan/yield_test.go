package plan

import (
	"context"
	"errors"
	"math/bits"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/cmd/internal/project"
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

// byWish plans an example with another wish for how many cutouts there are.
func byWish(name string, o project.Overrides) (*Plan, error) {
	p, err := project.LoadWith(filepath.Join(examples, name, "project.toml"), o)
	if err != nil {
		return nil, err
	}
	return Build(context.Background(), p, dirFiles(p.Dir), nil)
}

// The felt asked for is not exceeded, and one cutout more would exceed it.
func TestFeltDecides(t *testing.T) {
	const name = "tide-three-sheets"
	quick := 0
	for _, sheets := range []int{2, 3} {
		p, err := byWish(name, project.Overrides{Sheets: &sheets, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		n := len(p.Layout.Placements)
		if laid := len(p.Lay.Sheets); laid > sheets || n == 0 {
			t.Errorf("%d cutouts on %d sheets, asked %d", n, laid, sheets)
		}
		n++
		more, err := byWish(name, project.Overrides{Cutouts: &n, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		if laid := len(more.Lay.Sheets); laid <= sheets {
			t.Errorf("%d cutouts take only %d sheets, asked %d", n, laid, sheets)
		}
	}
	money := 4.0
	p, err := byWish(name, project.Overrides{Budget: &money, Effort: &quick})
	if err != nil {
		t.Fatal(err)
	}
	cost, _ := p.feltCost()
	n := len(p.Layout.Placements) + 1
	more, err := byWish(name, project.Overrides{Cutouts: &n, Effort: &quick})
	if err != nil {
		t.Fatal(err)
	}
	if dearer, _ := more.feltCost(); cost > money || dearer <= money {
		t.Errorf("felt for %.2f costs %.2f, and for one cutout more %.2f", money, cost, dearer)
	}
}

// Of felt in two sizes so many sheets yield what as many of the larger one do: a
// lay of fewer, dearer sheets is what was asked. More sheets yield more.
func TestSheetsOfTwoSizes(t *testing.T) {
	const name = "ginkgo-three-loose"
	before, quick := 0, 0
	for _, sheets := range []int{3, 4} {
		p, err := byWish(name, project.Overrides{Sheets: &sheets, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		o, err := project.LoadWith(filepath.Join(examples, name, "project.toml"), project.Overrides{Sheets: &sheets, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		o.Sheets = o.Sheets[1:] // the large one
		large, err := Build(context.Background(), o, dirFiles(o.Dir), nil)
		if err != nil {
			t.Fatal(err)
		}
		n := len(p.Layout.Placements)
		if len(p.Lay.Sheets) > sheets || n <= before || n < len(large.Layout.Placements) {
			t.Errorf("%d sheets asked, %d laid: %d cutouts; %d on sheets of the larger size, %d on fewer sheets", sheets, len(p.Lay.Sheets), n, len(large.Layout.Placements), before)
		}
		before = n
	}
}

func TestTooLittleFelt(t *testing.T) {
	one, cent := 1, 0.01
	for _, c := range []struct {
		name string
		o    project.Overrides
		says string
	}{
		{"ginkgo-three-loose", project.Overrides{Sheets: &one}, "write sheets = "},
		{"tide-three-sheets", project.Overrides{Budget: &cent}, "write a budget of"},
	} {
		if _, err := byWish(c.name, c.o); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("got %v, want %q", err, c.says)
		}
	}
}
