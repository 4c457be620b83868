package sheet

import (
	"math"

	"strew/motif/geom"
)

// The search works on outlines of few points. Each is made once from the true
// outline and only ever grows while it is made: what fits with the simple
// outlines fits with the true ones.
//
// Two steps take points away. A point where the felt bends inward is dropped,
// which fills the notch. An edge between two outward bends is dropped by
// running its neighbours on until they meet. The step that adds the least felt
// is taken first, one that fills a notch sooner, and none is taken that would make
// an edge cross another.

// detail is how closely an outline of few points follows the true one.
type detail struct {
	points int     // kept at most, but for teeth; tooDear
	enough float64 // the share of its area by which one step may widen a shape that has few points already; one that fills a notch as it is ranked
}

var (
	// simple is for filling, where every part costs: a disc of 40 points is 0.3 %
	// wider than the true one. For separating fine is meant: 0.1 %.
	simple = detail{40, 5e-5}
	fine   = detail{72, 5e-5}
	// finest is for separating where turns are so few that a search asks the same
	// places of a clash over and over, and how many parts it has costs little.
	finest = detail{200, 1e-5}
)

const (
	// holePoints is how many points each hole adds to a detail's.
	holePoints = 32
	// tooDear is the share above which a step is not taken even for a shape of
	// up to three times as many points: teeth are worth keeping.
	tooDear = 2e-3
	// inwardShare is the share of its felt by which a step that fills a notch is ranked:
	// each inward bend makes one more convex part, and what two shapes cost the search goes
	// by the product of their parts. By a quarter a leaf of curves has two thirds of the parts
	// and holds less than 0.1 % more.
	inwardShare = 0.25
)

// simplify returns a region of few points that holds all of g. Outer rings run
// with positive area, holes with negative, so that the felt lies on the same
// side of every edge.
func simplify(g geom.Region, d detail) geom.Region {
	rings := []geom.Ring{oriented(clean(g.Outer), 1)}
	area := math.Abs(g.Outer.Area())
	for _, h := range g.Holes {
		// A hole too small to hold anything is felt.
		if h = clean(h); len(h) >= 3 && math.Abs(h.Area()) > d.enough*area {
			rings = append(rings, oriented(h, -1))
		}
	}
	total := 0
	for _, r := range rings {
		total += len(r)
	}
	points := d.points + (len(rings)-1)*holePoints
	for {
		ring, at := -1, 0
		var rank float64
		var with geom.Ring
		limit := math.Inf(1)
		for {
			// The cheapest step dearer than those already found to be blocked, or to
			// add too much, is tried next; ties go to the first in order.
			ring, at, rank = cheapest(rings, limit, ring, at)
			if ring < 0 {
				break
			}
			felt, _, _ := step(rings[ring], at)
			enough := rank > d.enough*area && (total <= points || total <= 3*points && felt > tooDear*area)
			limit = rank
			if enough {
				continue
			}
			if r, ok := dropped(rings, ring, at); ok {
				with = r
				break
			}
		}
		if ring < 0 {
			break
		}
		total += len(with) - len(rings[ring])
		rings[ring] = with
		if len(with) < 3 {
			rings = append(rings[:ring], rings[ring+1:]...)
		}
	}
	return geom.Region{Outer: rings[0], Holes: rings[1:]}
}

