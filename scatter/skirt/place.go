package skirt

import (
	"math"

	"strew/motif/geom"
)

// Place is a place on the sewn cloth in coordinates that know no panel: the
// share of the way round from the first panel's left edge, from 0 up to 1, and
// the distance below the waist seam. A row of marks has one Down. On an outline
// Round is x as a share of the drawing's width, which does not wrap, and Down
// is y.
type Place struct{ Round, Down float64 }

// Folds reports whether s is n equal copies of one part, and so has a Fold(n).
func (s Surface) Folds(n int) bool {
	switch {
	case s.Cut == Outline:
		return n == 1
	case s.Straight:
		return s.Panels%n == 0 // rows bend at the seams
	}
	return true
}

// Fold returns the surface that n equal parts of s are copies of, closed on
// itself where s is: what is even on it is even all round s when repeated n
// times. s.Folds(n) must hold.
func (s Surface) Fold(n int) Surface {
	if !s.Folds(n) {
		panic("skirt: a surface folded where its copies differ")
	}
	f := s
	switch {
	case s.Cut == Outline:
		return s
	case s.Straight:
		f.Panels = s.Panels / n
		return f
	}
	f.Panels = 1
	f.Angle = s.Angle * float64(s.Panels) / float64(n)
	f.Width = s.Width * float64(s.Panels) / float64(n)
	return f
}

// Repeated returns where copy k of n of a place on s.Fold(n) lies on s.
func (p Place) Repeated(k, n int) Place {
	if n == 1 {
		return p
	}
	return Place{wrap((p.Round + float64(k)) / float64(n)), p.Down}
}

// wrap returns x less its whole part, in [0, 1).
func wrap(x float64) float64 {
	x -= math.Floor(x)
	if x >= 1 { // a tiny negative x rounds up to 1
		return 0
	}
	return x
}

// Moved returns the place reached from p by a step along the cloth, dx round
// to the right and dy down, both measured in p's own upright frame. It may
// leave the cloth; Round stays in [0, 1) on a closed surface.
func (s Surface) Moved(p Place, step geom.Vec) Place {
	switch {
	case s.Cut == Outline:
		return Place{p.Round + step.X/s.Width, p.Down + step.Y}
	case s.Wedges():
		theta, rho := s.polar(p)
		sin, cos := math.Sincos(theta - s.uprightAt(p, theta))
		q := geom.Vec{X: rho*sin + step.X, Y: rho*cos + step.Y}
		return s.unpolar(s.uprightAt(p, theta)+math.Atan2(q.X, q.Y), q.Len())
	}
	return Place{wrap(p.Round + step.X/(s.Width*float64(s.Panels))), p.Down + step.Y}
}

// Seen calls yield for every way in which q lies flat beside p when the cloth
// between them is unrolled: the offset from p to q in p's upright frame, and by
// how much q's upright frame is turned there. A closed surface shows a place
// once for each way round that stays under half a turn about the apex; beyond
// that no straight line along the cloth joins the two. An outline shows it on
// the same panel, and over each seam that joins the two panels. Where p equals
// q, the place itself comes first, with offset zero.
func (s Surface) Seen(p, q Place, yield func(offset geom.Vec, turn float64)) {
	switch {
	case s.Cut == Outline:
		s.Drawn.seen(s, p, q, yield)
		return
	case s.Wedges():
		s.seenOnWedges(p, q, yield)
		return
	}
	d := q.Round - p.Round
	d -= math.Round(d)
	total := s.Width * float64(s.Panels)
	for _, k := range [3]float64{0, -1, 1} {
		yield(geom.Vec{X: (d + k) * total, Y: q.Down - p.Down}, 0)
	}
}

