package trace

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"math"
	"slices"

	"strew/motif/geom"
)

// The edge a drawn line stands for is its middle: the places as near to the
// page outside as to the page inside. The page is filled in from outside the
// window; what is left bare is inside. Each pixel of ink then goes to the side
// it is nearer to, which passes over loose ends and over veins across the
// inside. The border of the inner side is followed and each of its points set
// in the very middle between the line's two edges, known to parts of a pixel.
//
// A line with gaps has no inside. It is thickened just as far as it takes for one
// to show, the middle taken as before, and set between the edges of the line
// as drawn.

// Sides of a line.
const (
	onInk = iota
	outside
	within
)

// sides tells for each pixel of a window whether it is ink, outside or within;
// pockets of less than least pixels count as ink. Inside is the number of
// pixels within.
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

// inner returns the window of what lies within, each pixel of ink given to the
// side it is nearer to.
func inner(at image.Point, w, h int, side []uint8) field {
	way := nearest(w, h, func(k int) bool { return side[k] != onInk })
	f := field{at: at, w: w, h: h, v: make([]float32, w*h)}
	for k, o := range way {
		if o.x != far && side[k+int(o.y)*w+int(o.x)] == within {
			f.v[k] = 1
		}
	}
	return f
}

// leastPocket is the least bare page inside a line that is more than grain.
func (s stroke) leastPocket() int {
	return int(math.Max(s.width*s.width, leastSide*leastSide/4))
}

// closedLine returns the figures inside a line.
func (s stroke) closedLine(ctx context.Context, edge Edge) ([]shape, error) {
	if edge == Outer {
		var rings []geom.Ring
		for _, r := range s.rings {
			if r.Area() > 0 {
				rings = append(rings, r)
			}
		}
		return nest(rings, s.width), nil
	}
	side, _ := sides(s.w, s.h, func(k int) bool { return s.v[k] >= s.level }, s.leastPocket())
	in := inner(s.at, s.w, s.h, side)
	if err := stopped(ctx); err != nil {
		return nil, err
	}
	return nest(in.middles(s.rings, s.width), s.width), nil
}

// middles returns the edges of what lies within, set in the middle between the
// edges of the drawn line.
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
	const reach = 3 // of line widths: as far as its edges are looked for
	nearOut, nearIn := newPoints(out, reach*width+2), newPoints(in, reach*width+2)
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
			if at.Dist(p) <= 2 { // else the edges near by are those of another line
				r[i] = at
			}
		}
		if r = slices.Compact(r); simple([]geom.Ring{r}) {
			rings[n] = r
		}
	}
	return rings
}

// points finds the nearest of many points within reach.
type points struct {
	cell, reach float64
	box         geom.Box
	w, h        int
	at          [][]geom.Vec
}

func newPoints(list []geom.Vec, reach float64) points {
	p := points{cell: 4, reach: reach, box: geom.BoxOf(list...)}
	if len(list) == 0 {
		return p
	}
	p.w, p.h = int(p.box.Width()/p.cell)+1, int(p.box.Height()/p.cell)+1
	p.at = make([][]geom.Vec, p.w*p.h)
	for _, v := range list {
		k := int((v.Y-p.box.Min.Y)/p.cell)*p.w + int((v.X-p.box.Min.X)/p.cell)
		p.at[k] = append(p.at[k], v)
	}
	return p
}

func (p points) nearest(q geom.Vec) (best geom.Vec, ok bool) {
	if len(p.at) == 0 {
		return best, false
	}
	d := p.reach
	cx, cy := int(math.Floor((q.X-p.box.Min.X)/p.cell)), int(math.Floor((q.Y-p.box.Min.Y)/p.cell))
	for ring := 0; float64(ring-1)*p.cell < d; ring++ {
		for y := cy - ring; y <= cy+ring; y++ {
			step := 1
			if y != cy-ring && y != cy+ring {
				step = max(1, 2*ring)
			}
			for x := cx - ring; x <= cx+ring; x += step {
				if x < 0 || y < 0 || x >= p.w || y >= p.h {
					continue
				}
				for _, v := range p.at[y*p.w+x] {
					if e := v.Dist(q); e < d {
						best, d, ok = v, e, true
					}
				}
			}
		}
	}
	return best, ok
}

// gap is a place where a line is not closed.
type gap struct {
	at    geom.Vec // in its middle, or on the line where no gap was found
	width float64  // pixels; 0 where the line does not close however far it is bridged
	side  float64  // of the line's box
	big   bool     // the line is long enough to be missed
}

func (g gap) error() error {
	if g.width == 0 {
		return fmt.Errorf("the line near %s does not go round anything: draw one closed outline, or fill the shape", spot(g.at))
	}
	return fmt.Errorf("the outline is open: there is a gap of about %.0f pixels at %s, and only small gaps are closed; draw the line through and take the picture again", g.width, spot(g.at))
}

const (
	// gapWidths and gapShare are the widest gap that is closed: so many widths of
	// the line, or such a share of the figure (1.8 mm on 60 mm).
	gapWidths = 3
	gapShare  = 0.03
	// leastInside is the share of its box that a closed line must go round.
	leastInside = 0.05
	// maxStrokes is the most open lines that are joined.
	maxStrokes = 60
)

