package geom

import "math"

// Affine is the map (x, y) → (A·x + C·y + E, B·x + D·y + F), the order of SVG's
// matrix(a b c d e f). The zero Affine sends everything to the origin; start
// from Identity.
type Affine struct{ A, B, C, D, E, F float64 }

// Identity returns the map that moves nothing.
func Identity() Affine { return Affine{A: 1, D: 1} }

// Translation returns the map that shifts by v.
func Translation(v Vec) Affine { return Affine{A: 1, D: 1, E: v.X, F: v.Y} }

// Rotation returns the turn by a radians about the origin, clockwise as seen.
func Rotation(a float64) Affine {
	s, c := math.Sincos(a)
	return Affine{A: c, B: s, C: -s, D: c}
}

// Scaling returns the map that scales x by sx and y by sy about the origin.
func Scaling(sx, sy float64) Affine { return Affine{A: sx, D: sy} }

// Placing returns the map that scales by size, mirrors x where flipped is set,
// then turns by turn radians and shifts to at: from a motif's own frame to its
// place on cloth or felt.
func Placing(at Vec, turn, size float64, flipped bool) Affine {
	s, c := math.Sincos(turn)
	m := Affine{A: c * size, B: s * size, C: -s * size, D: c * size, E: at.X, F: at.Y}
	if flipped {
		m.A, m.B = -m.A, -m.B
	}
	return m
}

// Apply returns where the map sends p.
func (m Affine) Apply(p Vec) Vec {
	return Vec{m.A*p.X + m.C*p.Y + m.E, m.B*p.X + m.D*p.Y + m.F}
}

// Linear returns where the map sends the displacement v, without its shift.
func (m Affine) Linear(v Vec) Vec { return Vec{m.A*v.X + m.C*v.Y, m.B*v.X + m.D*v.Y} }

// Then returns the map that applies m first and n after it.
func (m Affine) Then(n Affine) Affine {
	p := n.Linear(Vec{m.A, m.B})
	q := n.Linear(Vec{m.C, m.D})
	o := n.Apply(Vec{m.E, m.F})
	return Affine{p.X, p.Y, q.X, q.Y, o.X, o.Y}
}

// Det returns the determinant: the factor by which areas grow, negative where
// the map mirrors.
func (m Affine) Det() float64 { return m.A*m.D - m.B*m.C }

// Inverse returns the map that undoes m, and false where m is singular.
func (m Affine) Inverse() (Affine, bool) {
	d := m.Det()
	if d == 0 || math.IsNaN(d) || math.IsInf(d, 0) {
		return Affine{}, false
	}
	inv := Affine{A: m.D / d, B: -m.B / d, C: -m.C / d, D: m.A / d}
	o := inv.Linear(Vec{m.E, m.F})
	inv.E, inv.F = -o.X, -o.Y
	return inv, true
}

// Stretch returns the largest factor by which m lengthens a displacement: its
// greater singular value. A flattening tolerance is divided by it.
func (m Affine) Stretch() float64 {
	p := (m.A*m.A + m.B*m.B + m.C*m.C + m.D*m.D) / 2
	d := m.Det()
	return math.Sqrt(p + math.Sqrt(math.Max(0, p*p-d*d)))
}
