package sheet

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// A roll is made shorter step by step: its end is moved in, the pieces pushed
// over one another there are separated again, and where that fails two large
// pieces change places before the next try. At the end come small steps that
// press out the last air. (Exploration and compression of the paper named in
// separate.go.)
//
// Two strands with chances of their own work side by side in legs of a fixed
// amount of work: so the result does not depend on how many cores there are. After
// each leg both go on from the shorter one if the other is far behind. A strand
// that comes to a stop, as few pieces of few turns soon do, begins again from the
// first roll with other weights, and goes its own way. All press the shortest
// roll of all.
//
// Every other strand searches loosely: pieces may overlap by a little, and of each
// roll it finds all pieces are pushed apart together, on the shortest roll on
// which that goes (press.go); it goes on from the loose one. So it gets past the
// places where pieces fit one another exactly and one alone cannot be moved in.
// The other one searches a roll of many pieces part by part (part.go).

const (
	strands  = 2
	legs     = 8    // of them the last one compresses
	boldStep = 0.01 // share of the length taken off at first
	fineStep = 0.001
	lastStep = 0.00002
	// slack is how deep pieces of a loose strand may overlap, see slackOf. Of 0.01 to
	// 0.04 all did better than none where pieces fit exactly, and none elsewhere.
	slack = 0.04
	// atGoal is how near the length asked for, in millimetres, a roll only needs pressing.
	atGoal = 0.1
	// looseLegs is after how many legs a loose strand goes on without slack.
	looseLegs = legs - 2
	// looseLeast is after how many legs it does so where the other strand, searching part by
	// part, is ahead.
	looseLeast = 1
	// pressShare is the share of the last leg left to compressing where rolls are searched part
	// by part: in an eighth of the work it gains two thirds of what it can, and parts more
	// in the rest.
	pressShare = 1. / 8
	// pressMost is by how much of its length a loose roll may grow when its pieces
	// are pushed apart; then it is shortened by steps from pressFirst down to pressLast.
	pressMost  = 0.05
	pressFirst = 0.001
	pressLast  = 0.0001
	// rescueDepth is the share of the smaller one's radius up to which pieces may overlap
	// on a roll that is to be rescued. Deeper ones are seldom pushed apart.
	rescueDepth = 0.4
	// mostTries is after how many tries, or parts given up, without anything shorter a
	// strand begins again. Many pieces on a roll often find a shorter one after thirty to a
	// hundred, and then a dozen more at once.
	mostTries = 300
)

// patient is the work a strand that is to reach a given length may do without
// finding anything shorter, before it begins again, as a share of rollWork; for
// more or less work in all it grows as the root of that.
const patient = 0.15

// wait returns that work: other beginnings reach a given length sooner than long
// waits do. On a roll no length is given, and only tries count.
func wait(work int) int { return int(patient * math.Sqrt(float64(work)*rollWork)) }

// hope is the share of the length that a roll may still lose from each leg on,
// in our own trials. Where that saves no step of those it is sold by, the
// search ends.
var hope = [legs]float64{1, 0.06, 0.05, 0.04, 0.04, 0.03, 0.02, 0.003}

// roll is how pieces lie without overlap, and how far down they reach.
type roll struct {
	at snapshot
	h  float64
}

// strip is one strand.
type strip struct {
	b     *board
	slack float64
	first roll
	best  roll // since it last began, with slack
	top   roll // of all, without
	bold  float64
	pool  []failed
	tries int     // that failed since best was found
	won   int     // the board's work then
	again int     // how often it began again
	busy  bool    // the board is on its way to a roll shorter than best
	goal  float64 // no shorter is asked for
}

// failed is an arrangement that could not be separated at the present length.
type failed struct {
	cost float64
	at   snapshot
}

