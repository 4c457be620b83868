package trace

import (
	"math"

	"strew/motif/geom"
)

// pointGrid finds the nearest of many points within reach: they are held in a grid
// of buckets, searched ring by ring about the place asked for.
type pointGrid struct {
	side, reach float64 // side of a bucket
	box         geom.Box
	w, h        int
	at          [][]geom.Vec
}

func newPointGrid(list []geom.Vec, reach float64) pointGrid {
	p := pointGrid{side: 4, reach: reach, box: geom.BoxOf(list...)}
	if len(list) == 0 {
		return p
	}
	p.w, p.h = int(p.box.Width()/p.side)+1, int(p.box.Height()/p.side)+1
	p.at = make([][]geom.Vec, p.w*p.h)
	for _, v := range list {
		k := int((v.Y-p.box.Min.Y)/p.side)*p.w + int((v.X-p.box.Min.X)/p.side)
		p.at[k] = append(p.at[k], v)
	}
	return p
}

// nearest returns the nearest point less than reach from q, and false for none.
func (p pointGrid) nearest(q geom.Vec) (best geom.Vec, ok bool) {
	if len(p.at) == 0 {
		return best, false
	}
	d := p.reach
	cx, cy := int(math.Floor((q.X-p.box.Min.X)/p.side)), int(math.Floor((q.Y-p.box.Min.Y)/p.side))
	for ring := 0; float64(ring-1)*p.side < d; ring++ {
		for y := cy - ring; y <= cy+ring; y++ {
			step := 1
			if y != cy-ring && y != cy+ring {
				step = max(1, 2*ring)
			}
			for x := cx - ring; x <= cx+ring; x += step {
				if x < 0 || y < 0 || x >= p.w || y >= p.h {
					continue
				}
				for _, v := range p.at[y*p.w+x] {
					if e := v.Dist(q); e < d {
						best, d, ok = v, e, true
					}
				}
			}
		}
	}
	return best, ok
}
