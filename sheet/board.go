package sheet

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"strew/motif/geom"
)

// A board is where pieces lie while they may still overlap, and what each overlap
// costs: how deep it is, and how large the pieces are.

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
	boxes  []geom.Box // of each piece's grown outline where it lies
	rows
	cost   [][]float64 // of each pair, not weighted; symmetric
	hits   [][]int     // of each piece, those it overlaps
	weight [][]float64
	heavy  [][2]int // the pairs whose weight is not 1
	rng    *rand.Rand
	ways
	slack    float64  // see slackOf
	part     *part    // what may move; nil for all
	near     vicinity // of the place being refined
	known    []*known // the clashes this board knows
	facings  []facing // of every two bodies at every two of their turns, where these are few
	variants int      // bodies at turns
	faced    facing   // the last one, where they are many
	work     int      // places and pairs looked at so far
	pairWork int      // what looking at a pair costs, in places looked at
}

// cachedClashes is how many clashes at most stay in a processor's cache, so that
// one is looked up as soon as a place.
const cachedClashes = 512

func newBoard(w, h float64, bs *bodies, rng *rand.Rand) *board {
	n := len(bs.all)
	b := &board{w: w, h: h, bins: 1, ways: strong(), pairWork: 1, bodies: bs, rng: rng, known: make([]*known, n*(n+1)/2*bs.steps), variants: n * bs.steps}
	if b.uncached() {
		b.pairWork = 2
	}
	most := mostFacings
	if bs.steps <= 4 {
		most = mostNapped
	}
	if n := b.variants * b.variants; n <= most {
		b.facings = make([]facing, n)
	}
	b.learn()
	return b
}

// uncached reports whether the clashes are more than a processor's cache holds.
func (b *board) uncached() bool { return len(b.known) > cachedClashes }

// clone returns a copy with another source of chance.
func (b *board) clone(rng *rand.Rand) *board {
	c := newBoard(b.w, b.h, b.bodies, rng)
	c.bins, c.ways = b.bins, b.ways
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
	b.rows.at = append(b.rows.at, stretch{})
	b.sortRows()
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
	return b.between(p.body, p.step, q.body, q.step, q.at.Sub(p.at))
}

// between returns what the overlap of two bodies costs, d from the one to the other.
func (b *board) between(p *body, kp int, q *body, kq int, d geom.Vec) float64 {
	f := b.facing(p, kp, q, kq)
	return b.penalty(f.price, b.overlap(f, d, math.Inf(1))-b.slackOf(f.price))
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
func (b *board) penalty(of *price, depth float64) float64 {
	if depth <= 0 {
		return 0
	}
	if b.root {
		return of.root * math.Sqrt(depth)
	}
	return of.plain * depth
}

// slackOf returns how deep two bodies may overlap at no cost: the board's slack times the
// smaller one's radius.
func (b *board) slackOf(of *price) float64 { return b.slack * of.radius }

// deepFor returns the depth at which a pair costs a little more than c.
func (b *board) deepFor(of *price, c float64) float64 {
	c *= 1 + geom.SameRatio
	if b.root {
		return c * c / (of.root * of.root)
	}
	return c / of.plain
}

// refresh works out piece i's box and costs anew.
func (b *board) refresh(i int) {
	p := &b.pieces[i]
	b.boxes[i] = p.body.boxAt(p.step, p.at)
	b.sort(i, p, &b.boxes[i])
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
	b.sortRows()
	b.work += len(b.pieces)
}

// fresh sets all weights to 1.
func (b *board) fresh() {
	for _, k := range b.heavy {
		b.weight[k[0]][k[1]], b.weight[k[1]][k[0]] = 1, 1
	}
	b.heavy = b.heavy[:0]
}
