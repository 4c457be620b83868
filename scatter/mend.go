package scatter

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

const (
	// mends is the most rounds in which crowded pairs of a loose pattern are parted:
	// what eighty rounds cannot part is jammed.
	mends = 80
	// patience is the number of rounds without gain after which mending is given up.
	patience = 15
	// overPush parts a crowded pair by a little more than it needs, so that rounds end
	// instead of closing in for ever.
	overPush = 1.05
	// leastPush, mm, is the least by which a crowded pair is parted: where the edges
	// between two anchors slant, a push leads away only in part, and would close in
	// on the clearance for ever. It is too little to see.
	leastPush = 0.05
	// A draft is jammed if more pairs than jamPairs plus jamShare of the marks are too
	// near before any mending. Drafts that could be mended had no more than 0.02 of
	// the marks (a half circle, eight mixes).
	jamShare = 0.04
	jamPairs = 3
)

// keepClear checks the draft's clearances, mends a loose one where it can, and
// names the worst pair in d.crowded where it cannot.
func (d *draft) keepClear(ctx context.Context, loose bool) error {
	x, err := d.clearanceIndex(ctx, d.marks, d.step)
	if err != nil {
		return err
	}
	if i, err := x.offObstacles(ctx); i >= 0 || err != nil {
		if err == nil {
			d.crowded = say.New("%s would reach over an edge or a bare patch", d.kinds[d.marks[i].kind].Name)
		}
		return err
	}
	if !loose {
		pairs, err := x.violations(ctx)
		if len(pairs) > 0 {
			d.crowded = x.crowded(worstOf(pairs))
		}
		return err
	}
	m := mending{clearanceIndex: x, pairs: make([][]violation, len(d.marks))}
	if err := m.run(ctx); err != nil {
		return err
	}
	if m.left {
		d.crowded, d.jammed = x.crowded(m.worst), m.jammed
		return nil
	}
	if d.opt.Jitter > 0.5 {
		return d.loosen(ctx, x)
	}
	return nil
}

// worstOf returns the nearest of some pairs, the first of equals.
func worstOf(pairs []violation) violation {
	worst := pairs[0]
	for _, p := range pairs {
		if p.gap < worst.gap {
			worst = p
		}
	}
	return worst
}

// mending parts pairs that are too near. Only pairs of marks that moved are
// measured again.
type mending struct {
	*clearanceIndex
	pairs [][]violation // of every mark with marks before it
	worst violation
	left  bool // some pairs stay too near
	// jammed is set if there were too many from the start for other rows to help.
	jammed bool
}

// run goes over all marks until all keep clear, or it is given up.
func (m *mending) run(ctx context.Context) error {
	// The nearest pair so far, and how many rounds ago it was last parted further.
	best, stuck := math.Inf(-1), 0
	dirty := make([]int, len(m.marks))
	for i := range dirty {
		dirty[i] = i
	}
	for round := range mends {
		if err := inChunks(ctx, len(dirty), chunk, func(from, to int) {
			for _, i := range dirty[from:to] {
				m.pairs[i] = m.violationsOf(i, m.pairs[i][:0])
			}
		}); err != nil {
			return err
		}
		pairs := slices.Concat(m.pairs...)
		if m.left = len(pairs) > 0; !m.left {
			return nil
		}
		m.worst = worstOf(pairs)
		if m.jammed = round == 0 && len(pairs) > jamPairs+int(jamShare*float64(len(m.marks))); m.jammed {
			return nil
		}
		stuck++
		if m.worst.gap > best+geom.Touch {
			best, stuck = m.worst.gap, 0
		}
		if stuck > patience {
			return nil
		}
		dirty = m.touched(m.part(pairs))
	}
	return nil
}

// touched returns the marks whose pairs may have changed when some moved, in
// order: those themselves, those that were too near to one of them, and those
// that come near one now.
func (m *mending) touched(moved []int) []int {
	is := make([]bool, len(m.marks))
	gone := make([]bool, len(m.marks))
	for _, i := range moved {
		is[i], gone[i] = true, true
		m.meet(i, func(k int, _ geom.Vec, _ float64) { is[k] = true })
	}
	var out []int
	for i := range m.marks {
		if is[i] || slices.ContainsFunc(m.pairs[i], func(p violation) bool { return gone[p.k] }) {
			out = append(out, i)
		}
	}
	return out
}

// part moves the marks of crowded pairs apart and returns those it moved.
func (x *clearanceIndex) part(pairs []violation) []int {
	push := map[int]geom.Vec{}
	var order []int
	add := func(i int, v geom.Vec) {
		if _, ok := push[i]; !ok {
			order = append(order, i)
		}
		push[i] = push[i].Add(v)
	}
	for _, p := range pairs {
		lack := x.want - p.gap
		if p.gap == 0 { // overlapping, by an unknown amount: move a good way
			lack = math.Max(x.want/2, math.Min(x.laid[p.i].reach, x.laid[p.k].reach)/4)
		}
		l := p.off.Len()
		if l == 0 || p.i == p.k {
			continue
		}
		push := math.Max(lack*overPush, leastPush)
		if !x.marks[p.i].fixed && !x.marks[p.k].fixed {
			push /= 2
		}
		add(p.i, p.off.Mul(-push/l))
		add(p.k, p.back.Mul(-push/l))
	}
	for _, i := range order {
		if !x.marks[i].fixed {
			x.move(i, x.walk(&x.marks[i], x.spots.At(i), push[i]))
		}
	}
	return order
}

// crowded says how near a pair would come.
func (x *clearanceIndex) crowded(p violation) say.Message {
	a, b := x.kinds[x.marks[p.i].kind].Name, x.kinds[x.marks[p.k].kind].Name
	both := say.New("%s and %s", a, b)
	if a == b {
		both = say.New("two cutouts of %s", a)
	}
	switch {
	case x.want <= geom.Snug:
		return say.New("%s would touch", both)
	case p.gap == 0:
		return say.New("%s would overlap", both)
	}
	const (
		hair = 0.1 // mm; less than callipers show
		tape = 3.2 // mm; a tape may show two lengths alike that differ by an eighth of an inch
	)
	asked := x.want - geom.Snug
	switch lack := asked - p.gap; {
	case lack < hair:
		return say.New("%s would be just under %s apart", both, say.Length(asked))
	case lack < tape:
		return say.New("%s would be %s apart instead of %s", both, say.Fine(p.gap), say.Fine(asked))
	}
	return say.New("%s would be %s apart instead of %s", both, say.Length(p.gap), say.Length(asked))
}

// loosen moves marks at random, farther the larger the jitter, as long as the
// clearances hold.
func (d *draft) loosen(ctx context.Context, x *clearanceIndex) error {
	r := d.opt.random(streamLoose)
	amount := (d.opt.Jitter - 0.5) * d.step // half a step at jitter 1
	const tries = 8                         // a mark that eight moves cannot free stays
	for i := range d.marks {
		if i%chunk == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if d.marks[i].fixed {
			continue
		}
		from := x.spots.At(i)
		done := false
		for t := 0; t < tries && !done; t++ {
			along, across := d.density.at(from.Down)
			rad, ang := amount*math.Sqrt(r.Float64()), 2*math.Pi*r.Float64()
			sin, cos := math.Sincos(ang)
			move := geom.Vec{X: rad * cos * along, Y: rad * sin * across}.Rotate(from.Upright)
			x.move(i, d.walk(&d.marks[i], from, move))
			done = x.keeps(i)
		}
		if !done {
			x.move(i, from)
		}
	}
	return nil
}
