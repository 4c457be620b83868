package scatter

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// neighbourReach, in steps, is how far two marks may be apart to count as
// neighbours: past the six of a staggered pattern (1 step) and the diagonal of
// a square one (√2), short of the next ring of either (√3, 2).
const neighbourReach = 1.5

// neighbours lists for every mark the other marks within neighbourReach, in the
// lengths of the density.
func (f *domain) neighbours(ctx context.Context, marks []mark, step float64) ([][]int32, error) {
	reach := neighbourReach * step
	low, high := math.Inf(1), math.Inf(-1)
	for _, m := range marks {
		low, high = math.Min(low, m.at.Down), math.Max(high, m.at.Down)
	}
	x, err := f.indexBetween(ctx, marks, low, high, reach)
	if err != nil {
		return nil, err
	}
	out := make([][]int32, len(marks))
	return out, inChunks(ctx, len(marks), chunk, func(from, to int) {
		for i := from; i < to; i++ {
			here := x.At(i)
			wide := reach
			mt := metric{}
			if !f.density.flat {
				along, across := f.density.at(here.Down)
				wide *= math.Max(along, across)
				mt = f.density.metricAt(here.Down, here.Upright)
			}
			x.Near(here, wide, func(k int, off geom.Vec, _ int) {
				if !f.density.flat && length(mt.to.Linear(off)) > reach {
					return
				}
				if k != i && !slices.Contains(out[i], int32(k)) {
					out[i] = append(out[i], int32(k))
				}
			})
		}
	})
}

// neighbourhood answers, mark by mark, which others lie near, how much room is
// between them, and what the mark's Voronoi cell is.
type neighbourhood struct {
	domain *domain
	d      float64 // about the distance of neighbours, in the lengths of the density
	marks  []mark
	spots  *skirt.Spots
	forms  []form       // of every kind; nil: all marks are points
	discs  []skirt.Disc // that stand in for every mark, about its anchor in the plane
	first  []int32      // where each mark's discs begin
}

const (
	// gatherWithin, in parts of d, is how far neighbours are gathered: a cell reaches
	// half as far, well beyond the barest cloth that is tolerated.
	gatherWithin = 2.1
	// plain, in parts of d, is the room beyond which marks count as points: they do not
	// push, and hardly bound a cell.
	plain = 1.3
	// tighter is how much the density's factor may grow toward a neighbour.
	tighter = 1.15
)

// walker is the scratch space of one worker.
type walker struct {
	cell  cell
	discs []skirt.Disc // of the mark itself, in the metric about it
}

// neighbourhood indexes marks, by their outlines or as points.
func (f *domain) neighbourhood(ctx context.Context, marks []mark, d float64, outlines bool) (*neighbourhood, error) {
	n := &neighbourhood{domain: f, marks: marks, d: d}
	longest := d
	if !f.density.flat {
		along, across := f.density.at(f.low)
		longest *= math.Max(1, math.Max(along, across))
	}
	if outlines {
		n.forms = make([]form, len(f.kinds))
		for i := range f.kinds {
			if f.kinds[i].present {
				n.forms[i] = f.kinds[i].form
			}
		}
	}
	var err error
	n.spots, err = f.index(ctx, marks, longest)
	return n, err
}

// forgetIslands takes islands out of it: they are obstacles.
func (n *neighbourhood) forgetIslands() {
	for i := range n.marks {
		m := &n.marks[i]
		if !n.domain.island(m) {
			continue
		}
		n.spots.Remove(i)
		if n.forms != nil {
			n.forms[m.kind] = form{}
		}
	}
}

// turnDiscs turns every mark's discs for the plane.
func (n *neighbourhood) turnDiscs(ctx context.Context) error {
	if n.forms == nil {
		return nil
	}
	if n.first == nil {
		n.first = make([]int32, len(n.marks)+1)
		for i, m := range n.marks {
			n.first[i+1] = n.first[i] + int32(len(n.forms[m.kind].discs))
		}
		n.discs = make([]skirt.Disc, n.first[len(n.marks)])
	}
	return inChunks(ctx, len(n.marks), chunk, func(from, to int) {
		for i := from; i < to; i++ {
			m := &n.marks[i]
			sin, cos := math.Sincos(n.spots.At(i).Upright + m.turn)
			out := n.discs[n.first[i]:n.first[i+1]]
			for k, b := range n.forms[m.kind].discs {
				out[k] = skirt.Disc{At: geom.Vec{X: cos*b.At.X - sin*b.At.Y, Y: sin*b.At.X + cos*b.At.Y}, Radius: b.Radius}
			}
		}
	})
}

// voronoi cuts the cell of mark i out of the plane, calls yield with the
// direction and room of every neighbour that has less room than within, and
// returns what stands in for the mark.
func (n *neighbourhood) voronoi(i int, here skirt.Spot, mt metric, w *walker, within float64, yield func(u geom.Vec, room float64)) []skirt.Disc {
	flat := n.domain.density.flat
	reach := gatherWithin * n.d
	if !flat {
		along, across := n.domain.density.at(here.Down)
		reach *= math.Max(along, across) * tighter
	}
	w.cell.reset(gatherWithin * n.d)
	own := n.own(i, mt, w)
	n.spots.Near(here, reach+n.beyond(), func(id int, off geom.Vec, over int) {
		if off == (geom.Vec{}) && id == i {
			return
		}
		if !flat {
			off = mt.to.Linear(off)
		} else if n.forms != nil && n.tooFar(i, id, length(off), within, &w.cell) {
			return
		}
		u, room, cut := n.room(pair{i, id, off, over}, own, mt)
		w.cell.cut(u, cut)
		if room < within {
			yield(u, room)
		}
	})
	return own
}

