package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Clearances between true outlines: measured pair by pair on the unrolled
// cloth, and mended in a loose pattern by moving marks apart.

// laid is the outline of one mark turned for the plane, about its anchor.
type laid struct {
	rings []geom.Ring
	reach float64
}

func (j *job) lay(m mark, at skirt.Spot) laid {
	s := &j.shapes[m.kind]
	return laid{s.turned(m.turn + at.Upright), s.reach}
}

// apart returns how far apart two outlines lie, up to reach, when the second
// stands at off and turned besides.
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

// pressed is a pair of marks that lie too near: by how much, and which way mark k
// lies from mark i in the plane of either.
type pressed struct {
	i, k      int
	gap       float64
	off, back geom.Vec
}

// yard is all marks of a draft ready to be measured against one another.
type yard struct {
	job   *job
	zone  folded
	marks []mark
	spots *skirt.Spots
	laid  []laid
	reach float64 // of the farthest reaching mark
	want  float64
	ends  []bool // marks that come near each other on a flat panel, unsewn
}

func (j *job) yard(d *draft, f folded) *yard {
	y := &yard{job: j, zone: f, marks: d.marks, want: j.opt.Clearance.Between + geom.Snug}
	for _, m := range d.marks {
		y.reach = math.Max(y.reach, j.shapes[m.kind].reach)
	}
	low, high := f.low, f.high
	for _, m := range d.marks {
		low, high = math.Min(low, m.at.Down), math.Max(high, m.at.Down)
	}
	y.spots = skirt.NewSpots(f.fold, low, high, math.Max(2*y.reach+y.want, d.step/2))
	for _, m := range d.marks {
		y.spots.Add(f.fold.Spot(m.at))
	}
	y.laid = make([]laid, len(d.marks))
	parallel((len(d.marks)+chunk-1)/chunk, func(k int) {
		for i := k * chunk; i < min(len(d.marks), (k+1)*chunk); i++ {
			y.laid[i] = j.lay(d.marks[i], y.spots.At(i))
		}
	})
	y.ends = f.flatEnds(d.marks, 2*y.reach+y.want)
	return y
}

// move puts mark i elsewhere.
func (y *yard) move(i int, to skirt.Spot) {
	y.marks[i].at = to.Place
	y.spots.Move(i, to)
	y.laid[i] = y.job.lay(y.marks[i], to)
}

// meet calls yield for every mark that comes within reach of mark i by their
// outlines' extents: where it lies, how it is turned besides, and the way back.
func (y *yard) meet(i int, yield func(k int, off geom.Vec, turn float64)) {
	here := y.spots.At(i)
	reach := y.laid[i].reach + y.reach + y.want
	y.spots.Near(here, reach, func(k int, off geom.Vec, over int) {
		if k == i && off.Len() <= geom.Touch {
			return
		}
		if l := y.laid[i].reach + y.laid[k].reach + y.want; off.Dot(off) < l*l {
			yield(k, off, y.zone.fold.OverTurn(over))
		}
	})
	if y.ends != nil && y.ends[i] {
		for k, end := range y.ends {
			if end && k != i {
				y.zone.flatWrap(here, y.spots.At(k), func(off geom.Vec, turn float64) {
					if off.Len() < reach {
						yield(k, off, turn)
					}
				})
			}
		}
	}
}

// pressedPairs returns all pairs that are too near, each once.
func (y *yard) pressedPairs(all bool) []pressed {
	chunks := (len(y.marks) + chunk - 1) / chunk
	found := make([][]pressed, chunks)
	parallel(chunks, func(c int) {
		for i := c * chunk; i < min(len(y.marks), (c+1)*chunk); i++ {
			if !all && len(found[c]) > 0 {
				return
			}
			y.meet(i, func(k int, off geom.Vec, turn float64) {
				if k > i {
					return // seen from the other mark
				}
				if g := apart(y.laid[i], y.laid[k], off, turn, y.want); g < y.want {
					found[c] = append(found[c], pressed{i, k, g, off, off.Rotate(-turn).Mul(-1)})
				}
			})
		}
	})
	var out []pressed
	for _, f := range found {
		out = append(out, f...)
	}
	return out
}

// closesOnFlat reports whether a panel bends so far round on the flat that marks
// at its two ends come within reach of each other there, though no seam joins
// them: its map must stay readable all the same.
func (f folded) closesOnFlat(reach float64) bool {
	s := f.surface
	if !s.Wedges() || s.Angle <= math.Pi || s.Panels < 2 {
		return false
	}
	return 2*(s.Inner+f.low)*math.Sin(math.Pi-s.Angle/2) < reach
}

// flatEnds tells which marks lie so near an end of such a panel; nil where none
// can.
func (f folded) flatEnds(marks []mark, reach float64) []bool {
	if !f.closesOnFlat(reach) {
		return nil
	}
	out := make([]bool, len(marks))
	s := f.surface
	for i, m := range marks {
		r := s.Inner + m.at.Down
		// The angle left open on the flat, and what reach spans beside it.
		open := 2*math.Pi - s.Angle
		span := math.Pi
		if reach < r {
			span = math.Asin(reach / r)
		}
		for k := range f.repeat {
			p := s.Point(m.at.Repeated(k, f.repeat))
			side := s.Angle/2 - math.Abs(math.Atan2(p.At.X, p.At.Y))
			out[i] = out[i] || side+open/2 <= span
		}
	}
	return out
}

