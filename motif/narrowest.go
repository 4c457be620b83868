package motif

import (
	"math"

	"strew/motif/geom"
)

// The narrowest place is a straight cut through the felt from edge to edge, and
// its width the length of the cut. Every pointed or rounded end has short cuts
// across its tip, so a cut counts only where the felt on both sides of it extends
// at least 1¼ times the width of the cut and a twelfth of the piece's span. A cut
// from a hole to the rim or to another hole always counts. Where no cut counts (a
// disc, a square, a stout oval) the narrowest place is the widest circle that
// fits. The rule is our own; it scales with the piece and does not depend on how
// it is turned. Slots are found in the same way, see slot.go.

const (
	// reachWidths: a part that sticks out hardly more than its width is a knob,
	// which does not bend or tear like a stalk. At 1 every oval would have a place
	// narrower than its middle, at 2 the arms of a starfish would have none.
	reachWidths = 1.25

	// reachShare: the last twelfth of a pointed tip is ignored, 5 mm on a leaf of
	// 60 mm.
	reachShare = 1.0 / 12

	// narrowSteps: the edge is sampled in steps of this share of the span, over
	// which the width of a tapering part changes by less than 1 %.
	narrowSteps = 1.0 / 240

	// narrowCorners limits the corners examined; a finer outline is resampled at
	// this many even steps.
	narrowCorners = 3000
)

// Place is a straight cut from edge to edge: across the felt where it is
// narrow, or across a slot. The zero Place is none.
type Place struct{ From, To geom.Vec }

// Width returns the length of the cut in mm.
func (p Place) Width() float64 { return p.From.Dist(p.To) }

// narrowest returns where a sound region is narrowest by the rule above;
// widest is the widest circle in it.
func narrowest(r geom.Region, widest Circle) Place {
	if widest.Radius == 0 {
		return Place{}
	}
	half := geom.Vec{X: widest.Radius}
	best := Place{widest.At.Sub(half), widest.At.Add(half)}
	coarse := coarser(r)
	span := spanOf(r.Outer)
	rings := coarse.Rings()
	for i, a := range rings {
		best = narrowestCut(a, span, best, feltOnBothSides(coarse, a))
		for _, b := range rings[:i] {
			best = ringGap(a, b, best)
		}
	}
	return best
}

// spanOf returns the size of a piece that lengths are compared with: twice the
// distance from its centroid to its farthest point.
func spanOf(outer geom.Ring) float64 { return 2 * outer.Reach(outer.Centroid()) }

// coarser returns r with at most narrowCorners points in each ring.
func coarser(r geom.Region) geom.Region {
	out := geom.Region{Outer: evenly(r.Outer, narrowCorners)}
	for _, h := range r.Holes {
		out.Holes = append(out.Holes, evenly(h, narrowCorners))
	}
	return out
}

// evenly returns ring with at most n points.
func evenly(ring geom.Ring, n int) geom.Ring {
	if len(ring) <= n {
		return ring
	}
	return ring.Resampled(n)
}

// ringGap returns the shortest cut between the edges of two rings, or best where
// that is as short.
func ringGap(a, b geom.Ring, best Place) Place {
	least := best.Width()
	bb := b.Box()
	for i, p := range a {
		q := a.At(i + 1)
		if geom.BoxOf(p, q).Gap(bb) >= least {
			continue
		}
		for j, s := range b {
			t := b.At(j + 1)
			if geom.BoxOf(p, q).Gap(geom.BoxOf(s, t)) >= least {
				continue
			}
			// The rings do not cross, so one end of the cut is a corner.
			for _, c := range []Place{
				{p, geom.ClosestOnSegment(p, s, t)}, {q, geom.ClosestOnSegment(q, s, t)},
				{geom.ClosestOnSegment(s, p, q), s}, {geom.ClosestOnSegment(t, p, q), t},
			} {
				if w := c.Width(); w < least {
					best, least = c, w
				}
			}
		}
	}
	return best
}

// end is one end of a cut: a point on the edge of a ring that starts at corner.
type end struct {
	at     geom.Vec
	corner int
	along  float64 // distance round the ring to at
}

// narrowestCut returns the shortest cut between two points of ring for which
// counts holds, or best where that is as short. need is how far both sides must
// extend.
func narrowestCut(ring geom.Ring, span float64, best Place, counts func(p, q end, need float64) bool) Place {
	along := ways(ring)
	least := best.Width()
	for i, a := range ring {
		b := ring.At(i + 1)
		parts := int(math.Ceil(a.Dist(b) / (narrowSteps * span)))
		for k := range parts {
			t := float64(k) / float64(parts)
			p := end{a.Lerp(b, t), i, along[i] + t*(along[i+1]-along[i])}
			for j, s := range ring {
				at := geom.ClosestOnSegment(p.at, s, ring.At(j+1))
				w := p.at.Dist(at)
				if w >= least || j == i {
					continue
				}
				q := end{at, j, along[j] + s.Dist(at)}
				if counts(p, q, math.Max(reachWidths*w, reachShare*span)) {
					best, least = Place{p.at, at}, w
				}
			}
		}
	}
	return best
}

// ways returns the distance round ring to each corner, and back to the first.
func ways(ring geom.Ring) []float64 {
	out := make([]float64, len(ring)+1)
	for i, p := range ring {
		out[i+1] = out[i] + p.Dist(ring.At(i+1))
	}
	return out
}

// feltOnBothSides returns the rule for felt: the cut runs through r, and both parts
// of ring extend far enough.
func feltOnBothSides(r geom.Region, ring geom.Ring) func(p, q end, need float64) bool {
	round := ring.Length()
	return func(p, q end, need float64) bool {
		// A part extends at most half the distance round it.
		way := math.Abs(q.along - p.along)
		if (math.Min(way, round-way)+p.at.Dist(q.at))/2 < need {
			return false
		}
		mid := p.at.Lerp(q.at, 0.5)
		i, j := min(p.corner, q.corner), max(p.corner, q.corner)
		return reaches(ring, mid, i, j, need) && reaches(ring, mid, j, i+len(ring), need) &&
			r.Contains(mid) && uncrossed(r, p.at, q.at)
	}
}

// reaches reports whether a corner of ring after from and up to to lies at
// least as far as need from mid.
func reaches(ring geom.Ring, mid geom.Vec, from, to int, need float64) bool {
	for i := from + 1; i <= to; i++ {
		if ring.At(i).Dist(mid) >= need {
			return true
		}
	}
	return false
}

// uncrossed reports whether no edge of r crosses the cut from p to q, both on
// the edge of r.
func uncrossed(r geom.Region, p, q geom.Vec) bool {
	// The ends lie on the edge, so the test starts a touch inside them.
	l := p.Dist(q)
	if l <= 4*geom.Touch {
		return true
	}
	a, b := p.Lerp(q, geom.Touch/l), q.Lerp(p, geom.Touch/l)
	for _, ring := range r.Rings() {
		for i, s := range ring {
			if geom.SegmentsCross(a, b, s, ring.At(i+1)) {
				return false
			}
		}
	}
	return true
}
