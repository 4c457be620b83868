package sheet

import (
	"strew/motif/geom"
	"strew/sheet/search"
)

// Touching pieces. Where the gap is 0 pieces may touch. But a lay is written to a file
// in rounded numbers, and whoever reads it back and finds two outlines on one another
// has to guess whether they touch or overlap. So pieces keep geom.Snug apart wherever
// that costs no felt; they are laid without it only where they fit no other way, as the
// tiles of a floor do.

// loosenWork is how many positions and pairs are evaluated to loosen a sheet, for each
// of its pieces: a moment.
const loosenWork = 20_000

// layApart lays all that is wanted on the kinds of stock, with room between pieces where
// there is any, and makes rolls shorter. The wants have the gap asked for.
func (p *chooser) layApart(wants []want, kinds []int) []Sheet {
	if p.opt.Gap >= geom.Snug {
		s := p.lay(wants, kinds)
		p.shortenRolls(s, wants)
		return s
	}
	loose := p.wants(p.colour, geom.Snug)
	best := p.lay(loose, kinds)
	whole := short(best, wants, p.items) == nil
	if whole && (p.ctx.Err() != nil || len(kinds) == 1 && p.leastFelt(best, wants)) {
		return best
	}
	// Rolls are searched without the slack, and take it afterwards if they can.
	tight := p.lay(wants, kinds)
	p.shortenRolls(tight, wants)
	for i, s := range tight {
		tight[i] = p.loosened(s, loose)
	}
	if !whole || p.cheaper(tight, best) {
		return tight
	}
	return best
}

// leastFelt reports whether the sheets are all of one stock, and no fewer or no
// shorter ones can do.
func (p *chooser) leastFelt(sheets []Sheet, wants []want) bool {
	for _, s := range sheets {
		if s.Stock != sheets[0].Stock {
			return false
		}
	}
	if len(sheets) == 0 {
		return true
	}
	k := sheets[0].Stock
	if st := p.stock[k]; st.Roll {
		return sheets[0].Height <= st.cutAt(p.lengthAtLeast(k, wants)+2*st.Margin)+geom.Touch
	}
	return len(sheets) <= p.sheetsAtLeast(k, wants)
}

// loosened returns the sheet with its pieces geom.Snug apart, or as it is where there
// is no room for that or no time; the forms of loose keep that gap.
func (p *chooser) loosened(s Sheet, loose []want) Sheet {
	st := p.stock[s.Stock]
	bed := st.bed()
	if len(s.Pieces) > search.MostTogether {
		return s
	}
	bs, ok := p.session.Bodies(p.ctx, formsOf(on([]Sheet{s}, loose)), bed.Open())
	if !ok {
		return s
	}
	if st.Roll {
		bed = bed.CutAt(s.Height - 2*st.Margin)
		if st.SoldBy <= 0 {
			bed = bed.CutAt(bed.Height() + loosenBy)
		}
	}
	var pieces []search.Piece
	for _, l := range p.laidOn(s, loose) {
		q, exact := bs.Piece(l, 0)
		if !exact {
			return s // laid by a turn that the search does not know
		}
		// A little farther from the corner: that parts most of them.
		pieces = append(pieces, q.Scaled(1+loosenBy/bed.Height()))
	}
	r, ok := search.NewRoll(p.ctx, bed, bs, pieces, p.opt.Seed)
	if !ok || !r.Separate(p.ctx, loosenWork*len(pieces)) {
		return s
	}
	return p.sheet(s.Stock, r.Laid())
}
