package trace

import (
	"math"

	"strew/motif/geom"
)

// A picture of two shades says of its edge only between which two pixels it
// runs, but that for certain: each step of the traced ring is a gate, from the
// centre of one pixel to that of the next, and the edge passes through all of
// them. The likeliest of such edges is the one whose curvature changes least. So
// a row of points that is smoothed already is moved along its normals by d such
// that
//
//	Σ (gatePull·(d - g)² + gateHold·(|d - g| - h)²₊)/h² + L⁶·Σ (change of curvature)²
//
// is least, where the gate's middle lies at g and its ends h to either side, as
// seen along the normal. The curvature of the moved row is that of the row plus
// the second difference of d, so this is linear least squares with a banded
// matrix, solved again while other gates are missed (an active-set method).
// Circles cost nothing, so none is drawn smaller, as it would be by the least
// curvature. L is as large as the gates allow. The method is our own.

const (
	gateSmooth = 8.0  // L at smooth 0.5, in pixels
	gatePull   = 0.1  // weight of the gates' middles: less than of their ends, of which the edge is sure
	gateHold   = 1000 // weight of a missed gate
	gateLeast  = 0.02 // pixels; h is at least this
	gateRounds = 2    // of finding the normals anew
	gateSolves = 15   // of finding the gates that are missed
	// For an edge that passes each gate anywhere, (d - g)²/h² is a third on
	// average. A smoother row that leaves no more is as good; where the roughest
	// one leaves gateRagged, the edge in the picture is itself ragged.
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

// settleOnce finds d once, and the mean of (d - g)²/h².
func settleOnce(row []geom.Vec, closed bool, gates []gate, smooth float64) ([]geom.Vec, float64) {
	t := trackOf(row, closed, smooth)
	bounds := t.bounds(gates, closed)
	s := t.smoothness(math.Pow(smooth, 6))
	for _, b := range bounds {
		s.square([4]float64{1 - b.share, b.share}, b.k, b.mid, gatePull/(b.far*b.far))
	}
	d := solveWithin(s, bounds)
	spread := 0.0
	for _, b := range bounds {
		v := (b.of(d) - b.mid) / b.far
		spread += math.Min(1, v*v) / float64(len(bounds))
	}
	out := make([]geom.Vec, len(row))
	for k := range out {
		out[k] = row[k].Add(t.normal[k+t.lap].Mul(d[k+t.lap]))
	}
	return out, spread
}

// track is a row of points with its normals and curvatures. A closed row is laid
// out as an open one that overlaps itself by lap points at both ends.
type track struct {
	row       []geom.Vec
	lap       int
	normal    []geom.Vec
	curvature []float64
}

func trackOf(row []geom.Vec, closed bool, smooth float64) track {
	t := track{row: row}
	if closed {
		t.lap = min(len(row), int(6*smooth))
	}
	m := len(row) + 2*t.lap
	t.normal, t.curvature = make([]geom.Vec, m), make([]float64, m)
	for k := range m {
		a, p, b := t.at(max(k-1, 0)), t.at(k), t.at(min(k+1, m-1))
		if d := b.Sub(a); d.Len() > 0 {
			t.normal[k] = geom.Vec{X: -d.Y, Y: d.X}.Mul(1 / d.Len())
		}
		if u, v := p.Sub(a), b.Sub(p); k > 0 && k < m-1 && u.Len() > 0 && v.Len() > 0 {
			t.curvature[k] = math.Atan2(u.Cross(v), u.Dot(v)) * 2 / (u.Len() + v.Len())
		}
	}
	return t
}

// at returns point k of the track.
func (t track) at(k int) geom.Vec {
	n := len(t.row)
	return t.row[((k-t.lap)%n+n)%n]
}

// smoothness returns the sum of squares of the changes of curvature.
func (t track) smoothness(weight float64) bands {
	m := len(t.normal)
	s := bands{m: make([][4]float64, m), rhs: make([]float64, m)}
	for k := 1; k+2 < m; k++ {
		// The change of curvature plus the third difference of d, with its sign.
		s.square([4]float64{-1, 3, -3, 1}, k-1, -(t.curvature[k+1] - t.curvature[k]), weight)
	}
	return s
}

// bound is a gate as an interval for d between points k and k+1 of a track.
type bound struct {
	k        int
	share    float64 // of the way to k+1
	mid, far float64 // g and h
}

// of returns d at the gate.
func (b bound) of(d []float64) float64 { return (1-b.share)*d[b.k] + b.share*d[b.k+1] }

// bounds returns the gates that lie across the track.
func (t track) bounds(gates []gate, closed bool) []bound {
	laps := []int{0}
	if closed {
		laps = []int{-1, 0, 1}
	}
	n, m := len(t.row), len(t.normal)
	var out []bound
	for _, g := range gates {
		for _, lapped := range laps {
			k := int(math.Round(g.at)) + lapped*n + t.lap
			if k < -2 || k > m+1 {
				continue
			}
			k, share := t.stepAcross(g, max(0, min(m-2, k)))
			if !(share >= -0.5 && share <= 1.5) {
				continue
			}
			share = math.Max(0, math.Min(1, share))
			p, normal := t.at(k).Lerp(t.at(k+1), share), t.normal[k].Lerp(t.normal[k+1], share)
			out = append(out, bound{k, share, g.middle.Sub(p).Dot(normal), math.Max(gateLeast, math.Abs(g.along.Dot(normal)))})
		}
	}
	return out
}

// stepAcross walks from step k of the track to the one the gate lies across, and
// returns it and where between its points that is.
func (t track) stepAcross(g gate, k int) (step int, share float64) {
	m := len(t.normal)
	for range 8 { // gates lie a few steps off at most
		p, q := t.at(k), t.at(k+1)
		d := q.Sub(p)
		share = g.middle.Sub(p).Dot(d) / d.Dot(d)
		switch {
		case share < 0 && k > 0:
			k--
		case share > 1 && k < m-2:
			k++
		default:
			return k, share
		}
	}
	return k, share
}

// solveWithin returns the d of the least sum of squares s, with a penalty for each
// bound that is missed.
func solveWithin(s bands, bounds []bound) []float64 {
	missed := make([]int8, len(bounds)) // on which side
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
			switch v := b.of(d) - b.mid; {
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
	return d
}
