package motif

import (
	"math"

	"strew/motif/geom"
)

// A corner is what scissors meet: its angle is taken not between the two edges that
// end there, which may be steps of a curve, but between the points of the outline a
// short way before and after, its arms. On straight sides longer than an arm the
// angle is the true one; a curve is a corner only where it turns within about two
// arms.

const (
	// armShare is the length of an arm as a share of the piece's span: half a
	// millimetre on a leaf of 60 mm, about how far scissors round a corner.
	armShare = 1.0 / 120

	// cornerBelow: an edge that turns by less than 30° is cut in one go.
	cornerBelow = 150 * math.Pi / 180
)

// Corner is a place where the edge turns sharply. The zero Corner is none.
type Corner struct {
	At geom.Vec // in the motif's frame, mm
	// Angle, in radians, between the arms: through the felt for an outer corner,
	// through the air for an inner one, where the outline turns into the felt.
	Angle float64
	// Before and After are the ends of the arms on the outline.
	Before, After geom.Vec
	Inner         bool // the outline turns into the felt
}

// corners returns the corners of a sound region in the order of its rings.
func corners(r geom.Region) []Corner {
	arm := armShare * spanOf(r.Outer)
	var out []Corner
	for _, ring := range r.Rings() {
		out = append(out, ringCorners(ring, arm)...)
	}
	return out
}

// ringCorners returns the corners of one ring, measured with arms of that length.
func ringCorners(ring geom.Ring, arm float64) []Corner {
	along := ways(ring)
	round := along[len(ring)]
	arm = math.Min(arm, round/8) // a tiny hole has shorter arms
	all := make([]Corner, len(ring))
	for i, v := range ring {
		c := Corner{At: v, Before: walk(ring, i, -1, arm), After: walk(ring, i, 1, arm)}
		b, a := c.Before.Sub(v), c.After.Sub(v)
		// The felt lies on the right hand, as seen.
		felt := math.Mod(math.Atan2(a.Cross(b), a.Dot(b))+2*math.Pi, 2*math.Pi)
		c.Inner = felt > math.Pi
		c.Angle = math.Min(felt, 2*math.Pi-felt)
		all[i] = c
	}
	// Of corners within an arm of one another, only the sharpest counts.
	var out []Corner
	for i, c := range all {
		if c.Angle < cornerBelow && sharpestWithin(all, along, i, arm) {
			out = append(out, c)
		}
	}
	return out
}

// sharpestWithin reports whether no corner of the same kind less than arm
// along the ring from corner i is sharper, or as sharp and earlier.
func sharpestWithin(all []Corner, along []float64, i int, arm float64) bool {
	n := len(all)
	round := along[n]
	for _, step := range []int{1, -1} {
		for k := 1; k < n; k++ {
			j := ((i+step*k)%n + n) % n
			way := math.Abs(along[j] - along[i])
			if math.Min(way, round-way) >= arm {
				break
			}
			d := all[j].Angle - all[i].Angle
			if all[j].Inner == all[i].Inner && (d < -geom.SameAngle || d <= geom.SameAngle && j < i) {
				return false
			}
		}
	}
	return true
}

// walk returns the point at distance way along ring from corner i, in the
// direction of step, 1 or -1. way must be less than the length of the ring.
func walk(ring geom.Ring, i, step int, way float64) geom.Vec {
	for {
		p, q := ring.At(i), ring.At(i+step)
		l := p.Dist(q)
		if l >= way {
			return p.Lerp(q, way/l)
		}
		way -= l
		i += step
	}
}

// sharpestInner returns the sharpest inner corner, the zero Corner where there
// is none.
func sharpestInner(list []Corner) Corner {
	best := Corner{Angle: math.Inf(1)}
	for _, c := range list {
		if c.Inner && c.Angle < best.Angle-geom.SameAngle {
			best = c
		}
	}
	if math.IsInf(best.Angle, 1) {
		return Corner{}
	}
	return best
}
