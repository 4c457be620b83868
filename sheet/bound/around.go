package bound

import (
	"math"

	"strew/motif/geom"
)

// Minimum-area circumscribing polygons of at most n sides (A. Aggarwal, J. S. Chang,
// C. K. Yap, "Minimum area circumscribing polygons", The Visual Computer 1, 1985).
// One of the smallest has all sides but one flush with sides of the ring, and that
// one touches it in its midpoint or is flush as well. So it is the shortest way
// once round the ring's sides, a step from one to the next costing the area that
// lies between the two lines and the ring.

const (
	// mostSides is the largest number of sides for which the smallest polygon is
	// worked out: with more a piece counts with its own area, for a disc 5 % less than
	// an octagon's.
	mostSides = 8
	// mostCorners is how many corners of a piece are used: a polygon through fewer
	// of its points is smaller, and so are the polygons round it.
	mostCorners = 64
)

// circuit is the search for that way.
type circuit struct {
	sides        int
	flush, loose [][]float64 // by side and sides further: what a step costs, and one with a loose side between
	// By sides so far and how far round the last one lies, which is flush: the
	// least area with all sides flush, and with one that is not.
	all, but [][]float64
	best     [mostSides + 1]float64
}

// smallestAround returns for n = 3 … mostSides the area of the smallest polygon of
// at most n sides round a convex ring of positive area.
func smallestAround(r geom.Ring) [mostSides + 1]float64 {
	m, swept := len(r), newChains(r)
	c := circuit{sides: m, flush: grid(m, m), loose: grid(m, m)}
	for i := range r {
		for d := 1; d < m; d++ {
			c.flush[i][d], c.loose[i][d] = swept.corner(i, i+d), swept.bent(i, i+d)
		}
	}
	for n := range c.best {
		c.best[n] = math.Inf(1)
	}
	area := r.Area()
	for first := range r {
		c.all, c.but = grid(mostSides+1, m), grid(mostSides+1, m)
		c.all[1][0] = area
		for k := 1; k <= mostSides; k++ {
			for d := range m {
				if !math.IsInf(c.all[k][d], 1) || !math.IsInf(c.but[k][d], 1) {
					c.extend(first, k, d)
				}
			}
		}
	}
	for n := 4; n <= mostSides; n++ {
		c.best[n] = min(c.best[n], c.best[n-1])
	}
	return c.best
}

// extend tries every next side of the ways that began at side first and have k
// sides, the last one d sides further round.
func (c *circuit) extend(first, k, d int) {
	m, at := c.sides, (first+d)%c.sides
	for e := 1; e <= m-d && e < m; e++ {
		straight, over := c.flush[at][e], c.loose[at][e]
		if d+e == m { // once round
			put(&c.best[k], min(c.all[k][d], c.but[k][d])+straight)
			if k < mostSides {
				put(&c.best[k+1], c.all[k][d]+over)
			}
			continue
		}
		if k+1 <= mostSides {
			put(&c.all[k+1][d+e], c.all[k][d]+straight)
			put(&c.but[k+1][d+e], c.but[k][d]+straight)
		}
		if k+2 <= mostSides {
			put(&c.but[k+2][d+e], c.all[k][d]+over)
		}
	}
}

// grid returns rows × cols values, all +Inf.
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

// fewCorners returns a convex ring through at most that many of r's points, those
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
