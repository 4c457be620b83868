package trace

import (
	"math"

	"strew/motif/geom"
)

// simple reports whether no ring crosses or touches itself or another. Steps
// are looked up in a grid of cells about as wide as they are long.
func simple(rings []geom.Ring) bool {
	type step struct {
		a, b     geom.Vec
		ring, at int
	}
	var steps []step
	box, around := geom.EmptyBox(), 0.0
	for i, r := range rings {
		if len(r) < 3 {
			return false
		}
		for k, p := range r {
			q := r.At(k + 1)
			if !p.IsFinite() || p == q {
				return false
			}
			steps = append(steps, step{p, q, i, k})
			box = box.With(p)
			around += p.Dist(q)
		}
	}
	if len(steps) == 0 {
		return false
	}
	cell := math.Max(2*around/float64(len(steps)), math.Max(box.Width(), box.Height())/1000)
	w := int(box.Width()/cell) + 1
	cells := make(map[int][]int32)
	for i, s := range steps {
		b := geom.BoxOf(s.a, s.b)
		for y := int((b.Min.Y - box.Min.Y) / cell); y <= int((b.Max.Y-box.Min.Y)/cell); y++ {
			for x := int((b.Min.X - box.Min.X) / cell); x <= int((b.Max.X-box.Min.X)/cell); x++ {
				for _, j := range cells[y*w+x] {
					o := steps[j]
					n := len(rings[s.ring])
					if o.ring == s.ring && (o.at == s.at || (o.at+1)%n == s.at || (s.at+1)%n == o.at) {
						if n > 3 && o.at != s.at && folded(o.a, o.b, s.a, s.b) {
							return false
						}
						continue
					}
					if geom.SegmentsCross(o.a, o.b, s.a, s.b) {
						return false
					}
				}
				cells[y*w+x] = append(cells[y*w+x], int32(i))
			}
		}
	}
	return true
}

// folded reports whether two steps that share a point lie on one another.
func folded(a, b, c, d geom.Vec) bool {
	if a == d {
		a, b, c, d = c, d, a, b
	}
	return b == c && geom.Orient(a, b, d) == 0 && b.Sub(a).Dot(d.Sub(c)) < 0
}
