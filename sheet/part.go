package sheet

import (
	"cmp"
	"math"
	"slices"
)

// A roll of many pieces is searched part by part: some pieces about a level of chance
// are free to move, and only between the levels they reach; all others stay where they
// are. What is good elsewhere is kept, and a try takes a fraction of the work: how short
// a roll a try ends with is a matter of chance, and that all of a long roll is lucky at
// once is far rarer than that one part of it is. To take some pieces away and lay them
// anew in many ways is the large neighbourhood search of P. Shaw, CP 1998, LNCS 1520
// (cited from memory).

const (
	// partPieces is how many pieces a part has in the mean; it has from half as many to
	// half as many again. From 14 to 28 did as well.
	partPieces = 20
	// A roll of fewer than manyPieces is searched as a whole.
	manyPieces = 2 * partPieces
	// partTries is after how many failed tries another part is taken.
	partTries = 6
)

// part is what of a board may move.
type part struct {
	free     []bool // of each piece
	from, to float64
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
	n := partPieces/2 + b.rng.IntN(partPieces)
	p := &part{free: make([]bool, len(order)), from: b.h}
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
