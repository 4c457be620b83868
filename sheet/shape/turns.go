package shape

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// At which turns a form is tried. Among all turns the box of least area has a side
// along a side of the hull (H. Freeman and R. Shapira, "Determining the
// minimum-area encasing rectangle for an arbitrary closed curve", Communications of
// the ACM 18, 1975), so turns that lay long sides level come first.

const (
	// CoarseTurns is how many equal turns a free piece is tried at first: 15° apart,
	// so that shapes of 2-, 3-, 4- and 6-fold symmetry lie well.
	CoarseTurns = 24
	// FewTurns is for fills in which every piece may take any of them.
	FewTurns = 4
	// degrees is how many even steps of half a turn are tried where a form must fit
	// at some turn: a degree each.
	degrees = 180
)

// Turns returns the turns to try on the bed, without those that bring the form back
// onto itself. Without a nap these are even steps from its longest side level, and
// the turns at which a long side of the hull lies level.
func (f *Form) Turns(bed Bed, steps int) []float64 {
	all := bed.Nap.Turns()
	if all == nil {
		base := f.LevelTurns(1)[0]
		for k := range steps {
			all = append(all, math.Mod(base+2*math.Pi*float64(k)/float64(steps), 2*math.Pi))
		}
		all = append(all, f.LevelTurns(max(1, steps/8))...)
		if t, ok := f.FitTurn(bed); ok && !bed.Holds(f.Turned(0)) && !bed.Holds(f.Turned(Quarter(1))) {
			all = append(all, t)
		}
	}
	var out []float64
	for _, t := range all {
		if bed.Holds(f.Turned(t)) && !slices.ContainsFunc(out, func(u float64) bool { return f.SameAt(t, u) }) {
			out = append(out, t)
		}
	}
	return out
}

// LevelTurns returns the turns that lay the longest sides of the hull level, at most
// count of them, four turns for each.
func (f *Form) LevelTurns(count int) []float64 {
	type side struct{ len, turn float64 }
	var sides []side
	for i, p := range f.Hull {
		d := f.Hull.At(i + 1).Sub(p)
		sides = append(sides, side{d.Len(), -math.Atan2(d.Y, d.X)})
	}
	slices.SortStableFunc(sides, func(a, b side) int { return cmp.Compare(b.len, a.len) })
	var out []float64
	for _, s := range sides[:min(count, len(sides))] {
		for k := range 4 {
			out = append(out, math.Mod(s.turn+Quarter(k)+4*math.Pi, 2*math.Pi))
		}
	}
	return out
}

// FitTurn returns the allowed turn at which the form fits on the bed with most room,
// and whether it fits at all. The box that fits need not be the tightest, so even
// steps of a degree are tried as well as the level turns.
func (f *Form) FitTurn(bed Bed) (float64, bool) {
	all := bed.Nap.Turns()
	if all == nil {
		for k := range 4 {
			all = append(all, Quarter(k))
		}
		for i, p := range f.Hull {
			d := f.Hull.At(i + 1).Sub(p)
			a := math.Atan2(d.Y, d.X)
			all = append(all, -a, Quarter(1)-a)
		}
		for k := range degrees {
			all = append(all, float64(k)*math.Pi/degrees)
		}
	}
	best, room := 0.0, math.Inf(-1)
	for _, t := range all {
		b := f.Turned(t)
		if r := math.Min(bed.Width()-b.Width(), bed.Height()-b.Height()); r > room+geom.Press {
			best, room = t, r
		}
	}
	return best, room >= -geom.Press
}

// SameAt reports whether the form covers the same felt at both turns, up to a
// shift: every point of one outline has one of the other at the same place.
func (f *Form) SameAt(t, u float64) bool {
	if math.Abs(math.Remainder(t-u, 2*math.Pi)) < geom.SameAngle {
		return true
	}
	r, s := f.Region.Transform(geom.Rotation(t)), f.Region.Transform(geom.Rotation(u))
	d := s.Box().Min.Sub(r.Box().Min)
	a, b := r.Rings(), s.Rings()
	for i := range a {
		for _, p := range a[i] {
			if b[i].EdgeDist(p.Add(d)) > geom.Press {
				return false
			}
		}
	}
	return true
}

// ShortestSide returns the least height of the form's box over the turns allowed. Over
// all turns it is the width of the hull, found with one side level.
func (f *Form) ShortestSide(nap Nap) float64 {
	turns := nap.Turns()
	if turns == nil {
		for i, p := range f.Hull {
			d := f.Hull.At(i + 1).Sub(p)
			turns = append(turns, -math.Atan2(d.Y, d.X))
		}
	}
	least := math.Inf(1)
	for _, t := range turns {
		least = math.Min(least, f.Turned(t).Height())
	}
	return least
}
