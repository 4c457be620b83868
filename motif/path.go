package motif

import (
	"math"

	"strew/motif/geom"
)

// curve is one segment of a subpath; it starts where the one before it ends.
type curve struct {
	kind curveKind
	// cubic: control points p[0], p[1]. arc: centre p[0] and half axes p[1], p[2]
	// as vectors, so that the point at angle a is p[0] + cos a · p[1] + sin a · p[2];
	// affine maps keep that form.
	p          [3]geom.Vec
	from, turn float64 // arc: first angle and the angle run through, radians
	end        geom.Vec
}

type curveKind uint8

const (
	line curveKind = iota
	cubic
	arc
)

// subpath is a sequence of connected curves.
type subpath struct {
	start  geom.Vec
	curves []curve
	closed bool
}

func (s subpath) end() geom.Vec {
	if n := len(s.curves); n > 0 {
		return s.curves[n-1].end
	}
	return s.start
}

func (s *subpath) lineTo(p geom.Vec) {
	s.curves = append(s.curves, curve{kind: line, end: p})
}

func (s *subpath) cubicTo(a, b, p geom.Vec) {
	s.curves = append(s.curves, curve{kind: cubic, p: [3]geom.Vec{a, b}, end: p})
}

// ellipticalArc holds the parameters of SVG's A command but its end.
type ellipticalArc struct {
	rx, ry   float64
	rotation float64 // of the x axis, in degrees
	large    bool    // the longer way round the ellipse
	sweep    bool    // clockwise as seen
}

// arcTo adds an elliptical arc (SVG 2, appendix B.2.4 and B.2.5): radii too small
// are scaled up, a zero radius gives a straight line, equal ends give nothing.
func (s *subpath) arcTo(e ellipticalArc, to geom.Vec) {
	from := s.end()
	if from == to {
		return
	}
	rx, ry := math.Abs(e.rx), math.Abs(e.ry)
	if rx == 0 || ry == 0 {
		s.lineTo(to)
		return
	}
	phi := math.Mod(e.rotation, 360) * math.Pi / 180
	// Step 1: the middle of the chord, in the ellipse's own axes.
	h := from.Sub(to).Mul(0.5).Rotate(-phi)
	x, y := h.X/rx, h.Y/ry
	lambda := x*x + y*y
	if lambda > 1 {
		k := math.Sqrt(lambda)
		rx, ry, x, y = rx*k, ry*k, x/k, y/k
		lambda = 1
	}
	// Step 2: the centre, where the ellipse is scaled to the unit circle.
	k := math.Sqrt(math.Max(0, 1/lambda-1))
	if e.large == e.sweep {
		k = -k
	}
	c := geom.Vec{X: k * y, Y: -k * x}
	// Step 3: back to the drawing.
	u := geom.Vec{X: rx}.Rotate(phi)
	v := geom.Vec{Y: ry}.Rotate(phi)
	centre := from.Lerp(to, 0.5).Add(u.Mul(c.X)).Add(v.Mul(c.Y))
	// Step 4: the angles.
	a := math.Atan2(y-c.Y, x-c.X)
	b := math.Atan2(-y-c.Y, -x-c.X)
	turn := b - a
	if e.sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !e.sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	s.curves = append(s.curves, curve{kind: arc, p: [3]geom.Vec{centre, u, v}, from: a, turn: turn, end: to})
}

// transform returns the subpath with every point sent through m.
func (s subpath) transform(m geom.Affine) subpath {
	out := subpath{start: m.Apply(s.start), closed: s.closed, curves: make([]curve, len(s.curves))}
	for i, c := range s.curves {
		switch c.kind {
		case cubic:
			c.p[0], c.p[1] = m.Apply(c.p[0]), m.Apply(c.p[1])
		case arc:
			c.p[0], c.p[1], c.p[2] = m.Apply(c.p[0]), m.Linear(c.p[1]), m.Linear(c.p[2])
		}
		c.end = m.Apply(c.end)
		out.curves[i] = c
	}
	return out
}
