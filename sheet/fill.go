package sheet

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/sheet/nfp"
	"strew/sheet/shape"
)

// Bottom-left fill (here top-left, since y runs down): every piece goes as high as it
// can, and there as far to the left (B. S. Baker, E. G. Coffman, R. L. Rivest,
// "Orthogonal packings in two dimensions", SIAM Journal on Computing 9, 1980; into
// holes as in E. Burke and others, Operations Research 54, 2006, both cited from
// memory). A level is scanned by the union of the spans that the no-fit polygons of
// the pieces already laid forbid, so bays and holes are found as readily as open
// felt; the place found is then slid up and left until it touches. Levels go down in
// even steps, and stop as well where a piece comes to lie just under another one.
//
// What lies on a sheet only ever grows, so a level once found full stays full:
// every view remembers how far down it has looked.

// levels is how many steps the height of a bed is cut into for scanning: 1.5 mm on
// A4, which sliding makes up for.
const levels = 200

// filler lays views on one bed.
type filler struct {
	bed  shape.Bed
	nfps *polygons
	laid []shape.Laid
}

// cursor is how far a view has looked down a bed, and the place it found.
type cursor struct {
	v       *shape.View
	against []*nfp.Polygon // the no-fit polygon about each piece laid
	y       float64
	at      geom.Vec
	found   bool
	done    bool
	seen    int // pieces laid when at was found

	spans  []nfp.Span // what the pieces laid forbid at the level
	level  float64
	across int // pieces laid whose spans are there
}

// fill lays as many as it can of the views' form, at most n, choosing for each
// piece the turn at which it ends highest. It returns how many were laid; once the
// context is done it lays no more.
func (f *filler) fill(ctx context.Context, views []*shape.View, n int) int {
	cs := make([]*cursor, len(views))
	for i, v := range views {
		cs[i] = &cursor{v: v, y: -v.Box.Min.Y, level: math.NaN(), done: !f.bed.Holds(v.Box)}
	}
	for k := range n {
		var best *cursor
		for _, c := range cs {
			f.advance(ctx, c)
			if ctx.Err() != nil {
				return k
			}
			if !c.done && (best == nil || c.ahead(best)) {
				best = c
			}
		}
		if best == nil {
			return k
		}
		f.laid = append(f.laid, shape.Laid{View: best.v, At: best.at})
		best.found = false
	}
	return n
}

// ahead reports whether c ends higher than d, or as high and farther left.
func (c *cursor) ahead(d *cursor) bool {
	a, b := c.at.Y+c.v.Box.Max.Y, d.at.Y+d.v.Box.Max.Y
	if math.Abs(a-b) > geom.Press {
		return a < b
	}
	return c.at.X+c.v.Box.Max.X < d.at.X+d.v.Box.Max.X-geom.Press
}

// advance makes sure that c holds a place that is still free, or is done, unless the
// context is done first.
func (f *filler) advance(ctx context.Context, c *cursor) {
	if c.done {
		return
	}
	for _, l := range f.laid[len(c.against):] {
		if ctx.Err() != nil {
			return
		}
		c.against = append(c.against, f.nfps.of(l.View, c.v))
	}
	if c.found {
		for i, l := range f.laid[c.seen:] {
			if c.against[c.seen+i].Forbids(c.at.Sub(l.At)) {
				c.found = false
			}
		}
	}
	if !c.found {
		f.scan(ctx, c)
	}
	c.seen = len(f.laid)
}

// scan goes down level by level until it finds a free place, or is done.
func (f *filler) scan(ctx context.Context, c *cursor) {
	b := c.v.Box
	x0, x1 := -b.Min.X, f.bed.Width()-b.Max.X
	x1 = max(x1, x0) // within geom.Press
	last := max(f.bed.Height()-b.Max.Y, -b.Min.Y)
	stops := f.stops(c, last)
	step := f.bed.Height() / levels
	for y := c.y; ctx.Err() == nil; {
		if y != c.level {
			c.spans, c.level, c.across = c.spans[:0], y, 0
		}
		for i, l := range f.laid[c.across:] {
			c.spans = c.against[c.across+i].Spans(c.spans, l.At.X, y-l.At.Y)
		}
		c.across = len(f.laid)
		if x, ok := firstFree(c.spans, x0, x1); ok {
			c.y = y
			// Inset shapes give way a little: where there is room for it, pieces
			// lie as the true shapes touch, or what many give way would add up.
			if at, ok := firstFree(c.spans, x+geom.Press, x1); ok && at == x+geom.Press {
				x = at
			}
			c.at = f.slide(c, geom.Vec{X: x, Y: y})
			c.found = true
			return
		}
		if y >= last {
			c.done = true
			return
		}
		y = math.Min(y+step, last)
		for len(stops) > 0 && stops[0] <= c.y {
			stops = stops[1:]
		}
		if len(stops) > 0 {
			y = min(y, stops[0])
		}
		c.y = y
	}
}

// stops returns, in order, the levels at which the view lies just under or just over a
// piece laid.
func (f *filler) stops(c *cursor, last float64) []float64 {
	var out []float64
	for i, l := range f.laid {
		n := c.against[i].Box
		for _, y := range []float64{l.At.Y + n.Min.Y, l.At.Y + n.Max.Y} {
			if y > c.y && y < last {
				out = append(out, y)
			}
		}
	}
	slices.Sort(out)
	return out
}

// firstFree returns the least x of x0 … x1 in none of the spans.
func firstFree(spans []nfp.Span, x0, x1 float64) (float64, bool) {
	x := x0
	for again := true; again && x <= x1; {
		again = false
		for _, s := range spans {
			if s.Lo < x && s.Hi > x {
				x, again = s.Hi, true
			}
		}
	}
	return x, x <= x1
}

// slides bounds how often a place is slid up and left in turn.
const slides = 4

// slide moves a free place up and left, in turn, until the true shapes touch.
func (f *filler) slide(c *cursor, p geom.Vec) geom.Vec {
	for range slides {
		up := p.Y + c.v.Box.Min.Y
		for i, l := range f.laid {
			up = math.Min(up, c.against[i].Slide(p.Sub(l.At), geom.Vec{Y: -1}, up))
		}
		p.Y -= math.Max(0, up)
		left := p.X + c.v.Box.Min.X
		for i, l := range f.laid {
			left = math.Min(left, c.against[i].Slide(p.Sub(l.At), geom.Vec{X: -1}, left))
		}
		p.X -= math.Max(0, left)
		if up <= geom.Press && left <= geom.Press {
			break
		}
	}
	return p
}
