package sheet

import (
	"context"
	"math"

	"strew/motif/geom"
)

// Separating pieces that overlap, by guided local search. Every pair that
// overlaps costs its penalty times a weight. Pieces that overlap are moved one
// by one to the cheapest of many sampled places, each refined by coordinate
// descent; then the weights of pairs that still overlap are raised, those of
// others fade, and the round begins again, until nothing overlaps or nothing
// gets better for long.
//
// J. Gardeyn, G. Vanden Berghe, T. Wauters, "An open-source heuristic to reboot
// 2D nesting research", arXiv 2509.13329, 2025; guided local search for nesting
// goes back to J. Egeblad, B. K. Nielsen, A. Odgaard, European Journal of
// Operational Research 183, 2007.

// Of the places tried all over the board and of those round the present one the
// best of each kind is refined, and the present one: the best few of all would
// seldom hold one from afar, though these lead to a cheaper place most often.
const (
	wideSamples = 20
	nearSamples = 12
	weightFade  = 0.95
	// surveyed is how far round a place refine surveys, in strides.
	surveyed = 2
)

// ways are how costs are reckoned and weights raised.
type ways struct {
	root        bool    // see penalty
	least, most float64 // by how much a weight is raised in a round, at a slight overlap and at the deepest
}

// gentle ways lead many pieces far, strong ones get few pieces out of places
// where they are stuck. The strong ones are the paper's.
func gentle() ways { return ways{true, 1.08, 1.4} }
func strong() ways { return ways{true, 1.2, 2} }

// spot is a place for a piece and its weighted cost.
type spot struct {
	step int
	at   geom.Vec
	bin  int
	cost float64
}

// move looks for a cheaper place for piece i, and takes it.
func (b *board) move(i int) {
	p := &b.pieces[i]
	now := 0.0
	for _, j := range b.hits[i] {
		now += b.cost[i][j] * b.weight[i][j]
	}
	if s := b.search(i, spot{p.step, p.at, p.bin, now}); s.cost < now {
		p.step, p.at, p.bin = s.step, s.at, s.bin
		b.refresh(i)
	}
}

// search returns the best place found for piece i: places of chance all over
// the board and round the present one, the best of them refined.
func (b *board) search(i int, now spot) spot {
	k := b.pieces[i].body
	better := func(best spot, step int, at geom.Vec, bin int) spot {
		if !fits(k.poses[step].inner, b.w, b.h) {
			return best // a roll cut shorter than the piece is long at this turn
		}
		s := spot{step: step, at: b.clamp(k, step, at), bin: bin}
		if s.cost = b.look(i, s, best.cost); s.cost < best.cost {
			return s
		}
		return best
	}
	wide, near := spot{cost: math.Inf(1)}, spot{cost: math.Inf(1)}
	for range wideSamples {
		step := k.may[b.rng.IntN(len(k.may))]
		wide = better(wide, step, b.chanceAt(), b.rng.IntN(b.bins))
	}
	for range nearSamples {
		step := now.step
		if len(k.poses) > 4 && !k.round {
			step = b.turned(k, step, int(b.rng.NormFloat64()*0.05*float64(len(k.poses))))
		} else if b.rng.IntN(2) == 0 {
			step = k.may[b.rng.IntN(len(k.may))]
		}
		d := geom.Vec{X: b.rng.NormFloat64(), Y: b.rng.NormFloat64()}.Mul(k.radius * 0.5)
		near = better(near, step, now.at.Add(d), now.bin)
	}
	win := spot{cost: math.Inf(1)}
	for _, s := range [3]spot{now, wide, near} {
		if s.cost < math.Inf(1) {
			if s = b.refine(i, s, k.radius*0.25, k.radius*0.01); s.cost < win.cost {
				win = s
			}
		}
	}
	return b.refine(i, win, k.radius*0.01, k.radius*0.0002)
}

