package search

import (
	"cmp"
	"context"
	"slices"

	"strew/motif/geom"
	"strew/sheet/shape"
)

// The overlap state: where pieces lie while they may still overlap, and what each
// overlap costs: see penalty.

// state is one or more bins, beds of one size, with pieces that may overlap. All stay
// inside.
type state struct {
	bed  shape.Bed
	bins int
	lookup
	pieces []Piece
	boxes  []geom.Box // of each piece's grown outline where it lies
	rows
	cost   [][]float64 // of each pair, not weighted; symmetric
	hits   [][]int     // of each piece, those it overlaps
	weight [][]float64
	heavy  [][2]int // the pairs whose weight is not 1
	penalty
	near neighbours // of the position being refined
}

// init makes the state ready, without pieces. It must not be moved afterwards.
func (b *state) init(ctx context.Context, bed shape.Bed, bins int, bs *Bodies) {
	b.bed, b.bins = bed, bins
	b.lookup.init(ctx, bs)
}

// setHeight moves the lower end of the bed.
func (b *state) setHeight(h float64) { b.bed.Box.Max.Y = h }

// add puts one more piece on the bed; its weights are 1.
func (b *state) add(p Piece) {
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
	b.noteAll(b.pieces, b.boxes, b.bins, b.bed.Box.Max.Y)
	b.refresh(n - 1)
}

// fill puts the first pieces on the bed, as add would one after another; it reports
// false where the context was done before.
func (b *state) fill(ctx context.Context, ps []Piece) bool {
	n := len(ps)
	b.pieces, b.boxes, b.hits = slices.Clone(ps), make([]geom.Box, n), make([][]int, n)
	b.cost, b.weight, b.rows.at = make([][]float64, n), make([][]float64, n), make([]stretch, n)
	for i := range b.pieces {
		p := &b.pieces[i]
		p.at = b.clamp(p.body, p.step, p.at)
		b.boxes[i] = p.body.boxAt(p.step, p.at)
		b.cost[i], b.weight[i] = make([]float64, n), slices.Repeat([]float64{1}, n)
		if ctx.Err() != nil {
			return false
		}
		for j := range i {
			b.set(i, j, b.pair(i, j))
		}
	}
	b.noteAll(b.pieces, b.boxes, b.bins, b.bed.Box.Max.Y)
	return true
}

// clamp returns the place nearest to at where the body lies on the bed.
func (b *state) clamp(k *Body, step int, at geom.Vec) geom.Vec {
	box := &k.poses[step].inner
	at.X = max(min(at.X, b.bed.Box.Max.X-box.Max.X), -box.Min.X)
	at.Y = max(min(at.Y, b.bed.Box.Max.Y-box.Max.Y), -box.Min.Y)
	return at
}

// pair returns what the overlap of pieces i and j costs.
func (b *state) pair(i, j int) float64 {
	p, q := &b.pieces[i], &b.pieces[j]
	if p.bin != q.bin || boxesApart(&b.boxes[i], &b.boxes[j]) {
		return 0
	}
	return b.between(p.body, p.step, q.body, q.step, q.at.Sub(p.at))
}

// between returns what the overlap of two bodies costs, d from the one to the other.
func (b *state) between(p *Body, kp int, q *Body, kq int, d geom.Vec) float64 {
	f := b.facing(p, kp, q, kq)
	return b.costOf(f.price, f.Depth(d)-b.slackOf(f.price))
}

// boxesApart reports whether the boxes have nothing but edges in common.
func boxesApart(p, q *geom.Box) bool {
	return p.Max.X <= q.Min.X || p.Min.X >= q.Max.X || p.Max.Y <= q.Min.Y || p.Min.Y >= q.Max.Y
}

// refresh works out piece i's box and costs anew.
func (b *state) refresh(i int) {
	p := &b.pieces[i]
	b.boxes[i] = p.body.boxAt(p.step, p.at)
	b.note(i, p, &b.boxes[i])
	for j := range b.pieces {
		if j != i {
			b.set(i, j, b.pair(i, j))
		}
	}
}

// set notes what the pair i, j costs.
func (b *state) set(i, j int, c float64) {
	old := b.cost[i][j]
	b.cost[i][j], b.cost[j][i] = c, c
	switch {
	case old == 0 && c > 0:
		b.hits[i], b.hits[j] = append(b.hits[i], j), append(b.hits[j], i)
	case old > 0 && c == 0:
		b.hits[i], b.hits[j] = without(b.hits[i], j), without(b.hits[j], i)
	}
}

// without removes j from the list; the last one takes its place.
func without(list []int, j int) []int {
	last := len(list) - 1
	list[slices.Index(list, j)] = list[last]
	return list[:last]
}

// total returns the sum of all pairs' costs.
func (b *state) total() float64 {
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
type snapshot []Piece

func (b *state) save() snapshot { return slices.Clone(b.pieces) }

// restore puts the pieces where they lay, or as near as the bed allows.
func (b *state) restore(s snapshot) {
	copy(b.pieces, s)
	for i := range b.pieces {
		p := &b.pieces[i]
		p.at = b.clamp(p.body, p.step, p.at)
	}
	b.refreshAll()
}

// refreshAll works out all boxes and costs anew.
func (b *state) refreshAll() {
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
	b.noteAll(b.pieces, b.boxes, b.bins, b.bed.Box.Max.Y)
	b.work += len(b.pieces)
}

// resetWeights sets all weights to 1.
func (b *state) resetWeights() {
	for _, k := range b.heavy {
		b.weight[k[0]][k[1]], b.weight[k[1]][k[0]] = 1, 1
	}
	b.heavy = b.heavy[:0]
}

// end returns how far down the pieces reach.
func (b *state) end() float64 {
	end := 0.0
	for _, p := range b.pieces {
		end = max(end, p.at.Y+p.body.poses[p.step].inner.Max.Y)
	}
	return end
}

// isShallow reports whether no pieces overlap deeper than a share of the smaller
// one's radius, beside the slack.
func (b *state) isShallow(share float64) bool {
	for i, hits := range b.hits {
		for _, j := range hits {
			of := b.bodies.price(b.pieces[i].body, b.pieces[j].body)
			if j < i && b.cost[i][j] > b.costOf(of, share*of.radius) {
				return false
			}
		}
	}
	return true
}
