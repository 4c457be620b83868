package scatter

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Among obstacles the lattice of a pattern in rows stays regular: places that are
// not free are left out. The free stretches of a row are found once, and marks
// counted on those.

// held returns how many places of the rows are free.
func held(rows []row) int {
	n := 0
	for i := range rows {
		n += rows[i].holds()
	}
	return n
}

// holds returns how many places of the row are free.
func (r *row) holds() int {
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

// places returns the places of a row that are free.
func (r *row) places() []skirt.Place {
	out := make([]skirt.Place, 0, r.n)
	for k := range r.n {
		x := r.share(k)
		if r.free == nil || within(r.free, x) {
			out = append(out, skirt.Place{Round: x, Down: r.down})
		}
	}
	return out
}

// share returns where place k of the row lies, as a share of the way round.
func (r *row) share(k int) float64 {
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

// stretchGap is the distance at which a row is sampled for free stretches: a gap
// between obstacles narrower than that holds no cutout.
const stretchGap = 3.0

// stretches returns where along a row any kind may have its anchor, as shares of
// the way round from 0 to 1, found to geom.Touch.
func (f rowPlanner) stretches(down float64) [][2]float64 {
	if f.obstacles == nil && len(f.hands) == 0 {
		return [][2]float64{{0, 1}}
	}
	ok := func(x float64) bool {
		at := f.fold.Spot(skirt.Place{Round: x, Down: down})
		return (f.obstacles == nil || f.free(at)) && f.offHand(at)
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
	xs := make([]float64, 0, n+16)
	for k := range n {
		xs = append(xs, float64(k)/float64(n))
	}
	// Where rows bend, an obstacle may take less than a gap.
	if bends := skirt.Bends(f.fold); len(bends) > 0 {
		xs = append(xs, bends...)
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
