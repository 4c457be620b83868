package geom

// PointSegment returns the distance from p to the segment a–b.
func PointSegment(p, a, b Vec) float64 { return p.Dist(ClosestOnSegment(p, a, b)) }

// ClosestOnSegment returns the point of the segment a–b nearest to p.
func ClosestOnSegment(p, a, b Vec) Vec {
	d := b.Sub(a)
	l := d.Dot(d)
	if l == 0 {
		return a
	}
	return a.Lerp(b, max(0, min(1, p.Sub(a).Dot(d)/l)))
}

// SegmentGap returns the least distance between the segments a–b and c–d, 0
// where they cross or touch.
func SegmentGap(a, b, c, d Vec) float64 {
	if SegmentsCross(a, b, c, d) {
		return 0
	}
	return min(
		min(PointSegment(a, c, d), PointSegment(b, c, d)),
		min(PointSegment(c, a, b), PointSegment(d, a, b)))
}

// SegmentsCross reports whether the segments a–b and c–d share a point,
// touching included. It is exact.
func SegmentsCross(a, b, c, d Vec) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	return Orient(a, b, c)*Orient(a, b, d) <= 0 && Orient(c, d, a)*Orient(c, d, b) <= 0
}

// Crossing returns the point in which the lines a–b and c–d meet, and false
// where they are parallel.
func Crossing(a, b, c, d Vec) (Vec, bool) {
	r, s := b.Sub(a), d.Sub(c)
	den := r.Cross(s)
	if den == 0 {
		return Vec{}, false
	}
	return a.Lerp(b, c.Sub(a).Cross(s)/den), true
}