// joinLines closes small gaps in lines and returns the figures they go round,
// and the gaps that are too wide.
func (in ink) joinLines(ctx context.Context, open []stroke, edge Edge) ([]shape, []gap, error) {
	if len(open) > maxStrokes { // the longest are the drawing, the rest dirt
		slices.SortStableFunc(open, func(a, b stroke) int { return cmp.Compare(b.length, a.length) })
		open = open[:maxStrokes]
	}
	var shapes []shape
	largest, pen := 0.0, 0.0
	for _, s := range open {
		largest = math.Max(largest, float64(max(s.box.Dx(), s.box.Dy())))
		pen = math.Max(pen, s.width)
	}
	closeTo := math.Max(gapWidths*pen, gapShare*largest) / 2
	for reach := 1.0; len(open) > 0; reach *= 1.5 {
		reach = math.Min(reach, closeTo)
		made, rest, _, err := in.bridge(ctx, open, reach, edge)
		if err != nil {
			return nil, nil, err
		}
		shapes, open = append(shapes, made...), rest
		if reach == closeTo {
			break
		}
	}
	if len(open) == 0 {
		return shapes, nil, nil
	}
	// Find how wide the gaps are that stay, to say so.
	var gaps []gap
	left := open
	if len(shapes) == 0 {
		for reach := closeTo * 1.3; len(left) > 0 && reach < largest/2; reach *= 1.3 {
			_, rest, found, err := in.bridge(ctx, left, reach, Middle)
			if err != nil {
				return nil, nil, err
			}
			gaps, left = append(gaps, found...), rest
		}
	}
	for _, s := range left {
		side := float64(max(s.box.Dx(), s.box.Dy()))
		gaps = append(gaps, gap{at: s.rings[0][0], side: side, big: side > largest/4 && s.length > lineLength*s.width})
	}
	return shapes, gaps, nil
}

// bridge thickens lines by reach on each side and returns the figures they go
// round then, the lines that go round nothing, and the widest gap of each figure.
func (in ink) bridge(ctx context.Context, open []stroke, reach float64, edge Edge) (shapes []shape, rest []stroke, gaps []gap, err error) {
	all := blob{box: open[0].box}
	level := open[0].level
	for _, s := range open {
		all.box = all.box.Union(s.box)
		all.runs = append(all.runs, s.runs...)
		level = min(level, s.level)
	}
	f := in.alone(all, int(reach)+3)
	way := nearest(f.w, f.h, func(k int) bool { return f.v[k] >= level })
	limit := int(reach * reach)
	// Which thickened lines hang together: 0 none, else a number.
	group := make([]int32, len(way))
	groups := int32(0)
	var stack []int
	for k := range way {
		if group[k] != 0 || way[k].square() > limit {
			continue
		}
		groups++
		group[k] = groups
		for stack = append(stack[:0], k); len(stack) > 0; {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for dy := -f.w; dy <= f.w; dy += f.w {
				for dx := -1; dx <= 1; dx++ { // the window's margin is never thickened
					if n := k + dy + dx; n >= 0 && n < len(way) && group[n] == 0 && way[n].square() <= limit {
						group[n] = groups
						stack = append(stack, n)
					}
				}
			}
		}
	}
	members := make([][]stroke, groups+1)
	for _, s := range open {
		g := int32(0)
		for _, r := range s.runs { // any of it that is ink at the common level
			if g = group[(r.y-f.at.Y)*f.w+r.from-f.at.X]; g != 0 {
				break
			}
		}
		members[g] = append(members[g], s)
	}
	for g, lines := range members {
		if len(lines) == 0 {
			continue
		}
		if err := stopped(ctx); err != nil {
			return nil, nil, nil, err
		}
		box, width := lines[0].box, 0.0
		var rings []geom.Ring
		for _, s := range lines {
			box = box.Union(s.box)
			width = math.Max(width, s.width)
			rings = append(rings, s.rings...)
		}
		// The group's own part of the window.
		part := box.Inset(-int(reach) - 2)
		w, h := part.Dx(), part.Dy()
		whole := func(k int) int { return (part.Min.Y-f.at.Y+k/w)*f.w + part.Min.X - f.at.X + k%w }
		side, inside := sides(w, h, func(k int) bool { return group[whole(k)] == int32(g) }, int(width*width)+leastSide)
		least := leastInside * float64(box.Dx()*box.Dy())
		if g == 0 || float64(inside) < math.Max(least, 16*width*width) {
			rest = append(rest, lines...)
			continue
		}
		if edge == Outer {
			// As far inward of what is outside as the line was thickened outward.
			out := nearest(w, h, func(k int) bool { return side[k] == outside })
			felt := field{at: part.Min, w: w, h: h, v: make([]float32, w*h)}
			for k, o := range out {
				felt.v[k] = float32(math.Sqrt(float64(o.square())))
			}
			shapes = append(shapes, nest(felt.contours(float32(reach)+0.5), width)...)
			continue
		}
		within := inner(part.Min, w, h, side)
		rings = within.middles(rings, width+reach)
		shapes = append(shapes, nest(rings, width)...)
		wide := widest(f, way, rings)
		wide.side = float64(max(box.Dx(), box.Dy()))
		gaps = append(gaps, wide)
	}
	return shapes, rest, gaps, nil
}

// widest returns the place on the rings that is farthest from ink.
func widest(f field, way []offset, rings []geom.Ring) gap {
	var g gap
	most := -1
	for _, r := range rings {
		for _, p := range r {
			k := (int(p.Y)-f.at.Y)*f.w + int(p.X) - f.at.X
			if d := way[k].square(); d > most {
				most, g.at, g.width = d, p, 2*math.Sqrt(float64(d))
			}
		}
	}
	g.big = true
	return g
}
