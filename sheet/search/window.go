package search

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Large-neighbourhood windows. A roll of many pieces is searched part by part: some
// pieces about a random level are free to move, and only between the levels they
// reach; all others stay where they are. What is good elsewhere is kept, and a try
// takes a fraction of the work: how short a roll a try ends with is a matter of luck,
// and a whole long roll is lucky at once far more rarely than one part of it. (The
// large neighbourhood search of P. Shaw, CP 1998, LNCS 1520; going on from a roll a
// little worse than the best is the record-to-record travel of G. Dueck, Journal of
// Computational Physics 104, 1993; both cited from memory.)

const (
	// A window has from leastWindow to mostWindow pieces, and for each window given up
	// since something shorter was found it may have widen more, until it may be the
	// whole roll: small ones are soon lucky, and large ones go on where these find no
	// more. Sizes from 6 to 45 differ by little (EXPERIMENTS.md).
	leastWindow = 10
	mostWindow  = 30
	widen       = 3
	// windowTries is after how many failed tries another window is taken.
	windowTries = 6
	// record is the share of its length by which a roll may be longer than the
	// shortest and still be gone on from. Three times as much found less; half or
	// twice as much made no difference above chance.
	record = 0.001
)

// cutWindow cuts that share off the best roll at a random level, and frees the
// pieces nearest to it and those that overlap.
func (s *worker) cutWindow(share float64) bool {
	b := s.b
	level := b.rng.Float64() * s.best.h
	if !s.cutTo(s.best.h*(1-share), level) {
		return false
	}
	order := b.mobile()
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(math.Abs(b.pieces[i].middle()-level), math.Abs(b.pieces[j].middle()-level))
	})
	most := min(float64(len(order)), mostWindow+widen*float64(s.tries))
	n := int(leastWindow * math.Pow(most/leastWindow, b.rng.Float64()))
	p := &window{free: make([]bool, len(order)), from: b.bed.Height(), level: level}
	for k, i := range order {
		if k < n || len(b.hits[i]) > 0 {
			p.free[i] = true
			p.from, p.to = min(p.from, b.boxes[i].Min.Y), max(p.to, b.boxes[i].Max.Y)
		}
	}
	b.window = p
	return true
}

// accept gives a window up by record-to-record acceptance: the roll is opened again
// where it was cut, up to record longer than the top one, and the nearest of the tries
// that failed is separated there, which leaves other pieces side by side than before.
// It reports whether that succeeded; the worker then goes on from there.
func (s *worker) accept(ctx context.Context, end int) bool {
	b := s.b
	from := slices.MinFunc(s.pool, func(a, b failed) int { return cmp.Compare(a.cost, b.cost) }).at
	h := s.top.h * (1 + record*b.rng.Float64())
	for i := range from {
		if from[i].at.Y > b.window.level {
			from[i].at.Y += h - b.bed.Height()
		}
	}
	b.setHeight(h)
	b.restore(from)
	b.resetWeights()
	if !b.separate(ctx, end-b.work, s.endurance()) {
		return false
	}
	s.best, s.pool = roll{b.save(), min(h, b.end())}, nil
	if s.best.h < s.top.h {
		s.top = s.best
	}
	return true
}
