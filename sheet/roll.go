package sheet

import (
	"math"
	"math/rand/v2"
	"sync"

	"strew/motif/geom"
)

// rollWork is how many places and pairs are looked at for a roll at effort 3,
// about ten seconds on two idle cores, and rollStep by how much each step of effort
// changes that: about a minute at effort 10. Rolls of several colours share it by
// their pieces, and where there are fewer than fewPieces they get less. So do those of
// more clashes than a processor's cache holds, for looks at these take nearly twice as long.
const (
	rollWork      = 300_000_000
	rollStep      = 1.3
	fewPieces     = 10
	uncachedShare = 0.6
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
	bs := p.known.bodies(fs, st.Nap, w, math.Inf(1))
	b := newBoard(w, math.Inf(1), bs, rand.New(rand.NewPCG(p.opt.Seed, strands)))
	if b.uncached() {
		work = int(uncachedShare * float64(work))
	}
	end := 0.0
	for _, l := range p.laidOn(s, wants) {
		b.add(bs.piece(l))
		end = max(end, l.at.Y+l.box.Max.Y)
	}
	b.h = max(end, b.end())
	if !b.comeApart(p.ctx, work/legs) {
		return s
	}
	shorten(p.ctx, b, goal+loosenBy, cut, work, math.MaxInt, p.opt.Seed, p.workers(), func(leg int) { p.tell(len(s.Pieces) * leg / (legs + 1)) })
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