// shorten spends about so much work on making the board shorter than it is.
// The board must hold no overlap, and holds none afterwards. Of a length that
// is wanted as much must be bought as cut says. A strand that finds nothing
// shorter for the work wait begins again. It tells when a leg is done.
func shorten(ctx context.Context, b *board, goal float64, cut func(float64) float64, work, wait int, seed uint64, workers int, told func(leg int)) {
	ss := make([]*strip, strands)
	for k := range ss {
		c := b.clone(rand.New(rand.NewPCG(seed, uint64(k))))
		c.ways = gentle()
		c.h = c.end()
		r := roll{c.save(), c.h}
		ss[k] = &strip{b: c, slack: slack * float64(k%2), first: r, best: r, top: r, bold: boldStep, goal: goal}
	}
	for leg := 0; leg < legs; leg++ {
		last := leg == legs-1
		top := shortest(ss)
		for _, s := range ss {
			s.b.learn()
			behind := top.top.h < s.top.h*(1-2*fineStep)
			if s.slack > 0 && (leg == looseLegs || behind && leg >= looseLeast && len(s.b.pieces) >= manyPieces) {
				s.slack = 0
				s.follow(s)
			}
			if last || s.again == 0 && behind {
				s.follow(top)
			}
		}
		inParallel(len(ss), workers, func(k int) {
			s, work := ss[k], work/legs
			if !last {
				s.explore(ctx, work, wait)
				return
			}
			if s.byParts() {
				s.explore(ctx, work-int(pressShare*float64(work)), wait)
				s.follow(s)
				work = int(pressShare * float64(work))
			}
			s.compress(ctx, work)
		})
		told(leg + 1)
		h := shortest(ss).top.h
		if h <= goal || leg+1 < legs && cut(h*(1-hope[leg+1])) >= cut(h) || ctx.Err() != nil {
			break
		}
		if h <= goal+atGoal {
			leg = max(leg, legs-2) // what is left is to press it
		}
	}
	top := shortest(ss).top
	b.h = top.h
	b.restore(top.at)
}

// shortest returns the strand with the shortest roll.
func shortest(ss []*strip) *strip {
	return slices.MinFunc(ss, func(a, b *strip) int { return cmp.Compare(a.top.h, b.top.h) })
}

// follow goes on from a strand's shortest roll.
func (s *strip) follow(t *strip) {
	s.best, s.top, s.pool, s.tries, s.busy = t.top, t.top, nil, 0, false
	s.won = s.b.work
	s.bold = min(s.bold, t.bold)
}

// beginAgain goes back to the first roll, with other weights.
func (s *strip) beginAgain() {
	s.again++
	s.best, s.pool, s.tries, s.busy, s.bold = s.first, nil, 0, false, boldStep
	s.won = s.b.work
	if s.b.ways = strong(); s.again%2 == 0 {
		s.b.ways = gentle()
	}
}

// end returns how far down the pieces reach.
func (b *board) end() float64 {
	end := 0.0
	for _, p := range b.pieces {
		end = max(end, p.at.Y+p.body.poses[p.step].inner.Max.Y)
	}
	return end
}

// cutTo starts from the best arrangement with the roll cut at h. The pieces
// below the level cut move up with the end, and those longer than h turn. It
// reports false where one of them cannot.
func (s *strip) cutTo(h, cut float64) bool {
	s.b.h, s.b.slack, s.b.part = s.best.h, s.slack, nil
	s.b.restore(s.best.at)
	for i := range s.b.pieces {
		if p := &s.b.pieces[i]; p.at.Y > cut {
			p.at.Y -= s.best.h - h
		}
	}
	s.b.h = h
	for i := range s.b.pieces {
		p := &s.b.pieces[i]
		if !fits(p.body.poses[p.step].inner, s.b.w, h) {
			k := slices.IndexFunc(p.body.may, func(k int) bool { return fits(p.body.poses[k].inner, s.b.w, h) })
			if k < 0 {
				return false
			}
			p.step = p.body.may[k]
		}
		p.at = s.b.clamp(p.body, p.step, p.at)
	}
	s.b.refreshAll()
	s.b.fresh()
	return true
}

// shorter cuts so large a share off the best roll, from a level of chance.
func (s *strip) shorter(share float64) bool {
	return s.cutTo(s.best.h*(1-share), s.b.rng.Float64()*s.best.h)
}

// byParts reports whether the strand searches its roll part by part. A loose one, whose
// pieces fit exactly, does better by looking at all of it.
func (s *strip) byParts() bool { return s.slack == 0 && len(s.b.pieces) >= manyPieces }

// endurance returns after how many rounds without getting better a try is given up, and how
// often it goes on from its best before that. Tries of parts are many and short: half
// or twice as many rounds do worse. Whole rolls do as well with fewer rounds, but not where
// pieces fit exactly.
func (s *strip) endurance() (patience, strikes int) {
	if s.byParts() {
		return 25, 1
	}
	return 100, 3
}

// next cuts the best roll for the next try.
func (s *strip) next() bool {
	if s.byParts() && s.bold <= fineStep {
		return s.shorterPart(s.bold)
	}
	return s.shorter(s.bold)
}

