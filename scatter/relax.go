package scatter

import (
	"context"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Loose and even: from disturbed rows to a pattern without rows that is even
// everywhere.
//
// Marks move in small steps, all at once: those too near push each other apart,
// and cloth too far from any mark draws the marks round it. Both act only where
// something is wrong, so rows that are hardly disturbed stay rows, and marks
// that were stirred past half a step set into no lattice. What is nearest and
// what is bare is found from each mark's own Voronoi cell (after S. Lloyd,
// "Least squares quantization in PCM", IEEE Transactions on Information Theory
// 28, 1982, with the two extremes in place of the centroid; after T. Schlömer,
// D. Heck, O. Deussen, "Farthest-point optimized point sets with maximized
// minimum distance", High Performance Graphics 2011, for aiming at both).
//
// Outlines take the place of points by their medial-axis discs: room is the gap
// between two outlines and the radii of discs as large as each.

const (
	// Marks nearer than keep, in parts of d, push each other apart, and cloth barer
	// than want draws marks in; d is the widest spacing these marks can have. Both go
	// beyond the aim (0.80 and 0.76), since they act only where it is missed.
	keep, want = 0.87, 0.68
	// Cloth draws outlines only if it is barer still: they have less room.
	wantOutlined = 0.79
	// Relaxing ends once all marks but one in leftOver come this near to both, or
	// after relaxes or relaxesOutlined rounds.
	keepDone, wantDone = 0.96, 1.04
	leftOver           = 500
	relaxes            = 60
	relaxesOutlined    = 80 // from a start that is even as points
	// pushShare and drawShare are the parts of the lack that one step makes up: more
	// would overshoot, since several neighbours push at once.
	pushShare, drawShare = 0.3, 0.25
	// stride, in parts of d, is the longest step.
	stride = 0.08
)

// relaxer moves the marks of a draft.
type relaxer struct {
	*neighbourhood
	keep float64 // room under which marks push, and
	want float64 // over which bare cloth draws
}

// relaxPoints moves marks until they lie evenly as points.
func (d *draft) relaxPoints(ctx context.Context) error {
	wide := d.widest()
	n, err := d.neighbourhood(ctx, d.marks, wide, false)
	if err != nil {
		return err
	}
	n.forgetIslands()
	r := relaxer{n, keep * wide, want * wide}
	return r.run(ctx, relaxes)
}

// relaxOutlines moves marks until they lie evenly by their outlines.
func (d *draft) relaxOutlines(ctx context.Context) error {
	wide := d.widest()
	n, err := d.neighbourhood(ctx, d.marks, wide, true)
	if err != nil {
		return err
	}
	n.forgetIslands()
	r := relaxer{n, 0, wantOutlined * wide}
	reached := d.domain.reached(d.reach(d.marks))
	r.domain = &reached
	if len(d.marks) > len(d.hands) {
		r.keep = keep * (wide + 2*d.widestRoom(wide)) / 3
	}
	return r.run(ctx, relaxesOutlined)
}

// run moves all marks, at most the given number of times.
func (r *relaxer) run(ctx context.Context, rounds int) error {
	n := len(r.marks)
	if n < 2 {
		return nil
	}
	next := make([]skirt.Spot, n)
	uneven := make([]int, (n+chunk-1)/chunk)
	if err := r.turnDiscs(ctx); err != nil {
		return err
	}
	for range rounds {
		clear(uneven)
		err := inChunks(ctx, n, chunk, func(from, to int) {
			w := walker{}
			for i := from; i < to; i++ {
				if r.domain.island(&r.marks[i]) {
					next[i] = r.spots.At(i)
					continue
				}
				var closest, barest float64
				next[i], closest, barest = r.next(i, &w)
				if closest < keepDone*r.keep || barest > wantDone*r.want {
					uneven[from/chunk]++
				}
			}
		})
		if err != nil {
			return err
		}
		for i, s := range next {
			if s.Place != r.marks[i].at && !r.marks[i].fixed {
				r.marks[i].at = s.Place
				r.spots.Move(i, s)
			}
		}
		left := 0
		for _, k := range uneven {
			left += k
		}
		if left <= n/leftOver {
			break
		}
		if err := r.turnDiscs(ctx); err != nil {
			return err
		}
	}
	return nil
}

// widest returns the widest spacing that the marks of one repeat could have in
// the band, in the lengths of the density. In a narrow band, where edges dominate
// and it means little, it is bounded by the step.
func (d *draft) widest() float64 {
	return math.Min(d.extents().spacing(len(d.marks)*d.repeat), 1.5*d.step)
}

// widestRoom returns the room that outlines can have if points can be wide apart:
// grown by half the gap, each covers as much as a disc that wide. A shape of area A and
// edge P grown by h covers A + P·h + π·h² (J. Steiner 1840), its hull's where it
// is not convex.
func (d *draft) widestRoom(wide float64) float64 {
	sum, n := 0.0, 0
	for i := range d.marks {
		if d.island(&d.marks[i]) {
			continue
		}
		n++
		f := &d.kinds[d.marks[i].kind].form
		c := f.hullArea - math.Pi*wide*wide/4
		root := math.Sqrt(math.Max(0, f.hullEdge*f.hullEdge-4*math.Pi*c))
		sum += 2*f.equal + (root-f.hullEdge)/math.Pi
	}
	return math.Min(wide, math.Max(sum/float64(n), wide/4))
}

// next returns where mark i goes, its least room and the barest cloth about it.
func (r *relaxer) next(i int, w *walker) (to skirt.Spot, closest, barest float64) {
	m := &r.marks[i]
	here := r.spots.At(i)
	move, closest, barest := r.step(i, here, w)
	if m.fixed || move == (geom.Vec{}) {
		return here, closest, barest
	}
	if l := length(move); l > stride*r.d {
		move = move.Mul(stride * r.d / l)
	}
	if !r.domain.density.flat {
		move = r.domain.density.metricAt(here.Down, here.Upright).from.Linear(move)
	}
	return r.domain.walk(m, here, move), closest, barest
}

// step returns the move that mark i should make, in the metric about it.
func (r *relaxer) step(i int, here skirt.Spot, w *walker) (move geom.Vec, closest, barest float64) {
	var mt metric
	if !r.domain.density.flat {
		mt = r.domain.density.metricAt(here.Down, here.Upright)
	}
	closest = math.Inf(1)
	own := r.voronoi(i, here, mt, w, r.keep, func(u geom.Vec, room float64) {
		closest = min(closest, room)
		move = move.Sub(u.Mul((r.keep - room) * pushShare))
	})
	r.corners(here, w, mt, func(c geom.Vec) {
		from, l := nearestOf(own, c)
		barest = max(barest, l)
		if l > r.want {
			if way := c.Sub(from); way != (geom.Vec{}) {
				move = move.Add(way.Mul((l - r.want) / length(way) * drawShare))
			}
		}
	})
	return move, closest, barest
}
