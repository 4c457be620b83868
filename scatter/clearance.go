package scatter

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Clearances between true outlines, measured pair by pair on the unrolled cloth.

// laid is the outline of one mark turned for the plane, about its anchor.
type laid struct {
	rings   []geom.Ring
	runs    []run        // of their edges, and where
	centres []geom.Vec   // the circles about those lie
	inner   []skirt.Disc // discs inside the rings, that
	stray   float64      // the rings stray from by no more than this
	reach   float64
}

// laidAt returns the outline of a kind at a spot; turn is against the upright frame.
func (f *domain) laidAt(kind int, turn float64, at skirt.Spot) laid {
	k := &f.kinds[kind]
	turn += at.Upright
	sin, cos := math.Sincos(turn)
	inner := make([]skirt.Disc, len(k.inner))
	for i, b := range k.inner {
		inner[i] = skirt.Disc{At: geom.Vec{X: cos*b.At.X - sin*b.At.Y, Y: sin*b.At.X + cos*b.At.Y}, Radius: b.Radius}
	}
	centres := make([]geom.Vec, len(k.runs))
	for i, n := range k.runs {
		centres[i] = geom.Vec{X: cos*n.centre.X - sin*n.centre.Y, Y: sin*n.centre.X + cos*n.centre.Y}
	}
	return laid{rings: k.turned(turn), runs: k.runs, centres: centres, inner: inner, stray: k.innerStray, reach: k.reach}
}

// apart returns how far apart two outlines lie, up to reach, with the second at
// off from the first and turned as well.
func apart(a, b laid, off geom.Vec, turn, reach float64) float64 {
	if off.Len() >= a.reach+b.reach+reach {
		return reach
	}
	m := geom.Placing(off, turn, 1, false)
	// Discs inside both outlines settle most pairs: those that overlap, and those
	// that are far apart.
	switch most := discsApart(a, b, m); {
	case most < -geom.Touch:
		return 0
	case most-a.stray-b.stray > reach+geom.Touch:
		return reach
	}
	return gap(a, b, m, reach)
}

// gap returns the least distance between two outlines, the second moved, up to
// reach; 0 where they overlap. Edges are measured run by run, beginning with the
// two runs whose circles are nearest.
func gap(a, b laid, m geom.Affine, reach float64) float64 {
	centres := make([]geom.Vec, len(b.runs))
	for k := range centres {
		centres[k] = m.Apply(b.centres[k])
	}
	low := func(i, k int) float64 {
		return length(a.centres[i].Sub(centres[k])) - a.runs[i].radius - b.runs[k].radius
	}
	first, second, least := -1, -1, reach
	for i := range a.runs {
		for k := range b.runs {
			if l := low(i, k); l < least {
				first, second, least = i, k, l
			}
		}
	}
	if first < 0 {
		return reach
	}
	moved := make([]geom.Ring, len(b.rings))
	for k, r := range b.rings {
		moved[k] = r.Transform(m)
	}
	best := a.runs[first].gap(a.rings, b.runs[second], moved, reach)
	for i := range a.runs {
		for k := range b.runs {
			if best > 0 && (i != first || k != second) && low(i, k) < best {
				best = a.runs[i].gap(a.rings, b.runs[k], moved, best)
			}
		}
	}
	if best == 0 {
		return 0
	}
	for _, r := range a.rings {
		for _, s := range moved {
			if r.Contains(s[0]) || s.Contains(r[0]) {
				return 0
			}
		}
	}
	return best
}

// run is some edges of an outline, one after another, with a circle about them.
type run struct {
	ring, from, to int
	centre         geom.Vec
	radius         float64
}

// runLength is how many edges make a run: about the root of an outline's.
const runLength = 10

// runsOf splits rings into runs.
func runsOf(rings []geom.Ring) []run {
	var out []run
	for k, r := range rings {
		for from := 0; from < len(r); from += runLength {
			n := run{ring: k, from: from, to: min(len(r), from+runLength)}
			box := geom.EmptyBox()
			for i := n.from; i <= n.to; i++ {
				box = box.With(r.At(i))
			}
			n.centre = box.Centre()
			for i := n.from; i <= n.to; i++ {
				n.radius = math.Max(n.radius, n.centre.Dist(r.At(i)))
			}
			n.radius += geom.SamePoint // turned, they may lie a hair farther out
			out = append(out, n)
		}
	}
	return out
}

