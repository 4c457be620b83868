package sheet

import (
	"slices"

	"strew/sheet/search"
)

// Laying one colour: every stock is tried as the one to buy, and the best pattern of
// two; then rolls are made shorter.

// lay lays all that is wanted on the kinds of stock; the cheapest result is kept.
// Where no stock is sold some may be left over.
func (p *chooser) lay(wants []want, kinds []int) []Sheet {
	sold := slices.DeleteFunc(slices.Clone(kinds), func(k int) bool { return p.stock[k].NotSold })
	if len(sold) == 0 {
		return p.fromDrawer(kinds, slices.Clone(wants))
	}
	var best []Sheet
	for i, main := range sold {
		if i > 0 && p.ctx.Err() != nil {
			break
		}
		s := p.trim(p.buying(order{main, 0, main}, wants, kinds), wants, sold)
		if i == 0 || p.cheaper(s, best) {
			best = s
		}
		p.offer(s, wants)
	}
	if o, ok := p.pattern(wants, kinds, sold); ok {
		if s := p.trim(p.buying(o, wants, kinds), wants, sold); p.cheaper(s, best) {
			best = s
		}
		p.offer(best, wants)
	}
	return best
}

// shortenRolls spends the work of the effort on the rolls among the sheets.
func (p *chooser) shortenRolls(sheets []Sheet, wants []want) {
	for i, s := range sheets {
		if !p.stock[s.Stock].Roll || p.opt.Effort == 0 {
			continue
		}
		sheets[i] = p.shortened(s, wants, p.rollEffort(len(s.Pieces)), func(epoch int, length float64) {
			now := slices.Clone(sheets)
			now[i].Height = length
			p.report(len(s.Pieces)*epoch/(search.Epochs+1), now, p.colour)
		})
	}
}
