package motif

import (
	"math"

	"strew/motif/geom"
)

// How the narrowest place is found. A place is a straight cut through the felt
// from edge to edge, and its width the length of the cut. Every pointed or
// rounded end has short cuts across its very tip, so a cut counts only where
// the felt on both of its sides reaches out 1¼ times as far as the cut is wide,
// and a twelfth of the piece's span at least. A cut from a hole to the rim or
// to another hole always counts. Where no cut counts (a disc, a square, a
// stout oval) the narrowest place is the widest circle that fits. The rule is
// our own; it scales with the piece and does not depend on how it is turned.

const (
	// reachWidths: a part that sticks out hardly more than its width is a stub
	// and does not bend or tear like a stalk. 1 would see a place narrower than
	// the middle in every oval, 2 would overlook the arms of a starfish.
	reachWidths = 1.25

	// reachShare: the last twelfth of a pointed tip is not looked at, 5 mm on a
	// leaf of 60 mm.
	reachShare = 1.0 / 12

	// narrowSteps: the edge is looked at in steps of this share of the span,
	// between which the width of a tapering part changes by less than 1 %.
	narrowSteps = 1.0 / 240

	// narrowCorners bounds the corners looked at; a finer outline is taken at
	// so many even steps along its edge.
	narrowCorners = 3000
)

// Narrowest returns the width of a sound region at its narrowest place, by
// the rule above, in mm.
func Narrowest(r geom.Region) float64 {
	_, radius := geom.Inscribed([]geom.Region{r}, geom.InscribedTol)
	best := 2 * radius
	if best == 0 {
		return 0
	}
	coarse := geom.Region{Outer: evenly(r.Outer, narrowCorners)}
	for _, h := range r.Holes {
		coarse.Holes = append(coarse.Holes, evenly(h, narrowCorners))
	}
	span := 2 * r.Outer.Reach(r.Outer.Centroid())
	rings := coarse.Rings()
	for i, a := range rings {
		best = ringNeck(coarse, a, span, best)
		for _, b := range rings[:i] {
			best = ringGap(a, b, best)
		}
	}
	return best
}

// evenly returns ring at no more than n points.
func evenly(ring geom.Ring, n int) geom.Ring {
	if len(ring) <= n {
		return ring
	}
	return subdivide(ring, ring.Length()/float64(n), n)
}

// subdivide returns n points at even steps along ring.
func subdivide(ring geom.Ring, step float64, n int) geom.Ring {
	out := make(geom.Ring, 0, n)
	along := 0.0
	for i, p := range ring {
		q := ring.At(i + 1)
		l := p.Dist(q)
		for len(out) < n && float64(len(out))*step < along+l {
			out = append(out, p.Lerp(q, (float64(len(out))*step-along)/l))
		}
		along += l
	}
	return out
}

// ringGap returns the least distance between the edges of two rings, or best
// where that is less.
func ringGap(a, b geom.Ring, best float64) float64 {
	bb := b.Box()
	for i, p := range a {
		q := a.At(i + 1)
		if geom.BoxOf(p, q).Gap(bb) >= best {
			continue
		}
		for j, s := range b {
			if t := b.At(j + 1); geom.BoxOf(p, q).Gap(geom.BoxOf(s, t)) < best {
				best = math.Min(best, geom.SegmentGap(p, q, s, t))
			}
		}
	}
	return best
}

// ringNeck returns the width of the narrowest cut that counts between two
// points of ring, or best where that is less.
func ringNeck(r geom.Region, ring geom.Ring, span, best float64) float64 {
	along := make([]float64, len(ring)+1) // way round to each corner
	for i, p := range ring {
		along[i+1] = along[i] + p.Dist(ring.At(i+1))
	}
	round := along[len(ring)]
	for i, a := range ring {
		b := ring.At(i + 1)
		parts := int(math.Ceil(a.Dist(b) / (narrowSteps * span)))
		for k := range parts {
			at := float64(k) / float64(parts)
			p := a.Lerp(b, at)
			here := along[i] + at*(along[i+1]-along[i])
			for j, s := range ring {
				q := geom.ClosestOnSegment(p, s, ring.At(j+1))
				w := p.Dist(q)
				if w >= best || j == i {
					continue
				}
				need := math.Max(reachWidths*w, reachShare*span)
				way := math.Abs(along[j] + s.Dist(q) - here)
				// A part can reach no farther than half way round it.
				if (math.Min(way, round-way)+w)/2 < need {
					continue
				}
				mid := p.Lerp(q, 0.5)
				if reaches(ring, mid, min(i, j), max(i, j), need) && reaches(ring, mid, max(i, j), min(i, j)+len(ring), need) && through(r, p, q) {
					best = w
				}
			}
		}
	}
	return best
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

// through reports whether the cut from p to q, both on the edge of r, runs
// through felt only.
func through(r geom.Region, p, q geom.Vec) bool {
	if !r.Contains(p.Lerp(q, 0.5)) {
		return false
	}
	// The ends lie on the edge; what is cut is looked at a touch inside them.
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
