package skirt

import (
	"math"

	"strew/motif/geom"
)

// cone is what circles and gores have in common: panels that are wedges about
// one apex, sewn to a cone of any angle, more than a full turn included.
//
// Its plane: wedges wind round the apex at the origin, the first panel's left
// edge along +y and angles growing toward +x. Beyond a full turn sheets overlap
// there; Spot.Theta tells them apart.
type cone struct {
	rows
	angle float64 // of one panel
	inner float64 // from the apex to the waist seam
	polar polar
}

// polar is a cone's places in sewn angle from the first panel's left edge and
// distance from the apex.
type polar interface {
	// of returns besides the sewn angle to which a motif at the place points away
	// from the apex.
	of(p Place) (theta, rho, upright float64)
	// place takes a sewn angle that may lie beyond the whole way round.
	place(theta, rho float64) Place
	// share returns how large a share of a row an angle about the apex spans at most.
	share(angle float64) float64
}

func (c *cone) total() float64 { return c.angle * float64(c.panels) }
func (c *cone) outer() float64 { return c.inner + c.drop }

func (c *cone) inside(p Point, down float64) bool {
	return c.within(down) && math.Abs(math.Atan2(p.At.X, p.At.Y)) <= c.angle/2
}

func (c *cone) seen(p, q Place, yield func(offset geom.Vec, turn float64)) {
	total := c.total()
	pa, r, pu := c.polar.of(p)
	qa, t, qu := c.polar.of(q)
	// By how much each upright frame is turned against its radius.
	lean, other := pa-pu, qa-qu
	d := qa - pa
	d -= math.Round(d/total) * total
	see := func(a float64) {
		// sin and 1-cos from the half angle: exact zero offset for a = 0, and
		// no digits lost between near places.
		sh, ch := math.Sincos(a / 2)
		off := geom.Vec{X: 2 * t * sh * ch, Y: (t - r) - 2*t*sh*sh}
		turn := -a
		if lean != 0 || other != 0 {
			off, turn = off.Rotate(-lean), turn+other-lean
		}
		yield(off, turn)
	}
	if math.Abs(d) < math.Pi {
		see(d)
	}
	for k := 1; ; k++ {
		left, right := d-float64(k)*total, d+float64(k)*total
		if left <= -math.Pi && right >= math.Pi {
			return
		}
		if left > -math.Pi {
			see(left)
		}
		if right < math.Pi {
			see(right)
		}
	}
}

func (c *cone) dist(p, q Spot) float64 {
	d := q.Theta - p.Theta
	return c.arcDist(p.At.Len(), q.At.Len(), math.Abs(d-math.Round(d/c.total())*c.total()))
}

// arcDist returns the distance between radii r and t, a radians apart round
// the apex (law of cosines, in a form that keeps its digits for near places).
func (c *cone) arcDist(r, t, a float64) float64 {
	w := c.inner
	if a < math.Pi {
		h := math.Sin(a / 2)
		d2 := (r-t)*(r-t) + 4*r*t*h*h
		cos := 1 - 2*h*h
		// The line's foot from the apex lies on it where both end angles are
		// acute; it leaves the cloth where that foot lies inside the waist.
		if r <= t*cos || t <= r*cos || r*r*t*t*(1-cos*cos) >= w*w*d2 {
			return math.Sqrt(d2)
		}
	}
	tangent := func(r float64) (length, angle float64) {
		// By the arc tangent the two errors cancel for places on the waist seam.
		length = math.Sqrt(math.Max(0, r-w) * (r + w))
		return length, math.Atan2(length, w)
	}
	if w == 0 {
		return r + t
	}
	l1, a1 := tangent(r)
	l2, a2 := tangent(t)
	return l1 + l2 + w*math.Max(0, a-a1-a2)
}

func (c *cone) spot(p Place) Spot {
	theta, rho, upright := c.polar.of(p)
	sin, cos := math.Sincos(theta)
	return Spot{Place: p, At: geom.Vec{X: rho * sin, Y: rho * cos}, Upright: -upright, Theta: theta}
}

func (c *cone) step(p Spot, step geom.Vec) Spot {
	q := p.At.Add(step)
	return c.spot(c.polar.place(p.Theta+math.Atan2(q.Cross(p.At), q.Dot(p.At)), q.Len()))
}

func (c *cone) overTurn(over int) float64 { return -float64(over) * c.total() }

func (c *cone) beside(p Spot, over int) geom.Vec { return p.At.Rotate(float64(over) * c.total()) }

// straight: no line is longer than the tangent to the waist.
func (c *cone) straight(p Spot, reach float64) bool {
	return reach*reach <= p.At.Dot(p.At)-c.inner*c.inner
}

// half: a straight line of length reach from radius rho spans at most the angle
// whose sine is x = reach/rho: then it touches the circle of that radius. That
// angle is at most x + (π/2 - 1)·x³, since all terms of its series are
// positive, sum to π/2 at 1, and have powers of 3 and more after the first.
func (c *cone) half(p Spot, reach float64) float64 {
	angle := math.Pi
	if rho2 := p.At.Dot(p.At); reach*reach < rho2 {
		x := reach / math.Sqrt(rho2)
		angle = x + (math.Pi/2-1)*x*x*x
	}
	return math.Min(c.polar.share(angle), math.Ceil(math.Pi/c.total()))
}

// holeHalf: looking out from the apex, the waist seam between two places is no
// longer than the way round the waist hole from one to the other.
func (c *cone) holeHalf(reach float64) float64 {
	angle := c.total() / 2
	if c.inner > 0 {
		angle = math.Min(angle, reach/c.inner)
	}
	return math.Min(0.5, c.polar.share(angle))
}

func (c *cone) seamDist(at geom.Vec) float64 {
	sin, cos := math.Sincos(c.angle / 2)
	return math.Min(sin*at.Y+cos*at.X, sin*at.Y-cos*at.X)
}

// inset: the distance from a straight seam is least at a corner.
func (c *cone) inset(down float64, discs []Disc, clear float64) float64 {
	need := 0.0 // an angle
	for _, d := range discs {
		q := geom.Vec{X: d.At.X, Y: c.inner + down + d.At.Y}
		rho, r := q.Len(), clear+d.Radius
		side := math.Pi
		if r < rho {
			side = math.Asin(r/rho) - math.Atan2(q.X, q.Y)
		}
		need = math.Max(need, side)
	}
	need += geom.Snug / (c.inner + down)
	return need / c.total()
}

// box returns the width and height of the box round one of split equal pieces
// of a panel, upright, from the radius r of its waist's middle to the radius
// outer of its hem, seam allowances at its sides included.
func (c *cone) box(split int, outer, allowance float64) (w, h float64) {
	a, r := c.angle/float64(split), c.inner
	switch {
	case a <= math.Pi:
		// The corners at the hem are widest, the corners at the waist highest.
		w = 2*outer*math.Sin(a/2) + 2*allowance*math.Cos(a/2)
		h = outer - r*math.Cos(a/2) + allowance*math.Sin(a/2)
	case a < 2*math.Pi:
		w = 2 * outer
		h = outer - outer*math.Cos(a/2) + allowance*math.Sin(a/2)
	default:
		w, h = 2*outer, 2*outer
	}
	return w, h
}
