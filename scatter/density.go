package scatter

import (
	"math"

	"strew/motif/geom"
)

// density is how the step changes down the skirt, as factors of the spacing at
// the hem. Down the cloth it changes evenly from waist to 1; along a row it also
// grows by the crowding of the gathers, which falls evenly from crowd at the waist
// to 1. Lengths divided by these factors are the same everywhere:
// the pattern is even in them.
type density struct {
	waist, crowd float64
	drop         float64
	flat         bool // both are 1
}

func densityOf(opt Options, drop float64) density {
	d := density{waist: 1, crowd: math.Max(1, opt.Crowding), drop: drop}
	if opt.SpacingWaist > 0 && opt.Spacing > 0 {
		d.waist = opt.SpacingWaist / opt.Spacing
	}
	// If steps shrank to nothing or grew without bound, rows would never end.
	d.waist = math.Min(math.Max(d.waist, 0.05), 20)
	d.flat = math.Abs(d.waist-1) < geom.SameRatio && d.crowd-1 < geom.SameRatio
	return d
}

// at returns the factors at a distance below the waist, along the row and down.
func (d density) at(down float64) (along, across float64) {
	if d.flat {
		return 1, 1
	}
	up := 1 - math.Min(math.Max(down/d.drop, 0), 1)
	across = 1 + (d.waist-1)*up
	return across * (1 + (d.crowd-1)*up), across
}

// depth returns how far below the waist a place lies in lengths divided by the
// factor down the cloth, and under is its inverse.
func (d density) depth(down float64) float64 {
	slope := (1 - d.waist) / d.drop
	if math.Abs(1-d.waist) < geom.SameRatio {
		return down
	}
	return math.Log((d.waist+slope*down)/d.waist) / slope
}

func (d density) under(depth float64) float64 {
	slope := (1 - d.waist) / d.drop
	if math.Abs(1-d.waist) < geom.SameRatio {
		return depth
	}
	return d.waist * math.Expm1(depth*slope) / slope
}

// spread returns n rows from low to high and their pitch, as it would be at the
// hem; a single row lies in the middle.
func (d density) spread(low, high float64, n int) ([]float64, float64) {
	if n == 1 {
		return []float64{(low + high) / 2}, 0
	}
	from, to := d.depth(low), d.depth(high)
	pitch := (to - from) / float64(n-1)
	out := make([]float64, n)
	for i := range out {
		out[i] = d.under(from + float64(i)*pitch)
	}
	out[0], out[n-1] = low, high
	return out, pitch
}

// metric is an anisotropic metric: it sends vectors of the plane at a place to
// lengths in which the pattern is even, and back.
type metric struct {
	to, from geom.Affine
	size     float64 // by which small outlines grow in it
}

// metricAt returns the metric at down, where the upright frame is turned by
// upright in the plane.
func (d density) metricAt(down, upright float64) metric {
	along, across := d.at(down)
	turn := geom.Rotation(upright)
	back := geom.Rotation(-upright)
	return metric{
		to:   back.Then(geom.Scaling(1/along, 1/across)),
		from: geom.Scaling(along, across).Then(turn),
		size: 1 / across,
	}
}
