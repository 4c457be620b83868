package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Ground is what a band between two rows does not tell: edges of panels that are
// no rows (straight hems, drawn outlines) and bare patches. Both are kept as
// short stretches of edge in a grid, so that an outline is measured only against
// what can be near it.

// hurdle is a stretch of edge about its middle, in the plane.
type hurdle struct {
	a, b  geom.Vec
	clear float64 // cloth kept free from it
	half  float64 // of its length
}

// ground holds the hurdles of one repeat; nil where there are none.
type ground struct {
	surface skirt.Surface // the whole one
	fold    skirt.Surface
	repeat  int
	hurdles []hurdle
	spots   *skirt.Spots // their middles
	bare    []Bare
	longest float64 // half of the longest hurdle
	widest  float64 // clearance

	measured *measured // the zone on it, once measured
}

// measured is what folded.area returns.
type measured struct {
	cloth, area, edge float64
	euler             int
}

const (
	// hurdleStep is the longest stretch of edge kept as one: about a motif's size,
	// so that few are near any mark.
	hurdleStep = 20.0
	// patchStep is the longest straight step along a bare patch: it strays from a
	// row of 200 mm radius by a hundredth of a millimetre.
	patchStep = 4.0
)

// groundOf collects the hurdles of one repeat.
func groundOf(s skirt.Surface, repeat int, opt Options) *ground {
	fold := s.Fold(repeat)
	g := &ground{surface: s, fold: fold, repeat: repeat, bare: opt.Bare}
	var places []skirt.Place
	add := func(panel int, p, q geom.Vec, clear float64) {
		n := max(1, int(math.Ceil(p.Dist(q)/hurdleStep)))
		for k := range n {
			a, b := p.Lerp(q, float64(k)/float64(n)), p.Lerp(q, float64(k+1)/float64(n))
			mid := a.Lerp(b, 0.5)
			// A hair inside the panel, so that an edge on its side is its own.
			mid.X *= 1 - geom.SameAngle
			place := folding(s.PlaceOf(skirt.Point{Panel: panel, At: mid}), repeat)
			// From the panel's frame into the plane.
			turn := fold.Spot(place).Upright - s.Upright(mid)
			// A row that lies along a straight edge keeps its clearance to the digit.
			h := hurdle{a.Sub(mid).Rotate(turn), b.Sub(mid).Rotate(turn), clear + geom.Snug - geom.SamePoint, a.Dist(b) / 2}
			g.hurdles = append(g.hurdles, h)
			g.longest, g.widest = math.Max(g.longest, h.half), math.Max(g.widest, h.clear)
			places = append(places, place)
		}
	}
	if !s.Banded() {
		c := opt.Clearance
		clear := map[skirt.EdgeKind]float64{skirt.WaistEdge: c.Waist, skirt.HemEdge: c.Hem, skirt.SeamEdge: c.Seam, skirt.OpenEdge: c.Hem}
		for panel := range max(1, s.Panels/repeat) {
			for _, e := range s.Edges(panel) {
				if e.Kind == skirt.SeamEdge && c.Seam == 0 && s.Straddled() {
					continue
				}
				for i := 1; i < len(e.Line); i++ {
					add(panel, e.Line[i-1], e.Line[i], clear[e.Kind])
				}
			}
		}
	}
	for _, b := range opt.Bare {
		line := b.round(s)
		for i := range line {
			add(b.Panel, line[i], line[(i+1)%len(line)], geom.FlattenTol)
		}
	}
	if len(g.hurdles) == 0 {
		return nil
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range places {
		low, high = math.Min(low, p.Down), math.Max(high, p.Down)
	}
	g.spots = skirt.NewSpots(fold, low, high, 2*hurdleStep)
	for _, p := range places {
		g.spots.Add(fold.Spot(p))
	}
	return g
}

// round returns the edge of a bare patch in its panel's frame, as far as it lies
// on the cloth.
func (b Bare) round(s skirt.Surface) []geom.Vec {
	width := func(down float64) float64 {
		if s.Cut == skirt.Outline {
			return math.Inf(1)
		}
		return s.PanelGirth(down)
	}
	top, bottom := math.Max(b.Down[0], 0), math.Min(b.Down[1], s.Drop)
	at := func(down, around float64) geom.Vec {
		return s.PointAt(b.Panel, down, math.Min(math.Max(around, 0), width(down))).At
	}
	across := max(1, int(math.Ceil(math.Min(b.Around[1]-b.Around[0], width(bottom))/patchStep)))
	along := max(1, int(math.Ceil((bottom-top)/patchStep)))
	var line []geom.Vec
	for i := range across {
		line = append(line, at(top, b.Around[0]+(b.Around[1]-b.Around[0])*float64(i)/float64(across)))
	}
	for i := range along {
		line = append(line, at(top+(bottom-top)*float64(i)/float64(along), b.Around[1]))
	}
	for i := range across {
		line = append(line, at(bottom, b.Around[1]+(b.Around[0]-b.Around[1])*float64(i)/float64(across)))
	}
	for i := range along {
		line = append(line, at(bottom+(top-bottom)*float64(i)/float64(along), b.Around[0]))
	}
	return line
}

// holds reports whether a point of the cloth lies in the patch.
func (b Bare) holds(s skirt.Surface, p skirt.Point) bool {
	if p.Panel != b.Panel {
		return false
	}
	down, around := s.Down(p.At), s.Around(p)
	return down > b.Down[0] && down < b.Down[1] && around > b.Around[0] && around < b.Around[1]
}

// open reports whether the point itself lies on the cloth and on no bare patch.
func (g *ground) open(at skirt.Spot) bool {
	for k := range g.repeat {
		p := g.surface.Point(at.Place.Repeated(k, g.repeat))
		if k == 0 && !g.surface.Banded() && !g.surface.Inside(p) {
			return false
		}
		for _, b := range g.bare {
			if b.holds(g.surface, p) {
				return false
			}
		}
	}
	return true
}

// folding returns where a place of a surface lies on its fold by n.
func folding(p skirt.Place, n int) skirt.Place {
	if n > 1 {
		p.Round *= float64(n)
		p.Round -= math.Floor(p.Round)
	}
	return p
}

// around calls yield for the hurdles that come within reach of a spot, as they
// lie about it in the plane, until it returns false.
func (g *ground) around(at skirt.Spot, reach float64, yield func(h hurdle) bool) {
	done := false
	g.spots.Near(at, reach+g.longest, func(id int, off geom.Vec, over int) {
		if done || over != 0 && g.fold.Cut == skirt.Outline {
			return // what is sewn on has its own edges
		}
		h := g.hurdles[id]
		if over != 0 {
			turn := g.fold.OverTurn(over)
			h.a, h.b = h.a.Rotate(turn), h.b.Rotate(turn)
		}
		h.a, h.b = h.a.Add(off), h.b.Add(off)
		done = !yield(h)
	})
}

// far returns how far a spot is from any hurdle, or reach if that is less.
func (g *ground) far(at skirt.Spot, reach float64) float64 {
	best := reach
	g.around(at, reach, func(h hurdle) bool {
		best = math.Min(best, geom.PointSegment(geom.Vec{}, h.a, h.b))
		return true
	})
	return best
}

// takes reports whether rings, turned for the plane about their anchor at the
// spot, keep off every hurdle.
func (g *ground) takes(at skirt.Spot, rings []geom.Ring, reach float64) bool {
	if !g.open(at) {
		return false
	}
	ok := true
	g.around(at, reach+g.widest, func(h hurdle) bool {
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
	return ok
}

// takesDiscs is takes for stand-in discs, given in the upright frame.
func (g *ground) takesDiscs(at skirt.Spot, discs []disc, reach float64) bool {
	if !g.open(at) {
		return false
	}
	sin, cos := math.Sincos(at.Upright)
	ok := true
	g.around(at, reach+g.widest, func(h hurdle) bool {
		if geom.PointSegment(geom.Vec{}, h.a, h.b) >= reach+h.clear {
			return true
		}
		// The hurdle turned back into the upright frame.
		h.a = geom.Vec{X: cos*h.a.X + sin*h.a.Y, Y: cos*h.a.Y - sin*h.a.X}
		h.b = geom.Vec{X: cos*h.b.X + sin*h.b.Y, Y: cos*h.b.Y - sin*h.b.X}
		for _, b := range discs {
			if geom.PointSegment(b.at, h.a, h.b) < b.radius+h.clear {
				ok = false
				return false
			}
		}
		return true
	})
	return ok
}

// checkBare tells which patch is none.
func checkBare(s skirt.Surface, opt Options) error {
	for i, b := range opt.Bare {
		switch {
		case b.Panel < 0 || b.Panel >= s.Panels:
			return &Impossible{
				Why: fmt.Sprintf("bare patch %d lies on panel %d, and there are %d", i+1, b.Panel+1, s.Panels), Try: "name a panel that is there",
			}
		case !(b.Down[0] < b.Down[1]) || !(b.Around[0] < b.Around[1]):
			return &Impossible{
				Why: fmt.Sprintf("bare patch %d is empty: it ends where it begins", i+1), Try: "write the smaller distance first",
			}
		case b.Down[0] >= s.Drop:
			return &Impossible{
				Why: fmt.Sprintf("bare patch %d begins %s below the waist seam, past the hem", i+1, opt.show(b.Down[0])), Try: "write a smaller distance down",
			}
		}
	}
	return nil
}
