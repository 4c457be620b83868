package sheet

import (
	"math"

	"strew/motif/geom"
)

// Hexagons. Convex pieces that do not overlap can each be put into a convex
// polygon of its own, these not overlapping either and all within the sheet; N
// of them in a convex sheet of at most six sides have 6N sides or fewer in all.
// A polygon of n sides round a piece is no smaller than the smallest such one,
// so round pieces waste what their hexagons have over.
//
// L. Fejes Tóth, "Some packing and covering theorems", Acta Scientiarum
// Mathematicarum (Szeged) 12 A, 1950, for pieces all alike; the lemma on the
// sides, cited from memory, holds for any convex pieces. So for any price λ of a
// side the sheets hold at least
//
//	Σ min over n of (a(n) + λ·n) - 6·N·λ
//
// where a(n) is the area of the smallest polygon of n sides round a piece: every
// side above six of one piece is paid for by one less of another.

// mostSides is up to how many sides the smallest polygon is worked out: with more
// a piece is taken for its own area.
const mostSides = 8

// mostCorners is how many corners of a piece are looked at: a polygon through
// fewer of its points is smaller, and so are the polygons round it.
const mostCorners = 64

// hexagons returns a lower bound on the area of sheets, each grown by half the
// gap and all corners kept, that hold the convex ones among the wants.
func hexagons(wants []want, gap float64) float64 {
	type kind struct {
		n     int
		least [mostSides + 2]float64 // by sides, from 3; the last for any more
	}
	var all []kind
	prices := []float64{0}
	total := 0
	for _, x := range wants {
		if !x.isConvex() {
			continue
		}
		k := kind{n: x.n}
		total += x.n
		d := gap / 2
		for n, a := range x.around() {
			// A polygon round the grown piece, shrunk by as much, is one round
			// the piece; so it holds that grown again.
			k.least[n] = max(a+d*x.hull.Length()*(1-boundSlack)+math.Pi*d*d, x.grown())
		}
		k.least[mostSides+1] = x.grown()
		for n := 3; n <= mostSides; n++ {
			prices = append(prices, max(0, k.least[n]-k.least[n+1]))
		}
		all = append(all, k)
	}
	best := 0.0
	for _, price := range prices {
		sum := -6 * float64(total) * price
		for _, k := range all {
			least := math.Inf(1)
			for n := 3; n <= mostSides+1; n++ {
				least = min(least, k.least[n]+price*float64(n))
			}
			sum += float64(k.n) * least
		}
		best = max(best, sum)
	}
	return best
}

// isConvex reports whether the form has no bays and no holes.
func (f *form) isConvex() bool {
	return len(f.true.Holes) == 0 && math.Abs(f.hull.Area())-f.area <= geom.Press*geom.Press
}

// around returns for n = 3 … mostSides the area of the smallest polygon of at
// most n sides round the form's hull, or something less; see smallestRound.
func (f *form) around() [mostSides + 1]float64 {
	if f.rounds == nil {
		r := smallestRound(fewCorners(oriented(f.hull, 1), mostCorners))
		for n := 3; n <= mostSides; n++ {
			r[n] *= 1 - boundSlack
		}
		f.rounds = &r
	}
	return *f.rounds
}

