package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// What a mark sees of its neighbours and of the cloth between: their room, and its
// own cell.

// look cuts the cell of mark i out of the plane, calls yield with every
// neighbour's direction and room, and returns what stands in for the mark.
func (r *relaxer) look(i int, here skirt.Spot, mt metric, w *walker, yield func(u geom.Vec, room float64)) []disc {
	flat := r.zone.density.flat
	reach := sight * r.d
	if !flat {
		along, across := r.zone.density.at(here.Down)
		reach *= math.Max(along, across) * 1.15 // the factor may grow toward the neighbour
	}
	w.cell.reset(sight * r.d)
	own := r.own(i, mt, w)
	r.spots.Near(here, reach+r.beyond(), func(id int, off geom.Vec, over int) {
		if off == (geom.Vec{}) && id == i {
			return
		}
		if !flat {
			off = mt.to.Linear(off)
		}
		u, room, cut := r.room(i, id, off, over, own, mt)
		w.cell.cut(u, cut)
		yield(u, room)
	})
	return own
}

// corners calls bare with the corners of a mark's cell that lie in the zone, and
// with the points where the zone's edge cuts the cell's.
func (r *relaxer) corners(here skirt.Spot, w *walker, mt metric, bare func(c geom.Vec)) {
	corners := w.cell.corners
	if len(corners) == 0 {
		return
	}
	inside := func(c geom.Vec) bool {
		if !r.zone.density.flat {
			c = mt.from.Linear(c)
		}
		return r.zone.holds(here, c)
	}
	last := corners[len(corners)-1]
	was := inside(last)
	for _, c := range corners {
		is := inside(c)
		if is {
			bare(c)
		}
		if is != was {
			a, b := last, c
			if is {
				a, b = c, last
			}
			for range 8 { // to a few thousandths of d
				if m := a.Lerp(b, 0.5); inside(m) {
					a = m
				} else {
					b = m
				}
			}
			bare(a)
		}
		last, was = c, is
	}
}

// beyond is by how much farther apart two anchors may lie than the room
// between their outlines.
func (r *relaxer) beyond() float64 {
	most := 0.0
	for _, f := range r.forms {
		most = max(most, f.reach-f.equal)
	}
	return most
}

// stand turns every mark's stand-ins for the plane.
func (r *relaxer) stand() {
	if r.forms == nil {
		return
	}
	if r.first == nil {
		r.first = make([]int32, len(r.marks)+1)
		for i, m := range r.marks {
			r.first[i+1] = r.first[i] + int32(len(r.forms[m.kind].discs))
		}
		r.discs = make([]disc, r.first[len(r.marks)])
	}
	parallel((len(r.marks)+chunk-1)/chunk, func(k int) {
		for i := k * chunk; i < min(len(r.marks), (k+1)*chunk); i++ {
			m := &r.marks[i]
			sin, cos := math.Sincos(r.spots.At(i).Upright + m.turn)
			out := r.discs[r.first[i]:r.first[i+1]]
			for n, b := range r.forms[m.kind].discs {
				out[n] = disc{geom.Vec{X: cos*b.at.X - sin*b.at.Y, Y: sin*b.at.X + cos*b.at.Y}, b.radius}
			}
		}
	})
}

// own returns what stands in for mark i, about its anchor in the metric. Room to
// a point counts from the outline outward, from the equal disc's radius on.
func (r *relaxer) own(i int, mt metric, w *walker) []disc {
	w.discs = w.discs[:0]
	if r.forms == nil {
		return append(w.discs, disc{})
	}
	equal := r.forms[r.marks[i].kind].equal
	for _, b := range r.discs[r.first[i]:r.first[i+1]] {
		b.radius -= equal
		if !r.zone.density.flat {
			b = disc{mt.to.Linear(b.at), b.radius * mt.size}
		}
		w.discs = append(w.discs, b)
	}
	return w.discs
}

// nearestOf returns the centre of the disc nearest to c and the room from it.
func nearestOf(own []disc, c geom.Vec) (geom.Vec, float64) {
	if len(own) == 1 && own[0] == (disc{}) {
		return geom.Vec{}, length(c)
	}
	best, at := math.Inf(1), geom.Vec{}
	for _, b := range own {
		d := c.Sub(b.at)
		if l := math.Sqrt(d.Dot(d)) - b.radius; l < best {
			best, at = l, b.at
		}
	}
	return at, best
}

// room returns the direction in which mark k presses on mark i, the room
// between them, and where along that direction the cell of i ends.
func (r *relaxer) room(i, k int, off geom.Vec, over int, own []disc, mt metric) (u geom.Vec, room, cut float64) {
	if off == (geom.Vec{}) {
		return aside(i, k), 0, 0
	}
	if r.forms == nil {
		l := length(off)
		return off.Mul(1 / l), l, l / 2
	}
	m := &r.marks[k]
	f := &r.forms[m.kind]
	mine := &r.forms[r.marks[i].kind]
	if l := length(off); l > plain*r.d+mine.reach-mine.equal+f.reach-f.equal {
		return off.Mul(1 / l), l, l / 2
	}
	turn := geom.Identity()
	if over != 0 {
		turn = geom.Rotation(r.zone.fold.OverTurn(over))
	}
	best := math.Inf(1)
	var from disc
	var way geom.Vec
	for _, b := range r.discs[r.first[k]:r.first[k+1]] {
		c := b.at
		if over != 0 {
			c = turn.Linear(c)
		}
		if !r.zone.density.flat {
			c = mt.to.Linear(c)
		}
		c = c.Add(off)
		rest := f.equal - b.radius
		if !r.zone.density.flat {
			rest *= mt.size
		}
		for _, a := range own {
			d := c.Sub(a.at)
			// room < best is |d| < best + radii: squares first.
			lim := best + a.radius - rest
			if d2 := d.Dot(d); lim > 0 && d2 < lim*lim {
				best, from, way = math.Sqrt(d2)-a.radius+rest, a, d
			}
		}
	}
	l := length(way)
	if l == 0 {
		return aside(i, k), best, 0
	}
	u = way.Mul(1 / l)
	return u, best, u.Dot(from.at) + from.radius + best/2
}

// aside is the way from mark i to mark k where both lie on one place: the two
// must part, not move alike.
func aside(i, k int) geom.Vec {
	if i < k {
		return geom.Vec{X: 1}
	}
	return geom.Vec{X: -1}
}
