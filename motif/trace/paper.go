package trace

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/motif/geom"
)

// A sheet of paper in a photo is a bright quadrilateral. In a small copy of
// the photo the bright area is taken at many thresholds, since neither the
// light nor the table is known; the hull of each is cut down to the four-sided
// figure that adds the least area, and the one whose four sides all stand out
// best is the sheet. In the photo itself its sides are then measured: at
// many places the edge is looked for across the side, to parts of a pixel, and a
// line is fitted that passes over places where something lies on the edge.
// The sides' crossings are the corners, and those give the perspective.

// PaperSizes returns the names of the sheets that can be found in a photo.
func PaperSizes() []string {
	var names []string
	for _, p := range geom.Papers() {
		names = append(names, strings.ToLower(p.Name))
	}
	return names
}

// sheet is a sheet of paper found in a photo.
type sheet struct {
	corners [4]geom.Vec // in pixels, clockwise as seen from the top left
	flat    homography  // from the photo to the flat page in pixels of size pixel
	back    homography  // the other way
	pixel   float64     // mm
	note    string
}

// sheetMargin is what is not looked at along the sheet's edges, in mm: its
// shadow and curled rim.
const sheetMargin = 2.5

var errNoSheet = errors.New("no sheet of paper was found in the picture: lay it on a clearly darker, plain ground, and take the photo so that all four corners show with a little of the ground round them")

func findSheet(ctx context.Context, p plane, name string) (sheet, error) {
	size, _ := geom.PaperNamed(name)
	const smallSide = 400 // enough to see a sheet by
	k := max(1, max(p.w, p.h)/smallSide)
	small := p.shrink(k)
	quad, ok := brightQuad(small)
	if err := stopped(ctx); err != nil {
		return sheet{}, err
	}
	if !ok {
		return sheet{}, errNoSheet
	}
	for i := range quad {
		quad[i] = quad[i].Mul(float64(k))
	}
	for _, reach := range []float64{2.5*float64(k) + 3, 0.8*float64(k) + 4} {
		if quad, ok = p.sharpen(quad, reach); !ok {
			return sheet{}, errNoSheet
		}
	}
	s := sheet{corners: fromTopLeft(quad)}
	c := s.corners
	across := (c[0].Dist(c[1]) + c[3].Dist(c[2])) / 2
	high := (c[1].Dist(c[2]) + c[0].Dist(c[3])) / 2
	w, h := size.Width, size.Height
	if across > high {
		w, h = h, w
	}
	s.pixel = math.Sqrt(w * h / (across * high))
	fw, fh := w/s.pixel, h/s.pixel
	onPage := [4]geom.Vec{{}, {X: fw}, {X: fw, Y: fh}, {Y: fh}}
	var ok2 bool
	s.flat, ok = homographyOf(c, onPage)
	s.back, ok2 = homographyOf(onPage, c)
	if !ok || !ok2 {
		return sheet{}, errNoSheet
	}
	if shape := across / high / (w / h); shape < 0.75 || shape > 1.33 {
		s.note = fmt.Sprintf("the sheet in the picture looks %.2f times as long as wide, and %s paper is %.2f: is it that size, and all of it in the picture?",
			math.Max(across, high)/math.Min(across, high), size.Name, size.Height/size.Width)
	}
	return s, nil
}

// rows returns the sheet's part of each row, a margin left off.
func (s sheet) rows(p plane) []span {
	inset := sheetMargin / s.pixel
	var q [4]geom.Vec
	for i, c := range s.corners {
		before, after := s.corners[(i+3)%4], s.corners[(i+1)%4]
		b, a := before.Sub(c), after.Sub(c)
		// Along both sides by the inset over the sine of the corner.
		k := inset / math.Abs(b.Cross(a)/(b.Len()*a.Len()))
		q[i] = c.Add(b.Mul(k / b.Len())).Add(a.Mul(k / a.Len()))
	}
	rows := make([]span, p.h)
	for y := range rows {
		lo, hi := math.Inf(1), math.Inf(-1)
		v := float64(y) + 0.5
		for i, a := range q {
			b := q[(i+1)%4]
			if (a.Y > v) != (b.Y > v) {
				x := a.X + (v-a.Y)/(b.Y-a.Y)*(b.X-a.X)
				lo, hi = math.Min(lo, x), math.Max(hi, x)
			}
		}
		if lo < hi {
			rows[y] = span{max(0, int(math.Ceil(lo))), min(p.w, int(hi))}
		}
		if rows[y].to <= rows[y].from {
			rows[y] = span{}
		}
	}
	return rows
}

// fromTopLeft turns four corners clockwise so that the first is the one
// nearest to the top left.
func fromTopLeft(q [4]geom.Vec) [4]geom.Vec {
	if geom.Ring(q[:]).Area() < 0 {
		q[1], q[3] = q[3], q[1]
	}
	first := 0
	for i, c := range q {
		if c.X+c.Y < q[first].X+q[first].Y {
			first = i
		}
	}
	var out [4]geom.Vec
	for i := range out {
		out[i] = q[(first+i)%4]
	}
	return out
}

// Limits of a sheet in a photo.
const (
	leastSheet    = 0.12 // share of the photo
	leastSquare   = 0.95 // share of the four-sided figure that the hull fills
	leastContrast = 12   // of 255, along the weakest side
	sheetSteps    = 40   // thresholds tried
)

// brightQuad finds the bright four-sided area whose sides stand out best.
func brightQuad(p plane) (best [4]geom.Vec, ok bool) {
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

// brightHull returns the hull of the largest bright area that hangs together.
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
	return hull(pts)
}

// hull returns the convex hull of points with whole coordinates, clockwise as seen (A. M. Andrew, "Another
// efficient algorithm for convex hulls in two dimensions", 1979).
func hull(pts []geom.Vec) geom.Ring {
	slices.SortFunc(pts, func(a, b geom.Vec) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	var out geom.Ring
	for range 2 {
		base := len(out)
		for _, p := range pts {
			// Whole pixels: the product is exact.
			for len(out) >= base+2 && out[len(out)-1].Sub(out[len(out)-2]).Cross(p.Sub(out[len(out)-1])) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		if len(out) > 0 {
			out = out[:len(out)-1]
		}
		slices.Reverse(pts)
	}
	return out
}

// fourSides cuts a convex ring down to four sides: again and again the side
// goes whose neighbours, drawn on until they meet, add the least area.
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

// contrast returns how much brighter the right hand of a side, walked from a to
// b, is than the left; 0 where the side runs off the picture.
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

// sample returns the brightness at a point, straight between pixel middles.
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

// sharpen measures the four sides within reach pixels and returns their
// crossings.
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

// side fits a line to the edge of a sheet between a and b, the sheet on the
// right hand.
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
	// The line that most places agree on, then least squares over those.
	const rounds = 8
	for range rounds {
		if len(pts) < places/4 {
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
