package skirt

import (
	"math"

	"strew/motif/geom"
)

// Spot is a place made ready for measuring: it also knows where it lies in the
// plane onto which the cloth unrolls, so that nothing between two spots needs
// trigonometry. Make one with Surface.Spot.
//
// The plane: wedges wind round the apex at the origin, the first panel's left
// edge along +y and angles growing toward +x. Beyond a full turn sheets overlap
// there; Theta tells them apart. A rectangle's plane is its rows laid out from
// the first panel's left edge; an outline's is its drawing.
type Spot struct {
	Place
	At      geom.Vec // in the plane
	Upright float64  // turn of the upright frame in the plane
	Theta   float64  // wedges: the sewn angle, from 0 up to the whole way round
	panel   int      // outline
}

// Spot makes a place ready.
func (s Surface) Spot(p Place) Spot {
	switch {
	case s.Cut == Outline:
		at := geom.Vec{X: p.Round * s.Width, Y: p.Down}
		return Spot{Place: p, At: at, panel: s.Drawn.panelAt(at)}
	case s.Wedges():
		theta, rho := s.polar(p)
		sin, cos := math.Sincos(theta)
		return Spot{Place: p, At: geom.Vec{X: rho * sin, Y: rho * cos}, Upright: -s.uprightAt(p, theta), Theta: theta}
	}
	return Spot{Place: p, At: geom.Vec{X: p.Round * s.Width * float64(s.Panels), Y: p.Down}}
}

// Step returns the spot reached from p by a step along the cloth, measured in
// the plane. It may leave the cloth.
func (s Surface) Step(p Spot, step geom.Vec) Spot {
	switch {
	case s.Cut == Outline:
		return s.Spot(Place{p.Round + step.X/s.Width, p.Down + step.Y})
	case s.Wedges():
		q := p.At.Add(step)
		return s.Spot(s.unpolar(p.Theta+math.Atan2(q.Cross(p.At), q.Dot(p.At)), q.Len()))
	}
	return s.Spot(Place{wrap(p.Round + step.X/(s.Width*float64(s.Panels))), p.Down + step.Y})
}

// A sight is one way in which cloth elsewhere lies flat beside a spot: as it
// lies in the plane (over 0), k times round the cloth to the right (over k), or
// on an outline over a seam (over 1 and up).
//
// OverTurn returns the turn by which what is seen in that way stands against
// how it lies in the plane.
func (s Surface) OverTurn(over int) float64 {
	switch {
	case over == 0:
		return 0
	case s.Cut == Outline:
		return s.Drawn.joins[over-1].turn
	case s.Wedges():
		return -float64(over) * s.total()
	}
	return 0
}

// from returns where p lies in the plane of what it sees in way over.
func (s Surface) from(p Spot, over int) geom.Vec {
	switch {
	case over == 0:
		return p.At
	case s.Cut == Outline:
		return s.Drawn.joins[over-1].there.Apply(p.At)
	case s.Wedges():
		return p.At.Rotate(float64(over) * s.total())
	}
	return geom.Vec{X: p.At.X - float64(over)*s.Width*float64(s.Panels), Y: p.At.Y}
}

// clear reports whether no straight line of length reach from p can leave the
// cloth at the waist and come back: none is longer than the tangent.
func (s Surface) clear(p Spot, reach float64) bool {
	if !s.Wedges() {
		return true
	}
	return reach*reach <= p.At.Dot(p.At)-s.Inner*s.Inner
}
