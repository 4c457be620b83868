package scatter

import (
	"math"
	"math/rand/v2"
)

// turn gives every mark its turn. Two-way motifs point against most of their
// neighbours; tossed ones take, of several random turns, the one farthest from
// their neighbours' turns, and are gone over again once all have one.
func (j *job) turn(d *draft) {
	free := false
	for _, s := range j.shapes {
		free = free || s.Direction == TwoWay || s.Direction == Tossed
	}
	for i := range d.marks {
		if m := &d.marks[i]; !m.fixed {
			m.turn = j.shapes[m.kind].Tilt
		}
	}
	if !free {
		return
	}
	r := j.random(streamTurn)
	near := neighbours(j.fold(d.repeat), d.marks, d.step)
	set := make([]bool, len(d.marks))
	for i := range d.marks {
		set[i] = d.marks[i].fixed
	}
	const sweeps = 3 // the third still turns one in ten
	for range sweeps {
		for i := range d.marks {
			m := &d.marks[i]
			if m.fixed {
				continue
			}
			switch s := j.shapes[m.kind]; s.Direction {
			case TwoWay:
				m.turn = s.Tilt
				if j.pointsDown(d, near[i], set, r) {
					m.turn += math.Pi
				}
			case Tossed:
				m.turn = j.toss(d, m.turn, near[i], set, set[i], r)
			}
			set[i] = true
		}
	}
}

// pointsDown reports whether a two-way mark points to the hem: against most of
// its neighbours.
func (j *job) pointsDown(d *draft, near []int32, set []bool, r *rand.Rand) bool {
	same := 0
	for _, k := range near {
		s := j.shapes[d.marks[k].kind]
		if !set[k] || s.Direction != TwoWay {
			continue
		}
		if math.Cos(d.marks[k].turn-s.Tilt) > 0 {
			same++
		} else {
			same--
		}
	}
	return same > 0 || same == 0 && r.IntN(2) == 1
}

// toss returns the turn, of the one a mark has and some random ones, that is
// farthest from all its neighbours'.
func (j *job) toss(d *draft, has float64, near []int32, set []bool, keep bool, r *rand.Rand) float64 {
	room := func(t float64) float64 {
		least := math.Pi
		for _, k := range near {
			if set[k] && j.shapes[d.marks[k].kind].Direction == Tossed {
				least = math.Min(least, math.Abs(math.Remainder(t-d.marks[k].turn, 2*math.Pi)))
			}
		}
		return least
	}
	best, turn := -1.0, 0.0
	if keep {
		best, turn = room(has), has
	}
	const tries = 12 // enough that the best lies some 30° off six neighbours
	for range tries {
		t := r.Float64() * 2 * math.Pi
		if l := room(t); l > best {
			best, turn = l, t
		}
	}
	return turn
}
