package skirt

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// A circle is panels that are sectors of a ring. Its waist seam is an arc of the
// given share of a full circle as long as the edge before gathering, so radius
// = girth / (2π · share); the cutting length is radius + drop. Gores with curved
// edges are such sectors too.

// NewCircle returns the surface of a circle cut: share of a full circle, sewn
// from panels, whose waist edge is girth long and whose hem lies drop below.
func NewCircle(girth, drop, share float64, panels int) Surface {
	return ring(Circle, panels, drop, girth/(2*math.Pi*share), 2*math.Pi*share/float64(panels))
}

// ring returns the surface of sectors of a ring, each of the given angle.
func ring(cut Cut, panels int, drop, inner, angle float64) Surface {
	s := &sectors{cone: cone{rows: rows{panels, drop}, angle: angle, inner: inner}, gores: cut == Gores}
	s.polar = s
	return Surface{Cut: cut, Panels: panels, Drop: drop, Inner: inner, Angle: angle, shape: s}
}

// sectors are panels of a ring.
type sectors struct {
	cone
	gores bool // the waist takes a seam allowance
}

// whole reports whether a panel is a full turn, whose two sides meet on the flat.
func (s *sectors) whole() bool { return s.angle >= 2*math.Pi-geom.SameAngle }

func (s *sectors) down(at geom.Vec) float64        { return at.Len() - s.inner }
func (s *sectors) panelGirth(down float64) float64 { return s.angle * (s.inner + down) }
func (s *sectors) upright(at geom.Vec) float64     { return -math.Atan2(at.X, at.Y) }
func (s *sectors) inside(p Point) bool             { return s.cone.inside(p, s.down(p.At)) }

func (s *sectors) around(p Point) float64 {
	return p.At.Len() * (math.Atan2(p.At.X, p.At.Y) + s.angle/2)
}

func (s *sectors) pointAt(_ int, down, around float64) geom.Vec {
	r := s.inner + down
	sin, cos := math.Sincos(around/r - s.angle/2)
	return geom.Vec{X: r * sin, Y: r * cos}
}

// across returns the row at down from a panel's left edge to its right one.
func (s *sectors) across(down float64) []geom.Vec {
	n := ArcSteps(s.inner+down, s.angle, geom.FlattenTol)
	line := make([]geom.Vec, n+1)
	for i := range line {
		sin, cos := math.Sincos((float64(i)/float64(n) - 0.5) * s.angle)
		line[i] = geom.Vec{X: (s.inner + down) * sin, Y: (s.inner + down) * cos}
	}
	return line
}

func (s *sectors) edges(int) []Edge {
	waist, hem := s.across(0), s.across(s.drop)
	if s.panels == 1 && s.whole() {
		return []Edge{{WaistEdge, waist}, {HemEdge, hem}, {SeamEdge, []geom.Vec{hem[0], waist[0]}}}
	}
	return edgesOf(waist, hem)
}

func (s *sectors) outline(int) geom.Region {
	waist, hem := s.across(0), s.across(s.drop)
	if !s.whole() {
		return outlineOf(waist, hem)
	}
	slices.Reverse(hem)
	g := geom.Region{Outer: hem[1:]}
	if s.inner > 0 {
		g.Holes = []geom.Ring{waist[1:]}
	}
	return g
}

func (s *sectors) point(p Place) Point {
	panel, part := s.split(p.Round)
	sin, cos := math.Sincos(part * s.angle)
	r := s.inner + p.Down
	return Point{panel, geom.Vec{X: r * sin, Y: r * cos}}
}

func (s *sectors) placeOf(p Point) Place {
	return Place{s.rows.place(p, math.Atan2(p.At.X, p.At.Y)/s.angle), s.down(p.At)}
}

func (s *sectors) fold(of Surface, n int) (Surface, bool) {
	return ring(of.Cut, 1, s.drop, s.inner, s.angle*float64(s.panels)/float64(n)), true
}

// of implements polar.
func (s *sectors) of(p Place) (theta, rho, upright float64) {
	theta = p.Round * s.total()
	return theta, s.inner + p.Down, theta
}

// place implements polar.
func (s *sectors) place(theta, rho float64) Place {
	return Place{wrap(theta / s.total()), rho - s.inner}
}

// share implements polar.
func (s *sectors) share(angle float64) float64 { return angle / s.total() }

// band: the distance to the apex grows with down as soon as the apex lies
// outside the outline's reach; it is least on an edge and greatest at a corner.
func (s *sectors) band(rings []geom.Ring, reach float64, m Margins) (low, high float64) {
	waist := func(down float64) bool {
		apex := geom.Vec{Y: -(s.inner + down)}
		for _, r := range rings {
			if r.EdgeDist(apex) < s.inner+m.Waist {
				return false
			}
		}
		return true
	}
	hem := func(down float64) bool {
		apex := geom.Vec{Y: -(s.inner + down)}
		for _, r := range rings {
			if r.Reach(apex) > s.outer()-m.Hem {
				return false
			}
		}
		return true
	}
	low = geom.Bisect(m.Waist+reach, math.Max(m.Waist-reach, reach-s.inner), waist)
	high = geom.Bisect(s.drop-m.Hem-reach, s.drop-m.Hem+reach, hem)
	return low, high
}

func (s *sectors) ends(rings []geom.Ring, down float64) (waist, hem float64) {
	apex := geom.Vec{Y: -(s.inner + down)}
	waist, hem = math.Inf(1), math.Inf(1)
	for _, r := range rings {
		waist = math.Min(waist, r.EdgeDist(apex)-s.inner)
		hem = math.Min(hem, s.outer()-r.Reach(apex))
	}
	return waist, hem
}

func (s *sectors) pieces(split int, allowance float64) (boxes []geom.Vec, cuttingLength float64, ok bool) {
	ok = s.angle/float64(split) <= 2*math.Pi+geom.SameAngle // a piece beyond a full turn does not lie flat
	w, h := s.box(split, s.outer(), allowance)
	cuttingLength = s.inner + s.drop
	if s.gores {
		h += allowance
		cuttingLength = s.drop + allowance
	}
	return slices.Repeat([]geom.Vec{{X: w, Y: h}}, split*s.panels), cuttingLength, ok
}
