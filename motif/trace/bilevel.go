package trace

import (
	"math"

	"strew/motif/geom"
)

// A picture of two shades says of its edge only between which two pixels it
// runs, but that for certain: each step of the traced ring is a gate, from the
// middle of one pixel to that of the next, and the edge passes through all of
// them. The likeliest of such edges is the one whose bend changes least.
// So a row of points that was evened out already is moved along its normals by d
// such that
//
//	Σ (gatePull·(d - g)² + gateHold·(|d - g| - h)²₊)/h² + L⁶·Σ (change of bend)²
//
// is least, where the gate's middle lies at g and its ends h to either side, as
// seen along the normal. The bend of the moved row is that of the row plus the
// second difference of d, so this is least squares with a banded matrix,
// solved again while other gates are missed. Circles cost nothing, so that none
// is drawn smaller, as it would be by the least bend. L is as large as the gates allow.

const (
	gateSmooth = 8.0  // L at smooth 0.5, in pixels
	gatePull   = 0.1  // what the gates' middles count: less than their ends, of which the edge is sure
	gateHold   = 1000 // what a missed gate counts
	gateLeast  = 0.02 // pixels; h is at least this
	gateRounds = 2    // of finding the normals anew
	gateSolves = 15   // of finding the gates that are missed
	// Of an edge that passes each gate anywhere, (d - g)²/h² is a third on
	// average. Where a smoother row leaves no more it is as good; where the
	// roughest one leaves gateRagged, the picture's edge itself is ragged.
	gateThird  = 1.0/3 + 0.01
	gateRagged = 0.45
)

// gate is where the edge passes between two pixels.
type gate struct {
	middle, along geom.Vec // along to one end
	at            float64  // where on the ring, in even steps of it
}

// gatesOf returns the gates of a ring of contours, each with the number of the
// even step at which it lies.
func gatesOf(r geom.Ring, step float64) []gate {
	out := make([]gate, len(r))
	gone := 0.0
	for i, p := range r {
		g := gate{middle: p, at: gone / step}
		if x := math.Floor(p.X) + 0.5; math.Abs(p.X-x) < 1e-9 {
			g.middle.Y, g.along.Y = math.Round(p.Y), 0.5
		} else {
			g.middle.X, g.along.X = math.Round(p.X), 0.5
		}
		out[i] = g
		gone += p.Dist(r.At(i + 1))
	}
	return out
}

// settle moves a row of points, about even steps apart, so that it passes the
// gates. A closed row ends before its first point; smooth is the least L. It
// reports false where no smooth row passes them.
func settle(row []geom.Vec, closed bool, gates []gate, smooth float64) ([]geom.Vec, bool) {
	if len(row) < 5 {
		return row, true
	}
	for _, longer := range [...]float64{4, 2, 1} {
		out, spread := row, 0.0
		for range gateRounds {
			out, spread = settleOnce(out, closed, gates, longer*smooth)
		}
		if spread <= gateThird || longer == 1 {
			return out, spread <= gateRagged
		}
	}
	panic("unreachable")
}

// settleSides settles the sides between corners, each of which begins blunt steps
// behind its corner, on a ring of n steps. It reports false where one is ragged.
func (f fitting) settleSides(gates []gate, n, blunt int, cs []corner, sides [][]geom.Vec) bool {
	for i, c := range cs {
		var own []gate
		for _, g := range gates {
			if g.at -= float64(c.index + blunt); g.at < -1 {
				g.at += float64(n)
			}
			if g.at >= -0.5 && g.at <= float64(len(sides[i]))-0.5 {
				own = append(own, g)
			}
		}
		ok := false
		if sides[i], ok = settle(sides[i], false, own, f.gates); !ok {
			return false
		}
	}
	return true
}

