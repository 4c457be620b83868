package trace

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// A sheet of paper is brighter than the ground it lies on, but neither the light
// nor the ground is known. So bright areas are taken at many thresholds; the
// hull of the largest of each is reduced to the quadrilateral that adds least
// area, and the one whose four sides all stand out best is the sheet.

// Limits of a sheet in a photo.
const (
	leastSheet    = 0.12 // share of the photo
	leastSquare   = 0.95 // share of the quadrilateral that the hull fills
	leastContrast = 12   // of 255, along the weakest side
	sheetSteps    = 40   // thresholds tried
)

// brightQuadrilateral finds the bright quadrilateral whose sides stand out best.
func brightQuadrilateral(p plane) (best [4]geom.Vec, ok bool) {
	sorted := slices.Clone(p.pix)
	slices.Sort(sorted)
	score := 0.0
	last := -1
	for i := 1; i < sheetSteps; i++ {
		level := int(sorted[len(sorted)*i/sheetSteps])
		if level == last {
			continue
		}
		last = level
		hull := p.brightHull(uint8(level))
		area := hull.Area()
		if area < leastSheet*float64(p.w*p.h) {
			continue
		}
		quad, fits := fourSides(hull)
		if !fits || area < leastSquare*math.Abs(geom.Ring(quad[:]).Area()) {
			continue
		}
		weakest := math.Inf(1)
		for k, a := range quad {
			weakest = math.Min(weakest, p.contrast(a, quad[(k+1)%4]))
		}
		if s := weakest * area / math.Abs(geom.Ring(quad[:]).Area()); weakest >= leastContrast && s > score {
			best, score, ok = quad, s, true
		}
	}
	return best, ok
}

// brightHull returns the convex hull of the largest connected area that is at
// least as bright as level.
func (p plane) brightHull(level uint8) geom.Ring {
	seen := make([]bool, len(p.pix))
	var largest, queue []int
	for k := range p.pix {
		if seen[k] || p.pix[k] < level {
			continue
		}
		queue = append(queue[:0], k)
		seen[k] = true
		for i := 0; i < len(queue); i++ {
			k := queue[i]
			x := k % p.w
			for _, n := range [4]int{k - p.w, k + p.w, k - 1, k + 1} {
				if n < 0 || n >= len(seen) || n == k-1 && x == 0 || n == k+1 && x == p.w-1 || seen[n] || p.pix[n] < level {
					continue
				}
				seen[n] = true
				queue = append(queue, n)
			}
		}
		if len(queue) > len(largest) {
			largest, queue = queue, nil
		}
	}
	// The ends of each row, at the pixels' corners.
	lo, hi := make([]int, p.h), make([]int, p.h)
	for y := range lo {
		lo[y] = p.w
	}
	for _, k := range largest {
		x, y := k%p.w, k/p.w
		lo[y], hi[y] = min(lo[y], x), max(hi[y], x+1)
	}
	var pts []geom.Vec
	for y := range lo {
		if lo[y] < hi[y] {
			for _, v := range []int{y, y + 1} {
				pts = append(pts, geom.Vec{X: float64(lo[y]), Y: float64(v)}, geom.Vec{X: float64(hi[y]), Y: float64(v)})
			}
		}
	}
	return geom.Hull(pts)
}

// fourSides reduces a convex ring to four sides: again and again it drops the
// side whose neighbours, extended until they meet, add the least area.
func fourSides(r geom.Ring) (q [4]geom.Vec, ok bool) {
	r = slices.Clone(r)
	for len(r) > 4 {
		best, area := -1, math.Inf(1)
		var at geom.Vec
		for i := range r {
			a, b, c, d := r.At(i-1), r[i], r.At(i+1), r.At(i+2)
			p, meets := geom.Crossing(a, b, d, c)
			if !meets || b.Sub(a).Dot(p.Sub(b)) < 0 || c.Sub(d).Dot(p.Sub(c)) < 0 {
				continue
			}
			if added := math.Abs(p.Sub(b).Cross(c.Sub(b))) / 2; added < area {
				best, area, at = i, added, p
			}
		}
		if best < 0 {
			return q, false
		}
		r[best] = at
		k := (best + 1) % len(r)
		r = slices.Delete(r, k, k+1)
	}
	if len(r) < 4 {
		return q, false
	}
	copy(q[:], r)
	return q, true
}

// contrast returns how much brighter the picture is on the right of a side, walked
// from a to b, than on the left, at the weakest quarter of the side; 0 where it
// runs off the picture.
func (p plane) contrast(a, b geom.Vec) float64 {
	along := b.Sub(a)
	along = along.Mul(1 / along.Len())
	in := geom.Vec{X: -along.Y, Y: along.X} // the right hand, y down
	var diffs []float64
	const places, off = 40, 3
	for i := range places {
		at := a.Lerp(b, (float64(i)+0.5)/places)
		out, ok := p.sample(at.Sub(in.Mul(off)))
		inner, ok2 := p.sample(at.Add(in.Mul(off)))
		if !ok || !ok2 {
			diffs = append(diffs, 0)
			continue
		}
		diffs = append(diffs, inner-out)
	}
	slices.Sort(diffs)
	return diffs[len(diffs)/4] // three quarters of the side stand out more
}

// sample returns the brightness at a point, bilinear between pixel centres, and
// false off the picture.
func (p plane) sample(v geom.Vec) (float64, bool) {
	x, y := v.X-0.5, v.Y-0.5
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if i < 0 || j < 0 || i+1 >= p.w || j+1 >= p.h {
		return 0, false
	}
	tx, ty := x-float64(i), y-float64(j)
	k := j*p.w + i
	up := float64(p.pix[k])*(1-tx) + float64(p.pix[k+1])*tx
	down := float64(p.pix[k+p.w])*(1-tx) + float64(p.pix[k+p.w+1])*tx
	return up*(1-ty) + down*ty, true
}
