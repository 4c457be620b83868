package motif

import (
	"math"
	"testing"
)

// Felt, slots, holes and pieces at the limit are no fault, below it they are.
func TestFaults(t *testing.T) {
	comb := func(tooth, gap float64) Motif {
		return Motif{Pieces: []Piece{{Region: regionOf(ringOf(0, 0, tooth, 0, tooth, 40, tooth+gap, 40, tooth+gap, 0, 2*tooth+gap, 0, 2*tooth+gap, 50, 0, 50))}}}
	}
	hole := func(side float64) Motif {
		return Motif{Pieces: []Piece{{Region: regionOf(box(0, 0, 40, 40), box(10, 10, side, side).Reversed())}}}
	}
	two := Motif{Pieces: []Piece{{Region: regionOf(box(0, 0, 30, 30))}, {Region: regionOf(box(0, 0, 30, 2.4))}}}
	for _, c := range []struct {
		name string
		m    Motif
		size float64
		want []string
	}{
		{"all at the limits", comb(3, 4), 1, nil},
		{"thin and small", comb(3, 4), 0.9, []string{
			"the felt is only 2.7 mm wide at its narrowest place (under 3 mm it tears easily)",
			"the piece is only 9.0 mm across (under 10 mm it is hard to cut and to hold)"}},
		{"narrow slot", comb(6, 1.96), 1, []string{"a slot is only 1.9 mm wide (under 2 mm scissors do not get through)"}},
		{"slot of two", comb(6, 2), 1, nil},
		{"hole of four", hole(4), 1, nil},
		{"small hole", hole(3.6), 1, []string{"a hole is only 3.6 mm across (under 4 mm scissors do not get in)"}},
		{"second piece", two, 1, []string{
			"piece 2: the felt is only 2.4 mm wide at its narrowest place (under 3 mm it tears easily)",
			"piece 2: the piece is only 2.4 mm across (under 10 mm it is hard to cut and to hold)"}},
		{"both pieces", two, 0.2, []string{
			"piece 2: the felt is only 0.4 mm wide at its narrowest place (under 3 mm it tears easily)",
			"2 pieces, the worst is piece 2: the piece is only 0.4 mm across (under 10 mm it is hard to cut and to hold)"}},
	} {
		got := c.m.Measure().Faults(c.size)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %q", c.name, got, c.want)
			continue
		}
		for i := range got {
			if got[i].Text.String() != c.want[i] {
				t.Errorf("%s: %q, want %q", c.name, got[i].Text, c.want[i])
			}
		}
	}
}

// A narrow place is given by its two ends, which lie as far apart as the felt,
// slot or hole there is wide at size 1; the hole is a square of 3.6 mm whose
// middle is 11.8 mm from the corner.
func TestFaultsSayWhere(t *testing.T) {
	holed := Motif{Pieces: []Piece{{Region: regionOf(box(0, 0, 40, 40), box(10, 10, 3.6, 3.6).Reversed())}}}
	got := holed.Measure().Faults(0.5)
	var hole []float64
	for _, f := range got {
		if len(f.At) == 2 {
			a, b := f.At[0], f.At[1]
			hole = append(hole, a.Dist(b), (a.X+b.X)/2, (a.Y+b.Y)/2)
		}
	}
	// As a slot, then as a hole: both are 3.6 mm wide.
	if len(hole) != 6 {
		t.Fatalf("%v", got)
	}
	for i, want := range []float64{3.6, 11.8, 11.8} {
		if math.Abs(hole[i+3]-want) > 0.05 {
			t.Errorf("hole %v", hole[3:])
		}
	}
	thin := Motif{Pieces: []Piece{{Region: regionOf(box(0, 0, 30, 2.4))}}}
	for _, f := range thin.Measure().Faults(1) {
		if len(f.At) == 2 && math.Abs(f.At[0].Dist(f.At[1])-2.4) > 0.01 {
			t.Errorf("%s lies from %v to %v", f.Text, f.At[0], f.At[1])
		}
	}
}
