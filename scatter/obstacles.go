package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// Obstacles are what a band between two rows cannot bound: edges of panels that
// are not rows (straight hems, drawn outlines), bare patches and islands. Edges and
// patches are kept as short stretches of edge in a grid, so that an outline is
// measured only against what can be near it.

// obstacle is a stretch of edge about its middle, in the plane.
type obstacle struct {
	a, b  geom.Vec
	clear float64 // cloth kept free from it
	half  float64 // of its length
}

// obstacles holds the obstacles of one repeat.
type obstacles struct {
	surface skirt.Surface // the whole one
	fold    skirt.Surface
	repeat  int
	all     []obstacle
	spots   *skirt.Spots // their middles; nil: none
	islands *islands     // nil: none
	edges   bool         // the panels' edges are among them
	bare    []Bare
	longest float64 // half of the longest obstacle
	widest  float64 // clearance

	measured *extents // of the band among them, once measured
}

const (
	// obstacleStep is the longest stretch of edge kept as one: about a motif's
	// size, so that few are near any mark.
	obstacleStep = 20.0
	// patchStep is the longest straight step along a bare patch: it strays from a
	// row of 200 mm radius by a hundredth of a millimetre.
	patchStep = 4.0
)

// obstaclesOf collects those of one repeat; nil where there are none.
func obstaclesOf(f *domain) *obstacles {
	s, repeat, opt := f.surface, f.repeat, &f.opt
	o := &obstacles{surface: s, fold: f.fold, repeat: repeat, bare: opt.Bare, islands: islandsOf(f)}
	var places []skirt.Place
	margins := opt.Clearance.margins()
	for panel := range max(1, s.Panels/repeat) {
		for _, e := range margins.Edges(s, panel) {
			o.edges = true
			for i := 1; i < len(e.Line); i++ {
				places = append(places, o.add(panel, e.Line[i-1], e.Line[i], e.Clear)...)
			}
		}
	}
	for _, b := range opt.Bare {
		line := skirt.PatchLine(s, b.Panel, b.Down, b.Around, patchStep)
		for i := range line {
			places = append(places, o.add(b.Panel, line[i], line[(i+1)%len(line)], geom.FlattenTol)...)
		}
	}
	if len(o.all) == 0 {
		if o.islands == nil {
			return nil
		}
		return o
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range places {
		low, high = math.Min(low, p.Down), math.Max(high, p.Down)
	}
	o.spots = skirt.NewSpots(o.fold, low, high, 2*obstacleStep)
	for _, p := range places {
		o.spots.Add(o.fold.Spot(p))
	}
	return o
}

// add adds a straight stretch of a panel, in its frame, and returns where the
// middles of its parts lie.
func (o *obstacles) add(panel int, p, q geom.Vec, clear float64) []skirt.Place {
	var places []skirt.Place
	n := max(1, int(math.Ceil(p.Dist(q)/obstacleStep)))
	for k := range n {
		a, b := p.Lerp(q, float64(k)/float64(n)), p.Lerp(q, float64(k+1)/float64(n))
		mid := a.Lerp(b, 0.5)
		// A hair inside the panel, so that an edge on its side is its own.
		mid.X *= 1 - geom.SameAngle
		place := o.surface.PlaceOf(skirt.Point{Panel: panel, At: mid}).Folded(o.repeat)
		// From the panel's frame into the plane.
		turn := o.fold.Spot(place).Upright - o.surface.Upright(mid)
		// A row that lies along a straight edge keeps its clearance to the digit.
		h := obstacle{a.Sub(mid).Rotate(turn), b.Sub(mid).Rotate(turn), clear + geom.Snug - geom.SamePoint, a.Dist(b) / 2}
		o.all = append(o.all, h)
		o.longest, o.widest = math.Max(o.longest, h.half), math.Max(o.widest, h.clear)
		places = append(places, place)
	}
	return places
}

// onlyIslands reports whether nothing but islands lies in the way.
func (o *obstacles) onlyIslands() bool { return len(o.all) == 0 }

// holds reports whether a point of the cloth lies in the patch.
func (b Bare) holds(s skirt.Surface, p skirt.Point) bool {
	if p.Panel != b.Panel {
		return false
	}
	down, around := s.Down(p.At), s.Around(p)
	return down > b.Down[0] && down < b.Down[1] && around > b.Around[0] && around < b.Around[1]
}

// open reports whether the point itself lies on the cloth and on no bare patch.
func (o *obstacles) open(at skirt.Spot) bool {
	for k := range o.repeat {
		p := o.surface.Point(at.Place.Repeated(k, o.repeat))
		if k == 0 && o.edges && !o.surface.Inside(p) {
			return false
		}
		for _, b := range o.bare {
			if b.holds(o.surface, p) {
				return false
			}
		}
	}
	return true
}

// opens is open for the point of the plane at off from a spot; it belongs to the
// same panel where no outline may lie over seams.
func (o *obstacles) opens(from skirt.Spot, off geom.Vec) bool {
	to := o.fold.Step(from, off)
	if !o.fold.Closed() && o.surface.Point(to.Place).Panel != o.surface.Point(from.Place).Panel {
		return false
	}
	return o.open(to)
}

// around calls yield for the obstacles that come within reach of a spot, as they
// lie about it in the plane, until it returns false.
func (o *obstacles) around(at skirt.Spot, reach float64, yield func(h obstacle) bool) {
	if o.spots == nil {
		return
	}
	done := false
	closed := o.fold.Closed()
	o.spots.Near(at, reach+o.longest, func(id int, off geom.Vec, over int) {
		if done || over != 0 && !closed {
			return // no outline lies over a drawn seam: the panel's own edges bound it
		}
		h := o.all[id]
		if over != 0 {
			turn := o.fold.OverTurn(over)
			h.a, h.b = h.a.Rotate(turn), h.b.Rotate(turn)
		}
		h.a, h.b = h.a.Add(off), h.b.Add(off)
		done = !yield(h)
	})
}

// far returns how far a spot is from any obstacle, or reach if that is less.
func (o *obstacles) far(at skirt.Spot, reach float64) float64 {
	best := reach
	o.around(at, reach, func(h obstacle) bool {
		best = math.Min(best, geom.PointSegment(geom.Vec{}, h.a, h.b))
		return true
	})
	return best
}

// clearOf reports whether rings, turned for the plane about their anchor at the
// spot, keep clear of every obstacle.
func (o *obstacles) clearOf(at skirt.Spot, rings []geom.Ring, reach float64) bool {
	if !o.open(at) {
		return false
	}
	ok := true
	o.around(at, reach+o.widest, func(h obstacle) bool {
		if geom.PointSegment(geom.Vec{}, h.a, h.b) >= reach+h.clear {
			return true
		}
		for _, r := range rings {
			if r.Contains(h.a) {
				ok = false
				return false
			}
			for i, p := range r {
				if geom.SegmentGap(p, r.At(i+1), h.a, h.b) < h.clear {
					ok = false
					return false
				}
			}
		}
		return true
	})
	// A piece apart from the anchor may lie wholly beyond an edge, or on a patch.
	for i := 0; ok && i < len(rings); i++ {
		ok = o.opens(at, rings[i][0])
	}
	return ok
}

// clearOfDiscs is clearOf for covering discs, given in the upright frame; apart
// says that some may lie wholly beyond an edge.
func (o *obstacles) clearOfDiscs(at skirt.Spot, discs []skirt.Disc, reach float64, apart bool) bool {
	if !o.open(at) {
		return false
	}
	sin, cos := math.Sincos(at.Upright)
	ok := true
	o.around(at, reach+o.widest, func(h obstacle) bool {
		if geom.PointSegment(geom.Vec{}, h.a, h.b) >= reach+h.clear {
			return true
		}
		// The obstacle turned back into the upright frame.
		h.a = geom.Vec{X: cos*h.a.X + sin*h.a.Y, Y: cos*h.a.Y - sin*h.a.X}
		h.b = geom.Vec{X: cos*h.b.X + sin*h.b.Y, Y: cos*h.b.Y - sin*h.b.X}
		for _, b := range discs {
			if geom.PointSegment(b.At, h.a, h.b) < b.Radius+h.clear {
				ok = false
				return false
			}
		}
		return true
	})
	for i := 0; ok && apart && i < len(discs); i++ {
		ok = o.opens(at, discs[i].At.Rotate(at.Upright))
	}
	return ok
}

// checkBare refuses a patch that does not lie on the cloth.
func checkBare(s skirt.Surface, opt Options) error {
	for i, b := range opt.Bare {
		switch {
		case b.Panel < 0 || b.Panel >= s.Panels:
			return &Impossible{
				Key: bareKey(i, "panel"),
				Why: say.Many(s.Panels, "bare patch %[2]d lies on panel %[3]d, and there is %[1]d", "bare patch %[2]d lies on panel %[3]d, and there are %[1]d", i+1, b.Panel+1),
				Try: say.New("name one of the panels"),
			}
		case !(b.Down[0] < b.Down[1]) || !(b.Around[0] < b.Around[1]):
			return &Impossible{
				Key: bareKey(i, "down"),
				Why: say.New("bare patch %d is empty: it ends where it begins", i+1), Try: say.New("write the smaller distance first"),
			}
		case b.Down[0] >= s.Drop:
			return &Impossible{
				Key: bareKey(i, "down"),
				Why: say.New("bare patch %d begins %s below the waist seam, past the hem", i+1, say.Length(b.Down[0])), Try: say.New("write a smaller distance down"),
			}
		}
	}
	return nil
}