// clean drops points that repeat their neighbour.
func clean(r geom.Ring) geom.Ring {
	out := make(geom.Ring, 0, len(r))
	for _, p := range r {
		if len(out) == 0 || p.Dist(out[len(out)-1]) > geom.SamePoint {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0].Dist(out[len(out)-1]) <= geom.SamePoint {
		out = out[:len(out)-1]
	}
	return out
}

func oriented(r geom.Ring, sign float64) geom.Ring {
	if r.Area()*sign < 0 {
		return r.Reversed()
	}
	return r
}

// step is how much felt dropping point i of r adds: at an inward bend the point
// goes, at an outward bend followed by another the edge from i to i+1 goes and
// apex is where its neighbours meet.
func step(r geom.Ring, i int) (felt float64, apex geom.Vec, inward bool) {
	if len(r) <= 3 {
		// A hole of three points may close; the outer ring never shrinks to
		// less than a triangle.
		if len(r) == 3 && r.Area() < 0 {
			return -r.Area(), geom.Vec{}, true
		}
		return math.Inf(1), geom.Vec{}, false
	}
	p, v, w, x := r.At(i-1), r[i], r.At(i+1), r.At(i+2)
	a, b := v.Sub(p), w.Sub(v)
	turn := a.Cross(b)
	if turn <= 0 {
		return -turn / 2, geom.Vec{}, true
	}
	c := x.Sub(w)
	if b.Cross(c) <= 0 || a.Cross(c) <= 0 {
		return math.Inf(1), geom.Vec{}, false
	}
	q, ok := geom.Crossing(p, v, x, w)
	if !ok {
		return math.Inf(1), geom.Vec{}, false
	}
	return math.Abs(q.Sub(v).Cross(w.Sub(v))) / 2, q, false
}

// cheapest returns the step that comes first, or first after (limit, ring, at), in
// the order of rank, ring, point, and its rank; limit is +Inf for the first call.
func cheapest(rings []geom.Ring, limit float64, ring, at int) (int, int, float64) {
	bestRing, bestAt, best := -1, 0, math.Inf(1)
	first := math.IsInf(limit, 1)
	for k, r := range rings {
		for i := range r {
			c, _, inward := step(r, i)
			if inward {
				c *= inwardShare
			}
			if math.IsInf(c, 1) || c >= best {
				continue
			}
			if !first && (c < limit || c == limit && (k < ring || k == ring && i <= at)) {
				continue
			}
			bestRing, bestAt, best = k, i, c
		}
	}
	return bestRing, bestAt, best
}

// dropped carries out the step at point i of the ring, and reports false
// where a new edge would cross another one.
func dropped(rings []geom.Ring, ring, i int) (geom.Ring, bool) {
	r := rings[ring]
	felt, apex, inward := step(r, i)
	if inward && len(r) == 3 {
		return nil, true
	}
	n := len(r)
	var a, b geom.Vec // ends that stay
	out := make(geom.Ring, 0, n)
	if inward {
		a, b = r.At(i-1), r.At(i+1)
		out = append(append(out, r[:i]...), r[i+1:]...)
	} else {
		a, b = r.At(i-1), r.At(i+2)
		for k := range r {
			switch k {
			case i:
				out = append(out, apex)
			case (i + 1) % n:
			default:
				out = append(out, r[k])
			}
		}
	}
	if felt == 0 && inward {
		return out, true
	}
	for k, s := range rings {
		for j := range s {
			if k == ring {
				// Edges that end in a removed point are gone, those at the kept
				// ends touch the new edge by right.
				if inward && (j == (i-1+n)%n || j == i || j == (i-2+n)%n || j == (i+1)%n) {
					continue
				}
				if !inward && (j == (i-1+n)%n || j == i || j == (i+1)%n) {
					continue
				}
			}
			c, d := s[j], s.At(j+1)
			if inward {
				if geom.SegmentsCross(a, b, c, d) {
					return nil, false
				}
			} else if geom.SegmentsCross(r[i], apex, c, d) || geom.SegmentsCross(apex, r.At(i+1), c, d) {
				return nil, false
			}
		}
	}
	// The edges at the kept ends may fold over the new one.
	if inward && n > 4 && (folds(r.At(i-2), a, b) || folds(r.At(i+2), b, a)) {
		return nil, false
	}
	return out, true
}

// folds reports whether the edges from–at and at–to lie on one another.
func folds(from, at, to geom.Vec) bool {
	return geom.Orient(from, at, to) == 0 && from.Sub(at).Dot(to.Sub(at)) > 0
}

// grow returns the convex ring r, of positive area, moved out by d: a polygon
// round everything within d of r whose straight sides lie at exactly d. A
// corner that turns by more than 60° is cut into several.
func grow(r geom.Ring, d float64) geom.Ring {
	if d == 0 {
		return r
	}
	out := make(geom.Ring, 0, 2*len(r))
	for i, v := range r {
		e, f := v.Sub(r.At(i-1)), r.At(i+1).Sub(v)
		turn := math.Atan2(e.Cross(f), e.Dot(f))
		if turn <= 0 {
			turn = 0
		}
		m := math.Max(1, math.Ceil(turn/(math.Pi/3)-geom.SameAngle))
		half := turn / (2 * m)
		// The outward side of an edge that runs with positive area is (y, -x).
		n := geom.Vec{X: e.Y, Y: -e.X}.Mul(1 / e.Len())
		for k := 0.0; k < m; k++ {
			out = append(out, v.Add(n.Rotate(half*(2*k+1)).Mul(d/math.Cos(half))))
		}
	}
	return out
}

// hull returns the convex hull of the points with positive area, without
// points on its sides (Andrew's monotone chain).
func hull(points []geom.Vec) geom.Ring {
	ps := append([]geom.Vec(nil), points...)
	sortVecs(ps)
	var out geom.Ring
	chain := func(from int) func(geom.Vec) {
		return func(p geom.Vec) {
			for len(out) >= from+2 && geom.Orient(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
	}
	add := chain(0)
	for _, p := range ps {
		add(p)
	}
	add = chain(len(out) - 1)
	for i := len(ps) - 2; i >= 0; i-- {
		add(ps[i])
	}
	if len(out) > 1 {
		out = out[:len(out)-1]
	}
	return out
}
