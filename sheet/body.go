package sheet

import (
	"math"
	"sync/atomic"

	"strew/motif/geom"
)

// A body is a form made ready to be pushed about at a number of even turns. For
// two bodies and the turn between them a clash tells how deep they overlap at
// any distance: it is worked out once, when first asked for, so that looking
// at a place costs little however involved the outlines are.

// body is a form with its turns on one kind of felt. Its own frame has the
// centre of its widest circle at the origin.
type body struct {
	*form
	id     int
	centre geom.Vec    // of the body's frame, in the form's
	parts  []geom.Ring // convex, of the simple outline, grown by half the gap, at turn 0
	poses  []pose
	may    []int   // the steps that fit the board
	round  bool    // turning changes nothing
	radius float64 // of the widest circle, roughly
	reach  float64 // of the grown outline from the origin
	weight float64 // fourth root of the hull's area: see penalty
}

// pose is a body at one of its turns.
type pose struct {
	turn     float64
	sin, cos float64
	outer    geom.Box // of the grown outline
	inner    geom.Box // of the true outline: what must stay inside the margins
}

// freeSteps is into how many turns a full turn is cut where felt has no nap:
// a degree moves the far end of a 60 mm piece by half a millimetre, which the
// places of its neighbours make up for. Shapes of many parts take fewer, for
// every turn between two of them is worked out once.
const (
	freeSteps    = 360
	fewSteps     = 120
	partsForFew  = 12
	leastSteps   = 60
	partsForLess = 20
)

// napSteps returns how many even turns the search uses for the forms.
func napSteps(n Nap, fs []*form) int {
	switch n {
	case FourWay:
		return 4
	case TwoWay:
		return 2
	case OneWay:
		return 1
	}
	most := 0
	for _, f := range fs {
		most = max(most, len(f.parts))
	}
	switch {
	case most > partsForLess:
		return leastSteps
	case most > partsForFew:
		return fewSteps
	}
	return freeSteps
}

// bodies are the bodies that share boards, and their clashes.
type bodies struct {
	all     []*body
	steps   int
	clashes [][][]atomic.Pointer[clash]
}

// newBodies returns the bodies of the forms on felt of the nap and inner size.
func newBodies(fs []*form, nap Nap, w, h float64) *bodies {
	c := &bodies{steps: napSteps(nap, fs)}
	for i, f := range fs {
		b := newBody(f, c.steps, w, h)
		b.id = i
		c.all = append(c.all, b)
		row := make([][]atomic.Pointer[clash], i+1)
		for j := range row {
			row[j] = make([]atomic.Pointer[clash], c.steps)
		}
		c.clashes = append(c.clashes, row)
	}
	return c
}

func newBody(f *form, steps int, w, h float64) *body {
	b := &body{form: f}
	b.centre, b.radius = geom.Inscribed([]geom.Region{f.simple}, geom.FlattenTol)
	shift := geom.Translation(b.centre.Mul(-1))
	var all []geom.Vec
	for _, p := range f.parts {
		g := grow(p.Transform(shift), f.gap/2)
		b.parts = append(b.parts, g)
		all = append(all, g...)
	}
	felt := f.hull.Transform(shift)
	if b.round = isRound(felt, f.true); b.round {
		// A polygon round the circle: it holds the outline at every turn.
		around := roundSides(felt.Reach(geom.Vec{}))
		b.parts = []geom.Ring{grow(around, f.gap/2)}
		all = b.parts[0]
	}
	grown := hull(all)
	b.radius = math.Max(b.radius, geom.Touch)
	b.reach = grown.Reach(geom.Vec{})
	b.weight = math.Sqrt(math.Sqrt(grown.Area()))
	base := 0.0
	if steps > 4 && !b.round {
		// Even steps from a turn at which the longest side lies level, unless
		// none of them fits.
		base = f.levelTurns(1)[0]
	}
	b.turns(base, steps, grown, felt, w, h)
	if len(b.may) == 0 && steps > 4 {
		base, _ = f.fitTurn(AnyTurn, w, h)
		b.turns(base, steps, grown, felt, w, h)
	}
	return b
}

