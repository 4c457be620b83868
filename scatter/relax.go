package scatter

import (
	"math"
	"runtime"
	"sync"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Loose and even: from disturbed rows to a pattern without rows that is even
// everywhere.
//
// Marks move in small steps, all at once: those too near push each other apart,
// and cloth too far from any mark draws the marks round it. Both only ever give
// way where something is wrong, so rows that are hardly disturbed stay rows,
// and marks that were stirred past half a step set into no lattice. What is
// nearest and what is bare a mark sees from its own Voronoi cell, cut out of the
// plane by its neighbours (after S. Lloyd, "Least squares quantization in PCM",
// IEEE Transactions on Information Theory 28, 1982, with the two extremes in
// place of the centroid; after T. Schlömer, D. Heck, O. Deussen,
// "Farthest-point optimized point sets with maximized minimum distance", High
// Performance Graphics 2011, for aiming at both).
//
// Outlines take the place of points by their stand-in discs: room is the gap
// between two outlines and the radii of discs as large as each.

const (
	// Marks nearer than keep, in parts of d, push each other apart, and cloth
	// barer than want draws; d is the widest spacing so many marks can have. They
	// stand beyond what is aimed at (0.80 and 0.76), since both only give way.
	keep, want = 0.87, 0.68
	// Outlines are drawn less, since they have less room than points.
	wantOutlined = 0.79
	// Relaxing ends where the closest pair and the barest cloth are this near to
	// both for all marks but one in leftOver, or after the given number of steps.
	keepDone, wantDone = 0.96, 1.04
	leftOver           = 500
	relaxes            = 60
	relaxesOutlined    = 80 // from a start that is even as points
	// pushShare and drawShare are the parts of what is lacking that one step makes
	// up: more would overshoot, since several neighbours push at once.
	pushShare, drawShare = 0.3, 0.25
	// stride, in parts of d, is the longest step.
	stride = 0.08
	// sight, in parts of d, is how far a mark looks for neighbours: a cell
	// reaches half as far, well past the bare cloth that is let be.
	sight = 2.1
	// plain, in parts of d, is the room past which marks stand for points: they do
	// not push, and hardly bound a cell.
	plain = 1.3
)

// relaxer moves the marks of a draft.
type relaxer struct {
	zone  folded
	d     float64 // in the lengths of the density
	keep  float64 // room under which marks push, and
	want  float64 // over which bare cloth draws
	marks []mark
	spots *skirt.Spots
	forms []form // of every kind; nil: all are points
	discs []disc // that stand in for every mark, about its anchor in the plane
	first []int32
}

// form is what stands in for a kind.
type form struct {
	discs []disc
	reach float64
	equal float64 // radius of a disc as large as the outline
	stray float64 // how far the outline strays from the discs
	// Of the convex hull.
	hullArea, hullEdge float64
}

// relaxer makes marks ready to be looked at, by their outlines or as points.
func (j *job) relaxer(f folded, marks []mark, d float64, outlines bool) *relaxer {
	r := &relaxer{zone: f, marks: marks, d: d}
	longest := d
	if !f.density.flat {
		along, across := f.density.at(f.low)
		longest *= math.Max(1, math.Max(along, across))
	}
	if outlines {
		r.forms = make([]form, len(j.shapes))
		for i, s := range j.shapes {
			if s.strewn() || j.fixes(i) {
				r.forms[i] = s.form
			}
		}
	}
	low, high := f.low, f.high
	for _, m := range marks {
		low, high = math.Min(low, m.at.Down), math.Max(high, m.at.Down)
	}
	r.spots = skirt.NewSpots(f.fold, low, high, longest)
	for _, m := range marks {
		r.spots.Add(f.fold.Spot(m.at))
	}
	return r
}

// relax moves marks until they lie evenly, by their outlines or as points.
func (j *job) relax(f folded, marks []mark, step float64, outlines bool) error {
	if len(marks) < 2 {
		return nil
	}
	d := j.widest(f, len(marks), step)
	r := j.relaxer(f, marks, d, outlines)
	r.keep, r.want = keep*d, want*d
	if outlines {
		r.zone.zone = f.zone.reached(marks)
		r.keep, r.want = keep*(d+2*j.widestRoom(marks, d))/3, wantOutlined*d
	}
	next := make([]skirt.Spot, len(marks))
	rounds := relaxes
	if outlines {
		rounds = relaxesOutlined
	}
	r.stand()
	for range rounds {
		if err := j.ctx.Err(); err != nil {
			return err
		}
		chunks := (len(marks) + chunk - 1) / chunk
		uneven := make([]int, chunks)
		parallel(chunks, func(k int) {
			w := walker{}
			for i := k * chunk; i < min(len(marks), (k+1)*chunk); i++ {
				var closest, barest float64
				next[i], closest, barest = r.next(i, &w)
				if closest < keepDone*r.keep || barest > wantDone*r.want {
					uneven[k]++
				}
			}
		})
		for i, s := range next {
			if s.Place != marks[i].at {
				marks[i].at = s.Place
				r.spots.Move(i, s)
			}
		}
		left := 0
		for _, n := range uneven {
			left += n
		}
		if left <= len(marks)/leftOver {
			break
		}
		r.stand()
	}
	return nil
}

// widest returns the widest spacing that so many marks of one repeat could have
// in the zone, in the lengths of the density. In a narrow band edges rule and
// it means little: no wider than the step, then.
func (j *job) widest(f folded, n int, step float64) float64 {
	_, area, edge, euler := f.area()
	return math.Min(OlerSpacing(n*f.repeat, area, edge, euler), 1.5*step)
}

// widestRoom returns what room outlines can have where points have d: grown by
// half the gap, each covers as much as a disc d wide. A shape of area A and edge P
// grown by h covers A + P·h + π·h² (J. Steiner 1840), its hull's where it is not
// convex.
func (j *job) widestRoom(marks []mark, d float64) float64 {
	sum := 0.0
	for _, m := range marks {
		f := &j.shapes[m.kind].form
		c := f.hullArea - math.Pi*d*d/4
		root := math.Sqrt(math.Max(0, f.hullEdge*f.hullEdge-4*math.Pi*c))
		sum += 2*f.equal + (root-f.hullEdge)/math.Pi
	}
	return math.Min(d, math.Max(sum/float64(len(marks)), d/4))
}

// chunk is how many marks one worker takes at a time.
const chunk = 128

// walker is the scratch space of one worker.
type walker struct {
	cell  cell
	discs []disc // of the mark itself, in the metric about it
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
	if !r.zone.density.flat {
		move = r.zone.density.metricAt(here.Down, here.Upright).from.Linear(move)
	}
	return r.zone.walk(m, here, move), closest, barest
}

// step returns the move that mark i wishes, in the metric about it.
func (r *relaxer) step(i int, here skirt.Spot, w *walker) (move geom.Vec, closest, barest float64) {
	var mt metric
	if !r.zone.density.flat {
		mt = r.zone.density.metricAt(here.Down, here.Upright)
	}
	closest = math.Inf(1)
	own := r.look(i, here, mt, w, func(u geom.Vec, room float64) {
		closest = min(closest, room)
		if room < r.keep {
			move = move.Sub(u.Mul((r.keep - room) * pushShare))
		}
	})
	bare := func(c geom.Vec) {
		from, l := nearestOf(own, c)
		barest = max(barest, l)
		if l > r.want {
			if way := c.Sub(from); way != (geom.Vec{}) {
				move = move.Add(way.Mul((l - r.want) / length(way) * drawShare))
			}
		}
	}
	r.corners(here, w, mt, bare)
	return move, closest, barest
}

func length(v geom.Vec) float64 { return math.Sqrt(v.X*v.X + v.Y*v.Y) }

// parallel calls do for 0 … n-1 on all processors. Each call writes into its own
// slot, so that the order in which they run does not show.
func parallel(n int, do func(k int)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	if workers <= 1 {
		for k := range n {
			do(k)
		}
		return
	}
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for k := w; k < n; k += workers {
				do(k)
			}
		})
	}
	wg.Wait()
}