// gap returns the least distance between the edges of two runs, up to reach.
func (n run) gap(rings []geom.Ring, o run, others []geom.Ring, reach float64) float64 {
	r, s := rings[n.ring], others[o.ring]
	best := reach
	for i := n.from; i < n.to; i++ {
		a, b := r[i], r[(i+1)%len(r)]
		ax, bx, ay, by := min(a.X, b.X)-best, max(a.X, b.X)+best, min(a.Y, b.Y)-best, max(a.Y, b.Y)+best
		c := s[o.from]
		for k := o.from; k < o.to; k++ {
			d := s[(k+1)%len(s)]
			if min(c.X, d.X) < bx && max(c.X, d.X) > ax && min(c.Y, d.Y) < by && max(c.Y, d.Y) > ay && mayBeNearer(a, b, c, d, best) {
				if best = min(best, geom.SegmentGap(a, b, c, d)); best == 0 {
					return 0
				}
			}
			c = d
		}
	}
	return best
}

// mayBeNearer reports whether two segments may be nearer than best: a quick test
// of squared distances before the exact one.
func mayBeNearer(a, b, c, d geom.Vec, best float64) bool {
	if max(min(a.X, b.X), min(c.X, d.X)) <= min(max(a.X, b.X), max(c.X, d.X)) && max(min(a.Y, b.Y), min(c.Y, d.Y)) <= min(max(a.Y, b.Y), max(c.Y, d.Y)) {
		return true // they may cross
	}
	limit := best * best * (1 + geom.SameRatio)
	return squareOff(a, c, d) < limit || squareOff(b, c, d) < limit || squareOff(c, a, b) < limit || squareOff(d, a, b) < limit
}

// squareOff returns the square of the distance from p to the segment a–b.
func squareOff(p, a, b geom.Vec) float64 {
	d, q := b.Sub(a), p.Sub(a)
	if l := d.Dot(d); l > 0 {
		q = q.Sub(d.Mul(max(0, min(1, q.Dot(d)/l))))
	}
	return q.Dot(q)
}

// discsApart returns how far apart the inner discs of two outlines are, below 0
// where they overlap. The outlines are no farther apart, and nearer by at most what
// they stray from their discs. Without discs it is +Inf.
func discsApart(a, b laid, m geom.Affine) float64 {
	most := math.Inf(1)
	for _, q := range b.inner {
		at := m.Apply(q.At)
		for _, p := range a.inner {
			most = min(most, length(at.Sub(p.At))-p.Radius-q.Radius)
		}
	}
	return most
}

// clearanceIndex holds all marks of a repeat, ready to be measured against one
// another.
type clearanceIndex struct {
	*domain
	marks []mark
	spots *skirt.Spots
	laid  []laid
	reach float64 // of the farthest reaching mark
	want  float64 // between outlines
	ends  []bool  // marks that come near each other on a flat panel, unsewn; nil: none
}

// clearanceIndex indexes marks; step is about their distance from each other.
func (f *domain) clearanceIndex(ctx context.Context, marks []mark, step float64) (*clearanceIndex, error) {
	x := &clearanceIndex{domain: f, marks: marks, want: f.opt.Clearance.Between + geom.Snug}
	for i := range marks {
		x.reach = math.Max(x.reach, f.kinds[marks[i].kind].reach)
	}
	var err error
	if x.spots, err = f.index(ctx, marks, math.Max(2*x.reach+x.want, step/2)); err != nil {
		return nil, err
	}
	x.laid = make([]laid, len(marks))
	x.ends = flatEnds(f, marks, 2*x.reach+x.want)
	return x, inChunks(ctx, len(marks), chunk, func(from, to int) {
		for i := from; i < to; i++ {
			x.laid[i] = f.laidAt(marks[i].kind, marks[i].turn, x.spots.At(i))
		}
	})
}

// move puts mark i elsewhere.
func (x *clearanceIndex) move(i int, to skirt.Spot) {
	x.marks[i].at = to.Place
	x.spots.Move(i, to)
	x.laid[i] = x.laidAt(x.marks[i].kind, x.marks[i].turn, to)
}

