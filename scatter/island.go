package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Islands are cutouts placed by hand that reach farther than any strewn one. As a
// neighbour like any other such a cutout would be a point that marks come to lie
// about, most of them on it; so it is an obstacle, and marks keep their distances to
// one another only, as they do beside a bare patch.

// islands holds those of one repeat.
type islands struct {
	fold  skirt.Surface
	laid  []laid
	spots *skirt.Spots // their anchors
	reach float64      // of the farthest reaching
	clear float64      // cloth kept free from them
}

// island reports whether a mark is one.
func (b *band) island(m *mark) bool { return m.fixed && b.kinds[m.kind].reach > b.coverReach }

// islandsOf collects those among the marks placed by hand; nil where there are none.
func islandsOf(f *domain) *islands {
	o := &islands{fold: f.fold, clear: f.opt.Clearance.Between + geom.Snug}
	var at []skirt.Spot
	low, high := math.Inf(1), math.Inf(-1)
	for i := range f.hands {
		m := &f.hands[i]
		if !f.island(m) {
			continue
		}
		spot := f.fold.Spot(m.at)
		at = append(at, spot)
		o.laid = append(o.laid, f.laidAt(m.kind, m.turn, spot))
		o.reach = math.Max(o.reach, f.kinds[m.kind].reach)
		low, high = math.Min(low, m.at.Down), math.Max(high, m.at.Down)
	}
	if len(at) == 0 {
		return nil
	}
	o.spots = skirt.NewSpots(f.fold, low, high, o.reach)
	for _, p := range at {
		o.spots.Add(p)
	}
	return o
}

// around calls yield for the islands that come within reach of a spot, as they lie
// about it in the plane, turned besides, until it returns false.
func (o *islands) around(at skirt.Spot, reach float64, yield func(l laid, off geom.Vec, turn float64) bool) {
	if o == nil {
		return
	}
	done := false
	o.spots.Near(at, reach+o.reach, func(id int, off geom.Vec, over int) {
		if done || length(off) >= reach+o.laid[id].reach {
			return
		}
		done = !yield(o.laid[id], off, o.fold.OverTurn(over))
	})
}

// clearOf reports whether a mark's outline keeps clear of every island at a spot.
func (o *islands) clearOf(f *domain, m *mark, at skirt.Spot) bool {
	var mine laid
	ok := true
	o.around(at, f.kinds[m.kind].reach+o.gap(), func(l laid, off geom.Vec, turn float64) bool {
		if mine.rings == nil {
			mine = f.laidAt(m.kind, m.turn, at)
		}
		ok = apart(mine, l, off, turn, o.clear) >= o.clear
		return ok
	})
	return ok
}

// clearOfDiscs is clearOf for covering discs, given in the upright frame.
func (o *islands) clearOfDiscs(at skirt.Spot, discs []skirt.Disc, reach float64) bool {
	ok := true
	o.around(at, reach+o.gap(), func(l laid, off geom.Vec, turn float64) bool {
		for _, b := range discs {
			p := b.At.Rotate(at.Upright).Sub(off).Rotate(-turn) // as it lies about the island
			if !l.clearOf(p, b.Radius+o.clear) {
				ok = false
				return false
			}
		}
		return true
	})
	return ok
}

// gap returns the cloth kept free from islands.
func (o *islands) gap() float64 {
	if o == nil {
		return 0
	}
	return o.clear
}

// clearOf reports whether a point about the outline's anchor lies outside it and at
// least so far away.
func (l *laid) clearOf(p geom.Vec, far float64) bool {
	// Discs inside the outline settle most points.
	most := math.Inf(1)
	for _, b := range l.inner {
		most = min(most, length(p.Sub(b.At))-b.Radius)
	}
	switch {
	case most < far:
		return false
	case most-l.stray >= far:
		return true
	}
	for _, r := range l.rings {
		if r.Contains(p) || r.EdgeDist(p) < far {
			return false
		}
	}
	return true
}
