package skirt

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// A rectangle is straight panels, gathered at the waist.

// NewRectangle returns the surface of straight panels that are girth wide
// together and drop long.
func NewRectangle(girth, drop float64, panels int) Surface {
	return rectangle(panels, drop, girth/float64(panels))
}

func rectangle(panels int, drop, width float64) Surface {
	return Surface{Cut: Rectangle, Panels: panels, Drop: drop, Width: width, shape: &strips{rows{panels, drop}, width}}
}

// strips are the panels of a rectangle. Their plane is the rows laid out from
// the first panel's left edge.
type strips struct {
	rows
	width float64
}

func (s *strips) total() float64 { return s.width * float64(s.panels) }

func (s *strips) down(at geom.Vec) float64   { return at.Y }
func (s *strips) panelGirth(float64) float64 { return s.width }
func (s *strips) around(p Point) float64     { return p.At.X + s.width/2 }
func (s *strips) upright(geom.Vec) float64   { return 0 }
func (s *strips) inside(p Point) bool        { return s.within(p.At.Y) && math.Abs(p.At.X) <= s.width/2 }
func (s *strips) edges(int) []Edge           { return edgesOf(s.across(0), s.across(s.drop)) }
func (s *strips) outline(int) geom.Region    { return outlineOf(s.across(0), s.across(s.drop)) }
func (s *strips) across(y float64) []geom.Vec {
	return []geom.Vec{{X: -0.5 * s.width, Y: y}, {X: 0.5 * s.width, Y: y}}
}

func (s *strips) pointAt(_ int, down, around float64) geom.Vec {
	return geom.Vec{X: around - s.width/2, Y: down}
}

func (s *strips) point(p Place) Point {
	panel, part := s.split(p.Round)
	return Point{panel, geom.Vec{X: part * s.width, Y: p.Down}}
}

func (s *strips) placeOf(p Point) Place { return Place{s.place(p, p.At.X/s.width), p.At.Y} }

func (s *strips) fold(_ Surface, n int) (Surface, bool) {
	return rectangle(1, s.drop, s.width*float64(s.panels)/float64(n)), true
}

func (s *strips) seen(p, q Place, yield func(offset geom.Vec, turn float64)) {
	d := q.Round - p.Round
	d -= math.Round(d)
	for _, k := range [3]float64{0, -1, 1} {
		yield(geom.Vec{X: (d + k) * s.total(), Y: q.Down - p.Down}, 0)
	}
}

func (s *strips) dist(p, q Spot) float64 {
	d := q.Round - p.Round
	d = math.Abs(d - math.Round(d))
	return math.Hypot(d*s.width*float64(s.panels), q.Down-p.Down)
}

func (s *strips) spot(p Place) Spot {
	return Spot{Place: p, At: geom.Vec{X: p.Round * s.width * float64(s.panels), Y: p.Down}}
}

func (s *strips) step(p Spot, step geom.Vec) Spot {
	return s.spot(Place{wrap(p.Round + step.X/s.total()), p.Down + step.Y})
}

func (s *strips) overTurn(int) float64 { return 0 }

func (s *strips) beside(p Spot, over int) geom.Vec {
	return geom.Vec{X: p.At.X - float64(over)*s.width*float64(s.panels), Y: p.At.Y}
}

func (s *strips) half(_ Spot, reach float64) float64 { return reach / s.total() }

func (s *strips) band(rings []geom.Ring, _ float64, m Margins) (low, high float64) {
	return straightBand(rings, s.drop, m)
}

func (s *strips) ends(rings []geom.Ring, down float64) (waist, hem float64) {
	return straightEnds(rings, down, s.drop)
}

func (s *strips) inset(_ float64, discs []Disc, clear float64) float64 {
	need := 0.0 // millimetres
	for _, d := range discs {
		need = math.Max(need, clear+d.Radius-d.At.X)
	}
	return (need + geom.Snug) / s.total()
}

func (s *strips) seamDist(at geom.Vec) float64 { return s.width/2 - math.Abs(at.X) }

func (s *strips) pieces(split int, allowance float64) (boxes []geom.Vec, cuttingLength float64, ok bool) {
	box := geom.Vec{X: s.width/float64(split) + 2*allowance, Y: s.drop + allowance}
	return slices.Repeat([]geom.Vec{box}, split*s.panels), s.drop + allowance, true
}
