package sheet

import (
	"context"
	"math"
	"slices"
	"sync"

	"strew/motif/geom"
)

// Filling a sheet: every piece goes as high as it can, and there as far to the
// left. A level is scanned by taking the union of the spans which the pieces
// already laid forbid, so bays and holes are found as readily as open felt;
// the place found is then slid up and left until it touches. Levels go down
// in even steps, and stop as well where a piece comes to lie just under
// another one.
//
// What lies on a sheet only ever grows, so a level once found full stays full:
// every view remembers how far down it has looked.

// levels is into how many steps the height of a sheet is cut for scanning.
const levels = 200

// laid is a view at a place on a sheet, in the coordinates of the search: the
// inner area's top left corner is the origin.
type laid struct {
	*view
	at geom.Vec
}

// filler lays views on one sheet of inner size w × h.
type filler struct {
	w, h   float64
	nofits *nofits
	laid   []laid
}

// nofits keeps the nofits found so far. The shared one is safe to use from
// several fillers; each keeps what it has asked for in a map of its own.
type nofits struct {
	m      map[[2]*view]*nofit
	mu     sync.Mutex
	shared *nofits
}

func newNofits() *nofits { return &nofits{m: map[[2]*view]*nofit{}} }

// local returns nofits for one filler, backed by c.
func (c *nofits) local() *nofits {
	l := newNofits()
	l.shared = c
	return l
}

func (c *nofits) of(a, b *view) *nofit {
	k := [2]*view{a, b}
	n := c.m[k]
	if n != nil {
		return n
	}
	if s := c.shared; s != nil {
		s.mu.Lock()
		n = s.m[k]
		s.mu.Unlock()
		if n == nil {
			n = newNofit(a, b)
			s.mu.Lock()
			s.m[k] = n
			s.mu.Unlock()
		}
	} else {
		n = newNofit(a, b)
	}
	c.m[k] = n
	return n
}

// cursor is how far a view has looked down a sheet, and the place it found.
type cursor struct {
	v     *view
	y     float64
	at    geom.Vec
	found bool
	done  bool
	seen  int // pieces laid when at was found

	spans  []span // what the pieces laid forbid at the level
	level  float64
	across int // pieces laid whose spans are there
}

// fill lays as many as it can of the views' form, at most n, choosing for each
// piece the turn at which it ends highest. It returns how many were laid.
func (f *filler) fill(ctx context.Context, views []*view, n int) int {
	cs := make([]*cursor, len(views))
	for i, v := range views {
		cs[i] = &cursor{v: v, y: -v.box.Min.Y, level: math.NaN(), done: !fits(v.box, f.w, f.h)}
	}
	for k := range n {
		if ctx.Err() != nil {
			return k
		}
		var best *cursor
		for _, c := range cs {
			if f.look(c); c.done {
				continue
			}
			if best == nil || c.ahead(best) {
				best = c
			}
		}
		if best == nil {
			return k
		}
		f.laid = append(f.laid, laid{best.v, best.at})
		best.found = false
	}
	return n
}

// ahead reports whether c ends higher than d, or as high and farther left.
func (c *cursor) ahead(d *cursor) bool {
	a, b := c.at.Y+c.v.box.Max.Y, d.at.Y+d.v.box.Max.Y
	if math.Abs(a-b) > geom.Press {
		return a < b
	}
	return c.at.X+c.v.box.Max.X < d.at.X+d.v.box.Max.X-geom.Press
}

