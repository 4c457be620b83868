package sheet

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// A roll of many pieces is searched part by part: some pieces about a level of chance
// are free to move, and only between the levels they reach; all others stay where they
// are. What is good elsewhere is kept, and a try takes a fraction of the work: how short
// a roll a try ends with is a matter of chance, and that all of a long roll is lucky at
// once is far rarer than that one part of it is. To take some pieces away and lay them
// anew in many ways is the large neighbourhood search of P. Shaw, CP 1998, LNCS 1520;
// going on from what is a little worse than the best so far is the record-to-record
// travel of G. Dueck, Journal of Computational Physics 104, 1993 (both cited from memory).

const (
	// A part has from leastPart to mostPart pieces, and for each part given up since
	// something shorter was found it may have widen more, until it may be the whole roll:
	// small ones are soon lucky, and large ones go on where these find no more.
	leastPart = 10
	mostPart  = 30
	widen     = 3
	// A roll of fewer than manyPieces is searched as a whole.
	manyPieces = 40
	// partTries is after how many failed tries another part is taken.
	partTries = 6
	// record is the share of its length by which a roll may be longer than the shortest
	// and be gone on from. Thrice as much found less; half or twice as much differed from it
	// by little more than chance.
	record = 0.001
)

// part is what of a board may move, and the level where the roll was cut.
type part struct {
	free     []bool // of each piece
	from, to float64
	level    float64
}

// mobile returns the numbers of the pieces that may move.
func (b *board) mobile() []int {
	out := make([]int, 0, len(b.pieces))
	for i := range b.pieces {
		if b.part == nil || b.part.free[i] {
			out = append(out, i)
		}
	}
	return out
}

// shorterPart cuts so large a share off the best roll at a level of chance, and lets the
// pieces nearest to it move, and those that overlap.
func (s *strip) shorterPart(share float64) bool {
	b := s.b
	level := b.rng.Float64() * s.best.h
	if !s.cutTo(s.best.h*(1-share), level) {
		return false
	}
	order := b.mobile()
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(math.Abs(b.pieces[i].middle()-level), math.Abs(b.pieces[j].middle()-level))
	})
	most := min(float64(len(order)), mostPart+widen*float64(s.tries))
	n := int(leastPart * math.Pow(most/leastPart, b.rng.Float64()))
	p := &part{free: make([]bool, len(order)), from: b.h, level: level}
	for k, i := range order {
		if k < n || len(b.hits[i]) > 0 {
			p.free[i] = true
			p.from, p.to = min(p.from, b.boxes[i].Min.Y), max(p.to, b.boxes[i].Max.Y)
		}
	}
	b.part = p
	return true
}

// middle returns how far down the middle of a piece's box lies.
func (p *piece) middle() float64 {
	box := &p.body.poses[p.step].inner
	return p.at.Y + (box.Min.Y+box.Max.Y)/2
}

// drift lets go of a part: the roll is opened again where it was cut, up to record longer
// than the top one, and of the tries that failed the nearest is separated there, which
// leaves other pieces beside one another than before. It reports whether that went; the
// strand then goes on from there.
func (s *strip) drift(ctx context.Context, end int) bool {
	b := s.b
	from := slices.MinFunc(s.pool, func(a, b failed) int { return cmp.Compare(a.cost, b.cost) }).at
	h := s.top.h * (1 + record*b.rng.Float64())
	for i := range from {
		if from[i].at.Y > b.part.level {
			from[i].at.Y += h - b.h
		}
	}
	b.h = h
	b.restore(from)
	b.fresh()
	patience, strikes := s.endurance()
	if !b.separate(ctx, end-b.work, patience, strikes) {
		return false
	}
	s.best, s.pool = roll{b.save(), min(h, b.end())}, nil
	if s.best.h < s.top.h {
		s.top = s.best
	}
	return true
}
