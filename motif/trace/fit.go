package trace

import (
	"math"

	"strew/motif/geom"
)

// Points along an edge become cubic Bézier curves by least squares, after
// P. J. Schneider, "An algorithm for automatically fitting digitized curves",
// Graphics Gems, 1990: points get parameters by chord length, the inner control
// points are solved for, the parameters are moved to the nearest places on the
// curve, and all is solved again. Where a point then lies too far off, the curve is
// split. At a split the direction is that of the points; at a corner it is free,
// and both coordinates of the control point are solved for.

// cornerClear is how far, in steps, the points of a side keep from its corner.
const cornerClear = 0.5

// fitting says how closely a ring is followed, in the ring's own unit.
type fitting struct {
	arm    float64 // length of the arms of a corner
	corner float64 // least turn of a corner, radians
	window int     // steps to each side over which points are smoothed
	off    float64 // greatest distance of a point from the curve
	gates  float64 // for pictures of two shades: L of settle; else 0
	pull   float64 // how far pixels draw a bend of radius 1 inward; at radius r it is pull/r
}

// curve fits a closed row of curves to a ring; one too ragged for gates is
// smoothed instead.
func (f fitting) curve(r geom.Ring) []bezier {
	if f.gates > 0 {
		if c, ok := f.follow(r); ok {
			return c
		}
		f.gates, f.off, f.pull = 0, f.off*(bilevelOff/gateOff), bilevelPull
	}
	c, _ := f.follow(r)
	return c
}

// follow fits a closed row of curves to a ring. It reports false where the ring
// is too ragged for gates.
func (f fitting) follow(r geom.Ring) ([]bezier, bool) {
	pts, step := evenly(r, 1)
	cs := corners(pts, f.arm, step, f.corner)
	n := len(pts)
	if len(cs) == 0 {
		open := make([]geom.Vec, n+1)
		window := min(f.window, n/8)
		for i := range pts {
			open[i], _ = f.local(func(k int) geom.Vec { return pts.At(i + k) }, -window, window)
		}
		if f.gates > 0 {
			settled, ok := settle(open[:n], true, gatesOf(r, step), f.gates)
			if !ok {
				return nil, false
			}
			copy(open, settled)
		}
		open[n] = open[0]
		m := max(2, window)
		_, along := f.local(func(k int) geom.Vec { return geom.Ring(open[:n]).At(k) }, -m, m)
		back := along.Mul(-1)
		return f.fit(open, &along, &back, nil), true
	}
	blunt := int(math.Ceil(cornerBlunt / step))
	sides := make([][]geom.Vec, len(cs))
	for i, c := range cs {
		from, to := c.index+blunt, cs[(i+1)%len(cs)].index-blunt
		if i+1 == len(cs) {
			to += n
		}
		for k := from; k <= to; k++ {
			p, _ := f.local(func(j int) geom.Vec { return pts.At(k + j) }, max(from-k, -f.window), min(to-k, f.window))
			sides[i] = append(sides[i], p)
		}
	}
	if f.gates > 0 && !f.settleSides(gatesOf(r, step), n, blunt, cs, sides) {
		return nil, false
	}
	f.meet(pts, step, cs, sides)
	var out []bezier
	for i, c := range cs {
		open := append([]geom.Vec{c.at}, sides[i]...)
		out = f.fit(append(open, cs[(i+1)%len(cs)].at), nil, nil, out)
	}
	return out, true
}

// meet moves corners to where their sides cross: all points of a straight side
// determine it better than the last ones.
func (f fitting) meet(pts geom.Ring, step float64, cs []corner, sides [][]geom.Vec) {
	whole := make([]*line, len(sides))
	for i, p := range sides {
		if len(p) < int(f.arm/step) {
			continue
		}
		l := lineThrough(p)
		most := 0.0
		for _, v := range p {
			most = math.Max(most, math.Abs(l.along.Cross(v.Sub(l.at))))
		}
		if most <= f.off {
			whole[i] = &l
		}
	}
	for i := range cs {
		before, after := arms(pts, cs[i].index, f.arm, step)
		if arm := int(f.arm / step); f.gates > 0 {
			b, a := sides[(i+len(cs)-1)%len(cs)], sides[i]
			if min(len(a), len(b)) >= 2 {
				before, after = lineThrough(b[max(0, len(b)-arm):]), lineThrough(a[:min(len(a), arm)])
			}
		}
		if l := whole[(i+len(cs)-1)%len(cs)]; l != nil {
			before = *l
		}
		if l := whole[i]; l != nil {
			after = *l
		}
		p, ok := geom.Crossing(before.at, before.at.Add(before.along), after.at, after.at.Add(after.along))
		if ok && p.Dist(pts[cs[i].index]) <= cornerMove {
			cs[i].at = p
		}
		// Points beyond the corner would make the curve fold back.
		k := (i + len(cs) - 1) % len(cs)
		for len(sides[k]) > 2 && sides[k][len(sides[k])-1].Sub(cs[i].at).Dot(before.along) > -cornerClear {
			sides[k] = sides[k][:len(sides[k])-1]
		}
		for len(sides[i]) > 2 && sides[i][0].Sub(cs[i].at).Dot(after.along) < cornerClear {
			sides[i] = sides[i][1:]
		}
	}
}

