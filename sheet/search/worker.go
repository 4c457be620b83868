package search

import (
	"context"
	"slices"
)

// One worker of those that make a roll shorter, see shorten.go.

const (
	// boldStep is the share of the length taken off at first, fineStep later, and
	// lastStep at the end of pressing, some hundredths of a millimetre on a roll of a
	// metre. Fine steps of a third found shorter rolls as soon, of three times as much
	// later (EXPERIMENTS.md).
	boldStep = 0.01
	fineStep = 0.001
	lastStep = 0.00002
	// slack is how deep pieces of a loose worker may overlap, see slackOf. All from
	// 0.01 to 0.04 did better than none where pieces fit exactly, and none elsewhere.
	slack = 0.04
	// compactMost is by how much of its length a loose roll may grow when it is
	// compacted; then it is shortened by steps from compactFirst down to compactLast.
	compactMost  = 0.05
	compactFirst = 0.001
	compactLast  = 0.0001
	// rescueDepth is the share of the smaller one's radius up to which pieces may
	// overlap on a roll that is to be rescued. Deeper ones are seldom pushed apart.
	rescueDepth = 0.4
	// A roll of fewer than manyPieces is searched as a whole.
	manyPieces = 40
)

// How long tries last. Windows are many and short: half or twice as many rounds do
// worse. Whole rolls do as well with fewer rounds, but not where pieces fit exactly.
var (
	wholeEndurance    = endurance{100, 3}
	windowEndurance   = endurance{25, 1}
	compressEndurance = endurance{50, 2}
)

// roll is how pieces lie without overlap, and how far down they reach.
type roll struct {
	at snapshot
	h  float64
}

// worker makes one roll shorter.
type worker struct {
	b     *separator
	slack float64
	first roll
	best  roll // since it last began, with slack
	top   roll // of all, without
	bold  float64
	pool  []failed
	tries int     // that failed since best was found
	won   int     // the separator's work then
	again int     // how often it began again
	busy  bool    // the separator is on its way to a roll shorter than best
	goal  float64 // no shorter is asked for
}

// failed is an arrangement that could not be separated at the present length.
type failed struct {
	cost float64
	at   snapshot
}

// follow goes on from a worker's shortest roll.
func (s *worker) follow(t *worker) {
	s.best, s.top, s.pool, s.tries, s.busy = t.top, t.top, nil, 0, false
	s.won = s.b.work
	s.bold = min(s.bold, t.bold)
}

// beginAgain goes back to the first roll, with other weights.
func (s *worker) beginAgain() {
	s.again++
	s.best, s.pool, s.tries, s.busy, s.bold = s.first, nil, 0, false, boldStep
	s.won = s.b.work
	if s.b.raise = strong; s.again%2 == 0 {
		s.b.raise = gentle
	}
}

// cutTo starts from the best arrangement with the roll cut at h. The pieces below the
// level move up with the end, and those longer than h turn. It reports false where one
// of them cannot.
func (s *worker) cutTo(h, level float64) bool {
	b := s.b
	b.slack, b.window = s.slack, nil
	b.setHeight(s.best.h)
	b.restore(s.best.at)
	for i := range b.pieces {
		if p := &b.pieces[i]; p.at.Y > level {
			p.at.Y -= s.best.h - h
		}
	}
	b.setHeight(h)
	for i := range b.pieces {
		p := &b.pieces[i]
		if !b.bed.Holds(p.body.poses[p.step].inner) {
			k := slices.IndexFunc(p.body.may, func(k int) bool { return b.bed.Holds(p.body.poses[k].inner) })
			if k < 0 {
				return false
			}
			p.step = p.body.may[k]
		}
		p.at = b.clamp(p.body, p.step, p.at)
	}
	b.refreshAll()
	b.resetWeights()
	return true
}

// cut cuts that share off the best roll, from a random level.
func (s *worker) cut(share float64) bool {
	return s.cutTo(s.best.h*(1-share), s.b.rng.Float64()*s.best.h)
}

// byWindows reports whether the worker searches its roll by windows. A loose one, whose
// pieces fit exactly, does better by searching all of it.
func (s *worker) byWindows() bool { return s.slack == 0 && len(s.b.pieces) >= manyPieces }

func (s *worker) endurance() endurance {
	if s.byWindows() {
		return windowEndurance
	}
	return wholeEndurance
}

// keep takes the arrangement for the best roll.
func (s *worker) keep(ctx context.Context) {
	s.best = roll{s.b.save(), min(s.best.h, s.b.end())}
	if s.slack > 0 {
		s.compact(ctx, s.best)
	} else if s.best.h < s.top.h {
		s.top = s.best
	}
	s.pool, s.tries, s.won, s.busy = nil, 0, s.b.work, false
}

// compact compacts a roll whose pieces overlap a little to the shortest length that
// succeeds, and keeps that for the top one if it is shorter.
func (s *worker) compact(ctx context.Context, r roll) bool {
	b := s.b
	b.slack = 0
	from, least := r.at, r.h
	try := func(h float64) bool {
		if h < least {
			return false
		}
		b.setHeight(h)
		b.restore(from)
		if !b.compact(ctx) {
			return false
		}
		from = b.save()
		s.top = roll{from, min(h, b.end())}
		return true
	}
	if !try(min(s.top.h*(1-compactLast), least*(1+compactMost))) {
		return false
	}
	for step := compactFirst; step > compactLast && ctx.Err() == nil; {
		if try(s.top.h * (1 - step)) {
			step *= 2
		} else {
			step /= 4
		}
	}
	return true
}

// rescue compacts what is left of a try that failed where its overlaps are shallow:
// where pieces have come to lie in another way, that roll is often shorter than the
// top one, if not as short as was tried. It reports whether the worker is to go on
// from there; if not, the state is left as it was.
func (s *worker) rescue(ctx context.Context) bool {
	b := s.b
	if !b.isShallow(rescueDepth) {
		return false
	}
	r := roll{b.save(), b.bed.Height()}
	if s.compact(ctx, r) && s.slack == 0 {
		s.best, s.pool, s.tries, s.won = s.top, nil, 0, b.work
		return true
	}
	b.slack = s.slack
	b.setHeight(r.h)
	b.restore(r.at)
	return false
}
