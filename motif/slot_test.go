package motif

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

// A comb's narrowest slot is its narrowest gap, its narrowest felt its
// narrowest tooth.
func TestSlotsOfAComb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// |_| |_| |_|   teeth and gaps by turns, all 40 mm long, on a back of 9 mm
		n := rapid.IntRange(2, 5).Draw(t, "teeth")
		// Wider than an arm, within which of two corners only one counts: that is a
		// 120th of the comb's span, at most 80 mm.
		width := rapid.Float64Range(0.7, 7)
		top, teeth, gaps := geom.Ring{}, math.Inf(1), math.Inf(1)
		x := 0.0
		for i := range n {
			tooth := width.Draw(t, "tooth")
			top = append(top, geom.Vec{X: x, Y: 0}, geom.Vec{X: x + tooth, Y: 0})
			x += tooth
			teeth = math.Min(teeth, tooth)
			if i < n-1 {
				gap := width.Draw(t, "gap")
				top = append(top, geom.Vec{X: x, Y: 40}, geom.Vec{X: x + gap, Y: 40})
				x += gap
				gaps = math.Min(gaps, gap)
			}
		}
		g := regionOf(append(top, geom.Vec{X: x, Y: 49}, geom.Vec{X: 0, Y: 49}))
		m := measurePiece(g)
		if got := m.Slot.Width(); math.Abs(got-gaps) > 1e-9 {
			t.Fatalf("slot %g, want %g", got, gaps)
		}
		if got := m.Felt.Width(); math.Abs(got-teeth) > 1e-9 {
			t.Fatalf("felt %g, want %g", got, teeth)
		}
		if want := 4 * (n - 1); m.Corners != want+4 {
			t.Fatalf("%d corners, want %d", m.Corners, want+4)
		}
	})
}

// Slots whose width is obvious, or follows from the rule.
func TestSlot(t *testing.T) {
	disc := func(r float64) geom.Ring {
		var out geom.Ring
		for i := range 120 {
			out = append(out, geom.Vec{X: r}.Rotate(math.Pi*float64(i)/60))
		}
		return out
	}
	// An arc band from -a to a left open at the right: a horseshoe.
	horseshoe := func(r1, r2, half float64) geom.Ring {
		var out geom.Ring
		for i := range 101 {
			out = append(out, geom.Vec{X: r2}.Rotate(half+(2*math.Pi-2*half)*float64(i)/100))
		}
		for i := range 101 {
			out = append(out, geom.Vec{X: r1}.Rotate(-half-(2*math.Pi-2*half)*float64(i)/100))
		}
		return out
	}
	notch := ringOf(0, 0, 28, 0, 30, 30, 32, 0, 60, 0, 60, 40, 0, 40)
	// At a distance of a twelfth of the span from the tip, from a point of one
	// side square to the other: 2·d·sin a / √(1 + 3 cos² a) by Pythagoras.
	a := 2 * math.Atan2(2, 30)
	wedge := 2 * spanOf(notch) / 12 * math.Sin(a) / math.Sqrt(1+3*math.Cos(a)*math.Cos(a))
	for _, c := range []struct {
		name      string
		g         geom.Region
		want, tol float64
	}{
		{"disc", regionOf(disc(20)), 0, 0},
		{"square", regionOf(box(0, 0, 20, 20)), 0, 0},
		// An L's inner corner opens too wide to be a slot.
		{"L", regionOf(ringOf(0, 0, 30, 0, 30, 12, 12, 12, 12, 30, 0, 30)), 0, 0},
		{"shallow nick", regionOf(ringOf(0, 0, 30, 0, 30, 2, 31, 2, 31, 0, 60, 0, 60, 40, 0, 40)), 0, 0},
		{"slit", regionOf(ringOf(0, 0, 30, 0, 30, 20, 30.5, 20, 30.5, 0, 60, 0, 60, 40, 0, 40)), 0.5, 1e-9},
		// sampled in steps of a twentieth of that distance
		{"wedge", regionOf(notch), wedge, wedge / 20},
		// The bay is longer round than the felt is on the way back.
		{"horseshoe", regionOf(horseshoe(20, 26, 0.05)), 40 * math.Sin(0.05), 1e-6},
		// An opening wider than 1/1.25 of the bay's depth is none.
		{"open bowl", regionOf(horseshoe(20, 26, 1.4)), 0, 0},
		{"slit hole", regionOf(box(0, 0, 40, 30), box(10, 10, 20, 1.2).Reversed()), 1.2, 1e-9},
		{"round hole", regionOf(box(-20, -20, 40, 40), disc(5).Reversed()), 2 * 5 * math.Cos(math.Pi/120), 2 * geom.PoleTol},
		{"two holes", regionOf(box(0, 0, 40, 30), box(3, 3, 9, 9).Reversed(), box(20, 3, 4, 9).Reversed()), 4, 2 * geom.PoleTol},
	} {
		if got := narrowestSlot(c.g).Width(); math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: slot %.5f, want %.5f", c.name, got, c.want)
		}
	}
}
