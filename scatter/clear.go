package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Clearances between true outlines: measured pair by pair on the unrolled
// cloth, and mended in a loose pattern by moving marks apart.

// laid is the outline of one mark turned in its upright frame.
type laid struct {
	rings []geom.Ring
	reach float64
}

func (j *job) lay(m mark) laid {
	s := j.shapes[m.kind]
	return laid{s.turned(m.turn), s.reach}
}

// apart returns how far apart two outlines lie, up to reach, when the second
// stands at off and turned from the first one's upright frame.
func apart(a, b laid, off geom.Vec, turn, reach float64) float64 {
	if off.Len() >= a.reach+b.reach+reach {
		return reach
	}
	m := geom.Placing(off, turn, 1, false)
	best := reach
	for _, s := range b.rings {
		moved := s.Transform(m)
		for _, r := range a.rings {
			if best = r.Gap(moved, best); best == 0 {
				return 0
			}
		}
	}
	return best
}

// closesOnFlat reports whether a panel bends so far round on the flat that marks
// at its two ends come within reach of each other there, though no seam joins
// them: its map must stay readable all the same.
func (f folded) closesOnFlat(reach float64) bool {
	s := f.surface
	if s.Cut != skirt.Circle || s.Angle <= math.Pi || s.Panels < 2 {
		return false
	}
	return 2*(s.Inner+f.low)*math.Sin(math.Pi-s.Angle/2) < reach
}

// flatWrap calls yield for the ways in which two marks lie beside each other
// on one flat panel.
func (f folded) flatWrap(p, q skirt.Place, yield func(off geom.Vec, turn float64)) {
	s := f.surface
	for k := range f.repeat {
		a := s.Point(p.Repeated(0, f.repeat))
		b := s.Point(q.Repeated(k, f.repeat))
		if a.Panel != b.Panel {
			continue
		}
		ua, ub := s.Upright(a.At), s.Upright(b.At)
		yield(b.At.Sub(a.At).Rotate(-ua), ub-ua)
	}
}

// pairs calls yield for every way in which mark i and a mark k of the repeat come
// near each other, the same mark's own copies round a narrow cone included.
func (f folded) pairs(marks []mark, x *skirt.Index, i int, reach float64, yield func(k int, off geom.Vec, turn float64)) {
	p := marks[i].at
	see := func(k int) func(geom.Vec, float64) {
		return func(off geom.Vec, turn float64) {
			if (k != i || off.Len() > geom.Touch) && off.Len() < reach {
				yield(k, off, turn)
			}
		}
	}
	x.Near(p, reach, func(k int) { f.fold.Seen(p, marks[k].at, see(k)) })
	if f.closesOnFlat(reach) {
		for k := range marks {
			f.flatWrap(p, marks[k].at, see(k))
		}
	}
}

const (
	// mends is how often a loose pattern is gone over to part crowded pairs:
	// what eighty rounds of halving the lack cannot part is jammed.
	mends = 80
	// patience is after how many rounds without any gain mending is given up.
	patience = 15
	// overPush parts a crowded pair by a little more than it lacks, so that
	// rounds end instead of closing in forever.
	overPush = 1.05
)

// clear checks the draft's clearances, mends a loose one where it can, and
// names the worst pair in d.crowded where it cannot.
func (j *job) clear(d *draft, f folded, loose bool) error {
	want := j.opt.Clearance.Between + geom.Snug
	rounds := 1
	if loose {
		rounds = mends
	}
	outlines := make([]laid, len(d.marks))
	reachMost := 0.0
	for i, m := range d.marks {
		outlines[i] = j.lay(m)
		reachMost = math.Max(reachMost, outlines[i].reach)
	}
	// The nearest pair so far, and how many rounds ago it was last parted further.
	best, stuck := math.Inf(-1), 0
	for range rounds {
		if err := j.ctx.Err(); err != nil {
			return err
		}
		x := j.markIndex(f, d.marks, math.Max(d.step, reachMost))
		push := make([]geom.Vec, len(d.marks))
		d.crowded = ""
		worst := math.Inf(1)
		for i := range d.marks {
			if i%256 == 0 && j.ctx.Err() != nil {
				return j.ctx.Err()
			}
			if !loose && d.crowded != "" {
				return nil
			}
			reach := outlines[i].reach + reachMost + want
			f.pairs(d.marks, x, i, reach, func(k int, off geom.Vec, turn float64) {
				if k > i || !loose && d.crowded != "" {
					return // seen from the other mark, or already known not to do
				}
				g := apart(outlines[i], outlines[k], off, turn, want)
				if g >= want {
					return
				}
				if g < worst {
					worst = g
					d.crowded = j.opt.crowdedWords(j.shapes[d.marks[i].kind].Name, j.shapes[d.marks[k].kind].Name, g, want)
				}
				lack := want - g
				if g == 0 { // overlapping: by how much is not known; go a fair part
					lack = math.Max(want/2, math.Min(outlines[i].reach, outlines[k].reach)/4)
				}
				if l := off.Len(); l > 0 && k != i {
					part := off.Mul(lack / l * overPush / 2)
					push[i] = push[i].Sub(part)
					push[k] = push[k].Add(part.Rotate(-turn))
				}
			})
		}
		if d.crowded == "" {
			break
		}
		stuck++
		if worst > best+geom.Touch {
			best, stuck = worst, 0
		}
		if !loose || stuck > patience {
			return nil
		}
		for i := range d.marks {
			if push[i] != (geom.Vec{}) {
				d.marks[i].at = f.clampTo(f.fold.Moved(d.marks[i].at, push[i]), d.marks[i].low, d.marks[i].high)
			}
		}
	}
	if loose && d.crowded == "" && j.opt.Jitter > 0.5 {
		j.loosen(d, f, outlines, reachMost, want)
	}
	return nil
}

func (o Options) crowdedWords(a, b string, gap, want float64) string {
	if gap == 0 {
		return fmt.Sprintf("%s and %s would overlap", a, b)
	}
	is, asked := o.show(gap), o.show(want-geom.Snug)
	if is == asked {
		return fmt.Sprintf("%s and %s would be a hair closer than %s", a, b, asked)
	}
	return fmt.Sprintf("%s and %s would be %s apart instead of %s", a, b, is, asked)
}

func (j *job) markIndex(f folded, marks []mark, size float64) *skirt.Index {
	x := skirt.NewIndex(f.fold, f.low, f.high, size)
	for _, m := range marks {
		x.Add(m.at)
	}
	return x
}

// loosen moves marks at random, farther the larger the jitter, as long as the
// clearances hold.
func (j *job) loosen(d *draft, f folded, outlines []laid, reachMost, want float64) {
	r := j.random(streamLoose)
	amount := (j.opt.Jitter - 0.5) * d.step // half a step at jitter 1
	x := j.markIndex(f, d.marks, math.Max(d.step, reachMost))
	const tries = 8 // a mark that eight moves cannot free stays
	for i := range d.marks {
		from := d.marks[i].at
		done := false
		for t := 0; t < tries && !done; t++ {
			rad, ang := amount*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
			sin, cos := math.Sincos(ang)
			d.marks[i].at = f.clampTo(f.fold.Moved(from, geom.Vec{X: rad * cos, Y: rad * sin}), d.marks[i].low, d.marks[i].high)
			x.Move(i, d.marks[i].at)
			done = true
			f.pairs(d.marks, x, i, outlines[i].reach+reachMost+want, func(k int, off geom.Vec, turn float64) {
				done = done && apart(outlines[i], outlines[k], off, turn, want) >= want
			})
		}
		if !done {
			d.marks[i].at = from
			x.Move(i, from)
		}
	}
}
