package sheet

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

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

// piece is a body somewhere on a board.
type piece struct {
	body *body
	step int // which of its turns
	at   geom.Vec
	bin  int // which sheet of the board
}

// board is one or more sheets of one size with pieces that may overlap. All
// stay inside.
type board struct {
	w, h   float64
	bins   int
	bodies *bodies
	pieces []piece
	boxes  []geom.Box  // of each piece's grown outline where it lies
	cost   [][]float64 // of each pair, not weighted; symmetric
	hits   [][]int     // of each piece, those it overlaps
	weight [][]float64
	heavy  [][2]int // the pairs whose weight is not 1
	rng    *rand.Rand
	root   bool   // see penalty
	used   []bool // the clashes this board has asked for
	work   int    // places and pairs looked at so far
}

const (
	wideSamples  = 20 // places tried all over the board
	nearSamples  = 12 // and round the present one
	refined      = 3  // of which so many are refined
	weightUp     = 1.2
	weightUpMost = 2.0
	weightFade   = 0.95
)

func newBoard(w, h float64, bs *bodies, rng *rand.Rand) *board {
	n := len(bs.all)
	return &board{w: w, h: h, bins: 1, bodies: bs, rng: rng, used: make([]bool, n*(n+1)/2*bs.steps)}
}

// clone returns a copy with another source of chance.
func (b *board) clone(rng *rand.Rand) *board {
	c := newBoard(b.w, b.h, b.bodies, rng)
	c.bins, c.root = b.bins, b.root
	for _, p := range b.pieces {
		c.add(p)
	}
	return c
}

// add puts one more piece on the board; its weights are 1.
func (b *board) add(p piece) {
	p.at = b.clamp(p.body, p.step, p.at)
	b.pieces = append(b.pieces, p)
	n := len(b.pieces)
	for i := range b.cost {
		b.cost[i] = append(b.cost[i], 0)
		b.weight[i] = append(b.weight[i], 1)
	}
	row, ones := make([]float64, n), make([]float64, n)
	for i := range ones {
		ones[i] = 1
	}
	b.cost, b.weight = append(b.cost, row), append(b.weight, ones)
	b.hits = append(b.hits, nil)
	b.boxes = append(b.boxes, geom.Box{})
	b.refresh(n - 1)
}

// clamp returns the place nearest to at where the body lies on the board.
func (b *board) clamp(k *body, step int, at geom.Vec) geom.Vec {
	box := &k.poses[step].inner
	at.X = max(min(at.X, b.w-box.Max.X), -box.Min.X)
	at.Y = max(min(at.Y, b.h-box.Max.Y), -box.Min.Y)
	return at
}

// pair returns what the overlap of pieces i and j costs.
func (b *board) pair(i, j int) float64 {
	p, q := &b.pieces[i], &b.pieces[j]
	if p.bin != q.bin || boxesApart(&b.boxes[i], &b.boxes[j]) {
		return 0
	}
	return b.penalty(p.body, q.body, b.overlap(p.body, p.step, q.body, q.step, q.at.Sub(p.at), math.Inf(1)))
}

// boxesApart reports whether the boxes have nothing but edges in common.
func boxesApart(p, q *geom.Box) bool {
	return p.Max.X <= q.Min.X || p.Min.X >= q.Max.X || p.Max.Y <= q.Min.Y || p.Min.Y >= q.Max.Y
}

// boxAt returns the box of the body's grown outline at a place.
func (k *body) boxAt(step int, at geom.Vec) geom.Box {
	o := &k.poses[step].outer
	return geom.Box{Min: o.Min.Add(at), Max: o.Max.Add(at)}
}

// penalty turns the depth of an overlap into what the pair costs: large
// shapes, which are harder to place, weigh more than small ones. By the depth
// itself many shallow overlaps are as good as a deep one; by its root, as in
// the paper, one deep overlap is better than many. Each suits some jobs.
func (b *board) penalty(p, q *body, depth float64) float64 {
	if depth <= 0 {
		return 0
	}
	if b.root {
		depth = math.Sqrt(depth * min(p.radius, q.radius))
	}
	return depth * p.weight * q.weight
}

// deepFor returns the depth at which the pair costs a little more than c.
func (b *board) deepFor(p, q *body, c float64) float64 {
	c *= (1 + geom.SameRatio) / (p.weight * q.weight)
	if b.root {
		return c * c / min(p.radius, q.radius)
	}
	return c
}

// refresh works out piece i's box and costs anew.
func (b *board) refresh(i int) {
	p := &b.pieces[i]
	b.boxes[i] = p.body.boxAt(p.step, p.at)
	for j := range b.pieces {
		if j != i {
			b.set(i, j, b.pair(i, j))
		}
	}
}

// set notes what the pair i, j costs.
func (b *board) set(i, j int, c float64) {
	old := b.cost[i][j]
	b.cost[i][j], b.cost[j][i] = c, c
	switch {
	case old == 0 && c > 0:
		b.hits[i], b.hits[j] = append(b.hits[i], j), append(b.hits[j], i)
	case old > 0 && c == 0:
		b.hits[i], b.hits[j] = without(b.hits[i], j), without(b.hits[j], i)
	}
}

