package skirt

import (
	"errors"
	"math"
)

// Gores: n equal flared panels. With curved edges they are the wedges of one
// ring sector, the longer for it the less they flare: top and hem differ by
// angle · drop. With straight edges each panel is a trapezoid, and its flare
// is drawn as the drop along the panel's middle (drafting by the measures of
// top, hem and length; geometry identities).

// NewGores returns the surface of n gores whose edges together are top long at
// the waist seam and hem long at the hem, drop below; straight edges are drawn
// straight across each panel, else they are arcs square to the panel's sides.
// It returns ErrNoFlare where the hem is no longer than the top, and
// ErrTooFlared where arcs would make a panel wider than a full turn.
func NewGores(top, hem, drop float64, n int, straight bool) (Surface, error) {
	if hem <= top {
		return Surface{}, ErrNoFlare
	}
	s := Surface{Cut: Gores, Panels: n, Drop: drop, Straight: straight}
	if straight {
		half := (hem - top) / float64(2*n) / drop
		s.Angle = 2 * math.Atan(half)
		s.Inner = top / float64(2*n) / half
		return s, nil
	}
	s.Angle = (hem - top) / float64(n) / drop
	s.Inner = top / float64(n) / s.Angle
	if s.Angle >= 2*math.Pi {
		return Surface{}, ErrTooFlared
	}
	return s, nil
}

// What NewGores refuses.
var (
	ErrNoFlare   = errors.New("the hem of gores must be longer than their top edge")
	ErrTooFlared = errors.New("each gore would be wider than a full turn")
)

// split returns the panel at a share of the way round, and how far along its
// row, from -1/2 at the left edge to 1/2 at the right.
func (s Surface) split(round float64) (panel int, part float64) {
	at := round * float64(s.Panels)
	panel = min(max(int(at), 0), s.Panels-1)
	return panel, at - float64(panel) - 0.5
}

// polar returns the sewn angle from the first panel's left edge and the
// distance from the apex of a place on wedges.
func (s Surface) polar(p Place) (theta, rho float64) {
	if !s.Straight {
		return p.Round * s.total(), s.Inner + p.Down
	}
	k, part := s.split(p.Round)
	y := s.Inner + p.Down
	x := 2 * part * y * math.Tan(s.Angle/2)
	return (float64(k)+0.5)*s.Angle + math.Atan2(x, y), math.Hypot(x, y)
}

// unpolar returns the place at a sewn angle, which may lie beyond the whole
// way round, and a distance from the apex.
func (s Surface) unpolar(theta, rho float64) Place {
	round := wrap(theta / s.total())
	if !s.Straight {
		return Place{round, rho - s.Inner}
	}
	k, part := s.split(round)
	t := part * s.Angle
	return Place{
		wrap((float64(k) + 0.5 + math.Tan(t)/(2*math.Tan(s.Angle/2))) / float64(s.Panels)),
		rho*math.Cos(t) - s.Inner,
	}
}

// uprightAt returns the sewn angle to which a motif at a place points away from
// the apex: its own, or its panel's middle where the rows are straight.
func (s Surface) uprightAt(p Place, theta float64) float64 {
	if !s.Straight {
		return theta
	}
	k, _ := s.split(p.Round)
	return (float64(k) + 0.5) * s.Angle
}