// tooFar reports whether mark k, l away from mark i, has at least within of room
// and does not cut the cell, whichever way both are turned. The metric must be flat.
func (n *neighbourhood) tooFar(i, k int, l, within float64, c *cell) bool {
	mine, theirs := &n.forms[n.marks[i].kind], &n.forms[n.marks[k].kind]
	room := l - (mine.outer - mine.equal) - (theirs.outer - theirs.equal)
	return room >= within && room/2-mine.inset-mine.equal > c.radius()
}

// corners calls bare with the free corners of a mark's cell, and with the points
// where the edge of the free cloth crosses the cell's.
func (n *neighbourhood) corners(here skirt.Spot, w *walker, mt metric, bare func(c geom.Vec)) {
	corners := w.cell.corners
	if len(corners) == 0 {
		return
	}
	inside := func(c geom.Vec) bool {
		if !n.domain.density.flat {
			c = mt.from.Linear(c)
		}
		return n.domain.holds(here, c)
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

// beyond returns the most by which the distance of two anchors exceeds the room
// between their outlines.
func (n *neighbourhood) beyond() float64 {
	most := 0.0
	for i := range n.forms {
		most = max(most, n.forms[i].reach-n.forms[i].equal)
	}
	return most
}

// own returns what stands in for mark i, about its anchor in the metric. Room to
// a point counts from the outline outward, from the equal disc's radius on.
func (n *neighbourhood) own(i int, mt metric, w *walker) []skirt.Disc {
	w.discs = w.discs[:0]
	if n.forms == nil {
		return append(w.discs, skirt.Disc{})
	}
	equal := n.forms[n.marks[i].kind].equal
	for _, b := range n.discs[n.first[i]:n.first[i+1]] {
		b.Radius -= equal
		if !n.domain.density.flat {
			b = skirt.Disc{At: mt.to.Linear(b.At), Radius: b.Radius * mt.size}
		}
		w.discs = append(w.discs, b)
	}
	return w.discs
}

// nearestOf returns the centre of the disc nearest to c and the room from it.
func nearestOf(own []skirt.Disc, c geom.Vec) (geom.Vec, float64) {
	if len(own) == 1 && own[0] == (skirt.Disc{}) {
		return geom.Vec{}, length(c)
	}
	best, at := math.Inf(1), geom.Vec{}
	for _, b := range own {
		d := c.Sub(b.At)
		if l := math.Sqrt(d.Dot(d)) - b.Radius; l < best {
			best, at = l, b.At
		}
	}
	return at, best
}

// pair is mark k as it lies beside mark i.
type pair struct {
	i, k int
	off  geom.Vec // of k's anchor from i's, in the metric about i
	over int      // the way in which it is seen, see skirt.Surface.OverTurn
}

// room returns the direction in which mark k presses on mark i, the room
// between them, and where along that direction the cell of i ends. The room of
// two marks is the gap between their outlines and the radii of discs as large
// as each.
func (n *neighbourhood) room(p pair, own []skirt.Disc, mt metric) (u geom.Vec, room, cut float64) {
	off := p.off
	if off == (geom.Vec{}) {
		return aside(p.i, p.k), 0, 0
	}
	if n.forms == nil {
		l := length(off)
		return off.Mul(1 / l), l, l / 2
	}
	f := &n.forms[n.marks[p.k].kind]
	mine := &n.forms[n.marks[p.i].kind]
	if l := length(off); l > plain*n.d+mine.reach-mine.equal+f.reach-f.equal {
		return off.Mul(1 / l), l, l / 2
	}
	turn := geom.Identity()
	if p.over != 0 {
		turn = geom.Rotation(n.domain.fold.OverTurn(p.over))
	}
	best := math.Inf(1)
	var from skirt.Disc
	var way geom.Vec
	for _, b := range n.discs[n.first[p.k]:n.first[p.k+1]] {
		c := b.At
		if p.over != 0 {
			c = turn.Linear(c)
		}
		if !n.domain.density.flat {
			c = mt.to.Linear(c)
		}
		c = c.Add(off)
		rest := f.equal - b.Radius
		if !n.domain.density.flat {
			rest *= mt.size
		}
		for _, a := range own {
			d := c.Sub(a.At)
			// room < best is |d| < best + radii: squares first.
			lim := best + a.Radius - rest
			if d2 := d.Dot(d); lim > 0 && d2 < lim*lim {
				best, from, way = math.Sqrt(d2)-a.Radius+rest, a, d
			}
		}
	}
	l := length(way)
	if l == 0 {
		return aside(p.i, p.k), best, 0
	}
	u = way.Mul(1 / l)
	return u, best, u.Dot(from.At) + from.Radius + best/2
}

// aside is the direction from mark i to mark k where both lie on one place: the
// two must part, not move together.
func aside(i, k int) geom.Vec {
	if i < k {
		return geom.Vec{X: 1}
	}
	return geom.Vec{X: -1}
}

func length(v geom.Vec) float64 { return math.Sqrt(v.X*v.X + v.Y*v.Y) }
