package scatter

import (
	"math"
	"math/rand/v2"

	"strew/motif/geom"
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
				m.turn = j.toss(d, s.Motif, m.turn, near[i], set, set[i], r)
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
func (j *job) toss(d *draft, motif int, has float64, near []int32, set []bool, keep bool, r *rand.Rand) float64 {
	room := func(t float64) float64 {
		least := math.Pi
		for _, k := range near {
			if set[k] && j.shapes[d.marks[k].kind].Direction == Tossed {
				// Two marks of one motif look alike again after a part of a turn.
				period := 2 * math.Pi
				if s := j.shapes[d.marks[k].kind]; s.Motif == motif {
					period = s.period
				}
				off := math.Abs(math.Remainder(t-d.marks[k].turn, period))
				least = math.Min(least, off*2*math.Pi/period)
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

// likeness, as a share of its reach, is how near a turned outline comes to itself
// to look the same from a few steps away.
const likeness = 0.08

// periodOf returns the turn after which an outline looks the same again: a whole
// one, or for a star or a symmetric leaf a part of it.
func periodOf(rings []geom.Ring, reach float64) float64 {
	if len(rings) != 1 {
		return 2 * math.Pi
	}
	r := evenly(rings[0], reach/15)
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
