package search

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Exploration and compression: how a worker makes its roll shorter, see shorten.go.

const (
	// mostTries is after how many tries, or windows given up, without anything shorter
	// a worker begins again. Many pieces on a roll often find a shorter one after
	// thirty to a hundred, and then a dozen more at once.
	mostTries = 300
	// largeShare is the share of the felt that the large pieces make up together, and
	// swapTries how often another piece is drawn where both are of one kind: with two
	// kinds in equal numbers a million draws to one suffice.
	largeShare = 0.75
	swapTries  = 20
	// poolSpread is the standard deviation, as a share of the failed tries in order of
	// their cost, of the one gone on from, as in the paper (cited from memory).
	poolSpread = 0.25
)

// next cuts the best roll for the next try.
func (s *worker) next() bool {
	if s.byWindows() && s.bold <= fineStep {
		return s.cutWindow(s.bold)
	}
	return s.cut(s.bold)
}

// explore looks for shorter rolls for that much work. It begins again where the work
// wait, or mostTries, has brought none.
func (s *worker) explore(ctx context.Context, work, wait int) {
	b := s.b
	end := b.work + work
	e := s.endurance()
	for ok := s.busy || s.next(); ok && b.work < end && ctx.Err() == nil && s.top.h > s.goal; {
		if b.separate(ctx, end-b.work, e) {
			s.keep(ctx)
			ok = s.next()
			continue
		}
		if s.busy = b.work >= end; s.busy {
			return
		}
		if s.rescue(ctx) {
			ok = s.next()
			continue
		}
		s.pool = append(s.pool, failed{b.total(), b.save()})
		enough := b.window != nil && len(s.pool) > windowTries // of this window
		if b.window == nil || enough {
			s.tries++
		}
		if s.tries > mostTries || b.work-s.won > wait {
			s.beginAgain()
			ok = s.next()
			continue
		}
		if enough {
			s.accept(ctx, end)
		}
		if s.bold > fineStep || enough {
			s.bold, s.pool = max(fineStep, s.bold/2), nil
			ok = s.next()
			continue
		}
		slices.SortStableFunc(s.pool, func(a, b failed) int { return cmp.Compare(a.cost, b.cost) })
		k := int(math.Abs(b.rng.NormFloat64()) * poolSpread * float64(len(s.pool)))
		b.restore(s.pool[min(k, len(s.pool)-1)].at)
		b.swapLarge()
		b.resetWeights()
	}
}

// compress shortens the best roll for that much work.
func (s *worker) compress(ctx context.Context, work int) {
	b := s.b
	begin := b.work
	for b.work < begin+work && ctx.Err() == nil && s.top.h > s.goal {
		// From the fine step down to the last one as the work is used up.
		done := float64(b.work-begin) / float64(work)
		step := fineStep * math.Pow(lastStep/fineStep, done)
		if !s.cut(step) {
			return
		}
		if b.separate(ctx, begin+work-b.work, compressEndurance) {
			s.keep(ctx)
		}
	}
}

// swapLarge lets two large pieces of different shape change places.
func (b *separator) swapLarge() {
	order := b.mobile()
	n := len(order)
	if n < 2 {
		return
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(b.pieces[j].body.weight, b.pieces[i].body.weight)
	})
	sum, all := 0.0, 0.0
	for _, i := range order {
		all += b.pieces[i].body.Area
	}
	m := 0
	for m < n && (m < 2 || sum < largeShare*all) {
		sum += b.pieces[order[m]].body.Area
		m++
	}
	i := order[b.rng.IntN(m)]
	j := order[b.rng.IntN(m)]
	for tries := 0; tries < swapTries && b.pieces[i].body == b.pieces[j].body; tries++ {
		j = order[b.rng.IntN(n)]
	}
	p, q := &b.pieces[i], &b.pieces[j]
	p.at, q.at = b.clamp(p.body, p.step, q.at), b.clamp(q.body, q.step, p.at)
	b.refreshAll()
}
