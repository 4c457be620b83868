// Package search separates pieces that overlap, by guided local search, and with it
// makes rolls shorter and gets more pieces onto sheets. Work counts evaluated
// positions and pairs, so an amount of work takes similar time on every job; what a
// search does depends on its seed and its work alone.
package search

import (
	"math"

	"strew/motif/geom"
	"strew/sheet/nfp"
	"strew/sheet/shape"
)

// Body is a form prepared for search at evenly spaced turns. Its own frame has the
// centre of its widest circle at the origin.
type Body struct {
	*shape.Form
	detail nfp.Detail // how closely it follows the form
	id     int
	centre geom.Vec    // of the body's frame, in the form's
	parts  []geom.Ring // convex, of the simple outline, grown by half the gap, at turn 0
	poses  []pose
	may    []int   // the poses that fit the bed
	round  bool    // turning changes nothing
	radius float64 // of the widest circle, roughly
	reach  float64 // of the grown outline from the origin
	weight float64 // fourth root of the hull's area, see price
}

// pose is a body at one of its turns.
type pose struct {
	turn     float64
	sin, cos float64
	outer    geom.Box // of the grown outline
	inner    geom.Box // of the true outline: what must stay inside the margins
}

const (
	// freeSteps is the number of turns tried on felt without nap: a degree moves the
	// far end of a 60 mm piece by half a millimetre, which shifts of its neighbours
	// make up for.
	freeSteps = 360
	// Shapes of more than partsForFew parts take fewSteps turns, of more than
	// partsForLess leastSteps: every turn between two of them is a field of its own,
	// and costs by the product of their parts.
	partsForFew  = 8
	fewSteps     = 120
	partsForLess = 14
	leastSteps   = nfp.LeastTurns
	// fewestSteps is how many turns are left where there are so many forms that their
	// fields, with more than mostKept polygons in all (some 250 MB), would fill a
	// laptop's memory.
	fewestSteps = 30
	mostKept    = 500_000
)

// napSteps returns how many even turns the search uses for forms with the given numbers
// of simple parts.
func napSteps(n shape.Nap, parts []int) int {
	switch n {
	case shape.FourWay:
		return 4
	case shape.TwoWay:
		return 2
	case shape.OneWay:
		return 1
	}
	most := 0
	for _, k := range parts {
		most = max(most, k)
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

// detailFor returns how closely bodies follow their forms, given how many parts each has
// at the finest detail: at the finest where turns are few, unless their fields would fill the
// memory.
func detailFor(finest []int, steps int) nfp.Detail {
	if steps > nfp.FewTurns || polygons(finest)*steps > mostKept {
		return nfp.Fine
	}
	return nfp.Finest
}

// polygons returns about how many polygons the fields of bodies with the given numbers
// of parts have at one turn: every two bodies' once, and each one's with itself.
func polygons(parts []int) int {
	all, squares := 0, 0
	for _, n := range parts {
		all, squares = all+n, squares+n*n
	}
	return (all*all + squares) / 2
}

// newBody returns the body of a form on the bed, at the given number of even turns.
func newBody(f *shape.Form, d nfp.Detail, steps int, bed shape.Bed) *Body {
	b := &Body{Form: f, detail: d}
	o := f.Outline(d)
	b.centre, b.radius = geom.Pole([]geom.Region{o.Felt}, geom.FlattenTol)
	shift := geom.Translation(b.centre.Mul(-1))
	var all []geom.Vec
	for _, p := range o.Parts {
		g := nfp.Offset(p.Transform(shift), f.Gap/2)
		b.parts = append(b.parts, g)
		all = append(all, g...)
	}
	felt := f.Hull.Transform(shift)
	if b.round = isRound(felt, f.Region); b.round {
		// A polygon round the circle: it holds the outline at every turn.
		around := roundSides(felt.Reach(geom.Vec{}))
		b.parts = []geom.Ring{nfp.Offset(around, f.Gap/2)}
		all = b.parts[0]
	}
	grown := geom.Hull(all)
	b.radius = math.Max(b.radius, geom.Touch)
	b.reach = grown.Reach(geom.Vec{})
	b.weight = math.Sqrt(math.Sqrt(grown.Area()))
	base := 0.0
	if steps > nfp.FewTurns && !b.round {
		// Even steps from a turn at which the longest side lies level, unless
		// none of them fits.
		base = f.LevelTurns(1)[0]
	}
	b.turnFrom(base, steps, grown, felt, bed)
	if len(b.may) == 0 && steps > nfp.FewTurns {
		free := bed
		free.Nap = shape.AnyTurn
		base, _ = f.FitTurn(free)
		b.turnFrom(base, steps, grown, felt, bed)
	}
	return b
}

// turnFrom sets the poses at even turns from base, by the hulls of the grown and of
// the true outline.
func (b *Body) turnFrom(base float64, steps int, grown, felt geom.Ring, bed shape.Bed) {
	b.poses = b.poses[:0]
	for k := range steps {
		t := math.Mod(base+2*math.Pi*float64(k)/float64(steps), 2*math.Pi)
		if steps <= nfp.FewTurns {
			t = shape.Quarter(k * 4 / steps)
		}
		s, c := math.Sincos(t)
		m := geom.Rotation(t)
		b.poses = append(b.poses, pose{t, s, c, grown.Transform(m).Box(), felt.Transform(m).Box()})
		if bed.Holds(b.poses[k].inner) && (!b.round || k == 0) {
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
	out := make(geom.Ring, nfp.Fine.Points())
	n := float64(len(out))
	r /= math.Cos(math.Pi / n)
	for k := range out {
		s, c := math.Sincos(2 * math.Pi * float64(k) / n)
		out[k] = geom.Vec{X: r * c, Y: r * s}
	}
	return out
}

// nearest returns the allowed pose nearest to a turn.
func (b *Body) nearest(turn float64) int {
	best, off := 0, math.Inf(1)
	for _, k := range b.may {
		if d := math.Abs(math.Remainder(b.poses[k].turn-turn, 2*math.Pi)); d < off {
			best, off = k, d
		}
	}
	return best
}

// boxAt returns the box of the body's grown outline at a place.
func (b *Body) boxAt(step int, at geom.Vec) geom.Box {
	o := &b.poses[step].outer
	return geom.Box{Min: o.Min.Add(at), Max: o.Max.Add(at)}
}

// Piece is a body somewhere on one or more beds of a kind.
type Piece struct {
	body *Body
	step int // which of its poses
	at   geom.Vec
	bin  int // which bed
}

// Laid returns the view that lies as the piece does.
func (p Piece) Laid() shape.Laid {
	t := p.body.poses[p.step].turn
	return shape.Laid{View: p.body.View(t, false), At: p.at.Sub(p.body.centre.Rotate(t))}
}

// Scaled returns the piece with its place that many times farther from the origin.
func (p Piece) Scaled(by float64) Piece {
	p.at = p.at.Mul(by)
	return p
}

// middle returns how far down the middle of the piece's box lies.
func (p *Piece) middle() float64 {
	box := &p.body.poses[p.step].inner
	return p.at.Y + (box.Min.Y+box.Max.Y)/2
}

// LaidOn returns the pieces on a bin as they lie.
func LaidOn(ps []Piece, bin int) []shape.Laid {
	var out []shape.Laid
	for _, q := range ps {
		if q.bin == bin {
			out = append(out, q.Laid())
		}
	}
	return out
}