// turns sets the poses at even turns from base.
func (b *body) turns(base float64, steps int, grown, felt geom.Ring, w, h float64) {
	b.poses = b.poses[:0]
	for k := range steps {
		t := math.Mod(base+2*math.Pi*float64(k)/float64(steps), 2*math.Pi)
		if steps <= 4 {
			t = quarter(k * 4 / steps)
		}
		s, c := math.Sincos(t)
		m := geom.Rotation(t)
		b.poses = append(b.poses, pose{t, s, c, grown.Transform(m).Box(), felt.Transform(m).Box()})
		if fits(b.poses[k].inner, w, h) && (!b.round || k == 0) {
			b.may = append(b.may, k)
		}
	}
}

// isRound reports whether the hull is a circle round the origin as nearly as
// curves are flattened, and the shape fills it.
func isRound(h geom.Ring, g geom.Region) bool {
	if len(g.Holes) > 0 || len(h) < 12 {
		return false
	}
	least := h.EdgeDist(geom.Vec{})
	return h.Reach(geom.Vec{})-least < 2*geom.FlattenTol && h.Area()-g.Area() < geom.FlattenTol*h.Length()
}

// roundSides returns a regular polygon whose sides touch the circle of radius
// r round the origin.
func roundSides(r float64) geom.Ring {
	out := make(geom.Ring, simplePoints)
	r /= math.Cos(math.Pi / simplePoints)
	for k := range out {
		s, c := math.Sincos(2 * math.Pi * float64(k) / simplePoints)
		out[k] = geom.Vec{X: r * c, Y: r * s}
	}
	return out
}

// nearest returns the allowed step nearest to a turn.
func (b *body) nearest(turn float64) int {
	best, off := 0, math.Inf(1)
	for _, k := range b.may {
		if d := math.Abs(math.Remainder(b.poses[k].turn-turn, 2*math.Pi)); d < off {
			best, off = k, d
		}
	}
	return best
}

// clash holds the places where a second body overlaps a first one: convex
// polygons, each an intersection of half-planes, widest first.
type clash struct {
	box    geom.Box
	boxes  []geom.Box
	planes []plane
	ends   []int32   // of each polygon's planes
	cells  [][]int32 // the polygons by place, see index; nil for few
	scale  geom.Vec  // cells per millimetre
}

// plane is the half-plane of points p with c - n·p > 0, n of unit length: that
// is how deep p lies in it.
type plane struct{ x, y, c float64 }

func newClash(a, b *body, turn float64) *clash {
	m := geom.Rotation(turn)
	var v, w view
	v.parts = a.parts
	for _, p := range b.parts {
		w.parts = append(w.parts, p.Transform(m))
	}
	n := newNofit(&v, &w)
	c := &clash{box: n.box, boxes: n.boxes}
	total := 0
	for _, r := range n.rings {
		total += len(r)
	}
	c.planes = make([]plane, 0, total)
	for _, r := range n.rings {
		a := r[len(r)-1]
		for _, b := range r {
			d := b.Sub(a)
			l := math.Sqrt(d.Dot(d))
			if l >= geom.SamePoint {
				// The outward side of an edge of a ring of positive area.
				q := plane{x: d.Y / l, y: -d.X / l}
				q.c = q.x*a.X + q.y*a.Y - onEdge
				c.planes = append(c.planes, q)
			}
			a = b
		}
		c.ends = append(c.ends, int32(len(c.planes)))
	}
	c.index()
	return c
}

// clashCells is into how many columns and rows the box of a clash is cut; each
// cell lists the polygons that come into it.
const clashCells = 12