// settleOnce finds d once, and how (d - g)²/h² comes out on average.
func settleOnce(row []geom.Vec, closed bool, gates []gate, smooth float64) ([]geom.Vec, float64) {
	// A closed row is solved as an open one that overlaps itself.
	n, lap := len(row), 0
	if closed {
		lap = min(n, int(6*smooth))
	}
	at := func(k int) geom.Vec { return row[((k-lap)%n+n)%n] }
	m := n + 2*lap
	normal, bend := make([]geom.Vec, m), make([]float64, m)
	for k := range m {
		a, p, b := at(max(k-1, 0)), at(k), at(min(k+1, m-1))
		if d := b.Sub(a); d.Len() > 0 {
			normal[k] = geom.Vec{X: -d.Y, Y: d.X}.Mul(1 / d.Len())
		}
		if u, v := p.Sub(a), b.Sub(p); k > 0 && k < m-1 && u.Len() > 0 && v.Len() > 0 {
			bend[k] = math.Atan2(u.Cross(v), u.Dot(v)) * 2 / (u.Len() + v.Len())
		}
	}
	s := bands{m: make([][4]float64, m), rhs: make([]float64, m)}
	l6 := math.Pow(smooth, 6)
	for k := 1; k+2 < m; k++ {
		// bend[k+1]-bend[k] plus the third difference of d, with its sign.
		s.square([4]float64{-1, 3, -3, 1}, k-1, -(bend[k+1] - bend[k]), l6)
	}
	// The gates as bounds on d between points k and k+1.
	type bound struct {
		k        int
		share    float64 // of the way to k+1
		mid, far float64
	}
	var bounds []bound
	for _, g := range gates {
		for lapped := -1; lapped <= 1; lapped++ {
			if !closed && lapped != 0 {
				continue
			}
			k := int(math.Round(g.at)) + lapped*n + lap
			if k < -2 || k > m+1 {
				continue
			}
			k = max(0, min(m-2, k))
			share := 0.0
			for range 8 { // walk to the step the gate lies across
				p, q := at(k), at(k+1)
				d := q.Sub(p)
				share = g.middle.Sub(p).Dot(d) / d.Dot(d)
				switch {
				case share < 0 && k > 0:
					k--
					continue
				case share > 1 && k < m-2:
					k++
					continue
				}
				break
			}
			if !(share >= -0.5 && share <= 1.5) {
				continue
			}
			share = math.Max(0, math.Min(1, share))
			p, nv := at(k).Lerp(at(k+1), share), normal[k].Lerp(normal[k+1], share)
			bounds = append(bounds, bound{k, share, g.middle.Sub(p).Dot(nv), math.Max(gateLeast, math.Abs(g.along.Dot(nv)))})
		}
	}
	for _, b := range bounds {
		s.square([4]float64{1 - b.share, b.share}, b.k, b.mid, gatePull/(b.far*b.far))
	}
	missed := make([]int8, len(bounds))
	var d []float64
	for range gateSolves {
		held := s.clone()
		for i, b := range bounds {
			if missed[i] != 0 {
				held.square([4]float64{1 - b.share, b.share}, b.k, b.mid+float64(missed[i])*b.far, gateHold/(b.far*b.far))
			}
		}
		d = held.solve()
		changed := false
		for i, b := range bounds {
			now := int8(0)
			switch v := (1-b.share)*d[b.k] + b.share*d[b.k+1] - b.mid; {
			case v > b.far:
				now = 1
			case v < -b.far:
				now = -1
			}
			changed = changed || now != missed[i]
			missed[i] = now
		}
		if !changed {
			break
		}
	}
	spread := 0.0
	for _, b := range bounds {
		v := ((1-b.share)*d[b.k] + b.share*d[b.k+1] - b.mid) / b.far
		spread += math.Min(1, v*v) / float64(len(bounds))
	}
	out := make([]geom.Vec, n)
	for k := range out {
		out[k] = row[k].Add(normal[k+lap].Mul(d[k+lap]))
	}
	return out, spread
}

// bands is a symmetric matrix with three bands beside its diagonal, and the
// right side: m[k][j] stands in row k, column k+j.
type bands struct {
	m   [][4]float64
	rhs []float64
}

func (s bands) clone() bands {
	return bands{append([][4]float64(nil), s.m...), append([]float64(nil), s.rhs...)}
}

// square adds weight·(w·x[k:] - to)² to the sum of squares.
func (s bands) square(w [4]float64, k int, to, weight float64) {
	for i, a := range w {
		if a == 0 {
			continue
		}
		s.rhs[k+i] += weight * a * to
		for j := i; j < 4; j++ {
			if w[j] != 0 {
				s.m[k+i][j-i] += weight * a * w[j]
			}
		}
	}
}

// solve returns the x of the least sum; it uses s up. It is LDLᵀ without
// pivots, which the sum of squares does not need.
func (s bands) solve() []float64 {
	n := len(s.m)
	x := s.rhs
	for k := range n {
		s.m[k][0] += 1e-9 // where no gate speaks
		d := s.m[k][0]
		row := s.m[k]
		for i := 1; i < 4 && k+i < n; i++ {
			f := row[i] / d
			for j := i; j < 4 && k+j < n; j++ {
				s.m[k+i][j-i] -= f * row[j]
			}
			x[k+i] -= f * x[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for i := 1; i < 4 && k+i < n; i++ {
			x[k] -= s.m[k][i] * x[k+i]
		}
		x[k] /= s.m[k][0]
	}
	return x
}
