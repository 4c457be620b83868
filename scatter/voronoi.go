package scatter

import (
	"math"

	"strew/motif/geom"
)

// cell is a Voronoi cell: the convex part of the plane about a mark at the
// origin, cut off toward each neighbour. Its corners are where the cloth is
// barest nearby.
type cell struct{ corners, spare []geom.Vec }

// reset makes the cell a square reaching half to every side.
func (c *cell) reset(half float64) {
	c.corners = append(c.corners[:0], geom.Vec{X: -half, Y: -half}, geom.Vec{X: half, Y: -half}, geom.Vec{X: half, Y: half}, geom.Vec{X: -half, Y: half})
}

// radius returns how far the cell reaches.
func (c *cell) radius() float64 {
	far := 0.0
	for _, p := range c.corners {
		far = max(far, p.X*p.X+p.Y*p.Y)
	}
	return math.Sqrt(far)
}

// cut keeps the part with u·x at most t.
func (c *cell) cut(u geom.Vec, t float64) {
	if len(c.corners) == 0 {
		return // nothing is left, as where two marks lie on one place
	}
	worst := t
	for _, p := range c.corners {
		worst = max(worst, u.Dot(p))
	}
	if worst == t {
		return
	}
	out := c.spare[:0]
	last := c.corners[len(c.corners)-1]
	was := u.Dot(last) - t
	for _, p := range c.corners {
		is := u.Dot(p) - t
		if (was < 0) != (is < 0) {
			out = append(out, last.Lerp(p, was/(was-is)))
		}
		if is < 0 {
			out = append(out, p)
		}
		last, was = p, is
	}
	c.spare, c.corners = c.corners, out
}
