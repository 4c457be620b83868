package trace

import "strew/motif/geom"

// homography is the projective map
// (x, y) → ((m0 x + m1 y + m2) / d, (m3 x + m4 y + m5) / d), d = m6 x + m7 y + 1,
// between a plane seen in perspective and a flat page. The zero value is the
// identity.
type homography struct {
	m     [8]float64
	isSet bool
}

// homographyOf returns the map that takes four points to four others, by the
// direct linear transform (R. Hartley, A. Zisserman, "Multiple View Geometry in
// Computer Vision", 2003, section 4.1), and false where three points lie on a
// line.
func homographyOf(from, to [4]geom.Vec) (homography, bool) {
	var rows [][]float64
	for i, p := range from {
		q := to[i]
		rows = append(rows,
			[]float64{p.X, p.Y, 1, 0, 0, 0, -p.X * q.X, -p.Y * q.X, q.X},
			[]float64{0, 0, 0, p.X, p.Y, 1, -p.X * q.Y, -p.Y * q.Y, q.Y})
	}
	h := homography{isSet: true}
	if !solve(rows) {
		return h, false
	}
	for i := range h.m {
		h.m[i] = rows[i][8]
	}
	return h, true
}

func (h homography) apply(p geom.Vec) geom.Vec {
	if !h.isSet {
		return p
	}
	m := h.m
	d := m[6]*p.X + m[7]*p.Y + 1
	return geom.Vec{X: (m[0]*p.X + m[1]*p.Y + m[2]) / d, Y: (m[3]*p.X + m[4]*p.Y + m[5]) / d}
}

func (h homography) ring(r geom.Ring) geom.Ring {
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[i] = h.apply(p)
	}
	return out
}

func (h homography) region(g geom.Region) geom.Region {
	out := geom.Region{Outer: h.ring(g.Outer)}
	for _, hole := range g.Holes {
		out.Holes = append(out.Holes, h.ring(hole))
	}
	return out
}