// index fills the cells.
func (c *clash) index() {
	if len(c.boxes) <= clashCells {
		return
	}
	c.scale = geom.Vec{X: clashCells / c.box.Width(), Y: clashCells / c.box.Height()}
	clip := func(v float64) int { return max(0, min(clashCells-1, int(v))) }
	c.cells = make([][]int32, clashCells*clashCells)
	for i, b := range c.boxes {
		for y := clip((b.Min.Y - c.box.Min.Y) * c.scale.Y); y <= clip((b.Max.Y-c.box.Min.Y)*c.scale.Y); y++ {
			for x := clip((b.Min.X - c.box.Min.X) * c.scale.X); x <= clip((b.Max.X-c.box.Min.X)*c.scale.X); x++ {
				c.cells[y*clashCells+x] = append(c.cells[y*clashCells+x], int32(i))
			}
		}
	}
}

// depth returns how deep p lies in the polygons: the least way out of the one
// it lies deepest in, 0 outside all.
func (c *clash) depth(x, y float64) float64 {
	best := 0.0
	if x <= c.box.Min.X || x >= c.box.Max.X || y <= c.box.Min.Y || y >= c.box.Max.Y {
		return 0
	}
	if c.cells == nil {
		for i := range c.boxes {
			best = c.deeper(int32(i), x, y, best)
		}
		return best
	}
	col := min(int((x-c.box.Min.X)*c.scale.X), clashCells-1)
	row := min(int((y-c.box.Min.Y)*c.scale.Y), clashCells-1)
	for _, i := range c.cells[row*clashCells+col] {
		best = c.deeper(i, x, y, best)
	}
	return best
}

// deeper returns how deep the point lies in polygon i, or best if that is more.
func (c *clash) deeper(i int32, x, y, best float64) float64 {
	b := &c.boxes[i]
	if x <= b.Min.X+best || x >= b.Max.X-best || y <= b.Min.Y+best || y >= b.Max.Y-best {
		return best
	}
	from := int32(0)
	if i > 0 {
		from = c.ends[i-1]
	}
	least := math.Inf(1)
	for k := range c.planes[from:c.ends[i]] {
		p := &c.planes[from+int32(k)]
		d := p.c - p.x*x - p.y*y
		if d <= best {
			return best
		}
		if d < least {
			least = d
		}
	}
	return least
}

// clashWork is what working out one polygon of a clash costs, in places and
// pairs looked at.
const clashWork = 5

// polygonsInWork is how many polygons of a clash make looking at a pair as dear
// again; of many only the few in one cell are looked at.
const polygonsInWork = 24

// overlap returns how deep q at step kq overlaps p at step kp, d from p to q.
// A board's first use of a clash counts as work whether or not another board
// has worked it out before, so that the work does not depend on who is first.
func (b *board) overlap(p *body, kp int, q *body, kq int, d geom.Vec) float64 {
	if p.id < q.id {
		p, kp, q, kq = q, kq, p, kp
		d = geom.Vec{X: -d.X, Y: -d.Y}
	}
	// Turned back so that p lies at its step 0. A round body takes any turn.
	c := b.bodies
	rel := kq - kp
	switch {
	case q.round:
		rel = 0
	case p.round:
		kp, rel = kq, 0
	}
	if rel < 0 {
		rel += c.steps
	}
	at := &c.clashes[p.id][q.id][rel]
	t := at.Load()
	if t == nil {
		t = newClash(p, q, q.poses[0].turn-p.poses[0].turn+2*math.Pi*float64(rel)/float64(c.steps))
		at.Store(t)
	}
	if i := (p.id*(p.id+1)/2+q.id)*c.steps + rel; !b.used[i] {
		b.used[i] = true
		b.work += clashWork * len(p.parts) * len(q.parts)
	}
	b.work += len(t.boxes) / polygonsInWork
	s := &p.poses[kp]
	return t.depth(s.cos*d.X+s.sin*d.Y, s.cos*d.Y-s.sin*d.X)
}