// local fits a parabola to the points numbered from to to, 0 among them, and
// returns its place and direction at point 0 (a Savitzky–Golay filter), the place
// corrected for the pull of the pixels.
func (f fitting) local(at func(k int) geom.Vec, from, to int) (p, along geom.Vec) {
	if to-from < 3 {
		return at(0), at(to).Sub(at(from))
	}
	var s [5]float64
	var b [3]geom.Vec
	for k := from; k <= to; k++ {
		v, t := at(k), float64(k)
		pow := 1.0
		for i := range s {
			s[i] += pow
			if i < 3 {
				b[i] = b[i].Add(v.Mul(pow))
			}
			pow *= t
		}
	}
	m := [][]float64{
		{s[0], s[1], s[2], b[0].X}, {s[1], s[2], s[3], b[1].X}, {s[2], s[3], s[4], b[2].X},
	}
	w := [][]float64{
		{s[0], s[1], s[2], b[0].Y}, {s[1], s[2], s[3], b[1].Y}, {s[2], s[3], s[4], b[2].Y},
	}
	if !solve(m) || !solve(w) {
		return at(0), at(to).Sub(at(from))
	}
	along = geom.Vec{X: m[1][3], Y: w[1][3]}
	if l := along.Len(); l > 0 {
		along = along.Mul(1 / l)
	}
	bend := geom.Vec{X: m[2][3], Y: w[2][3]}.Mul(2) // curvature, toward the centre
	return geom.Vec{X: m[0][3], Y: w[0][3]}.Sub(bend.Mul(f.pull)), along
}

// fit appends to out curves through an open row of points. start and end are unit
// vectors into the row at its ends, nil where the direction is free.
func (f fitting) fit(p []geom.Vec, start, end *geom.Vec, out []bezier) []bezier {
	n := len(p)
	a, b := p[0], p[n-1]
	if n <= 3 {
		for i := 1; i < n; i++ {
			if p[i] != p[i-1] {
				out = append(out, straight(p[i-1], p[i]))
			}
		}
		return out
	}
	if start == nil && end == nil && a != b {
		most := 0.0
		for _, v := range p {
			most = math.Max(most, geom.PointSegment(v, a, b))
		}
		if most <= f.off {
			return append(out, straight(a, b))
		}
	}
	u := make([]float64, n)
	for i := 1; i < n; i++ {
		u[i] = u[i-1] + p[i].Dist(p[i-1])
	}
	whole := u[n-1]
	for i := range u {
		u[i] /= whole
	}
	const rounds = 6 // more make little difference
	worst := n / 2
	for round := range rounds {
		c, ok := solveCurve(p, u, start, end, whole)
		if !ok {
			break
		}
		off := 0.0
		for i, v := range p {
			if d := c.at(u[i]).Dist(v); d > off {
				off, worst = d, i
			}
		}
		if off <= f.off && round > 0 {
			return append(out, c)
		}
		if off > 6*f.off+1 { // too far for better parameters to help
			break
		}
		for i := 1; i < n-1; i++ {
			u[i] = towardNearest(c, p[i], u[i])
		}
	}
	worst = max(2, min(n-3, worst))
	if n < 6 {
		worst = n / 2
	}
	m := max(2, f.window)
	_, along := f.local(func(k int) geom.Vec { return p[worst+k] }, -min(m, worst), min(m, n-1-worst))
	if l := along.Len(); l > 0 {
		along = along.Mul(1 / l)
	}
	back := along.Mul(-1)
	out = f.fit(p[:worst+1], start, &back, out)
	return f.fit(p[worst:], &along, end, out)
}

// towardNearest returns the parameter after one Newton step from t toward the
// point of c nearest to p.
func towardNearest(c bezier, p geom.Vec, t float64) float64 {
	d, dd := c.slopes(t)
	off := c.at(t).Sub(p)
	den := d.Dot(d) + off.Dot(dd)
	if den <= 0 {
		return t
	}
	return math.Max(0, math.Min(1, t-off.Dot(d)/den))
}

// solveCurve finds the inner control points by least squares, for points p with
// parameters u. A free end gives two unknowns, one with a direction its length;
// whole is the length of the chords.
func solveCurve(p []geom.Vec, u []float64, start, end *geom.Vec, whole float64) (bezier, bool) {
	a, b := p[0], p[len(p)-1]
	type unknown struct {
		which int // 1 or 2: the control point
		along geom.Vec
	}
	var list []unknown
	for which, dir := range []*geom.Vec{start, end} {
		if dir != nil {
			list = append(list, unknown{which + 1, *dir})
			continue
		}
		list = append(list, unknown{which + 1, geom.Vec{X: 1}}, unknown{which + 1, geom.Vec{Y: 1}})
	}
	m := make([][]float64, len(list))
	for i := range m {
		m[i] = make([]float64, len(list)+1)
	}
	for i, t := range u {
		s := 1 - t
		w := [4]float64{s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t}
		rest := p[i].Sub(a.Mul(w[0] + w[1])).Sub(b.Mul(w[2] + w[3]))
		for j, x := range list {
			xv := x.along.Mul(w[x.which])
			for k, y := range list {
				m[j][k] += xv.Dot(y.along.Mul(w[y.which]))
			}
			m[j][len(list)] += xv.Dot(rest)
		}
	}
	third := whole / 3
	c := bezier{a, a, b, b}
	if !solve(m) {
		if start == nil || end == nil {
			return c, false
		}
		c[1], c[2] = a.Add(start.Mul(third)), b.Add(end.Mul(third))
		return c, true
	}
	for j, x := range list {
		l := m[j][len(list)]
		if (x.which == 1 && start != nil || x.which == 2 && end != nil) && l < third*1e-3 {
			l = third // it would turn back: Schneider's rule of a third
		}
		c[x.which] = c[x.which].Add(x.along.Mul(l))
	}
	// Control points far away make loops.
	for i := 1; i <= 2; i++ {
		if !c[i].IsFinite() || c[i].Dist(c[3*(i-1)]) > 2*whole {
			return c, false
		}
	}
	return c, true
}
