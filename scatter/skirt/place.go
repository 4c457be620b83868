package skirt

import (
	"math"

	"strew/motif/geom"
)

// Place is a place on the sewn cloth in coordinates that know no panel: the
// share of the way round from the first panel's left edge, from 0 up to 1, and
// the distance below the waist seam. A row of marks has one Down.
type Place struct{ Round, Down float64 }

// Fold returns the surface that n equal parts of s are copies of, closed on
// itself: what is even on it is even all round s when repeated n times.
func (s Surface) Fold(n int) Surface {
	f := s
	f.Panels = 1
	f.Angle = s.Angle * float64(s.Panels) / float64(n)
	f.Width = s.Width * float64(s.Panels) / float64(n)
	return f
}

// Repeated returns where copy k of n of a place on s.Fold(n) lies on s.
func (p Place) Repeated(k, n int) Place {
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
// to the right and dy down, both measured in p's own upright frame. Down may
// leave the cloth; Round stays in [0, 1).
func (s Surface) Moved(p Place, step geom.Vec) Place {
	if s.Cut == Circle {
		q := geom.Vec{X: step.X, Y: s.Inner + p.Down + step.Y}
		turn := math.Atan2(q.X, q.Y)
		return Place{wrap(p.Round + turn/(s.Angle*float64(s.Panels))), q.Len() - s.Inner}
	}
	return Place{wrap(p.Round + step.X/(s.Width*float64(s.Panels))), p.Down + step.Y}
}

// Seen calls yield for every way in which q lies flat beside p when the cloth
// between them is unrolled: the offset from p to q in p's upright frame, and by
// how much q's upright frame is turned there. A closed surface shows a place
// once for each way round that stays under half a turn about the apex; beyond
// that no straight line along the cloth joins the two. Where p equals q, the
// place itself comes first, with offset zero.
func (s Surface) Seen(p, q Place, yield func(offset geom.Vec, turn float64)) {
	d := q.Round - p.Round
	d -= math.Round(d)
	if s.Cut == Circle {
		total := s.Angle * float64(s.Panels)
		r, t := s.Inner+p.Down, s.Inner+q.Down
		see := func(a float64) {
			// sin and 1-cos from the half angle: exact zero offset for a = 0, and
			// no digits lost between near places.
			sh, ch := math.Sincos(a / 2)
			yield(geom.Vec{X: 2 * t * sh * ch, Y: (t - r) - 2*t*sh*sh}, -a)
		}
		if math.Abs(d)*total < math.Pi {
			see(d * total)
		}
		for k := 1; ; k++ {
			left, right := (d-float64(k))*total, (d+float64(k))*total
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
	total := s.Width * float64(s.Panels)
	for _, k := range [3]float64{0, -1, 1} {
		yield(geom.Vec{X: (d + k) * total, Y: q.Down - p.Down}, 0)
	}
}

// Dist returns the length of the shortest way along the cloth from p to q.
// Where the straight line would leave the cloth at the waist, the way runs
// along tangents to the waist seam and along the seam between them.
func (s Surface) Dist(p, q Place) float64 {
	d := q.Round - p.Round
	d = math.Abs(d - math.Round(d))
	if s.Cut == Circle {
		return s.arcDist(s.Inner+p.Down, s.Inner+q.Down, d*s.Angle*float64(s.Panels))
	}
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
		r = math.Max(r, w)
		return math.Sqrt(r*r - w*w), math.Acos(w / r)
	}
	if w == 0 {
		return r + t
	}
	l1, a1 := tangent(r)
	l2, a2 := tangent(t)
	return l1 + l2 + w*math.Max(0, a-a1-a2)
}

// Point returns the panel and the point in its frame at a place.
func (s Surface) Point(p Place) Point {
	at := p.Round * float64(s.Panels)
	panel := min(int(at), s.Panels-1)
	part := at - float64(panel) - 0.5
	if s.Cut == Circle {
		sin, cos := math.Sincos(part * s.Angle)
		r := s.Inner + p.Down
		return Point{panel, geom.Vec{X: r * sin, Y: r * cos}}
	}
	return Point{panel, geom.Vec{X: part * s.Width, Y: p.Down}}
}

// Seams returns the shares of the way round at which s.Fold(n) meets a seam of
// s: one for each seam that no copy shares.
func (s Surface) Seams(n int) []float64 {
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
