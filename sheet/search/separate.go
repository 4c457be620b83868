package search

import (
	"context"
	"math"
	"math/rand/v2"

	"strew/motif/geom"
	"strew/sheet/shape"
)

// Guided local search separates pieces that overlap. Every pair that overlaps costs
// its price times a weight. Pieces that overlap are moved one by one to the cheapest
// of many sampled positions, each refined by coordinate descent; then the weights of
// pairs that still overlap are raised, those of others fade, and the round begins
// again, until nothing overlaps or nothing has got better for long.
//
// J. Gardeyn, G. Vanden Berghe, T. Wauters, "An open-source heuristic to reboot
// 2D nesting research", arXiv 2509.13329, 2025; guided local search for nesting
// goes back to J. Egeblad, B. K. Nielsen, A. Odgaard, European Journal of
// Operational Research 183, 2007.

const (
	// Of the positions sampled over the whole bed and of those near the present one
	// the best of each is refined, and the present one: the best few of all would
	// seldom include one from afar, yet those lead to a cheaper place most often.
	// Fewer found less, and more no more (EXPERIMENTS.md).
	wideSamples = 20
	nearSamples = 12
	// nearTurn and nearShift are the standard deviations of samples near by, as
	// shares of a turn and of the radius.
	nearTurn  = 0.05
	nearShift = 0.5
	// A refinement begins with strides of firstStride of the radius and ends at
	// midStride; that of the best goes on to lastStride, some 2 µm.
	firstStride = 0.25
	midStride   = 0.01
	lastStride  = 0.0002
	// longer and shorter are what a stride grows and shrinks by where it helped, and
	// where it did not.
	longer  = 1.1
	shorter = 0.5
	// gathered is how far around a position refine gathers neighbours, in strides.
	gathered = 2
	// weightFade is what a weight keeps in a round in which its pair does not overlap.
	// A slower fade found no more (EXPERIMENTS.md).
	weightFade = 0.95
	// improved is the share of the cost below which a round counts as progress.
	improved = 0.98
)

// raise is how much a weight grows in a round, at a slight overlap and at the
// deepest.
type raise struct{ least, most float64 }

// Gentle weights lead many pieces far, strong ones get few pieces out of places where
// they are stuck. The strong ones are the paper's.
var (
	gentle = raise{1.08, 1.4}
	strong = raise{1.2, 2}
)

// separator is a state with what is needed to search it.
type separator struct {
	state
	rng *rand.Rand
	raise
	window *window // what may move; nil for all
}

// window is what of a roll may move, and the level where the roll was cut.
type window struct {
	free     []bool // of each piece
	from, to float64
	level    float64
}

// newSeparator returns a separator without pieces, on the given number of bins.
func newSeparator(ctx context.Context, bed shape.Bed, bins int, bs *Bodies, rng *rand.Rand) *separator {
	b := &separator{rng: rng, raise: strong}
	b.state.init(ctx, bed, bins, bs)
	return b
}

// clone returns a copy with another random source; ok is false where the context was
// done before.
func (b *separator) clone(ctx context.Context, rng *rand.Rand) (c *separator, ok bool) {
	c = newSeparator(ctx, b.bed, b.bins, b.bodies, rng)
	c.raise = b.raise
	return c, c.fill(ctx, b.pieces)
}

// move looks for a cheaper position for piece i, and takes it.
func (b *separator) move(i int) {
	p := &b.pieces[i]
	now := 0.0
	for _, j := range b.hits[i] {
		now += b.cost[i][j] * b.weight[i][j]
	}
	if s := b.sample(i, position{p.step, p.at, p.bin, now}); s.cost < now {
		p.step, p.at, p.bin = s.step, s.at, s.bin
		b.refresh(i)
	}
}

// sample returns the best position found for piece i: random ones over the whole bed
// and near the present one, the best of them refined.
func (b *separator) sample(i int, now position) position {
	k := b.pieces[i].body
	better := func(best position, step int, at geom.Vec, bin int) position {
		if b.stopped || !b.bed.Holds(k.poses[step].inner) {
			return best // a roll cut shorter than the piece is long at this turn
		}
		s := position{step: step, at: b.clamp(k, step, at), bin: bin}
		if s.cost = b.evaluate(i, s, best.cost); s.cost < best.cost {
			return s
		}
		return best
	}
	wide, near := position{cost: math.Inf(1)}, position{cost: math.Inf(1)}
	for range wideSamples {
		step := k.may[b.rng.IntN(len(k.may))]
		wide = better(wide, step, b.randomAt(), b.rng.IntN(b.bins))
	}
	for range nearSamples {
		step := now.step
		if k.turns() {
			step = b.turned(k, step, int(b.rng.NormFloat64()*nearTurn*float64(len(k.poses))))
		} else if b.rng.IntN(2) == 0 {
			step = k.may[b.rng.IntN(len(k.may))]
		}
		d := geom.Vec{X: b.rng.NormFloat64(), Y: b.rng.NormFloat64()}.Mul(k.radius * nearShift)
		near = better(near, step, now.at.Add(d), now.bin)
	}
	win := position{cost: math.Inf(1)}
	for _, s := range [3]position{now, wide, near} {
		if s.cost < math.Inf(1) {
			if s = b.refine(i, s, k.radius*firstStride, k.radius*midStride); s.cost < win.cost {
				win = s
			}
		}
	}
	return b.refine(i, win, k.radius*midStride, k.radius*lastStride)
}