// without takes j out of the list; the last one takes its place.
func without(list []int, j int) []int {
	last := len(list) - 1
	list[slices.Index(list, j)] = list[last]
	return list[:last]
}

// total returns the sum of all pairs' costs.
func (b *board) total() float64 {
	sum := 0.0
	for i, hits := range b.hits {
		for _, j := range hits {
			if j < i {
				sum += b.cost[i][j]
			}
		}
	}
	return sum
}

// look returns the weighted cost of piece i at another place, or something
// over limit as soon as it is sure to be over.
func (b *board) look(i int, s spot, limit float64) float64 {
	b.work += 1 + len(b.pieces)/32
	p := b.pieces[i].body
	box := p.boxAt(s.step, s.at)
	sum := 0.0
	weight := b.weight[i]
	for j := range b.boxes {
		if boxesApart(&box, &b.boxes[j]) || j == i {
			continue
		}
		q := &b.pieces[j]
		if q.bin != s.bin {
			continue
		}
		b.work++
		// As deep as this the place is no use, and how much deeper is no matter.
		enough := b.deepFor(p, q.body, (limit-sum)/weight[j])
		if d := b.overlap(p, s.step, q.body, q.step, q.at.Sub(s.at), enough); d > 0 {
			if sum += weight[j] * b.penalty(p, q.body, d); sum >= limit {
				return sum
			}
		}
	}
	return sum
}

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
	best := [refined]spot{now}
	for j := 1; j < refined; j++ {
		best[j].cost = math.Inf(1)
	}
	try := func(step int, at geom.Vec, bin int) {
		if !fits(k.poses[step].inner, b.w, b.h) {
			return // a roll cut shorter than the piece is long at this turn
		}
		s := spot{step: step, at: b.clamp(k, step, at), bin: bin}
		s.cost = b.look(i, s, best[refined-1].cost)
		if s.cost >= best[refined-1].cost {
			return
		}
		j := refined - 1
		for ; j > 0 && best[j-1].cost > s.cost; j-- {
			best[j] = best[j-1]
		}
		best[j] = s
	}
	for range wideSamples {
		step := k.may[b.rng.IntN(len(k.may))]
		try(step, b.chanceAt(), b.rng.IntN(b.bins))
	}
	for range nearSamples {
		step := now.step
		if len(k.poses) > 4 && !k.round {
			step = b.turned(k, step, int(b.rng.NormFloat64()*0.05*float64(len(k.poses))))
		} else if b.rng.IntN(2) == 0 {
			step = k.may[b.rng.IntN(len(k.may))]
		}
		d := geom.Vec{X: b.rng.NormFloat64(), Y: b.rng.NormFloat64()}.Mul(k.radius * 0.5)
		try(step, now.at.Add(d), now.bin)
	}
	win := spot{cost: math.Inf(1)}
	for _, s := range best {
		if s.cost < math.Inf(1) {
			if s = b.refine(i, s, k.radius*0.25, k.radius*0.01); s.cost < win.cost {
				win = s
			}
		}
	}
	return b.refine(i, win, k.radius*0.01, k.radius*0.0002)
}

func (b *board) chanceAt() geom.Vec {
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
			if to.cost = b.look(i, to, s.cost); to.cost < s.cost {
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

// round moves every piece that overlaps, in an order of chance.
func (b *board) round() {
	var order []int
	for i, hits := range b.hits {
		if len(hits) > 0 {
			order = append(order, i)
		}
	}
	b.work += len(b.pieces) / 8
	b.rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	for _, i := range order {
		if len(b.hits[i]) > 0 {
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
			w *= weightUp + (weightUpMost-weightUp)*c/most
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

// snapshot is where all pieces lie.
type snapshot []piece

func (b *board) save() snapshot { return slices.Clone(b.pieces) }

func (b *board) restore(s snapshot) {
	copy(b.pieces, s)
	for i := range b.pieces {
		p := &b.pieces[i]
		p.at = b.clamp(p.body, p.step, p.at)
	}
	b.refreshAll()
}

// refreshAll works out all boxes and costs anew.
func (b *board) refreshAll() {
	order := make([]int, len(b.pieces))
	for i := range b.pieces {
		p := &b.pieces[i]
		b.boxes[i] = p.body.boxAt(p.step, p.at)
		order[i] = i
		for _, j := range b.hits[i] {
			b.cost[i][j] = 0
		}
		b.hits[i] = b.hits[i][:0]
	}
	// From the top down, so that only boxes of one level are compared.
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(b.boxes[i].Min.Y, b.boxes[j].Min.Y), cmp.Compare(i, j))
	})
	for n, i := range order {
		for _, j := range order[n+1:] {
			if b.boxes[j].Min.Y >= b.boxes[i].Max.Y {
				break
			}
			b.set(max(i, j), min(i, j), b.pair(max(i, j), min(i, j)))
		}
	}
	b.work += len(b.pieces)
}

// fresh sets all weights to 1.
func (b *board) fresh() {
	for _, k := range b.heavy {
		b.weight[k[0]][k[1]], b.weight[k[1]][k[0]] = 1, 1
	}
	b.heavy = b.heavy[:0]
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
			b.round()
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