// flatWrap calls yield for the ways in which two marks lie beside each other
// on one flat panel, turned into the plane of the first.
func (f folded) flatWrap(p, q skirt.Spot, yield func(off geom.Vec, turn float64)) {
	s := f.surface
	for k := range f.repeat {
		a := s.Point(p.Place.Repeated(0, f.repeat))
		b := s.Point(q.Place.Repeated(k, f.repeat))
		if a.Panel != b.Panel {
			continue
		}
		ua, ub := s.Upright(a.At)-p.Upright, s.Upright(b.At)-q.Upright
		yield(b.At.Sub(a.At).Rotate(-ua), ub-ua)
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
	y := j.yard(d, f)
	if i := y.adrift(); i >= 0 {
		d.crowded = fmt.Sprintf("%s would reach over an edge or a bare patch", j.shapes[d.marks[i].kind].Name)
		return nil
	}
	// The nearest pair so far, and how many rounds ago it was last parted further.
	best, stuck := math.Inf(-1), 0
	for range mends {
		if err := j.ctx.Err(); err != nil {
			return err
		}
		pairs := y.pressedPairs(loose)
		if len(pairs) == 0 {
			d.crowded = ""
			break
		}
		worst := pairs[0]
		for _, p := range pairs {
			if p.gap < worst.gap {
				worst = p
			}
		}
		d.crowded = j.opt.crowdedWords(j.shapes[d.marks[worst.i].kind].Name, j.shapes[d.marks[worst.k].kind].Name, worst.gap, y.want)
		stuck++
		if worst.gap > best+geom.Touch {
			best, stuck = worst.gap, 0
		}
		if !loose || stuck > patience {
			return nil
		}
		y.part(pairs)
	}
	if loose && d.crowded == "" && j.opt.Jitter > 0.5 {
		j.loosen(d, y)
	}
	return nil
}

// adrift returns a mark whose outline comes too near to a hurdle, -1 for none.
// Marks only go where they are taken, so it is there to find our own faults.
func (y *yard) adrift() int {
	if y.zone.ground == nil {
		return -1
	}
	for i := range y.marks {
		if m := &y.marks[i]; !m.fixed && !y.zone.takes(m, y.spots.At(i)) {
			return i
		}
	}
	return -1
}

// part moves the marks of crowded pairs apart.
func (y *yard) part(pairs []pressed) {
	push := map[int]geom.Vec{}
	var order []int
	add := func(i int, v geom.Vec) {
		if _, ok := push[i]; !ok {
			order = append(order, i)
		}
		push[i] = push[i].Add(v)
	}
	for _, p := range pairs {
		lack := y.want - p.gap
		if p.gap == 0 { // overlapping: by how much is not known; go a fair part
			lack = math.Max(y.want/2, math.Min(y.laid[p.i].reach, y.laid[p.k].reach)/4)
		}
		l := p.off.Len()
		if l == 0 || p.i == p.k {
			continue
		}
		share := 0.5
		if y.marks[p.i].fixed || y.marks[p.k].fixed {
			share = 1
		}
		add(p.i, p.off.Mul(-lack/l*overPush*share))
		add(p.k, p.back.Mul(-lack/l*overPush*share))
	}
	for _, i := range order {
		if !y.marks[i].fixed {
			y.move(i, y.zone.walk(&y.marks[i], y.spots.At(i), push[i]))
		}
	}
}

func (o Options) crowdedWords(a, b string, gap, want float64) string {
	if gap == 0 && want > geom.Snug {
		return fmt.Sprintf("%s and %s would overlap", a, b)
	}
	if want <= geom.Snug {
		return fmt.Sprintf("%s and %s would touch", a, b)
	}
	is, asked := o.show(gap), o.show(want-geom.Snug)
	if is == asked {
		return fmt.Sprintf("%s and %s would be a hair closer than %s", a, b, asked)
	}
	return fmt.Sprintf("%s and %s would be %s apart instead of %s", a, b, is, asked)
}

// loosen moves marks at random, farther the larger the jitter, as long as the
// clearances hold.
func (j *job) loosen(d *draft, y *yard) {
	r := j.random(streamLoose)
	amount := (j.opt.Jitter - 0.5) * d.step // half a step at jitter 1
	const tries = 8                         // a mark that eight moves cannot free stays
	for i := range d.marks {
		if d.marks[i].fixed {
			continue
		}
		from := y.spots.At(i)
		done := false
		for t := 0; t < tries && !done; t++ {
			along, across := y.zone.density.at(from.Down)
			rad, ang := amount*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
			sin, cos := math.Sincos(ang)
			move := geom.Vec{X: rad * cos * along, Y: rad * sin * across}.Rotate(from.Upright)
			y.move(i, y.zone.walk(&d.marks[i], from, move))
			done = true
			y.meet(i, func(k int, off geom.Vec, turn float64) {
				done = done && apart(y.laid[i], y.laid[k], off, turn, y.want) >= y.want
			})
		}
		if !done {
			y.move(i, from)
		}
	}
}
