package sheet

import (
	"math"

	"strew/motif/geom"
)

// Cutting-stock patterns over two stocks: some sheets of one and the rest of the
// other, since the most expensive felt is what is bought and not cut. Numbers are
// tried by quick fills, and only those that may be cheaper by their area (the
// cutting-stock problem with several stock sizes: P. C. Gilmore and R. E. Gomory,
// Operations Research 9, 1961, cited from memory; two stocks are few enough to try).

const (
	// mostMixed is up to how many sheets of the first stock are tried: a bound on the
	// time of a large order.
	mostMixed = 24
	// mixedFuller is by how much sheets of a pattern may come out fuller than those of
	// one stock alone, for its last sheet need not stay half empty.
	mixedFuller = 1.05
)

// pattern looks for an order of two stocks that costs less than any stock alone, all
// quickly filled. A pattern never saves sheets, so there is none where the fewest are
// asked for.
func (p *chooser) pattern(wants []want, kinds, sold []int) (best order, ok bool) {
	if len(sold) < 2 || p.opt.Fewest || p.ctx.Err() != nil {
		return order{}, false
	}
	quick := p.quick()
	var cheapest []Sheet
	alone := map[int]int{} // sheets of each stock where it is the one to buy
	share := 0.0           // of a sheet's room, the most that is laid
	for _, k := range sold {
		s := quick.buying(order{k, 0, k}, wants, kinds)
		for _, x := range s {
			if x.Stock == k {
				alone[k]++
			}
			share = max(share, p.grownOf(on([]Sheet{x}, wants))/p.roomOf(x.Stock))
		}
		if s = quick.trim(s, wants, sold); cheapest == nil || p.cheaper(s, cheapest) {
			cheapest = s
		}
	}
	for _, a := range sold {
		for _, b := range sold {
			if a == b || p.stock[a].Roll || p.stock[b].Roll {
				continue
			}
			for n := 1; n < min(alone[a], mostMixed) && p.ctx.Err() == nil; n++ {
				o := order{a, n, b}
				if !p.mayBeCheaper(o, wants, kinds, mixedFuller*share, cheapest) {
					continue
				}
				s := quick.trim(quick.buying(o, wants, kinds), wants, sold)
				if p.cheaper(s, cheapest) {
					cheapest, best, ok = s, o, true
				}
			}
		}
	}
	return best, ok
}

// quick returns a chooser that lays at effort 0 and reports no progress.
func (p *chooser) quick() *chooser {
	c := *p.call
	c.opt.Effort, c.tell = 0, nil
	return &chooser{improver: improver{filling{&c}}, colour: p.colour}
}

// mayBeCheaper reports whether an order of the fewest sheets of the main stock that
// could hold what is left, if so full a share of them were laid, costs no more than
// the best, or takes no more felt.
func (p *chooser) mayBeCheaper(o order, wants []want, kinds []int, share float64, best []Sheet) bool {
	left := p.grownOf(wants) - share*float64(o.n)*p.roomOf(o.first)
	for _, k := range kinds {
		if p.stock[k].InDrawer > 0 { // never a roll
			left -= share * float64(p.stock[k].InDrawer) * p.roomOf(k)
		}
	}
	n, m := float64(o.n), math.Ceil(max(0, left/share/p.roomOf(o.main)))
	a, b := p.stock[o.first], p.stock[o.main]
	price, felt, known := p.cost(best)
	if known && a.Price > 0 && b.Price > 0 {
		return n*a.Price+m*b.Price <= price*(1+geom.SameRatio)
	}
	return n*a.Width*a.Height+m*b.Width*b.Height <= felt*(1+geom.SameRatio)
}
