package sheet

import (
	"math"

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
	detail detail // how closely it follows the form
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
	partsForFew  = 8
	leastSteps   = 60
	partsForLess = 14
	// fewestSteps is how many turns are left where forms are so many that their
	// clashes, with mostKept polygons in all, would fill a laptop's memory.
	fewestSteps = 30
	mostKept    = 500_000
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
	var parts []int
	for _, f := range fs {
		parts = append(parts, len(f.parts))
		most = max(most, len(f.parts))
	}
	steps := freeSteps
	switch {
	case most > partsForLess:
		steps = leastSteps
	case most > partsForFew:
		steps = fewSteps
	}
	for n := polygons(parts); n*steps > mostKept && steps >= 2*fewestSteps; {
		steps /= 2
	}
	return steps
}

// bodies are the bodies that share boards, and their clashes.
type bodies struct {
	bed     bed
	all     []*body
	steps   int
	prices  []price // of every two bodies
	clashes []table // of every two bodies: of those numbered p and q ≤ p at p(p+1)/2 + q
}

// price is what an overlap of two bodies costs, by its depth and by the root of it,
// and the radius of the smaller one.
type price struct{ plain, root, radius float64 }

func (c *bodies) price(p, q *body) *price { return &c.prices[p.id*len(c.all)+q.id] }

// bed is what of a stock decides how pieces may be turned.
type bed struct {
	nap  Nap
	w, h float64
}

// newBodies returns the bodies of the forms on felt of the nap and inner size, with
// the clashes known.
func newBodies(fs []*form, nap Nap, w, h float64, known tables) *bodies {
	c := &bodies{bed: bed{nap, w, h}, steps: napSteps(nap, fs)}
	d := detailFor(fs, c.steps)
	for i, f := range fs {
		b := newBody(f, d, c.steps, w, h)
		b.id = i
		c.all = append(c.all, b)
		for _, a := range c.all {
			c.clashes = append(c.clashes, known.of(b, a, c.steps))
		}
	}
	for _, p := range c.all {
		for _, q := range c.all {
			w, r := p.weight*q.weight, min(p.radius, q.radius)
			c.prices = append(c.prices, price{w, w * math.Sqrt(r), r})
		}
	}
	return c
}

// detailFor returns how closely the bodies of the forms follow them: as closely as
// can be where turns are few, unless their clashes would fill the memory.
func detailFor(fs []*form, steps int) detail {
	if steps > 4 {
		return fine
	}
	var parts []int
	for _, f := range fs {
		parts = append(parts, len(f.outline(finest).parts))
	}
	if polygons(parts)*steps > mostKept {
		return fine
	}
	return finest
}

// polygons returns about how many polygons the clashes of bodies of so many parts have
// at one turn: every two bodies' once, and each one's with itself.
func polygons(parts []int) int {
	all, squares := 0, 0
	for _, n := range parts {
		all, squares = all+n, squares+n*n
	}
	return (all*all + squares) / 2
}

func newBody(f *form, d detail, steps int, w, h float64) *body {
	b := &body{form: f, detail: d}
	o := f.outline(d)
	b.centre, b.radius = geom.Pole([]geom.Region{o.felt}, geom.FlattenTol)
	shift := geom.Translation(b.centre.Mul(-1))
	var all []geom.Vec
	for _, p := range o.parts {
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
	out := make(geom.Ring, fine.points)
	n := float64(fine.points)
	r /= math.Cos(math.Pi / n)
	for k := range out {
		s, c := math.Sincos(2 * math.Pi * float64(k) / n)
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
