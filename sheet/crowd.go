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
// work; ok is false where it does not succeed, or is not likely to. Each strand
// begins from a start of its own, the first ones where there are more, and has
// its own chances.
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
	least, hope := math.Inf(1), hopeful*boards[0].onItsLike()
	for leg := 0; leg < crowdLegs && ctx.Err() == nil; leg++ {
		inParallel(strands, workers, func(k int) {
			done[k] = boards[k].crowdFor(ctx, work*(leg+1)/crowdLegs-boards[k].work)
		})
		for k, b := range boards {
			if done[k] {
				return b.save(), true
			}
			b.learn()
			least = min(least, b.total())
		}
		if least > hope*(1-hopeFades*float64(leg+1)/crowdLegs) {
			break
		}
	}
	return nil, false
}

const (
	// crowdLegs is how often the strands stop to see whether one of them is done.
	crowdLegs = 16
	// hopeful is how many pieces may lie on their likes, as it were, at the
	// beginning, and hopeFades by what share fewer at the end: none of 80 tries that
	// came to an end ever had more, and of 145 that did not most had, which spares
	// nearly half of all the work.
	hopeful   = 5.5
	hopeFades = 0.8
)

// onItsLike returns what it costs that a piece lies on its like, for the mean
// piece.
func (b *board) onItsLike() float64 {
	sum := 0.0
	for _, p := range b.pieces {
		of := b.bodies.price(p.body, p.body)
		sum += b.penalty(of, of.radius)
	}
	return sum / float64(len(b.pieces))
}

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
