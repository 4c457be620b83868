package scatter

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// The lattice of a pattern in rows stays regular where something lies in its
// way: what may not be is left out. Where a row is free is found once, as
// stretches of it, and marks are then counted on them.

// stretchGap is the distance at which a row is looked at for free stretches:
// a gap in the ground narrower than that holds no cutout.
const stretchGap = 3.0

// stretches returns where along a row any kind may have its anchor, as shares of
// the way round from 0 to 1, found to geom.Touch.
func (j *job) stretches(f folded, down float64) [][2]float64 {
	hands := j.byHand(f)
	if f.ground == nil && len(hands) == 0 {
		return [][2]float64{{0, 1}}
	}
	free := func(x float64) bool {
		at := f.fold.Spot(skirt.Place{Round: x, Down: down})
		return f.ground == nil || f.free(at)
	}
	ok := func(x float64) bool {
		return free(x) && j.offHand(f, f.fold.Spot(skirt.Place{Round: x, Down: down}), hands)
	}
	n := f.across(down, stretchGap)
	edge := func(good, bad float64) float64 {
		for math.Abs(good-bad)*float64(n)*stretchGap > geom.Touch {
			if mid := (good + bad) / 2; ok(mid) {
				good = mid
			} else {
				bad = mid
			}
		}
		return good
	}
	// Straight edges bend at the seams, where less than a gap may be taken.
	xs := make([]float64, 0, n+16)
	for k := range n {
		xs = append(xs, float64(k)/float64(n))
	}
	if f.fold.Straight {
		for k := range f.fold.Panels {
			xs = append(xs, float64(k)/float64(f.fold.Panels))
		}
		slices.Sort(xs)
		xs = slices.Compact(xs)
	}
	out := [][2]float64{} // not nil: that would be all of the row
	was, from, before := false, 0.0, 0.0
	for _, x := range xs {
		is := ok(x)
		switch {
		case is && !was && x == 0:
			from = 0
		case is && !was:
			from = edge(x, before)
		case !is && was:
			out = append(out, [2]float64{from, edge(before, x)})
		}
		was, before = is, x
	}
	if was {
		end := 1.0
		if !f.fold.Closed() || !ok(0) {
			end = edge(before, 1)
		}
		out = append(out, [2]float64{from, end})
	}
	return out
}

// lattice returns the places of a row that are free.
func (j *job) lattice(f folded, r rowPlan) []skirt.Place {
	out := make([]skirt.Place, 0, r.n)
	for k := range r.n {
		x := r.share(k)
		if r.free == nil || within(r.free, x) {
			out = append(out, skirt.Place{Round: x, Down: r.down})
		}
	}
	return out
}

// holds returns how many places of the row are free.
func (r rowPlan) holds() int {
	if r.free == nil {
		return r.n
	}
	n := 0
	for k := range r.n {
		if within(r.free, r.share(k)) {
			n++
		}
	}
	return n
}

// share returns where place k of the row lies, as a share of the way round.
func (r rowPlan) share(k int) float64 {
	if r.step > 0 {
		return r.first + float64(k)*r.step
	}
	x := (float64(k) + r.phase) / float64(r.n)
	return x - math.Floor(x)
}

func within(stretches [][2]float64, x float64) bool {
	for _, s := range stretches {
		if x >= s[0] && x <= s[1] {
			return true
		}
	}
	return false
}
