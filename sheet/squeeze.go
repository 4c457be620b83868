package sheet

import (
	"math"
	"math/rand/v2"

	"strew/motif/geom"
)

// One more piece: a sheet that is to hold more than any fill laid on it is taken
// for a roll of its width. The fill and, below it, what is missing make a roll
// that is too long, and it is made shorter until it is no longer than the sheet.

// squeezed lays all the wants on one sheet of stock k, beginning from a fill with
// some of them, and returns how much work that took; ok is false where they do not come
// to fit within so much.
func (p *packer) squeezed(k int, wants []want, fill []laid, work int) (out []laid, took int, ok bool) {
	st := p.stock[k]
	w, h := st.inner()
	f := &filler{w: w, h: h + p.rollRoom(wants, w), nofits: p.known.nofits.local()}
	for _, l := range fill {
		f.laid = append(f.laid, l.upright())
	}
	var fs []*form
	for _, x := range wants {
		missing := x.n
		for _, l := range fill {
			if l.form == x.form {
				missing--
			}
		}
		var views []*view
		for _, t := range x.turns(st.Nap, w, f.h, fewTurns) {
			views = append(views, x.view(t, false))
		}
		if f.fill(p.ctx, views, missing) < missing {
			return nil, 0, false
		}
		fs = append(fs, x.form)
	}
	bs := p.known.bodies(fs, st.Nap, w, math.Inf(1))
	b := newBoard(w, math.Inf(1), bs, rand.New(rand.NewPCG(p.opt.Seed, strands)))
	for _, l := range f.laid {
		b.add(bs.piece(l))
	}
	b.h = b.end()
	if !b.comeApart(p.ctx, work/legs) {
		return nil, 0, false
	}
	// One sheet, or no use.
	cut := func(length float64) float64 {
		if length <= h {
			return h
		}
		return math.MaxFloat64
	}
	shorten(p.ctx, b, h, cut, work, wait(work), p.opt.Seed, p.workers(), func(leg int) { took = work * leg / legs })
	return laidOf(b.pieces, 0), took, b.h <= h
}

// upright returns the piece as it lies, in a view that is not mirrored.
func (l laid) upright() laid {
	if !l.swap {
		return l
	}
	return laid{l.form.view(l.turn, false), geom.Vec{X: l.at.Y, Y: l.at.X}}
}