// turns reports whether the body may be turned by small steps.
func (b *Body) turns() bool { return len(b.poses) > 4 && !b.round }

// randomAt returns a random place on the bed, or in the window.
func (b *separator) randomAt() geom.Vec {
	if p := b.window; p != nil {
		return geom.Vec{X: b.rng.Float64() * b.bed.Box.Max.X, Y: p.from + b.rng.Float64()*(p.to-p.from)}
	}
	return geom.Vec{X: b.rng.Float64() * b.bed.Box.Max.X, Y: b.rng.Float64() * b.bed.Box.Max.Y}
}

// turned returns the pose that many steps further round, or the same pose where the
// body does not fit so turned.
func (b *separator) turned(k *Body, step, by int) int {
	n := len(k.poses)
	to := ((step+by)%n + n) % n
	if !b.bed.Holds(k.poses[to].inner) {
		return step
	}
	return to
}

// refine walks downhill from s by coordinate descent: a step along one of four
// directions, or a turn, both ways; the stride grows where it helped and shrinks
// where it did not, until it is shorter than least.
func (b *separator) refine(i int, s position, stride, least float64) position {
	k := b.pieces[i].body
	ways, turn := 4, 0.0
	if k.turns() {
		ways = 6
		turn = max(1, stride/k.reach*float64(len(k.poses))/(2*math.Pi))
	}
	b.gather(i, &s, gathered*stride, ways > 4)
	for (stride > least || turn >= 1) && s.cost > 0 && !b.stopped {
		way := b.rng.IntN(ways)
		switch {
		case stride <= least:
			way = 4
		case turn < 1:
			way &= 3
		}
		better := false
		for _, sign := range [2]float64{1, -1} {
			step, at := s.step, s.at
			switch way {
			case 0:
				at.X += sign * stride
			case 1:
				at.Y += sign * stride
			case 2:
				at.X, at.Y = at.X+sign*stride*math.Sqrt2/2, at.Y+sign*stride*math.Sqrt2/2
			case 3:
				at.X, at.Y = at.X+sign*stride*math.Sqrt2/2, at.Y-sign*stride*math.Sqrt2/2
			default:
				step = b.turned(k, step, int(sign*turn))
			}
			to := position{step: step, at: b.clamp(k, step, at), bin: s.bin}
			if d := to.at.Sub(b.near.at); math.Abs(d.X) > b.near.margin || math.Abs(d.Y) > b.near.margin {
				b.gather(i, &to, gathered*stride, ways > 4)
			}
			if to.cost = b.evaluateNear(i, &to, s.cost); to.cost < s.cost {
				s = to
				better = true
				break
			}
		}
		f := shorter
		if better {
			f = longer
		}
		if way >= 4 {
			turn *= f
		} else {
			stride *= f
		}
	}
	return s
}

// mobile returns the numbers of the pieces that may move.
func (b *separator) mobile() []int {
	out := make([]int, 0, len(b.pieces))
	for i := range b.pieces {
		if b.window == nil || b.window.free[i] {
			out = append(out, i)
		}
	}
	return out
}

// round moves every piece that overlaps and may move, in random order, until the
// work reaches end or the context is done.
func (b *separator) round(ctx context.Context, end int) {
	var order []int
	for i, hits := range b.hits {
		if len(hits) > 0 && (b.window == nil || b.window.free[i]) {
			order = append(order, i)
		}
	}
	b.work += len(b.pieces) / 8
	b.rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	for _, i := range order {
		if len(b.hits[i]) > 0 && b.work < end {
			b.move(i)
		}
		if ctx.Err() != nil {
			return
		}
	}
}

// updateWeights raises the weights of pairs that overlap, the worst most, and lets the
// others fade.
func (b *separator) updateWeights() {
	most := 0.0
	for i, hits := range b.hits {
		for _, j := range hits {
			most = max(most, b.cost[i][j])
		}
	}
	for i, hits := range b.hits {
		for _, j := range hits {
			if j < i && b.weight[i][j] == 1 {
				b.heavy = append(b.heavy, [2]int{i, j})
			}
		}
	}
	still := b.heavy[:0]
	for _, k := range b.heavy {
		i, j := k[0], k[1]
		w := b.weight[i][j]
		if c := b.cost[i][j]; c > 0 {
			w *= b.least + (b.most-b.least)*c/most
		} else {
			w = max(1, w*weightFade)
		}
		b.weight[i][j], b.weight[j][i] = w, w
		if w > 1 {
			still = append(still, k)
		}
	}
	b.heavy = still
}

// endurance is after how many rounds without progress a try is given up, and how many
// times over it goes on from its best before that.
type endurance struct{ patience, strikes int }

// separate moves the pieces until none overlap, and reports whether it got there
// within the work. It gives up earlier by its endurance; the state is then left
// as it was best.
func (b *separator) separate(ctx context.Context, work int, e endurance) bool {
	end := b.work + work
	best, at := b.total(), b.save()
	for strike := 0; best > 0 && strike < e.strikes; {
		start := best
		for idle := 0; idle < e.patience; idle++ {
			if b.work > end || ctx.Err() != nil {
				b.restore(at)
				return false
			}
			b.round(ctx, end)
			c := b.total()
			if c < best {
				if c < improved*best {
					idle = -1
				}
				best, at = c, b.save()
				if best == 0 {
					return true
				}
			}
			b.updateWeights()
		}
		if best < improved*start {
			strike = 0
		} else {
			strike++
		}
		b.restore(at)
	}
	return best == 0
}
