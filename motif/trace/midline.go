package trace

import (
	"context"
	"image"
	"math"
	"slices"

	"strew/motif/geom"
)

// The edge that a drawn line stands for is its middle: the places as near to the
// page outside as to the page inside. The page is flood-filled from outside the
// window; what is left bare is inside. Each pixel of ink is then given to the
// side it is nearer to, by a distance transform, which skips loose ends and veins
// across the inside. The border of the inner side is followed, and each of its
// points moved to the very middle between the line's two edges, which are known
// at sub-pixel accuracy.

// Sides of a line.
const (
	onInk = iota
	outside
	within
)

// sides returns for each pixel of a window whether it is ink, outside or within,
// and how many pixels are within; pockets of less than least pixels count as ink.
func sides(w, h int, isInk func(k int) bool, least int) (side []uint8, inside int) {
	side = make([]uint8, w*h)
	const unknown = 255
	for k := range side {
		if !isInk(k) {
			side[k] = unknown
		}
	}
	var pocket []int
	fill := func(start int, as uint8) {
		pocket = append(pocket[:0], start)
		side[start] = as
		for i := 0; i < len(pocket); i++ {
			k := pocket[i]
			x := k % w
			for _, next := range [4]int{k - w, k + w, k - 1, k + 1} {
				if next < 0 || next >= len(side) || next == k-1 && x == 0 || next == k+1 && x == w-1 || side[next] != unknown {
					continue
				}
				side[next] = as
				pocket = append(pocket, next)
			}
		}
	}
	if side[0] == unknown {
		fill(0, outside)
	}
	for k := range side {
		if side[k] != unknown {
			continue
		}
		fill(k, within)
		if len(pocket) < least {
			for _, p := range pocket {
				side[p] = onInk
			}
			continue
		}
		inside += len(pocket)
	}
	return side, inside
}

// inner returns as 1 what lies within, each pixel of ink given to the side it is
// nearer to.
func inner(at image.Point, w, h int, side []uint8) field {
	way := distanceTransform(w, h, func(k int) bool { return side[k] != onInk })
	f := field{at: at, w: w, h: h, v: make([]float32, w*h)}
	for k, o := range way {
		if o.x != far && side[k+int(o.y)*w+int(o.x)] == within {
			f.v[k] = 1
		}
	}
	return f
}

// closedLine returns the figures that a line goes round.
func (m mark) closedLine(ctx context.Context, edge Edge) ([]shape, error) {
	if edge == Outer {
		var rings []geom.Ring
		for _, r := range m.rings {
			if r.Area() > 0 {
				rings = append(rings, r)
			}
		}
		return nest(rings, m.width), nil
	}
	side, _ := sides(m.w, m.h, func(k int) bool { return m.v[k] >= m.level }, int(m.leastPocket()))
	in := inner(m.at, m.w, m.h, side)
	if err := stopped(ctx); err != nil {
		return nil, err
	}
	return nest(in.middles(m.rings, m.width), m.width), nil
}

// middles returns the edges of what lies within, moved to the middle between the
// edges of the drawn line, which is about width wide.
func (f field) middles(ink []geom.Ring, width float64) []geom.Ring {
	least := math.Max(width*width, leastSide*leastSide/4)
	var out, in []geom.Vec
	for _, r := range ink {
		if math.Abs(r.Area()) < least {
			continue
		}
		for _, p := range r {
			x, y := int(p.X)-f.at.X, int(p.Y)-f.at.Y
			if f.v[y*f.w+x] > 0 {
				in = append(in, p)
			} else {
				out = append(out, p)
			}
		}
	}
	const reach = 3 // line widths within which its edges are looked for
	nearOut, nearIn := newPointGrid(out, reach*width+2), newPointGrid(in, reach*width+2)
	rings := f.contours(0.5)
	for n, ring := range rings {
		r := slices.Clone(ring)
		for i, p := range ring {
			at := p
			for range 3 {
				a, ok := nearOut.nearest(at)
				b, ok2 := nearIn.nearest(at)
				if !ok || !ok2 || a == b {
					break
				}
				l := a.Dist(b)
				at = at.Add(b.Sub(a).Mul((at.Dist(b) - at.Dist(a)) / (2 * l)))
			}
			if at.Dist(p) <= 2 { // else the nearest edges are those of another line
				r[i] = at
			}
		}
		if r = slices.Compact(r); geom.Simple(r) {
			rings[n] = r
		}
	}
	return rings
}