// fewCorners returns a convex ring through at most so many of r's points, those
// that lie farthest out in even directions.
func fewCorners(r geom.Ring, most int) geom.Ring {
	if len(r) <= most {
		return r
	}
	keep := make([]bool, len(r))
	for k := range most {
		s, c := math.Sincos(2 * math.Pi * float64(k) / float64(most))
		far, at := math.Inf(-1), 0
		for i, p := range r {
			if d := p.X*c + p.Y*s; d > far {
				far, at = d, i
			}
		}
		keep[at] = true
	}
	var out geom.Ring
	for i, p := range r {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// smallestRound returns for n = 3 … mostSides the area of the smallest polygon
// of at most n sides round a convex ring of positive area. One of the smallest
// has all sides but one flush with sides of the ring, and that one touches it
// in its midpoint or is flush as well (A. Aggarwal, J. S. Chang, C. K. Yap,
// "Minimum area circumscribing polygons", The Visual Computer 1, 1985): so it
// is the shortest way once round the ring's sides, a step from one to the next
// costing the felt that lies between the two lines and the ring.
func smallestRound(r geom.Ring) (best [mostSides + 1]float64) {
	m, area := len(r), r.Area()
	c := newChains(r)
	flush, loose := make([][]float64, m), make([][]float64, m) // by side and sides further
	for i := range r {
		flush[i], loose[i] = make([]float64, m), make([]float64, m)
		for d := 1; d < m; d++ {
			flush[i][d], loose[i][d] = c.corner(i, i+d), c.bent(i, i+d)
		}
	}
	for n := range best {
		best[n] = math.Inf(1)
	}
	for first := range r {
		// By sides so far and how far round the last one lies, which is flush:
		// the least area with all sides flush, and with one that is not.
		all, but := grid(mostSides+1, m), grid(mostSides+1, m)
		all[1][0] = area
		for k := 1; k <= mostSides; k++ {
			for d := range m {
				if math.IsInf(all[k][d], 1) && math.IsInf(but[k][d], 1) {
					continue
				}
				at := (first + d) % m
				for e := 1; e <= m-d && e < m; e++ {
					straight, over := flush[at][e], loose[at][e]
					if d+e == m { // round
						put(&best[k], min(all[k][d], but[k][d])+straight)
						if k < mostSides {
							put(&best[k+1], all[k][d]+over)
						}
						continue
					}
					if k+1 <= mostSides {
						put(&all[k+1][d+e], all[k][d]+straight)
						put(&but[k+1][d+e], but[k][d]+straight)
					}
					if k+2 <= mostSides {
						put(&but[k+2][d+e], all[k][d]+over)
					}
				}
			}
		}
	}
	for n := 4; n <= mostSides; n++ {
		best[n] = min(best[n], best[n-1])
	}
	return best
}

func grid(rows, cols int) [][]float64 {
	out := make([][]float64, rows)
	for i := range out {
		out[i] = make([]float64, cols)
		for j := range out[i] {
			out[i][j] = math.Inf(1)
		}
	}
	return out
}

func put(at *float64, v float64) { *at = min(*at, v) }

// chains are a convex ring of positive area and twice the areas swept from the
// origin along it, twice round.
type chains struct {
	geom.Ring
	swept []float64
}

func newChains(r geom.Ring) chains {
	c := chains{r, make([]float64, 2*len(r)+1)}
	for i := range 2 * len(r) {
		c.swept[i+1] = c.swept[i] + r.At(i).Cross(r.At(i+1))
	}
	return c
}

// chord returns the area between the ring's points i … j and the line from i to
// j, i ≤ j < twice its points.
func (c chains) chord(i, j int) float64 {
	return (c.swept[j] - c.swept[i] + c.At(j).Cross(c.At(i))) / 2
}

// corner returns the area between the lines of the ring's sides i and j > i and
// the ring; +Inf where the lines do not meet beyond it.
func (c chains) corner(i, j int) float64 {
	a, b, d, e := c.At(i), c.At(i+1), c.At(j), c.At(j+1)
	x, ok := meet(a, b.Sub(a), e, e.Sub(d))
	if !ok {
		return math.Inf(1)
	}
	return max(0, geom.Ring{b, x, d}.Area()-c.chord(i+1, j))
}

// meet returns where the line through p along d, followed forward, meets that
// through q along e, followed back; ok is false where they turn away.
func meet(p, d, q, e geom.Vec) (geom.Vec, bool) {
	turn := d.Cross(e)
	if turn <= geom.SameAngle*d.Len()*e.Len() {
		return geom.Vec{}, false
	}
	return p.Add(d.Mul(q.Sub(p).Cross(e) / turn)), true
}

// bent returns the least area between the lines of the ring's sides i and j > i, a line
// between them that touches the ring in its midpoint, and the ring; +Inf where
// there is none.
func (c chains) bent(i, j int) float64 {
	best := math.Inf(1)
	a, b, d, e := c.At(i), c.At(i+1), c.At(j), c.At(j+1)
	u, w := b.Sub(a), e.Sub(d)
	turn := u.Cross(w)
	if math.Abs(turn) <= geom.SameAngle*u.Len()*w.Len() {
		return best // parallel: every touching line cuts off as much
	}
	for k := i + 1; k <= j; k++ {
		v := c.At(k)
		// The second line turned by half about v meets the first in x.
		q := v.Mul(2).Sub(d)
		x := a.Add(u.Mul(q.Sub(a).Cross(w) / turn))
		y := v.Mul(2).Sub(x)
		side := y.Sub(x)
		if side.Cross(c.At(k-1).Sub(v)) < 0 || side.Cross(c.At(k+1).Sub(v)) < 0 {
			continue // it cuts the ring
		}
		if u.Cross(side) <= 0 || side.Cross(w) <= 0 || x.Sub(b).Dot(u) < 0 || d.Sub(y).Dot(w) < 0 {
			continue
		}
		best = min(best, geom.Ring{b, x, v}.Area()-c.chord(i+1, k)+geom.Ring{v, y, d}.Area()-c.chord(k, j))
	}
	return best
}