func (s Surface) seenOnWedges(p, q Place, yield func(offset geom.Vec, turn float64)) {
	total := s.total()
	pa, r := s.polar(p)
	qa, t := s.polar(q)
	// By how much each upright frame is turned against its radius.
	lean, other := pa-s.uprightAt(p, pa), qa-s.uprightAt(q, qa)
	d := qa - pa
	d -= math.Round(d/total) * total
	see := func(a float64) {
		// sin and 1-cos from the half angle: exact zero offset for a = 0, and
		// no digits lost between near places.
		sh, ch := math.Sincos(a / 2)
		off := geom.Vec{X: 2 * t * sh * ch, Y: (t - r) - 2*t*sh*sh}
		turn := -a
		if s.Straight {
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

// Dist returns the length of the shortest way along the cloth from p to q.
// Where the straight line would leave the cloth at the waist, the way runs
// along tangents to the waist seam and along the seam between them; a straight
// waist seam counts as the circle that touches its middle, a hair inside it.
// On an outline it is the straight line within a panel or over one seam, the
// shortest a way can be even where a bay or a hole lies between, and infinite
// where no seam joins the panels.
func (s Surface) Dist(p, q Place) float64 {
	switch {
	case s.Cut == Outline:
		return s.Drawn.dist(s.Point(p), s.Point(q))
	case s.Wedges():
		pa, r := s.polar(p)
		qa, t := s.polar(q)
		d := qa - pa
		return s.arcDist(r, t, math.Abs(d-math.Round(d/s.total())*s.total()))
	}
	d := q.Round - p.Round
	d = math.Abs(d - math.Round(d))
	return math.Hypot(d*s.Width*float64(s.Panels), q.Down-p.Down)
}

// arcDist returns the distance between radii r and t, a radians apart round
// the apex (law of cosines, in a form that keeps its digits for near places).
func (s Surface) arcDist(r, t, a float64) float64 {
	if a < math.Pi {
		h := math.Sin(a / 2)
		d2 := (r-t)*(r-t) + 4*r*t*h*h
		c := 1 - 2*h*h
		// The line's foot from the apex lies on it where both end angles are
		// acute; it leaves the cloth where that foot lies inside the waist.
		if r <= t*c || t <= r*c || r*r*t*t*(1-c*c) >= s.Inner*s.Inner*d2 {
			return math.Sqrt(d2)
		}
	}
	w := s.Inner
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

// Point returns the panel and the point in its frame at a place. On an outline
// a place off the cloth belongs to the nearest panel.
func (s Surface) Point(p Place) Point {
	if s.Cut == Outline {
		at := geom.Vec{X: p.Round * s.Width, Y: p.Down}
		return Point{s.Drawn.panelAt(at), at}
	}
	panel, part := s.split(p.Round)
	switch {
	case s.Straight:
		y := s.Inner + p.Down
		return Point{panel, geom.Vec{X: 2 * part * y * math.Tan(s.Angle/2), Y: y}}
	case s.Wedges():
		sin, cos := math.Sincos(part * s.Angle)
		r := s.Inner + p.Down
		return Point{panel, geom.Vec{X: r * sin, Y: r * cos}}
	}
	return Point{panel, geom.Vec{X: part * s.Width, Y: p.Down}}
}

// PlaceOf returns the place at a point of a panel, the inverse of Point.
func (s Surface) PlaceOf(p Point) Place {
	n, part := float64(s.Panels), 0.0
	switch {
	case s.Cut == Outline:
		return Place{p.At.X / s.Width, p.At.Y}
	case s.Straight:
		part = p.At.X / (2 * p.At.Y * math.Tan(s.Angle/2))
	case s.Wedges():
		part = math.Atan2(p.At.X, p.At.Y) / s.Angle
	default:
		part = p.At.X / s.Width
	}
	return Place{wrap((float64(p.Panel) + 0.5 + part) / n), s.Down(p.At)}
}

// Seams returns the shares of the way round at which s.Fold(n) meets a seam of
// s: one for each seam that no copy shares. An outline's seams are no such
// shares; its edges tell of them.
func (s Surface) Seams(n int) []float64 {
	if s.Cut == Outline {
		return nil
	}
	g := gcd(n, s.Panels)
	out := make([]float64, s.Panels/g)
	for i := range out {
		out[i] = float64(i) / float64(len(out))
	}
	return out
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
