package trace

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// sharpen measures the four sides, each within reach pixels of where q has it, and
// returns their crossings.
func (p plane) sharpen(q [4]geom.Vec, reach float64) (out [4]geom.Vec, ok bool) {
	var sides [4]line
	for i, a := range q {
		if sides[i], ok = p.side(a, q[(i+1)%4], reach); !ok {
			return out, false
		}
	}
	for i, s := range sides {
		b := sides[(i+3)%4]
		if out[i], ok = geom.Crossing(b.at, b.at.Add(b.along), s.at, s.at.Add(s.along)); !ok || out[i].Dist(q[i]) > 6*reach {
			return out, false
		}
	}
	return out, true
}

// side fits a line to the edge of a sheet between a and b, the sheet on the right
// hand. At many places the edge is looked for across the side, at sub-pixel
// accuracy; a robust fit then ignores places where something lies on the edge.
func (p plane) side(a, b geom.Vec, reach float64) (line, bool) {
	d := b.Sub(a)
	l := d.Len()
	along := d.Mul(1 / l)
	in := geom.Vec{X: -along.Y, Y: along.X}
	const places = 240
	n := int(2*reach) + 1
	var pts []geom.Vec
	profile, rise := make([]float64, n), make([]float64, n)
	for i := range places {
		// Corners may be bent or covered by a thumb.
		at := a.Lerp(b, 0.03+0.94*(float64(i)+0.5)/places)
		whole := true
		for k := range profile {
			sum := 0.0
			for s := -1.0; s <= 1; s++ { // three places along the side, against grain
				v, ok := p.sample(at.Add(in.Mul(float64(k) - reach)).Add(along.Mul(s * l / places / 3)))
				sum += v
				whole = whole && ok
			}
			profile[k] = sum / 3
		}
		if !whole {
			continue
		}
		best := 0
		for k := range rise {
			rise[k] = math.Max(0, profile[min(k+2, n-1)]+profile[min(k+1, n-1)]-profile[max(k-1, 0)]-profile[max(k-2, 0)])
			if rise[k] > rise[best] {
				best = k
			}
		}
		if rise[best] < leastContrast {
			continue
		}
		weight, sum := 0.0, 0.0
		for k := max(0, best-4); k <= min(n-1, best+4); k++ {
			weight += rise[k]
			sum += rise[k] * float64(k)
		}
		pts = append(pts, at.Add(in.Mul(sum/weight-reach)))
	}
	return robustLine(pts, places/4)
}

// robustLine fits a line to points by least squares, dropping again and again
// those more than three times the median distance from it, and half a pixel at
// least. It fails where fewer than least points are left.
func robustLine(pts []geom.Vec, least int) (line, bool) {
	const rounds = 8 // by then nothing more is dropped
	for range rounds {
		if len(pts) < least {
			return line{}, false
		}
		fitted := lineThrough(pts)
		off := make([]float64, len(pts))
		for i, v := range pts {
			off[i] = math.Abs(fitted.along.Cross(v.Sub(fitted.at)))
		}
		sorted := slices.Clone(off)
		slices.Sort(sorted)
		limit := math.Max(0.5, 3*sorted[len(sorted)/2])
		var kept []geom.Vec
		for i, v := range pts {
			if off[i] <= limit {
				kept = append(kept, v)
			}
		}
		if len(kept) == len(pts) {
			break
		}
		pts = kept
	}
	return lineThrough(pts), true
}
