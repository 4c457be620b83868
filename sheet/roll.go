package sheet

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"strew/motif/geom"
)

// A roll is made shorter step by step: its end is moved in, the pieces pushed
// over one another there are separated again, and where that fails two large
// pieces change places before the next try. At the end come small steps that
// press out the last air. (Exploration and compression of the paper named in
// separate.go.)
//
// Several strands with chances of their own work side by side in legs of a
// fixed amount of work, and after each leg all go on from the shortest: so the
// result does not depend on how many cores there are.

const (
	strands  = 2
	legs     = 6    // of them the last two compress
	boldStep = 0.02 // share of the length taken off at first
	fineStep = 0.001
	lastStep = 0.00002
)

// hope is the share of the length that a roll may still lose from each leg on,
// in our own trials. Where that saves no step of those it is sold by, the
// search ends.
var hope = [legs]float64{1, 0.06, 0.04, 0.03, 0.01, 0.003}

// strip is one strand's roll.
type strip struct {
	b    *board
	best snapshot
	h    float64 // of best
	bold float64
	pool []failed
	goal float64 // no shorter is asked for
}

// failed is an arrangement that could not be separated at the present length.
type failed struct {
	cost float64
	at   snapshot
}

// shorten spends about so much work on making the board shorter than it is.
// The board must hold no overlap, and holds none afterwards. Of a length that
// is wanted as much must be bought as cut says. It tells when a leg is done.
func shorten(ctx context.Context, b *board, goal float64, cut func(float64) float64, work int, seed uint64, workers int, told func(leg int)) {
	var ss [strands]*strip
	for k := range ss {
		c := b.clone(rand.New(rand.NewPCG(seed, uint64(k))))
		c.root = k%2 == 0
		c.h = c.end()
		ss[k] = &strip{b: c, best: c.save(), h: c.h, bold: boldStep, goal: goal}
	}
	for leg := range legs {
		last := leg >= legs-2
		inParallel(len(ss), workers, func(k int) {
			if last {
				ss[k].compress(ctx, work/legs, leg == legs-1)
			} else {
				ss[k].explore(ctx, work/legs)
			}
		})
		top := ss[0]
		for _, s := range ss[1:] {
			if s.h < top.h {
				top = s
			}
		}
		for _, s := range ss {
			if s != top && (last || top.h < s.h*(1-2*fineStep)) {
				s.best, s.h, s.pool = top.best, top.h, nil
				s.bold = min(s.bold, top.bold)
			}
		}
		told(leg + 1)
		if top.h <= goal || leg+1 < legs && cut(top.h*(1-hope[leg+1])) >= cut(top.h) || ctx.Err() != nil {
			break
		}
	}
	top := ss[0]
	for _, s := range ss[1:] {
		if s.h < top.h {
			top = s
		}
	}
	b.h = top.h
	b.restore(top.best)
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
	s.b.h = s.h
	s.b.restore(s.best)
	for i := range s.b.pieces {
		if p := &s.b.pieces[i]; p.at.Y > cut {
			p.at.Y -= s.h - h
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

// won keeps the board as the best.
func (s *strip) won() {
	s.h = min(s.h, s.b.end())
	s.best = s.b.save()
	s.pool = nil
}

func (s *strip) explore(ctx context.Context, work int) {
	b := s.b
	end := b.work + work
	shorter := func() bool { return s.cutTo(s.h*(1-s.bold), b.rng.Float64()*s.h) }
	for ok := shorter(); ok && b.work < end && ctx.Err() == nil && s.h > s.goal; {
		if b.separate(ctx, end-b.work, 100, 3) {
			s.won()
			ok = shorter()
			continue
		}
		if b.work >= end {
			return
		}
		if s.bold > fineStep {
			s.bold = max(fineStep, s.bold/2)
			ok = shorter()
			continue
		}
		s.pool = append(s.pool, failed{b.total(), b.save()})
		slices.SortStableFunc(s.pool, func(a, b failed) int { return cmp.Compare(a.cost, b.cost) })
		k := int(math.Abs(b.rng.NormFloat64()) * 0.25 * float64(len(s.pool)))
		b.restore(s.pool[min(k, len(s.pool)-1)].at)
		b.swapLarge()
		b.fresh()
	}
}

// swapLarge lets two large pieces of different shape change places.
func (b *board) swapLarge() {
	n := len(b.pieces)
	if n < 2 {
		return
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(b.pieces[j].body.weight, b.pieces[i].body.weight)
	})
	// Large are those that together make three quarters of the felt.
	sum, all := 0.0, 0.0
	for _, p := range b.pieces {
		all += p.body.area
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

func (s *strip) compress(ctx context.Context, work int, last bool) {
	b := s.b
	begin := b.work
	for b.work < begin+work && ctx.Err() == nil && s.h > s.goal {
		// From the fine step down to the last one as the work is used up.
		done := float64(b.work-begin) / float64(work) / 2
		if last {
			done += 0.5
		}
		step := fineStep * math.Pow(lastStep/fineStep, done)
		if !s.cutTo(s.h*(1-step), b.rng.Float64()*s.h) {
			return
		}
		if b.separate(ctx, begin+work-b.work, 50, 2) {
			s.won()
		}
	}
}

// inParallel calls do(0 … n-1) on so many goroutines.
func inParallel(n, workers int, do func(int)) {
	if workers <= 1 {
		for i := range n {
			do(i)
		}
		return
	}
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(n, workers) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				do(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// rollWork is how many places and pairs are looked at for a roll at effort 3,
// about ten seconds on two cores, and rollStep by how much each step of effort
// changes that. Rolls of several colours share it by their pieces, and where
// there are fewer than fewPieces they get less.
const (
	rollWork  = 110_000_000
	rollStep  = 1.29
	fewPieces = 10
)

// rollEffort returns how much work a roll of n pieces may take.
func (p *packer) rollEffort(n int) int {
	work := rollWork * math.Pow(rollStep, float64(p.opt.Effort-3))
	few := min(1, float64(n)/fewPieces)
	return int(work * few * few * float64(n) / float64(max(n, p.total)))
}

// shorter spends so much work on making the lay of a roll shorter. It ends early where the roll is as
// short as the bound, or as the steps it is sold by allow.
func (p *packer) shorter(s Sheet, wants []want, work int) Sheet {
	k, st := s.Stock, p.stock[s.Stock]
	wants = on([]Sheet{s}, wants)
	w, _ := st.inner()
	goal := lengthAtLeast(wants, w, p.opt.Gap, st.Nap)
	cut := func(h float64) float64 { return st.cutAt(h+2*st.Margin) - 2*st.Margin }
	goal = cut(goal)
	if s.Height-2*st.Margin <= goal+loosenBy {
		return s
	}
	var fs []*form
	for _, x := range wants {
		fs = append(fs, x.form)
	}
	bs := newBodies(fs, st.Nap, w, math.Inf(1))
	b := newBoard(w, math.Inf(1), bs, rand.New(rand.NewPCG(p.opt.Seed, strands)))
	end := 0.0
	for _, l := range p.laidOn(s, wants) {
		b.add(bs.piece(l))
		end = max(end, l.at.Y+l.box.Max.Y)
	}
	// The turns of the search may not be those of the start.
	b.h = max(end, b.end())
	if !b.separate(p.ctx, work/legs, 50, 2) {
		return s
	}
	shorten(p.ctx, b, goal+loosenBy, cut, work, p.opt.Seed, p.workers(), func(leg int) { p.tell(len(s.Pieces) * leg / (legs + 1)) })
	if b.h >= end {
		return s
	}
	return p.sheet(k, laidOf(b.pieces, 0))
}

// piece returns the piece that lies as l does, or as nearly as its turns allow.
func (c *bodies) piece(l laid) piece {
	for _, b := range c.all {
		if b.form == l.form {
			k := b.nearest(l.turn)
			if l.swap {
				l.at = geom.Vec{X: l.at.Y, Y: l.at.X}
			}
			return piece{body: b, step: k, at: l.at.Add(b.centre.Rotate(l.turn))}
		}
	}
	panic("sheet: a form without a body")
}

// laid returns the view that lies as the piece does.
func (p piece) laid() laid {
	t := p.body.poses[p.step].turn
	return laid{p.body.view(t, false), p.at.Sub(p.body.centre.Rotate(t))}
}