// meet calls yield for every mark that may come within reach of mark i, judged by
// the extents of their outlines: its offset, and how much it is turned against i.
func (x *clearanceIndex) meet(i int, yield func(k int, off geom.Vec, turn float64)) {
	here := x.spots.At(i)
	reach := x.laid[i].reach + x.reach + x.want
	x.spots.Near(here, reach, func(k int, off geom.Vec, over int) {
		if k == i && off.Len() <= geom.Touch {
			return
		}
		if l := x.laid[i].reach + x.laid[k].reach + x.want; off.Dot(off) < l*l {
			yield(k, off, x.fold.OverTurn(over))
		}
	})
	if x.ends != nil && x.ends[i] {
		for k, end := range x.ends {
			if end && k != i {
				x.flatWrap(here, x.spots.At(k), func(off geom.Vec, turn float64) {
					if off.Len() < reach {
						yield(k, off, turn)
					}
				})
			}
		}
	}
}

// violation is a pair of marks that lie too near: how far apart, and which way mark
// k lies from mark i in the plane of either.
type violation struct {
	i, k      int
	gap       float64
	off, back geom.Vec
}

// violationsOf appends the pairs of mark i with marks before it that are too near.
func (x *clearanceIndex) violationsOf(i int, found []violation) []violation {
	x.meet(i, func(k int, off geom.Vec, turn float64) {
		if k > i {
			return // seen from the other mark
		}
		if g := apart(x.laid[i], x.laid[k], off, turn, x.want); g < x.want {
			found = append(found, violation{i, k, g, off, off.Rotate(-turn).Mul(-1)})
		}
	})
	return found
}

// violations returns some of the pairs that are too near; none if all keep clear.
func (x *clearanceIndex) violations(ctx context.Context) ([]violation, error) {
	found := make([][]violation, (len(x.marks)+chunk-1)/chunk)
	err := inChunks(ctx, len(x.marks), chunk, func(from, to int) {
		here := &found[from/chunk]
		for i := from; i < to && len(*here) == 0; i++ {
			*here = x.violationsOf(i, *here)
		}
	})
	return slices.Concat(found...), err
}

// keeps reports whether mark i keeps clear of all others.
func (x *clearanceIndex) keeps(i int) bool {
	ok := true
	x.meet(i, func(k int, off geom.Vec, turn float64) {
		ok = ok && apart(x.laid[i], x.laid[k], off, turn, x.want) >= x.want
	})
	return ok
}

// offObstacles returns a mark that breaks an obstacle clearance, -1 for none. Marks are
// moved only to places that keep them, so this is an internal check.
func (x *clearanceIndex) offObstacles(ctx context.Context) (int, error) {
	if x.obstacles == nil {
		return -1, nil
	}
	for i := range x.marks {
		if i%chunk == 0 && ctx.Err() != nil {
			return -1, ctx.Err()
		}
		if m := &x.marks[i]; !m.fixed && !x.takes(m, x.spots.At(i)) {
			return i, nil
		}
	}
	return -1, nil
}

// flatEnds returns which marks lie so near an end of a panel that bends far round
// on the flat that they may meet those at its other end there, though no seam
// joins them: its map must stay readable all the same. Nil where none can.
func flatEnds(f *domain, marks []mark, reach float64) []bool {
	if !skirt.EndsMeet(f.surface, f.low, reach) {
		return nil
	}
	out := make([]bool, len(marks))
	for i, m := range marks {
		for k := range f.repeat {
			out[i] = out[i] || skirt.NearEnd(f.surface, f.surface.Point(m.at.Repeated(k, f.repeat)), reach)
		}
	}
	return out
}

// flatWrap calls yield for the ways in which two marks lie beside each other
// on one flat panel, turned into the plane of the first.
func (x *clearanceIndex) flatWrap(p, q skirt.Spot, yield func(off geom.Vec, turn float64)) {
	s := x.surface
	for k := range x.repeat {
		a := s.Point(p.Place.Repeated(0, x.repeat))
		b := s.Point(q.Place.Repeated(k, x.repeat))
		if a.Panel != b.Panel {
			continue
		}
		ua, ub := s.Upright(a.At)-p.Upright, s.Upright(b.At)-q.Upright
		yield(b.At.Sub(a.At).Rotate(-ua), ub-ua)
	}
}
