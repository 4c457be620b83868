package sheet

import (
	"math"

	"strew/motif/geom"
	"strew/sheet/search"
)

const (
	// rollWork is how many positions and pairs are evaluated for a roll at effort 3,
	// about ten seconds on two idle cores, and rollStep by how much each step of effort
	// changes that: about a minute at effort 10. Rolls of several colours share it by
	// their pieces.
	rollWork = 300_000_000
	rollStep = 1.3
	// fewPieces is the number of pieces below which a roll gets less, by the square.
	fewPieces = 10
	// uncachedShare is what rolls get of more penetration fields than a processor's
	// cache holds, where evaluations take nearly twice as long.
	uncachedShare = 0.6
	// loosenBy is how far a roll may grow to let touching pieces lie apart: ten rows'
	// worth.
	loosenBy = 10 * geom.Snug
)

// improver gets more onto sheets, and makes rolls shorter.
type improver struct{ filling }

// rollEffort returns how much work a roll of n pieces may take.
func (p improver) rollEffort(n int) int {
	work := rollWork * math.Pow(rollStep, float64(p.opt.Effort-3))
	few := min(1, float64(n)/fewPieces)
	return int(work * few * few * float64(n) / float64(max(n, p.all)))
}

// shortened spends the work on making the lay of a roll shorter. It ends early where
// the roll is as short as the bound, or as the steps it is sold by allow. It reports
// the length to cut after each epoch.
func (p improver) shortened(s Sheet, wants []want, work int, tell func(epoch int, length float64)) Sheet {
	st := p.stock[s.Stock]
	wants = on([]Sheet{s}, wants)
	if len(s.Pieces) > search.MostTogether || p.ctx.Err() != nil {
		return s
	}
	cut := func(h float64) float64 { return st.cutAt(h+2*st.Margin) - 2*st.Margin }
	goal := cut(p.lengthAtLeast(s.Stock, wants))
	if s.Height-2*st.Margin <= goal+loosenBy {
		return s
	}
	bed := st.bed()
	bs, ok := p.session.Bodies(p.ctx, formsOf(wants), bed)
	if !ok {
		return s
	}
	laid := p.laidOn(s, wants)
	r, ok := search.NewRoll(p.ctx, bed, bs, bs.Pieces(laid, 0), p.opt.Seed)
	if !ok {
		return s
	}
	if r.Uncached() {
		work = int(uncachedShare * float64(work))
	}
	end := 0.0
	for _, l := range laid {
		end = max(end, l.At.Y+l.Box.Max.Y)
	}
	r.CutAt(max(end, r.End()))
	if !r.ComeApart(p.ctx, work/search.Epochs) {
		return s
	}
	r.Shorten(p.ctx, search.Shortening{
		Goal: goal + loosenBy, Cut: cut, Work: work, Wait: math.MaxInt, Seed: p.opt.Seed, Workers: p.workers(),
		Told: func(epoch int, h float64) { tell(epoch, min(s.Height, cut(h)+2*st.Margin)) },
	})
	if r.Height() >= end {
		return s
	}
	return p.sheet(s.Stock, r.Laid())
}