// keep takes the board for the best roll.
func (s *strip) keep(ctx context.Context) {
	s.best = roll{s.b.save(), min(s.best.h, s.b.end())}
	if s.slack > 0 {
		s.press(ctx, s.best)
	} else if s.best.h < s.top.h {
		s.top = s.best
	}
	s.pool, s.tries, s.won, s.busy = nil, 0, s.b.work, false
}

// press pushes the pieces of a roll, which overlap a little, apart on the shortest
// roll it can, and keeps that for the top one if it is shorter.
func (s *strip) press(ctx context.Context, r roll) bool {
	b := s.b
	b.slack = 0
	from, least := r.at, r.h
	try := func(h float64) bool {
		if h < least {
			return false
		}
		b.h = h
		b.restore(from)
		if !b.relax(ctx) {
			return false
		}
		from = b.save()
		s.top = roll{from, min(h, b.end())}
		return true
	}
	if !try(min(s.top.h*(1-pressLast), least*(1+pressMost))) {
		return false
	}
	for step := pressFirst; step > pressLast && ctx.Err() == nil; {
		if try(s.top.h * (1 - step)) {
			step *= 2
		} else {
			step /= 4
		}
	}
	return true
}

// rescue pushes apart what is left of overlaps where a try has failed and they are
// shallow: where pieces have come to lie in another way, that roll is often shorter
// than the top one, if not as short as was tried. It reports whether the strand is to
// go on from there; if not, the board is left as it was.
func (s *strip) rescue(ctx context.Context) bool {
	b := s.b
	if !b.shallow(rescueDepth) {
		return false
	}
	r := roll{b.save(), b.h}
	if s.press(ctx, r) && s.slack == 0 {
		s.best, s.pool, s.tries, s.won = s.top, nil, 0, b.work
		return true
	}
	b.h, b.slack = r.h, s.slack
	b.restore(r.at)
	return false
}

// explore looks for shorter rolls for so much work. It begins again where the work
// wait, or mostTries, has brought none.
func (s *strip) explore(ctx context.Context, work, wait int) {
	b := s.b
	end := b.work + work
	patience, strikes := s.endurance()
	for ok := s.busy || s.next(); ok && b.work < end && ctx.Err() == nil && s.top.h > s.goal; {
		if b.separate(ctx, end-b.work, patience, strikes) {
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
		enough := b.part != nil && len(s.pool) > partTries // of this part
		if b.part == nil || enough {
			s.tries++
		}
		if s.tries > mostTries || b.work-s.won > wait {
			s.beginAgain()
			ok = s.next()
			continue
		}
		if enough {
			s.drift(ctx, end)
		}
		if s.bold > fineStep || enough {
			s.bold, s.pool = max(fineStep, s.bold/2), nil
			ok = s.next()
			continue
		}
		slices.SortStableFunc(s.pool, func(a, b failed) int { return cmp.Compare(a.cost, b.cost) })
		k := int(math.Abs(b.rng.NormFloat64()) * 0.25 * float64(len(s.pool)))
		b.restore(s.pool[min(k, len(s.pool)-1)].at)
		b.swapLarge()
		b.fresh()
	}
}

// swapLarge lets two large pieces of different shape change places.
func (b *board) swapLarge() {
	order := b.mobile()
	n := len(order)
	if n < 2 {
		return
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(b.pieces[j].body.weight, b.pieces[i].body.weight)
	})
	// Large are those that together make three quarters of the felt.
	sum, all := 0.0, 0.0
	for _, i := range order {
		all += b.pieces[i].body.area
	}
	m := 0
	for m < n && (m < 2 || sum < 0.75*all) {
		sum += b.pieces[order[m]].body.area
		m++
	}
	i := order[b.rng.IntN(m)]
	j := order[b.rng.IntN(m)]
	for tries := 0; tries < 20 && b.pieces[i].body == b.pieces[j].body; tries++ {
		j = order[b.rng.IntN(n)]
	}
	p, q := &b.pieces[i], &b.pieces[j]
	p.at, q.at = b.clamp(p.body, p.step, q.at), b.clamp(q.body, q.step, p.at)
	b.refreshAll()
}

// compress presses the best roll for so much work.
func (s *strip) compress(ctx context.Context, work int) {
	b := s.b
	begin := b.work
	for b.work < begin+work && ctx.Err() == nil && s.top.h > s.goal {
		// From the fine step down to the last one as the work is used up.
		done := float64(b.work-begin) / float64(work)
		step := fineStep * math.Pow(lastStep/fineStep, done)
		if !s.shorter(step) {
			return
		}
		if b.separate(ctx, begin+work-b.work, 50, 2) {
			s.keep(ctx)
		}
	}
}
