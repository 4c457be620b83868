package scatter

import (
	"context"
	"math"
	"math/rand/v2"

	"strew/motif/geom"
)

const (
	// sweeps is how many times all tossed marks are turned: the third sweep still turns
	// one in ten.
	sweeps = 3
	// candidates is how many random turns a tossed mark chooses from: enough that the
	// best lies some 30° off six neighbours.
	candidates = 12
)

// turnMarks gives every mark its turn. Two-way motifs point against most of
// their neighbours; tossed ones take, of several random turns, the one farthest
// from their neighbours' turns (best-candidate sampling: D. P. Mitchell,
// "Spectrally optimal sampling for distribution ray tracing", SIGGRAPH 1991), and
// choose again once all have one.
func (d *draft) turnMarks(ctx context.Context) error {
	free := false
	for i := range d.kinds {
		k := &d.kinds[i]
		free = free || k.strewn() && (k.Direction == TwoWay || k.Direction == Tossed)
	}
	for i := range d.marks {
		if m := &d.marks[i]; !m.fixed {
			m.turn = d.kinds[m.kind].Tilt
		}
	}
	if !free {
		return nil
	}
	near, err := d.neighbours(ctx, d.marks, d.step)
	if err != nil {
		return err
	}
	t := turning{draft: d, random: d.opt.random(streamTurn), near: near, set: make([]bool, len(d.marks))}
	for i := range d.marks {
		t.set[i] = d.marks[i].fixed
	}
	for range sweeps {
		for i := range d.marks {
			if i%chunk == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			t.turn(i)
		}
	}
	return nil
}

// turning is the state of turnMarks.
type turning struct {
	*draft
	random *rand.Rand
	near   [][]int32
	set    []bool // marks that have their turn
}

func (t *turning) turn(i int) {
	m := &t.marks[i]
	if m.fixed {
		return
	}
	switch k := &t.kinds[m.kind]; k.Direction {
	case TwoWay:
		m.turn = k.Tilt
		if t.pointsDown(i) {
			m.turn += math.Pi
		}
	case Tossed:
		m.turn = t.bestCandidate(i)
	}
	t.set[i] = true
}

// pointsDown reports whether a two-way mark points to the hem: against most of
// its neighbours.
func (t *turning) pointsDown(i int) bool {
	same := 0
	for _, k := range t.near[i] {
		other := &t.kinds[t.marks[k].kind]
		if !t.set[k] || other.Direction != TwoWay {
			continue
		}
		if math.Cos(t.marks[k].turn-other.Tilt) > 0 {
			same++
		} else {
			same--
		}
	}
	return same > 0 || same == 0 && t.random.IntN(2) == 1
}

// bestCandidate returns, of the turn that a mark has and some random ones, the one
// farthest from those of all its neighbours.
func (t *turning) bestCandidate(i int) float64 {
	best, turn := -1.0, 0.0
	if t.set[i] {
		turn = t.marks[i].turn
		best = t.unlike(i, turn)
	}
	for range candidates {
		try := t.random.Float64() * 2 * math.Pi
		if l := t.unlike(i, try); l > best {
			best, turn = l, try
		}
	}
	return turn
}

// unlike returns how far a turn is from those of a mark's tossed neighbours.
func (t *turning) unlike(i int, turn float64) float64 {
	motif := t.kinds[t.marks[i].kind].Motif
	least := math.Pi
	for _, k := range t.near[i] {
		other := &t.kinds[t.marks[k].kind]
		if !t.set[k] || other.Direction != Tossed {
			continue
		}
		// Two marks of one motif look alike again after a part of a turn.
		period := 2 * math.Pi
		if other.Motif == motif {
			period = other.period
		}
		off := math.Abs(math.Remainder(turn-t.marks[k].turn, period))
		least = math.Min(least, off*2*math.Pi/period)
	}
	return least
}

// likeness, as a share of its reach, is how near a turned outline must come to the
// outline to look the same from a few steps away.
const likeness = 0.08

// periodOf returns the turn after which an outline looks the same again: a whole
// one, or for a star or a symmetric leaf a part of it.
func periodOf(rings []geom.Ring, reach float64) float64 {
	if len(rings) != 1 {
		return 2 * math.Pi
	}
	r := evenly(rings[0], reach/discSteps)
	middle := geom.Vec{} // of the points, which lie evenly along the outline
	for _, p := range r {
		middle = middle.Add(p.Mul(1 / float64(len(r))))
	}
	for parts := 6; parts > 1; parts-- {
		same := true
		for _, p := range r {
			q := p.Sub(middle).Rotate(2 * math.Pi / float64(parts)).Add(middle)
			if r.EdgeDist(q) > likeness*reach {
				same = false
				break
			}
		}
		if same {
			return 2 * math.Pi / float64(parts)
		}
	}
	return 2 * math.Pi
}
