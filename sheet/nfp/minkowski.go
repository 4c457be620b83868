package nfp

import (
	"math"

	"strew/motif/geom"
)

// Minkowski sums of convex rings: the edges of both, in order of their direction
// (M. de Berg and others, "Computational Geometry", 3rd edition, 2008, section 13.3, cited from memory).

// convexSum returns the Minkowski sum of two convex rings of positive area. It
// starts at its lowest point.
func convexSum(r, s geom.Ring) geom.Ring {
	i, j := lowest(r), lowest(s)
	out := make(geom.Ring, 0, len(r)+len(s))
	next := func(r geom.Ring, i int) int {
		if i+1 == len(r) {
			return 0
		}
		return i + 1
	}
	for m, n := 0, 0; m < len(r) || n < len(s); {
		out = append(out, r[i].Add(s[j]))
		i1, j1 := next(r, i), next(s, j)
		c := r[i1].Sub(r[i]).Cross(s[j1].Sub(s[j]))
		if n == len(s) || m < len(r) && c >= 0 {
			i = i1
			m++
			if n == len(s) || c > 0 {
				continue
			}
			if c == 0 {
				j = j1
				n++
			}
			continue
		}
		j = j1
		n++
	}
	return out
}

// lowest returns the index of the point of least y, of these the least x: from
// there the edges of a ring of positive area turn through all directions once.
func lowest(r geom.Ring) int {
	k := 0
	for i, p := range r {
		if p.Y < r[k].Y || p.Y == r[k].Y && p.X < r[k].X {
			k = i
		}
	}
	return k
}

// highest returns the index of the last point of greatest y.
func highest(r geom.Ring) int {
	k := 0
	for i, p := range r {
		if p.Y >= r[k].Y {
			k = i
		}
	}
	return k
}

// mirrored returns the ring mirrored in the origin.
func mirrored(r geom.Ring) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[i] = geom.Vec{X: -p.X, Y: -p.Y}
	}
	return out
}

// holds reports whether the convex ring r holds all points of s.
func holds(r, s geom.Ring) bool {
	a := r[len(r)-1]
	for _, b := range r {
		d := b.Sub(a)
		for _, p := range s {
			if d.Cross(p.Sub(a)) < 0 {
				return false
			}
		}
		a = b
	}
	return true
}

// Span is an open interval, empty where Lo is not below Hi.
type Span struct{ Lo, Hi float64 }

// Chord returns the span in which the convex ring meets the level y, with Lo > Hi
// where it does not.
func Chord(r geom.Ring, y float64) Span {
	s := Span{math.Inf(1), math.Inf(-1)}
	a := r[len(r)-1]
	for _, b := range r {
		if (a.Y > y) != (b.Y > y) {
			x := a.X + (b.X-a.X)*((y-a.Y)/(b.Y-a.Y))
			s.Lo = math.Min(s.Lo, x)
			s.Hi = math.Max(s.Hi, x)
		}
		a = b
	}
	return s
}

// quickChord is Chord for a ring that starts at its lowest point and is highest at
// top, at a level strictly between: y rises along the first chain and falls along
// the second, so both are searched by halving.
func quickChord(r geom.Ring, top int, y float64) Span {
	at := func(a, b geom.Vec) float64 {
		if a.Y == b.Y {
			return a.X
		}
		return a.X + (b.X-a.X)*((y-a.Y)/(b.Y-a.Y))
	}
	lo, hi := 0, top // r[lo].Y ≤ y < r[hi].Y
	for hi-lo > 1 {
		if m := (lo + hi) / 2; r[m].Y > y {
			hi = m
		} else {
			lo = m
		}
	}
	p := at(r[lo], r[hi])
	lo, hi = top, len(r) // r[lo].Y > y ≥ r[hi].Y, where r[len(r)] is r[0]
	for hi-lo > 1 {
		if m := (lo + hi) / 2; r[m].Y > y {
			lo = m
		} else {
			hi = m
		}
	}
	if hi == len(r) {
		hi = 0
	}
	q := at(r[lo], r[hi])
	return Span{min(p, q), max(p, q)}
}
