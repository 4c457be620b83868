// Package shapetest draws shapes for tests of the lay.
package shapetest

import (
	"math"

	"pgregory.net/rapid"
	"strew/motif/geom"
)

// Rect returns a rectangle with a corner at the origin.
func Rect(w, h float64) geom.Region {
	return geom.Region{Outer: geom.Ring{{}, {X: w}, {X: w, Y: h}, {Y: h}}}
}

// Ngon has its points on a circle of radius r, inner ones on radius in where
// in > 0: then it is a star of n rays.
func Ngon(n int, r, in float64) geom.Ring {
	var out geom.Ring
	for k := range n {
		a := 2*math.Pi*float64(k)/float64(n) - math.Pi/2
		out = append(out, geom.Vec{X: r * math.Cos(a), Y: r * math.Sin(a)})
		if in > 0 {
			a += math.Pi / float64(n)
			out = append(out, geom.Vec{X: in * math.Cos(a), Y: in * math.Sin(a)})
		}
	}
	return out
}

// Disc returns a circle as 64 sides.
func Disc(r float64) geom.Region { return geom.Region{Outer: Ngon(64, r, 0)} }

// flower is a ring round the origin whose radius goes with the angle, so it
// crosses itself nowhere, whatever the radii: bays, needles and all.
func flower(t *rapid.T, label string) geom.Ring {
	n := rapid.IntRange(3, 60).Draw(t, label+" points")
	size := rapid.Float64Range(4, 45).Draw(t, label+" size")
	var out geom.Ring
	for k := range n {
		r := size * rapid.SampledFrom([]float64{1, 0.9, 0.5, 0.1}).Draw(t, label+" radius")
		a := 2 * math.Pi * float64(k) / float64(n)
		out = append(out, geom.Vec{X: r * math.Cos(a), Y: r * math.Sin(a)})
	}
	return out
}

// Draw draws a flower, often with a hole, or a bay between two arms.
func Draw(t *rapid.T, label string) geom.Region {
	switch rapid.IntRange(0, 3).Draw(t, label+" kind") {
	case 0:
		w := rapid.Float64Range(10, 60).Draw(t, label+" width")
		h := rapid.Float64Range(10, 60).Draw(t, label+" height")
		a := math.Min(w, h) * rapid.Float64Range(0.1, 0.4).Draw(t, label+" arm")
		return geom.Region{Outer: geom.Ring{{}, {X: w}, {X: w, Y: a}, {X: a, Y: a}, {X: a, Y: h - a}, {X: w, Y: h - a}, {X: w, Y: h}, {Y: h}}}
	case 1:
		f := flower(t, label)
		least := math.Inf(1)
		for i, p := range f {
			least = math.Min(least, geom.PointSegment(geom.Vec{}, p, f.At(i+1)))
		}
		if least < 0.5 || !f.Contains(geom.Vec{}) {
			return geom.Region{Outer: f}
		}
		hole := Ngon(rapid.IntRange(3, 12).Draw(t, label+" hole points"), least*0.8, 0)
		return geom.Region{Outer: f, Holes: []geom.Ring{hole.Reversed()}}
	case 2:
		r := rapid.Float64Range(8, 40).Draw(t, label+" radius")
		return geom.Region{Outer: Ngon(rapid.IntRange(3, 50).Draw(t, label+" sides"), r, r*rapid.SampledFrom([]float64{0, 0.1, 0.4, 0.8}).Draw(t, label+" inner"))}
	}
	return geom.Region{Outer: flower(t, label)}
}
