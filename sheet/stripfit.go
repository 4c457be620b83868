package sheet

import (
	"math"

	"strew/sheet/search"
	"strew/sheet/shape"
)

// Strip fit: a sheet that is to hold more than any fill laid on it is taken for a roll
// of its width. The fill and, below it, what is missing make a roll that is too long,
// and it is made shorter until it is no longer than the sheet.

// fitted lays all the wants on one sheet of stock k, beginning from a fill with some
// of them, and returns how much work that took; ok is false if they do not fit within
// that much.
func (p improver) fitted(k int, wants []want, fill []shape.Laid, work int) (out []shape.Laid, took int, ok bool) {
	bed := p.stock[k].bed()
	f := &filler{bed: bed.CutAt(bed.Height() + roomFor(wants, p.opt.Gap)), nfps: p.cache.nfps.local()}
	for _, l := range fill {
		f.laid = append(f.laid, l.Upright())
	}
	for _, x := range wants {
		missing := x.n
		for _, l := range fill {
			if l.Form == x.Form {
				missing--
			}
		}
		var views []*shape.View
		for _, t := range x.Turns(f.bed, shape.FewTurns) {
			views = append(views, x.View(t, false))
		}
		if f.fill(p.ctx, views, missing) < missing {
			return nil, 0, false
		}
	}
	bs, ok := p.session.Bodies(p.ctx, formsOf(wants), bed.Open())
	if !ok {
		return nil, 0, false
	}
	r, ok := search.NewRoll(p.ctx, bed.Open(), bs, bs.Pieces(f.laid, 0), p.opt.Seed)
	if !ok {
		return nil, 0, false
	}
	r.CutAt(r.End())
	if !r.ComeApart(p.ctx, work/search.Epochs) {
		return nil, 0, false
	}
	h := bed.Height()
	r.Shorten(p.ctx, search.Shortening{
		Goal: h,
		Cut: func(length float64) float64 { // more than a sheet is useless
			if length <= h {
				return h
			}
			return math.MaxFloat64
		},
		Work: work, Wait: search.Wait(work, rollWork), Seed: p.opt.Seed, Workers: p.workers(),
		Told: func(epoch int, _ float64) { took = work * epoch / search.Epochs },
	})
	return r.Laid(), took, r.Height() <= h
}