// look makes sure that c holds a place that is still free, or is done.
func (f *filler) look(c *cursor) {
	if c.done {
		return
	}
	if c.found {
		for _, l := range f.laid[c.seen:] {
			if f.nofits.of(l.view, c.v).forbids(c.at.Sub(l.at)) {
				c.found = false
			}
		}
		if c.found {
			c.seen = len(f.laid)
			return
		}
	}
	b := c.v.box
	x0, x1 := -b.Min.X, f.w-b.Max.X
	last := f.h - b.Max.Y
	if x1 < x0 {
		x1 = x0 // within geom.Press
	}
	if last < -b.Min.Y {
		last = -b.Min.Y
	}
	// Levels at which the piece lies just under or just over a laid one.
	var stops []float64
	for _, l := range f.laid {
		n := f.nofits.of(l.view, c.v).box
		for _, y := range []float64{l.at.Y + n.Min.Y, l.at.Y + n.Max.Y} {
			if y > c.y && y < last {
				stops = append(stops, y)
			}
		}
	}
	slices.Sort(stops)
	step := f.h / levels
	for y := c.y; ; {
		if y != c.level {
			c.spans, c.level, c.across = c.spans[:0], y, 0
		}
		for _, l := range f.laid[c.across:] {
			c.spans = f.nofits.of(l.view, c.v).spans(c.spans, l.at.X, y-l.at.Y)
		}
		c.across = len(f.laid)
		if x, ok := firstFree(c.spans, x0, x1); ok {
			c.y = y
			// Eased shapes give way a little: where there is room for it, pieces
			// lie as the true shapes touch, or the give of many would add up.
			if at, ok := firstFree(c.spans, x+geom.Press, x1); ok && at == x+geom.Press {
				x = at
			}
			c.at = f.slide(c.v, geom.Vec{X: x, Y: y})
			c.found = true
			c.seen = len(f.laid)
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

// firstFree returns the least x of x0 … x1 in none of the spans.
func firstFree(spans []span, x0, x1 float64) (float64, bool) {
	x := x0
	for again := true; again && x <= x1; {
		again = false
		for _, s := range spans {
			if s.lo < x && s.hi > x {
				x, again = s.hi, true
			}
		}
	}
	return x, x <= x1
}

// slide moves a free place up and left, by turns, until the true shapes touch.
func (f *filler) slide(v *view, p geom.Vec) geom.Vec {
	for range 4 {
		up := p.Y + v.box.Min.Y
		for _, l := range f.laid {
			up = math.Min(up, f.nofits.of(l.view, v).room(p.Sub(l.at), geom.Vec{Y: -1}, up))
		}
		p.Y -= math.Max(0, up)
		left := p.X + v.box.Min.X
		for _, l := range f.laid {
			left = math.Min(left, f.nofits.of(l.view, v).room(p.Sub(l.at), geom.Vec{X: -1}, left))
		}
		p.X -= math.Max(0, left)
		if up <= geom.Press && left <= geom.Press {
			break
		}
	}
	return p
}

// room returns how far p can go in direction d, which lies along an axis, at most
// far, before it comes within geom.Press of a ring of the nofit: the give of
// eased shapes.
func (n *nofit) room(p, d geom.Vec, far float64) float64 {
	way := geom.BoxOf(p, p.Add(d.Mul(far))).Grow(geom.Press)
	if !way.Meets(n.box) {
		return far
	}
	for i := range n.boxes {
		if !way.Meets(n.boxes[i]) {
			continue
		}
		// Clip the way against the ring's half-planes.
		r := n.rings[i]
		in, out := math.Inf(-1), math.Inf(1)
		a := r[len(r)-1]
		for _, b := range r {
			e := b.Sub(a)
			l2 := e.Dot(e)
			a = b
			if l2 == 0 {
				continue
			}
			l := math.Sqrt(l2)
			// A hair less than the give, so that a neighbour touched already
			// does not hold p back.
			depth := e.Cross(p.Sub(b)) + (geom.Press-seamLap)*l // times l, positive inside
			rate := e.Cross(d)                                  // times l
			switch {
			case math.Abs(rate) < geom.SameAngle*l:
				if depth <= 0 {
					out = math.Inf(-1)
				}
			case rate > 0:
				in = max(in, -depth/rate)
			default:
				out = min(out, -depth/rate)
			}
			if in >= out || out <= 0 || in >= far {
				break
			}
		}
		if in < out && out > 0 && in < far {
			far = max(0, in)
			way = geom.BoxOf(p, p.Add(d.Mul(far))).Grow(geom.Press)
		}
	}
	return far
}
