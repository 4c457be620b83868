package sheet

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// form is the shape of an item made ready for the search.
type form struct {
	item            int // index into the items
	name            string
	true            geom.Region
	solid           geom.Region // true, its idle holes filled
	hull            geom.Ring   // of true
	area            float64     // of true
	gap             float64
	least           float64             // see idle
	parts           []geom.Ring         // of a simple outline that holds true, convex, not grown
	outlines        map[detail]*outline // finer ones, made when asked for
	grownBy, radius float64             // see grown and inscribed; found when asked for
	hasRadius       bool
	rounds          *[mostSides + 1]float64 // see around
	views           map[viewKey]*view
	lattices        map[rowsKey][]lattice // those found so far
}

type viewKey struct {
	turn float64
	swap bool
}

// view is a form at one turn, or that mirrored in the line x = y: a lay that
// fills columns is a lay of mirrored pieces that fills rows.
type view struct {
	*form
	viewKey
	box   geom.Box    // of the true outline
	parts []geom.Ring // grown by half the gap
}

func newForm(item int, it Item, gap float64) *form {
	f := &form{item: item, name: it.Name, true: it.Shape, gap: gap, area: it.Shape.Area(), views: map[viewKey]*view{}, lattices: map[rowsKey][]lattice{}}
	f.hull = hull(it.Shape.Outer)
	f.become(it.Shape)
	return f
}

// become makes the form ready for the search as the region.
func (f *form) become(g geom.Region) {
	f.solid, f.parts, f.outlines = g, newOutline(g, simple).parts, map[detail]*outline{}
}

// outline is a region of few points that holds a form, and its convex parts.
type outline struct {
	felt  geom.Region
	parts []geom.Ring
}

func newOutline(g geom.Region, d detail) *outline {
	felt := simplify(g, d)
	return &outline{felt, eased(convexParts(felt), felt)}
}

// outline returns an outline that holds the form as closely as said.
func (f *form) outline(d detail) *outline {
	o := f.outlines[d]
	if o == nil {
		o = newOutline(f.solid, d)
		f.outlines[d] = o
	}
	return o
}

// idle fills, for the search, every hole into which nothing goes: the widest
// circle of a piece in a hole, grown by the gap, would have to fit the hole's
// own widest circle, and least is the narrowest of all pieces'. Holes cost the
// search far more than their felt is worth.
func (f *form) idle(least float64) {
	f.least = least
	g := geom.Region{Outer: f.true.Outer}
	for _, h := range f.true.Holes {
		if _, r := geom.Pole([]geom.Region{{Outer: h}}, geom.FlattenTol); r+geom.FlattenTol >= least+f.gap {
			g.Holes = append(g.Holes, h)
		}
	}
	if len(g.Holes) < len(f.true.Holes) {
		f.become(g)
	}
}

// view returns the form turned, and mirrored in x = y if swap is set.
func (f *form) view(turn float64, swap bool) *view {
	k := viewKey{turn, swap}
	if v := f.views[k]; v != nil {
		return v
	}
	v := &view{form: f, viewKey: k}
	m := geom.Rotation(turn)
	if swap {
		m = m.Then(geom.Affine{B: 1, C: 1})
	}
	v.box = f.hull.Transform(m).Box()
	for _, p := range f.parts {
		v.parts = append(v.parts, grow(oriented(p.Transform(m), 1), f.gap/2))
	}
	f.views[k] = v
	return v
}

// turned returns the box of the form at the turn.
func (f *form) turned(turn float64) geom.Box {
	return f.hull.Transform(geom.Rotation(turn)).Box()
}

// fits reports whether a box of the size w × h holds b.
func fits(b geom.Box, w, h float64) bool {
	return b.Width() <= w+geom.Press && b.Height() <= h+geom.Press
}

// quarter returns k quarter turns in radians.
func quarter(k int) float64 { return float64(k) * math.Pi / 2 }