// chanceAt returns a place of chance on the board, or in the part of it that may move.
func (b *board) chanceAt() geom.Vec {
	if p := b.part; p != nil {
		return geom.Vec{X: b.rng.Float64() * b.w, Y: p.from + b.rng.Float64()*(p.to-p.from)}
	}
	return geom.Vec{X: b.rng.Float64() * b.w, Y: b.rng.Float64() * b.h}
}

// turned returns the step that lies by so many steps off, or the same step
// where the body does not fit so turned.
func (b *board) turned(k *body, step, by int) int {
	n := len(k.poses)
	to := ((step+by)%n + n) % n
	if !fits(k.poses[to].inner, b.w, b.h) {
		return step
	}
	return to
}

// refine walks downhill from s: a step along one of four directions, or a
// turn, both ways; the stride grows where it helped and halves where it did
// not, until it is shorter than least.
func (b *board) refine(i int, s spot, stride, least float64) spot {
	k := b.pieces[i].body
	ways, turn := 4, 0.0
	if len(k.poses) > 4 && !k.round {
		ways = 6
		turn = max(1, stride/k.reach*float64(len(k.poses))/(2*math.Pi))
	}
	b.survey(i, &s, surveyed*stride, ways > 4)
	for (stride > least || turn >= 1) && s.cost > 0 {
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
			to := spot{step: step, at: b.clamp(k, step, at), bin: s.bin}
			if d := to.at.Sub(b.near.at); math.Abs(d.X) > b.near.margin || math.Abs(d.Y) > b.near.margin {
				b.survey(i, &to, surveyed*stride, ways > 4)
			}
			if to.cost = b.lookNear(i, &to, s.cost); to.cost < s.cost {
				s = to
				better = true
				break
			}
		}
		f := 0.5
		if better {
			f = 1.1
		}
		if way >= 4 {
			turn *= f
		} else {
			stride *= f
		}
	}
	return s
}

// round moves every piece that overlaps and may move, in an order of chance, until the board's
// work reaches end.
func (b *board) round(end int) {
	var order []int
	for i, hits := range b.hits {
		if len(hits) > 0 && (b.part == nil || b.part.free[i]) {
			order = append(order, i)
		}
	}
	b.work += len(b.pieces) / 8
	b.rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	for _, i := range order {
		if len(b.hits[i]) > 0 && b.work < end {
			b.move(i)
		}
	}
}

// weigh raises the weights of pairs that overlap, the worst most, and lets the
// others fade.
func (b *board) weigh() {
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

// separate moves the pieces until none overlap, and reports whether it got
// there within so much work. It gives up earlier after patience rounds without
// getting better, strikes times over; the board is then left as it was best.
func (b *board) separate(ctx context.Context, work, patience, strikes int) bool {
	end := b.work + work
	best, at := b.total(), b.save()
	for strike := 0; best > 0 && strike < strikes; {
		start := best
		for idle := 0; idle < patience; idle++ {
			if b.work > end || ctx.Err() != nil {
				b.restore(at)
				return false
			}
			b.round(end)
			c := b.total()
			if c < best {
				if c < 0.98*best {
					idle = -1
				}
				best, at = c, b.save()
				if best == 0 {
					return true
				}
			}
			b.weigh()
		}
		if best < 0.98*start {
			strike = 0
		} else {
			strike++
		}
		b.restore(at)
	}
	return best == 0
}

const (
	// drawnOut is by how much a roll is drawn out whose pieces do not come apart at the
	// search's turns, and draws how often at most.
	drawnOut = 1.01
	draws    = 3
)

// comeApart separates pieces that were laid at other turns than the search's: where they
// do not come apart within so much work, they begin anew on a roll that is drawn out.
func (b *board) comeApart(ctx context.Context, work int) bool {
	from := b.save()
	for n := 0; !b.separate(ctx, work, 50, 2); n++ {
		if n == draws {
			return false
		}
		b.h *= drawnOut
		for i := range from {
			from[i].at.Y *= drawnOut
		}
		b.restore(from)
		b.fresh()
	}
	return true
}
