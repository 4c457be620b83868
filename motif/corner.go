package motif

import (
	"math"

	"strew/motif/geom"
)

// A corner is looked at as scissors meet it: not by the two sides that happen
// to end there, which are steps of a curve as often as not, but by the points
// of the edge a little way before and after. On straight sides longer than
// that way the angle is the true one; a curve is a corner only where it turns
// within about two such ways.

const (
	// armShare is that way as a share of the piece's span: half a millimetre
	// on a leaf of 60 mm, about as far as scissors round a corner.
	armShare = 1.0 / 120

	// cornerBelow: an edge that turns less than 30° on that way is cut in one go.
	cornerBelow = 150 * math.Pi / 180
)

// Corner is a place where the edge turns sharply. The zero Corner is none.
type Corner struct {
	At geom.Vec
	// Angle, in radians, between the sides: through the felt for an outer
	// corner, through the air for an inner one, where the edge turns into the felt.
	Angle float64
	// Before and After are points of the edge on either side.
	Before, After geom.Vec
	Inner         bool
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

func ringCorners(ring geom.Ring, arm float64) []Corner {
	along := ways(ring)
	round := along[len(ring)]
	arm = math.Min(arm, round/8) // a tiny hole is looked at in its own steps
	all := make([]Corner, len(ring))
	for i, v := range ring {
		c := Corner{At: v, Before: walk(ring, i, -1, arm), After: walk(ring, i, 1, arm)}
		b, a := c.Before.Sub(v), c.After.Sub(v)
		// The felt lies on the right of the way round, as seen.
		felt := math.Mod(math.Atan2(a.Cross(b), a.Dot(b))+2*math.Pi, 2*math.Pi)
		c.Inner = felt > math.Pi
		c.Angle = math.Min(felt, 2*math.Pi-felt)
		all[i] = c
	}
	// Of corners within an arm of one another, the sharpest is the corner.
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

// walk returns the point of ring that lies way along it from corner i, in the
// direction of step, 1 or -1. way is less than the way round.
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
