package sheet

import (
	"context"
	"math"
	"math/rand/v2"

	"strew/motif/geom"
)

// Where the gap is 0 pieces may touch. But a lay is written to a file in rounded
// numbers, and whoever reads it back and finds two outlines on one another has
// to guess whether they touch or overlap. So pieces keep geom.Snug apart wherever
// that costs no felt; they are laid without only where they fit no other
// way, as the tiles of a floor do.

// snugly lays all that is wanted in one colour and makes its rolls shorter.
// The wants have the gap asked for.
func (p *packer) snugly(colour string, wants []want, kinds []int) []Sheet {
	if p.opt.Gap >= geom.Snug {
		s := p.colour(wants, kinds)
		p.shorterRolls(s, wants)
		return s
	}
	loose, kinds, err := p.sort(colour, geom.Snug)
	if err != nil {
		panic("sheet: " + err.Error()) // the gap has no part in it
	}
	best := p.colour(loose, kinds)
	whole := short(best, wants) == nil
	if whole && (p.ctx.Err() != nil || len(kinds) == 1 && p.leastFelt(best, wants)) {
		return best
	}
	// Rolls are searched without the slack, and take it afterwards if they can.
	tight := p.colour(wants, kinds)
	p.shorterRolls(tight, wants)
	for i, s := range tight {
		tight[i] = p.loosen(s, loose)
	}
	if !whole || p.cheaper(tight, best) {
		return tight
	}
	return best
}

// leastFelt reports whether the sheets are all of one stock, and no fewer or no
// shorter ones can do.
func (p *packer) leastFelt(sheets []Sheet, wants []want) bool {
	for _, s := range sheets {
		if s.Stock != sheets[0].Stock {
			return false
		}
	}
	if len(sheets) == 0 {
		return true
	}
	st := p.stock[sheets[0].Stock]
	w, h := st.inner()
	if st.Roll {
		return sheets[0].Height <= st.cutAt(lengthAtLeast(wants, w, p.opt.Gap, st.Nap)+2*st.Margin)+geom.Touch
	}
	return len(sheets) <= sheetsAtLeast(wants, w, h, p.opt.Gap)
}

const (
	// loosenWork is how many places and pairs are looked at to loosen a sheet,
	// for each of its pieces.
	loosenWork = 20_000
	// loosenBy is how far a roll may grow for it: ten rows' worth.
	loosenBy = 10 * geom.Snug
)

// loosen returns the sheet with its pieces geom.Snug apart, or as it is where
// there is no room for that; the forms of loose keep that gap.
func (p *packer) loosen(s Sheet, loose []want) Sheet {
	st := p.stock[s.Stock]
	w, h := st.inner()
	if st.Roll {
		h = s.Height - 2*st.Margin
		if st.SoldBy <= 0 {
			h += loosenBy
		}
	}
	var fs []*form
	for _, x := range on([]Sheet{s}, loose) {
		fs = append(fs, x.form)
	}
	bs := p.known.bodies(fs, st.Nap, w, math.Inf(1))
	b := newBoard(w, h, bs, rand.New(rand.NewPCG(p.opt.Seed, strands)))
	for _, l := range p.laidOn(s, loose) {
		q := bs.piece(l)
		if math.Abs(math.Remainder(q.body.poses[q.step].turn-l.turn, 2*math.Pi)) > geom.SameAngle && !q.body.round {
			return s // laid by a turn that the search does not know
		}
		// A little farther from the corner: that parts most of them.
		q.at = q.at.Mul(1 + loosenBy/h)
		b.add(q)
	}
	// A moment's work, and worth it even where the rest was stopped.
	if !b.separate(context.WithoutCancel(p.ctx), loosenWork*len(b.pieces), 100, 3) {
		return s
	}
	return p.sheet(s.Stock, laidOf(b.pieces, 0))
}
