package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Loose and even: from staggered rows to a pattern without rows that is still
// even everywhere.
//
// The marks of the regular rows are stirred, the more the larger the jitter.
// Then farthest-point optimisation (T. Schlömer, D. Heck, O. Deussen,
// "Farthest-point optimized point sets with maximized minimum distance", High
// Performance Graphics 2011): each mark in turn is lifted and set down in the
// middle of the widest empty circle of the cloth, if that is wider than the
// room it had. The circles are found among samples some eighths of a step
// apart, each of which knows its nearest mark; a tournament tree holds the
// widest. At last marks settle in small steps: those too near push each other
// apart, and places too far from any mark draw the marks around them near. All
// distances run along the sewn cloth.

const (
	// stir is the radius, in steps, within which a mark is stirred at jitter
	// 0.5: over half a step, so that no trace of the rows is left.
	stir = 0.75
	// passes of farthest-point optimisation over all marks; the closest pair
	// hardly grows after the eighth.
	passes = 8
	// sampleStep is the distance of samples in steps.
	sampleStep = 0.125
	// settling, in parts of d, the widest spacing so many marks could have: marks
	// nearer than keep push, places farther than want from any mark draw those up
	// to wide beyond the nearest. keep lies a little above and want well below
	// what is aimed at (0.80 and 0.76), since both only ever give way.
	keep, want, wide = 0.82, 0.64, 0.6
	// settles is how many steps are taken; each makes up pushShare of what a pair
	// lacks and drawShare of what a place lacks, and moves no mark by more than
	// stride·d.
	settles              = 60
	pushShare, drawShare = 0.4, 0.2
	stride               = 0.05
	// settleStep is the distance of the places looked at, in steps.
	settleStep = 0.2
)

// even returns the places loosened by the jitter and evened out again.
func (j *job) even(f folded, places []skirt.Place, step float64) ([]skirt.Place, error) {
	r := j.random(streamEven)
	amount := math.Min(1, j.opt.Jitter/0.5) * stir * step
	out := make([]skirt.Place, len(places))
	for i, p := range places {
		rad, ang := amount*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
		sin, cos := math.Sincos(ang)
		out[i] = f.clamp(f.fold.Moved(p, geom.Vec{X: rad * cos, Y: rad * sin}))
	}
	if len(out) < 2 {
		return out, nil
	}
	if err := j.farthest(f, out, step); err != nil {
		return nil, err
	}
	return j.settle(f, out, step)
}

// samples are places over the zone of one repeat, each with its nearest mark.
type samples struct {
	at      []skirt.Place
	dist    []float64 // to the nearest mark
	nearest []int32
	index   *skirt.Index
	tree    []int32 // tournament: tree[1] is the sample farthest from any mark
	leaves  int
}

func newSamples(f folded, gap float64) *samples {
	s := &samples{}
	rows := max(1, int(math.Ceil((f.high-f.low)/gap)))
	for i := range rows + 1 {
		down := f.low + (f.high-f.low)*float64(i)/float64(rows)
		n := max(1, int(math.Ceil(f.fold.Girth(down)/gap)))
		in := f.inset(down) * float64(f.repeat)
		for k := range n {
			// Alternate rows are offset so that samples lie staggered.
			x := (float64(k) + 0.25 + 0.5*float64(i%2)) / float64(n)
			free := true
			for _, seam := range f.seams {
				d := x - seam
				free = free && math.Abs(d-math.Round(d)) >= in
			}
			if free {
				s.at = append(s.at, skirt.Place{Round: x, Down: down})
			}
		}
		for _, seam := range f.seams {
			for _, side := range [2]float64{-in, in} {
				x := seam + side
				s.at = append(s.at, skirt.Place{Round: x - math.Floor(x), Down: down})
			}
		}
		if f.high-f.low < geom.Touch {
			break
		}
	}
	s.dist = make([]float64, len(s.at))
	s.nearest = make([]int32, len(s.at))
	s.index = skirt.NewIndex(f.fold, f.low, f.high, 4*gap)
	for _, p := range s.at {
		s.index.Add(p)
	}
	return s
}

// measure finds every sample's nearest mark and sets up the tournament.
func (s *samples) measure(fold skirt.Surface, marks *skirt.Index, reach float64) {
	for i, p := range s.at {
		s.dist[i], s.nearest[i] = nearestMark(fold, p, marks, reach)
	}
	s.leaves = 1
	for s.leaves < len(s.at) {
		s.leaves *= 2
	}
	s.tree = make([]int32, 2*s.leaves)
	for i := range s.tree {
		s.tree[i] = -1
	}
	for i := range s.at {
		s.tree[s.leaves+i] = int32(i)
	}
	for i := s.leaves - 1; i >= 1; i-- {
		s.tree[i] = s.wider(s.tree[2*i], s.tree[2*i+1])
	}
}

