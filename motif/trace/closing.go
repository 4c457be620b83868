package trace

import (
	"cmp"
	"context"
	"image"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// A line with gaps has no inside. Gaps are closed by dilation (the first half of
// a morphological closing: J. Serra, "Image Analysis and Mathematical Morphology",
// 1982): lines are thickened just as far as it takes for an inside to appear,
// the middle is taken as for closed lines, and moved between the edges of the line
// as drawn.

// gap is a place where a line is not closed.
type gap struct {
	at    geom.Vec // its middle, or on the line where no gap was found
	width float64  // pixels; 0 where the line does not close at all
	side  float64  // the longer side of the line's bounding box
	big   bool     // the line is long enough to be missed
}

func (g gap) error() error {
	if g.width == 0 {
		return say.Errorf("the line near %s does not go round anything: draw one closed outline, or fill the shape", spot(g.at))
	}
	return say.Errorf("the outline is open: there is a gap of about %.0f pixels at %s, and only small gaps are closed; draw the line through and take the picture again", g.width, spot(g.at))
}

const (
	// gapWidths and gapShare are the widest gap that is closed, in widths of the
	// line or as a share of the figure (1.8 mm on 60 mm), the larger of both.
	gapWidths = 3
	gapShare  = 0.03
	// leastInside is the share of its box that a closed line must go round.
	leastInside = 0.05
	// maxOpen is the most open lines that are joined.
	maxOpen = 60
)

// joinLines closes small gaps in lines, by no more than each needs, and returns
// the figures they go round and the gaps that are too wide.
func (in ink) joinLines(ctx context.Context, open []mark, edge Edge) ([]shape, []gap, error) {
	if len(open) > maxOpen { // the longest are the drawing, the rest dirt
		slices.SortStableFunc(open, func(a, b mark) int { return cmp.Compare(b.length, a.length) })
		open = open[:maxOpen]
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
		c, err := in.closing(ctx, open, reach, edge)
		if err != nil {
			return nil, nil, err
		}
		shapes, open = append(shapes, c.shapes...), c.open
		if reach == closeTo {
			break
		}
	}
	if len(open) == 0 {
		return shapes, nil, nil
	}
	// Find how wide the remaining gaps are, to say so.
	var gaps []gap
	left := open
	if len(shapes) == 0 {
		for reach := closeTo * 1.3; len(left) > 0 && reach < largest/2; reach *= 1.3 {
			c, err := in.closing(ctx, left, reach, Middle)
			if err != nil {
				return nil, nil, err
			}
			gaps, left = append(gaps, c.gaps...), c.open
		}
	}
	for _, s := range left {
		side := float64(max(s.box.Dx(), s.box.Dy()))
		gaps = append(gaps, gap{at: s.rings[0][0], side: side, big: side > largest/4 && s.length > lineLength*s.width})
	}
	return shapes, gaps, nil
}

// closed is what lines become once thickened.
type closed struct {
	shapes []shape // the figures they go round
	open   []mark  // the lines that go round nothing
	gaps   []gap   // the widest gap of each figure
}

// closing thickens lines by reach on each side.
func (in ink) closing(ctx context.Context, lines []mark, reach float64, edge Edge) (closed, error) {
	d := in.dilate(lines, reach)
	var out closed
	for g, members := range d.groups(lines) {
		if len(members) == 0 {
			continue
		}
		if err := stopped(ctx); err != nil {
			return closed{}, err
		}
		shapes, widest, ok := d.figure(int32(g), members, edge)
		if !ok {
			out.open = append(out.open, members...)
			continue
		}
		out.shapes = append(out.shapes, shapes...)
		if edge != Outer {
			out.gaps = append(out.gaps, widest)
		}
	}
	return out, nil
}

// dilation is a window on the ink with its lines thickened by reach.
type dilation struct {
	field
	reach float64
	way   []offset // to the nearest ink
	label []int32  // of each pixel: 0 for none, or the number of its component
	count int32    // of components
}

// dilate thickens lines and labels the connected components.
func (in ink) dilate(lines []mark, reach float64) dilation {
	all := component{box: lines[0].box}
	level := lines[0].level
	for _, m := range lines {
		all.box = all.box.Union(m.box)
		all.runs = append(all.runs, m.runs...)
		level = min(level, m.level)
	}
	d := dilation{field: in.alone(all, int(reach)+3), reach: reach}
	d.way = distanceTransform(d.w, d.h, func(k int) bool { return d.v[k] >= level })
	limit := int(reach * reach)
	d.label = make([]int32, len(d.way))
	var stack []int
	for k := range d.way {
		if d.label[k] != 0 || d.way[k].square() > limit {
			continue
		}
		d.count++
		d.label[k] = d.count
		for stack = append(stack[:0], k); len(stack) > 0; {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for dy := -d.w; dy <= d.w; dy += d.w {
				for dx := -1; dx <= 1; dx++ { // the window's margin is never thickened
					if n := k + dy + dx; n >= 0 && n < len(d.way) && d.label[n] == 0 && d.way[n].square() <= limit {
						d.label[n] = d.count
						stack = append(stack, n)
					}
				}
			}
		}
	}
	return d
}

// groups returns the lines of each component; those of component 0 are too faint
// to be in any.
func (d dilation) groups(lines []mark) [][]mark {
	out := make([][]mark, d.count+1)
	for _, m := range lines {
		g := int32(0)
		for _, r := range m.runs { // any of it that is ink at the common level
			if g = d.label[(r.y-d.at.Y)*d.w+r.from-d.at.X]; g != 0 {
				break
			}
		}
		out[g] = append(out[g], m)
	}
	return out
}

// figure returns the shapes that the lines of component g go round and, for the
// middle of lines, their widest gap; false where they go round nothing.
func (d dilation) figure(g int32, lines []mark, edge Edge) ([]shape, gap, bool) {
	box, width := lines[0].box, 0.0
	var rings []geom.Ring
	for _, m := range lines {
		box = box.Union(m.box)
		width = math.Max(width, m.width)
		rings = append(rings, m.rings...)
	}
	// The component's own part of the window.
	part := box.Inset(-int(d.reach) - 2)
	w, h := part.Dx(), part.Dy()
	whole := func(k int) int { return (part.Min.Y-d.at.Y+k/w)*d.w + part.Min.X - d.at.X + k%w }
	side, inside := sides(w, h, func(k int) bool { return d.label[whole(k)] == g }, int(width*width)+leastSide)
	least := leastInside * float64(box.Dx()*box.Dy())
	if g == 0 || float64(inside) < math.Max(least, 16*width*width) {
		return nil, gap{}, false
	}
	if edge == Outer {
		return nest(eroded(part, side, d.reach), width), gap{}, true
	}
	within := inner(part.Min, w, h, side)
	rings = within.middles(rings, width+d.reach)
	wide := d.widestGap(rings)
	wide.side = float64(max(box.Dx(), box.Dy()))
	return nest(rings, width), wide, true
}

// eroded returns the outer edges of thickened lines, moved as far inward as the
// lines were thickened outward (the second half of the closing).
func eroded(part image.Rectangle, side []uint8, reach float64) []geom.Ring {
	w, h := part.Dx(), part.Dy()
	out := distanceTransform(w, h, func(k int) bool { return side[k] == outside })
	felt := field{at: part.Min, w: w, h: h, v: make([]float32, w*h)}
	for k, o := range out {
		felt.v[k] = float32(math.Sqrt(float64(o.square())))
	}
	return felt.contours(float32(reach) + 0.5)
}

// widestGap returns the place on the rings that is farthest from ink.
func (d dilation) widestGap(rings []geom.Ring) gap {
	g := gap{big: true}
	most := -1
	for _, r := range rings {
		for _, p := range r {
			k := (int(p.Y)-d.at.Y)*d.w + int(p.X) - d.at.X
			if far := d.way[k].square(); far > most {
				most, g.at, g.width = far, p, 2*math.Sqrt(float64(far))
			}
		}
	}
	return g
}
