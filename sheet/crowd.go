package sheet

import (
	"context"
	"math"
	"math/rand/v2"
)

// Crowding: pieces are added to sheets that hold the others already, wherever
// they overlap least, and all are separated again. Where that stays stuck some
// pieces are thrown elsewhere. Sheets lie side by side on one board, so a
// piece may change its sheet while it looks for a place.

// crowd adds the extra pieces to the starts' and separates them within so much
// work; ok is false where it does not succeed. Each strand begins from a start
// of its own, the first ones where there are more, and has its own chances.
func crowd(ctx context.Context, bs *bodies, w, h float64, bins int, starts [][]piece, extra func(start int) []*body, work int, seed uint64, workers int) (pieces []piece, ok bool) {
	var boards [strands]*board
	for k := range boards {
		b := newBoard(w, h, bs, rand.New(rand.NewPCG(seed, uint64(k))))
		b.bins, b.root = bins, k%2 == 0
		s := k % len(starts)
		for _, p := range starts[s] {
			b.add(p)
		}
		for _, e := range extra(s) {
			if b.work > work {
				return nil, false
			}
			b.throwIn(e)
		}
		boards[k] = b
	}
	var done [strands]bool
	for leg := 0; leg < crowdLegs && ctx.Err() == nil; leg++ {
		inParallel(strands, workers, func(k int) {
			done[k] = boards[k].crowdFor(ctx, work*(leg+1)/crowdLegs-boards[k].work)
		})
		for k, b := range boards {
			if done[k] {
				return b.save(), true
			}
			b.learn()
		}
	}
	return nil, false
}

// crowdLegs is how often the strands stop to see whether one of them is done.
const crowdLegs = 16

// throwIn adds a body at a place of chance, and moves it to the best it finds.
func (b *board) throwIn(k *body) {
	b.add(piece{body: k, step: k.may[b.rng.IntN(len(k.may))], at: b.chanceAt(), bin: b.rng.IntN(b.bins)})
	b.move(len(b.pieces) - 1)
}

// crowdFor separates for so much work, from where the board stands.
func (b *board) crowdFor(ctx context.Context, work int) bool {
	end := b.work + work
	for b.work < end && ctx.Err() == nil {
		if b.separate(ctx, end-b.work, 60, 2) {
			return true
		}
		if b.work < end {
			b.kick()
		}
	}
	return false
}

// kick throws a piece that overlaps, and now and then some others, elsewhere.
func (b *board) kick() {
	var stuck []int
	for i, hits := range b.hits {
		if len(hits) > 0 {
			stuck = append(stuck, i)
		}
	}
	if len(stuck) == 0 {
		return
	}
	n := 1 + int(math.Abs(b.rng.NormFloat64()*2))
	for k := range n {
		i := b.rng.IntN(len(b.pieces))
		if k == 0 {
			i = stuck[b.rng.IntN(len(stuck))]
		}
		p := &b.pieces[i]
		p.step, p.bin = p.body.may[b.rng.IntN(len(p.body.may))], b.rng.IntN(b.bins)
		p.at = b.clamp(p.body, p.step, b.chanceAt())
		b.refresh(i)
	}
	b.fresh()
}