func (s *samples) wider(a, b int32) int32 {
	if a < 0 || b >= 0 && s.dist[b] > s.dist[a] {
		return b
	}
	return a
}

// set gives sample i its nearest mark and replays its matches in the tree.
func (s *samples) set(i int, d float64, mark int32) {
	s.dist[i], s.nearest[i] = d, mark
	for k := (s.leaves + i) / 2; k >= 1; k /= 2 {
		s.tree[k] = s.wider(s.tree[2*k], s.tree[2*k+1])
	}
}

// widest returns the sample farthest from any mark and how far that is.
func (s *samples) widest() (int, float64) { return int(s.tree[1]), s.dist[s.tree[1]] }

// put tells the samples that mark lies at p.
func (s *samples) put(fold skirt.Surface, p skirt.Place, mark int32) {
	_, reach := s.widest()
	s.index.Near(p, reach, func(i int) {
		if d := fold.Dist(p, s.at[i]); d < s.dist[i] {
			s.set(i, d, mark)
		}
	})
}

// lift tells the samples that mark, which lay at p, is gone; marks is the
// index of those that remain.
func (s *samples) lift(fold skirt.Surface, p skirt.Place, mark int32, marks *skirt.Index) {
	_, reach := s.widest()
	s.index.Near(p, reach, func(i int) {
		if s.nearest[i] != mark {
			return
		}
		d, who := nearestMark(fold, s.at[i], marks, s.dist[i]+reach)
		s.set(i, d, who)
	})
}

// nearestMark finds the mark nearest to p, looking ever farther from reach on.
func nearestMark(fold skirt.Surface, p skirt.Place, marks *skirt.Index, reach float64) (float64, int32) {
	all := fold.Girth(fold.Drop) + fold.Drop
	for {
		best, who := math.Inf(1), int32(-1)
		marks.Near(p, reach, func(k int) {
			if d := fold.Dist(p, marks.At(k)); d < best {
				best, who = d, int32(k)
			}
		})
		if best <= reach || reach > all {
			return best, who
		}
		reach *= 2
	}
}

// farthest runs the passes of farthest-point optimisation on places, in place.
func (j *job) farthest(f folded, places []skirt.Place, step float64) error {
	s := newSamples(f, step*sampleStep)
	marks := skirt.NewIndex(f.fold, f.low, f.high, step)
	for _, p := range places {
		marks.Add(p)
	}
	s.measure(f.fold, marks, step)
	for range passes {
		moved := false
		for i := range places {
			if i%256 == 0 && j.ctx.Err() != nil {
				return j.ctx.Err()
			}
			from := places[i]
			marks.Remove(i)
			s.lift(f.fold, from, int32(i), marks)
			room, _ := nearestMark(f.fold, from, marks, 2*step)
			to := from
			if k, wide := s.widest(); wide > room*(1+geom.SameRatio) {
				to, moved = s.at[k], true
			}
			places[i] = to
			marks.Move(i, to)
			s.put(f.fold, to, int32(i))
		}
		if !moved {
			return nil
		}
	}
	return nil
}

// settle parts marks that are too near and draws marks toward bald places, all
// at once, some times over, and returns the new places.
func (j *job) settle(f folded, places []skirt.Place, step float64) ([]skirt.Place, error) {
	area, edge, euler := j.zone.area()
	// In a narrow band edges rule and d means little: no wider than the step then.
	d := math.Min(OlerSpacing(len(places)*f.repeat, area, edge, euler), 1.5*step)
	bald := newSamples(f, settleStep*step).at
	for range settles {
		if err := j.ctx.Err(); err != nil {
			return nil, err
		}
		x := indexOf(f.fold, places, step)
		moves := make([]geom.Vec, len(places))
		for i, p := range places {
			x.Near(p, keep*d, func(k int) {
				f.fold.Seen(p, places[k], func(off geom.Vec, _ float64) {
					if l := off.Len(); l > 0 && l < keep*d {
						moves[i] = moves[i].Sub(off.Mul((keep*d - l) / l * pushShare))
					}
				})
			})
		}
		for _, c := range bald {
			far, _ := nearestMark(f.fold, c, x, d)
			if far <= want*d {
				continue
			}
			x.Near(c, far+wide*d, func(k int) {
				f.fold.Seen(places[k], c, func(off geom.Vec, _ float64) {
					if l := off.Len(); l < far+wide*d {
						moves[k] = moves[k].Add(off.Mul((far - want*d) / l * drawShare))
					}
				})
			})
		}
		next := make([]skirt.Place, len(places))
		for i, p := range places {
			if l := moves[i].Len(); l > stride*d {
				moves[i] = moves[i].Mul(stride * d / l)
			}
			next[i] = f.clamp(f.fold.Moved(p, moves[i]))
		}
		places = next
	}
	return places, nil
}
