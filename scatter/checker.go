package scatter

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Checker tells in microseconds, however many marks there are, how far a mark
// would be from the others if it were moved, and whether it may lie there at all.
//
//	c := scatter.NewChecker(surface, kinds, opt, layout)
//	mm, with := c.Gap(12, at, turn)          // while it is dragged
//	if c.Fault(12, at, turn) == scatter.None && mm >= opt.Clearance.Between {
//		c.Move(12, at, turn)                 // when it is let go
//	}
//
// Marks count from 0, as Layout.Placements do. Points lie in their panel's frame
// and turns are radians, clockwise as seen there, as in a Placement. A Checker is
// not safe for concurrent use.
type Checker struct {
	*domain
	spots *skirt.Spots
	marks []checked
	reach float64 // of the farthest reaching mark
	guess float64 // about how far apart outlines are, to search within at first
	found []beside
}

// checked is a mark ready to be measured.
type checked struct {
	laid
	kind int
}

// beside is a mark that may be near another one.
type beside struct {
	id    int
	off   geom.Vec
	turn  float64 // besides
	least float64 // the gap is no less
	most  float64 // and no more
}

// NewChecker makes the marks of a layout ready; surface, kinds and options are
// those that Run was given. It copies what it needs of them.
func NewChecker(s skirt.Surface, all []Kind, opt Options, l Layout) *Checker {
	ready := kindsOf(all, opt.Fixed)
	opt.Fixed = nil // each is a mark like the others
	whole := band{surface: s, kinds: ready, opt: opt, density: densityOf(opt, s.Drop), high: s.Drop}.domain(1)
	c := &Checker{domain: &whole, guess: math.Max(l.Spacing/2, opt.Clearance.Between)}
	for _, p := range l.Placements {
		c.reach = math.Max(c.reach, ready[p.Kind].reach)
	}
	c.spots = skirt.NewSpots(s, 0, s.Drop, math.Max(2*c.reach+opt.Clearance.Between, l.Spacing/2))
	c.marks = make([]checked, len(l.Placements))
	for i, p := range l.Placements {
		at := s.Spot(s.PlaceOf(p.Point))
		c.spots.Add(at)
		c.marks[i] = c.checked(p.Kind, p.Turn-s.Upright(p.Point.At), at)
	}
	return c
}

// checked returns a kind at a spot; turn is against the upright frame.
func (c *Checker) checked(kind int, turn float64, at skirt.Spot) checked {
	return checked{laid: c.laidAt(kind, turn, at), kind: kind}
}

// put returns a mark as it would lie at a point, and the spot of that.
func (c *Checker) put(mark int, at skirt.Point, turn float64) (checked, skirt.Spot) {
	here := c.surface.Spot(c.surface.PlaceOf(at))
	return c.checked(c.marks[mark].kind, turn-c.surface.Upright(at.At), here), here
}

// Gap returns how far a mark would be from the nearest of the others if it were
// put at a point: the distance between their true outlines, in millimetres, across
// seams and all round the cloth, 0 where they overlap. with names the marks that
// would be nearer than Clearance.Between, the nearest first, else only the
// nearest; a mark may meet itself round a narrow cloth. For a mark alone on its
// cloth, mm is +Inf and with is empty.
func (c *Checker) Gap(mark int, at skirt.Point, turn float64) (mm float64, with []int) {
	me, here := c.put(mark, at, turn)
	farthest := 2 * (c.surface.Span(c.surface.Drop) + c.surface.Inner + c.surface.Drop)
	for reach := c.guess; ; {
		with, mm = c.gap(mark, me, here, reach)
		if mm <= reach || reach > farthest {
			break
		}
		// As far as what was found, which may not be all within that; or farther.
		if reach = math.Min(mm, 2*reach); mm < math.Inf(1) {
			reach = mm
		}
	}
	return mm, with
}