// napTurns returns the turns a nap allows, nil for any.
func napTurns(n Nap) []float64 {
	switch n {
	case FourWay:
		return []float64{0, quarter(1), quarter(2), quarter(3)}
	case TwoWay:
		return []float64{0, quarter(2)}
	case OneWay:
		return []float64{0}
	}
	return nil
}

// coarseTurns is into how many equal turns a free piece is tried first: 15°
// apart, so that shapes of 2-, 3-, 4- and 6-fold symmetry lie well.
const (
	coarseTurns = 24
	fewTurns    = 4 // where every piece may take any of them
)

// turns returns the turns to try on felt of this nap and inner size, without
// those that bring the form back onto itself. At a free nap these are
// so many even steps from its longest side level and the turns at which a long side of the hull lies level.
func (f *form) turns(nap Nap, w, h float64, steps int) []float64 {
	all := napTurns(nap)
	if all == nil {
		base := f.levelTurns(1)[0]
		for k := range steps {
			all = append(all, math.Mod(base+2*math.Pi*float64(k)/float64(steps), 2*math.Pi))
		}
		all = append(all, f.levelTurns(max(1, steps/8))...)
		if t, ok := f.fitTurn(nap, w, h); ok && !fits(f.turned(0), w, h) && !fits(f.turned(quarter(1)), w, h) {
			all = append(all, t)
		}
	}
	var out []float64
	for _, t := range all {
		if !fits(f.turned(t), w, h) {
			continue
		}
		if !slices.ContainsFunc(out, func(u float64) bool { return f.sameAt(t, u) }) {
			out = append(out, t)
		}
	}
	return out
}

// levelTurns returns the turns that lay the longest hull sides level, four for
// each of at most three sides.
func (f *form) levelTurns(count int) []float64 {
	type side struct{ len, turn float64 }
	var sides []side
	for i, p := range f.hull {
		d := f.hull.At(i + 1).Sub(p)
		sides = append(sides, side{d.Len(), -math.Atan2(d.Y, d.X)})
	}
	slices.SortStableFunc(sides, func(a, b side) int {
		if a.len > b.len {
			return -1
		}
		if a.len < b.len {
			return 1
		}
		return 0
	})
	var out []float64
	for _, s := range sides[:min(count, len(sides))] {
		for k := range 4 {
			out = append(out, math.Mod(s.turn+quarter(k)+4*math.Pi, 2*math.Pi))
		}
	}
	return out
}

// fitTurn returns an allowed turn at which the form fits into w × h: the one
// that leaves most room. Among all turns the tightest box has a side along a
// side of the hull, but the box that fits need not be tight, so even steps of
// a degree are looked at as well.
func (f *form) fitTurn(nap Nap, w, h float64) (float64, bool) {
	all := napTurns(nap)
	if all == nil {
		for k := range 4 {
			all = append(all, quarter(k))
		}
		for i, p := range f.hull {
			d := f.hull.At(i + 1).Sub(p)
			a := math.Atan2(d.Y, d.X)
			all = append(all, -a, quarter(1)-a)
		}
		for k := range 180 {
			all = append(all, float64(k)*math.Pi/180)
		}
	}
	best, room := 0.0, math.Inf(-1)
	for _, t := range all {
		b := f.turned(t)
		if r := math.Min(w-b.Width(), h-b.Height()); r > room+geom.Press {
			best, room = t, r
		}
	}
	return best, room >= -geom.Press
}

// sameAt reports whether the form covers the same felt at both turns, up to a
// shift: every point of one outline has one of the other at the same place.
func (f *form) sameAt(t, u float64) bool {
	if math.Abs(math.Remainder(t-u, 2*math.Pi)) < geom.SameAngle {
		return true
	}
	r, s := f.true.Transform(geom.Rotation(t)), f.true.Transform(geom.Rotation(u))
	d := s.Box().Min.Sub(r.Box().Min)
	a, b := r.Rings(), s.Rings()
	for i := range a {
		for _, p := range a[i] {
			if b[i].EdgeDist(p.Add(d)) > geom.Press {
				return false
			}
		}
	}
	return true
}
