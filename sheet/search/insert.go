package search

import (
	"context"
	"math"
	"math/rand/v2"

	"golang.org/x/sync/errgroup"
	"strew/sheet/shape"
)

// Insertion: pieces are added to beds that hold the others already, wherever they
// overlap least, and all are separated again. Where that stays stuck some pieces are
// moved elsewhere at random. Beds are bins of one state, so a piece may change its bed.

// Insertion is a job of getting more pieces onto beds.
type Insertion struct {
	Bed     shape.Bed               // all beds are like it
	Bins    int                     // beds of that kind
	Starts  [][]Piece               // what lies there, in one or several ways
	Extra   func(start int) []*Body // what is to be added to a start
	Work    int                     // evaluated positions and pairs
	Seed    uint64                  // of all that is random
	Workers int                     // goroutines; the result does not depend on it
}

const (
	// insertEpochs is how often the workers stop to see whether one of them is done.
	insertEpochs = 16
	// hopeful is the most overlap, counted in pieces that lie on another of their kind,
	// from which a try ever succeeded at its beginning, and hopeFades the share by which that
	// falls to its end: none of 80 tries that succeeded had more, and of 145 that did
	// not most had, which spares nearly half of the work.
	hopeful   = 5.5
	hopeFades = 0.8
	// perturbed is the standard deviation of how many pieces beside one are moved
	// elsewhere: seldom more than four, so that most of what is good stays.
	perturbed = 2
)

var insertEndurance = endurance{60, 2}

// Run adds the extra pieces and separates all; ok is false where it does not succeed
// within its work, or is not likely to. Each worker begins from a start of its own,
// the first ones where there are more, and has its own random source.
func (o Insertion) Run(ctx context.Context, bs *Bodies) (pieces []Piece, ok bool) {
	var all [Workers]*separator
	for k := range all {
		b := newSeparator(ctx, o.Bed, o.Bins, bs, rand.New(rand.NewPCG(o.Seed, uint64(k))))
		b.linear = k%2 == 1
		s := k % len(o.Starts)
		if !b.fill(ctx, o.Starts[s]) {
			return nil, false
		}
		for _, e := range o.Extra(s) {
			if b.work > o.Work || ctx.Err() != nil {
				return nil, false
			}
			b.addAtRandom(e)
		}
		all[k] = b
	}
	var done [Workers]bool
	least, hope := math.Inf(1), hopeful*all[0].onItsLike()
	for epoch := 0; epoch < insertEpochs && ctx.Err() == nil; epoch++ {
		var g errgroup.Group
		g.SetLimit(o.Workers)
		for k, b := range all {
			g.Go(func() error {
				done[k] = b.insertFor(ctx, o.Work*(epoch+1)/insertEpochs-b.work)
				return nil
			})
		}
		_ = g.Wait() // no worker fails
		for k, b := range all {
			if done[k] {
				return b.save(), true
			}
			b.learn()
			least = min(least, b.total())
		}
		if least > hope*(1-hopeFades*float64(epoch+1)/insertEpochs) {
			break
		}
	}
	return nil, false
}

// onItsLike returns what it costs when a piece lies on another of its kind, for the
// mean piece.
func (b *separator) onItsLike() float64 {
	sum := 0.0
	for _, p := range b.pieces {
		of := b.bodies.price(p.body, p.body)
		sum += b.costOf(of, of.radius)
	}
	return sum / float64(len(b.pieces))
}

// addAtRandom adds a body at a random position and improves it.
func (b *separator) addAtRandom(k *Body) {
	b.add(Piece{body: k, step: k.may[b.rng.IntN(len(k.may))], at: b.randomAt(), bin: b.rng.IntN(b.bins)})
	b.move(len(b.pieces) - 1)
}

// insertFor separates for that much work, from where the state stands.
func (b *separator) insertFor(ctx context.Context, work int) bool {
	end := b.work + work
	for b.work < end && ctx.Err() == nil {
		if b.separate(ctx, end-b.work, insertEndurance) {
			return true
		}
		if b.work < end {
			b.perturb()
		}
	}
	return false
}

// perturb moves a piece that overlaps, and sometimes a few others, to random positions.
func (b *separator) perturb() {
	var stuck []int
	for i, hits := range b.hits {
		if len(hits) > 0 {
			stuck = append(stuck, i)
		}
	}
	if len(stuck) == 0 {
		return
	}
	n := 1 + int(math.Abs(b.rng.NormFloat64()*perturbed))
	for k := range n {
		i := b.rng.IntN(len(b.pieces))
		if k == 0 {
			i = stuck[b.rng.IntN(len(stuck))]
		}
		p := &b.pieces[i]
		p.step, p.bin = p.body.may[b.rng.IntN(len(p.body.may))], b.rng.IntN(b.bins)
		p.at = b.clamp(p.body, p.step, b.randomAt())
		b.refresh(i)
	}
	b.resetWeights()
}