// gap returns the nearest gap among marks whose outlines can be within reach, and
// the marks of Gap.
func (c *Checker) gap(mark int, me checked, here skirt.Spot, reach float64) ([]int, float64) {
	between := c.opt.Clearance.Between
	all := c.around(mark, me, here, reach)
	slices.SortFunc(all, func(a, b beside) int { return cmp.Or(cmp.Compare(a.least, b.least), cmp.Compare(a.id, b.id)) })
	type near struct {
		id int
		mm float64
	}
	var close []near
	best := near{-1, math.Inf(1)}
	for _, b := range all {
		if b.least > best.mm && b.least >= between {
			break // and so are all that follow
		}
		other := c.marks[b.id].laid
		if b.id == mark {
			other = me.laid
		}
		// Edges farther apart than the discs inside need not be measured.
		mm := gap(me.laid, other, geom.Placing(b.off, b.turn, 1, false), b.most+geom.Touch)
		if mm < best.mm {
			best = near{b.id, mm}
		}
		if mm < between {
			close = append(close, near{b.id, mm})
		}
	}
	if best.id < 0 {
		return nil, best.mm
	}
	slices.SortStableFunc(close, func(a, b near) int { return cmp.Compare(a.mm, b.mm) })
	with := []int{best.id}
	for _, n := range close {
		if !slices.Contains(with, n.id) {
			with = append(with, n.id)
		}
	}
	return with, best.mm
}

// around returns the marks whose outlines can be within reach of a mark's, put
// at a spot, with bounds for how far they are.
func (c *Checker) around(mark int, me checked, here skirt.Spot, reach float64) []beside {
	c.found = c.found[:0]
	add := func(id int, other laid, off geom.Vec, turn float64) {
		b := beside{id: id, off: off, turn: turn, least: math.Max(0, length(off)-me.reach-other.reach), most: math.Inf(1)}
		if b.least > reach {
			return
		}
		if most := discsApart(me.laid, other, geom.Placing(off, turn, 1, false)); !math.IsInf(most, 1) {
			b.most = math.Max(0, most)
			b.least = math.Max(b.least, most-me.stray-other.stray)
		}
		if b.least <= reach {
			c.found = append(c.found, b)
		}
	}
	c.spots.Near(here, me.reach+c.reach+reach, func(id int, off geom.Vec, over int) {
		if id != mark {
			add(id, c.marks[id].laid, off, c.surface.OverTurn(over))
		}
	})
	// The mark itself, seen the other way round.
	c.surface.Seen(here.Place, here.Place, func(off geom.Vec, turn float64) {
		if length(off) > geom.Touch {
			add(mark, me.laid, off.Rotate(here.Upright), turn)
		}
	})
	return c.found
}

// Fault returns why a mark may not lie at a point, turned, apart from its
// neighbours: the end of the cloth, a clearance to waist, hem, seam or edge, or a
// bare patch; None if it may.
func (c *Checker) Fault(mark int, at skirt.Point, turn float64) Fault {
	if !c.onPanel(at) {
		return OffCloth
	}
	return c.fault(&c.kinds[c.marks[mark].kind], at, turn-c.surface.Upright(at.At))
}

// onPanel reports whether a point lies on its panel, sides included.
func (c *Checker) onPanel(p skirt.Point) bool {
	s := c.surface
	if p.Panel < 0 || p.Panel >= s.Panels {
		return false
	}
	if !s.Closed() {
		return s.Inside(p)
	}
	down, around := s.Down(p.At), s.Around(p)
	return down >= 0 && down <= s.Drop && around >= -geom.Touch && around <= s.PanelGirth(down)+geom.Touch
}

// Move puts a mark elsewhere, turned. It does not check whether the mark may lie
// there.
func (c *Checker) Move(mark int, at skirt.Point, turn float64) {
	me, here := c.put(mark, at, turn)
	c.marks[mark] = me
	c.spots.Move(mark, here)
}
