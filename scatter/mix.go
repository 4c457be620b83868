package scatter

import (
	"math"
	"math/rand/v2"

	"strew/scatter/skirt"
)

// Streams of random numbers, one for each thing decided, so that a change of
// one does not stir the others.
const (
	streamEven uint64 = iota + 1
	streamMix
	streamTurn
	streamLoose
)

func (j *job) random(stream uint64) *rand.Rand {
	return rand.New(rand.NewPCG(j.opt.Seed, stream))
}

// neighbourReach, in steps, is how far two marks may be apart to count as
// neighbours: past the six of a staggered pattern (1 step) and the diagonal of
// a square one (√2), short of the next ring of either (√3, 2).
const neighbourReach = 1.5

// neighbours lists for every place the other places within reach.
func neighbours(fold skirt.Surface, places []skirt.Place, reach float64) [][]int32 {
	x := indexOf(fold, places, reach)
	out := make([][]int32, len(places))
	for i, p := range places {
		x.Near(p, reach, func(k int) {
			if k != i && fold.Dist(p, places[k]) <= reach {
				out[i] = append(out[i], int32(k))
			}
		})
	}
	return out
}

// indexOf puts places into an index with cells of about the given size.
func indexOf(fold skirt.Surface, places []skirt.Place, size float64) *skirt.Index {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range places {
		low, high = math.Min(low, p.Down), math.Max(high, p.Down)
	}
	x := skirt.NewIndex(fold, low, high, size)
	for _, p := range places {
		x.Add(p)
	}
	return x
}

// mix decides which mark carries which kind. Each kind's number is its share
// of the repeat by largest remainders; then marks swap kinds as long as that
// parts alike neighbours.
func (j *job) mix(d *draft) {
	n := len(d.marks)
	counts := j.kindCounts(n)
	if len(j.shapes) == 1 {
		return
	}
	r := j.random(streamMix)
	// Deal the kinds round in turn first: along a row that is already a good mix.
	kinds := make([]int, 0, n)
	owed := make([]float64, len(counts))
	left := append([]int(nil), counts...)
	for range n {
		pick := -1
		for k := range counts {
			owed[k] += float64(counts[k]) / float64(n)
			if left[k] > 0 && (pick < 0 || owed[k] > owed[pick]) {
				pick = k
			}
		}
		owed[pick]--
		left[pick]--
		kinds = append(kinds, pick)
	}
	places := make([]skirt.Place, n)
	for i := range d.marks {
		places[i] = d.marks[i].at
	}
	near := neighbours(d.fold, places, neighbourReach*d.step)
	alike := func(i int, kind int, but int) float64 {
		sum := 0.0
		for _, k := range near[i] {
			if int(k) == but {
				continue
			}
			switch other := kinds[k]; {
			case other == kind:
				sum += 1.25 // same motif in the same size looks more alike
			case j.shapes[other].Motif == j.shapes[kind].Motif:
				sum++
			}
		}
		return sum
	}
	// Thirty tries a mark: past that hardly any swap still helps.
	for range 30 * n {
		a, b := r.IntN(n), r.IntN(n)
		ka, kb := kinds[a], kinds[b]
		if ka == kb {
			continue
		}
		if alike(a, kb, b)+alike(b, ka, a) < alike(a, ka, b)+alike(b, kb, a) {
			kinds[a], kinds[b] = kb, ka
		}
	}
	for i := range d.marks {
		d.marks[i].kind = kinds[i]
	}
}

// kindCounts returns how many of n marks carry each kind: motifs by share,
// then a motif's sizes equally.
func (j *job) kindCounts(n int) []int {
	motifs := 0
	for _, s := range j.shapes {
		motifs = max(motifs, s.Motif+1)
	}
	share := make([]float64, motifs)
	sizes := make([][]int, motifs)
	for i, s := range j.shapes {
		share[s.Motif] = s.Share
		sizes[s.Motif] = append(sizes[s.Motif], i)
	}
	out := make([]int, len(j.shapes))
	for m, k := range shareOut(n, share) {
		for i, c := range shareOut(k, make([]float64, len(sizes[m]))) {
			out[sizes[m][i]] = c
		}
	}
	return out
}

// turn gives every mark its turn. Two-way motifs point against most of their
// neighbours; tossed ones take, of several random turns, the one farthest
// from their neighbours' turns.
func (j *job) turn(d *draft) {
	r := j.random(streamTurn)
	free := false
	for _, s := range j.shapes {
		free = free || s.Direction != OneWay
	}
	if !free {
		for i := range d.marks {
			d.marks[i].turn = j.shapes[d.marks[i].kind].Tilt
		}
		return
	}
	places := make([]skirt.Place, len(d.marks))
	for i := range d.marks {
		places[i] = d.marks[i].at
	}
	near := neighbours(d.fold, places, neighbourReach*d.step)
	const tries = 12 // enough that the best lies some 30° off six neighbours
	for i := range d.marks {
		m := &d.marks[i]
		s := j.shapes[m.kind]
		switch s.Direction {
		case TwoWay:
			same := 0
			for _, k := range near[i] {
				if int(k) < i && j.shapes[d.marks[k].kind].Direction == TwoWay {
					if math.Cos(d.marks[k].turn-j.shapes[d.marks[k].kind].Tilt) > 0 {
						same++
					} else {
						same--
					}
				}
			}
			down := same > 0 || same == 0 && r.IntN(2) == 1
			m.turn = s.Tilt
			if down {
				m.turn += math.Pi
			}
		case Tossed:
			best := -1.0
			for range tries {
				t := r.Float64() * 2 * math.Pi
				least := math.Pi
				for _, k := range near[i] {
					if int(k) < i {
						a := math.Abs(math.Remainder(t-d.marks[k].turn, 2*math.Pi))
						least = math.Min(least, a)
					}
				}
				if least > best {
					best, m.turn = least, t
				}
			}
		default:
			m.turn = s.Tilt
		}
	}
}
