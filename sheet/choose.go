package sheet

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// Choosing stock: what is in the drawer is used first, then sheets of one stock
// are bought, and each stock is tried as that one; so are some sheets of one
// stock and the rest of another, as quickly filled, for the dearest felt is that
// which is bought and not cut. The last sheet may be swapped for a cheaper one
// that holds its pieces as well. Rolls are compared as quickly filled; only the
// one chosen is made shorter: see snug.go.

// colour lays all that is wanted in one colour; the cheapest result is kept.
// Where no stock is sold some may be left over.
func (p *packer) colour(wants []want, kinds []int) []Sheet {
	sold := slices.DeleteFunc(slices.Clone(kinds), func(k int) bool { return p.stock[k].NotSold })
	if len(sold) == 0 {
		return p.fromDrawer(kinds, slices.Clone(wants))
	}
	var best []Sheet
	for i, main := range sold {
		if i > 0 && p.ctx.Err() != nil {
			break
		}
		s := p.trim(p.buying(main, 0, main, wants, kinds), wants, sold)
		if i == 0 || p.cheaper(s, best) {
			best = s
		}
	}
	if first, n, rest, ok := p.mixture(wants, kinds, sold); ok {
		if s := p.trim(p.buying(first, n, rest, wants, kinds), wants, sold); p.cheaper(s, best) {
			best = s
		}
	}
	return best
}

// mostMixed is up to how many sheets of one stock are tried before the rest is
// laid on another.
const mostMixed = 24

// mixture looks for two stocks of which so many sheets of the first and the rest
// of the other cost less than any stock alone, all quickly filled. Of fewer
// sheets a mixture never is.
func (p *packer) mixture(wants []want, kinds, sold []int) (first, n, rest int, ok bool) {
	if len(sold) < 2 || p.opt.Fewest || p.ctx.Err() != nil {
		return 0, 0, 0, false
	}
	quick := *p
	quick.opt.Effort = 0
	var best []Sheet
	alone := map[int]int{} // sheets of each stock where it is the one to buy
	share := 0.0           // of a sheet's room, the most that is laid
	for _, k := range sold {
		s := quick.buying(k, 0, k, wants, kinds)
		for _, x := range s {
			if x.Stock == k {
				alone[k]++
			}
			share = max(share, grownOf(on([]Sheet{x}, wants))/p.room(x.Stock))
		}
		if s = quick.trim(s, wants, sold); best == nil || p.cheaper(s, best) {
			best = s
		}
	}
	for _, a := range sold {
		for _, b := range sold {
			if a == b || p.stock[a].Roll || p.stock[b].Roll {
				continue
			}
			for x := 1; x < min(alone[a], mostMixed) && p.ctx.Err() == nil; x++ {
				if !p.mayBeCheaper(a, x, b, wants, kinds, mixedFuller*share, best) {
					continue
				}
				s := quick.trim(quick.buying(a, x, b, wants, kinds), wants, sold)
				if p.cheaper(s, best) {
					best, first, n, rest, ok = s, a, x, b, true
				}
			}
		}
	}
	return first, n, rest, ok
}

// mixedFuller is by how much sheets of a mixture may come out fuller than those
// of one stock alone, for its last sheet need not stay half empty.
const mixedFuller = 1.05

// mayBeCheaper reports whether n sheets of the first stock and the fewest of the
// rest that could hold what is left, if so full a share of them were laid, cost
// no more than the best, or take no more felt.
func (p *packer) mayBeCheaper(first, n, rest int, wants []want, kinds []int, share float64, best []Sheet) bool {
	left := grownOf(wants) - share*float64(n)*p.room(first)
	for _, k := range kinds {
		if p.stock[k].InDrawer > 0 { // never a roll
			left -= share * float64(p.stock[k].InDrawer) * p.room(k)
		}
	}
	m := math.Ceil(max(0, left/share/p.room(rest)))
	a, b := p.stock[first], p.stock[rest]
	price, felt, known := p.cost(best)
	if known && a.Price > 0 && b.Price > 0 {
		return float64(n)*a.Price+m*b.Price <= price*(1+geom.SameRatio)
	}
	return float64(n)*a.Width*a.Height+m*b.Width*b.Height <= felt*(1+geom.SameRatio)
}

// grownOf returns the area of all wanted pieces, grown by half the gap.
func grownOf(wants []want) float64 {
	a := 0.0
	for _, x := range wants {
		a += float64(x.n) * x.grown()
	}
	return a
}

// shorterRolls spends the work of the effort on the rolls among the sheets.
func (p *packer) shorterRolls(sheets []Sheet, wants []want) {
	for i, s := range sheets {
		if p.stock[s.Stock].Roll && p.opt.Effort > 0 {
			sheets[i] = p.shorter(s, wants, p.rollEffort(len(s.Pieces)))
		}
	}
}

// fromDrawer lays what it can on the felt in the drawer, and takes it off left.
func (p *packer) fromDrawer(order []int, left []want) []Sheet {
	var out []Sheet
	for _, k := range order {
		if n := p.stock[k].InDrawer; n > 0 {
			out = append(out, p.lay(k, left, n)...)
		}
	}
	return out
}

// buying lays the wants on what is in the drawer, then on n more sheets of the
// first stock, and then on sheets of the main one; what the main stock does not
// hold goes on the others that are sold, in their order.
func (p *packer) buying(first, n, main int, wants []want, kinds []int) []Sheet {
	left := slices.Clone(wants)
	order := append([]int{main}, slices.DeleteFunc(slices.Clone(kinds), func(k int) bool { return k == main })...)
	out := p.fromDrawer(order, left)
	out = append(out, p.lay(first, left, n)...)
	// Too large for the main stock: first, so that the small ones fill up.
	for _, k := range order[1:] {
		for !p.stock[k].NotSold && slices.ContainsFunc(left, func(w want) bool { return w.n > 0 && !p.holds(main, w.form) && p.holds(k, w.form) }) {
			s := p.lay(k, left, 1)
			if len(s) == 0 {
				break
			}
			out = append(out, s...)
		}
	}
	return p.fewer(main, append(out, p.lay(main, left, math.MaxInt)...), wants)
}

// short returns what finds no place on the sheets, nil where all does.
func short(sheets []Sheet, wants []want) *ShortError {
	var e *ShortError
	laid := map[int]int{}
	for _, s := range sheets {
		for _, q := range s.Pieces {
			laid[q.Item]++
		}
	}
	for _, w := range wants {
		left := w.n - laid[w.item]
		switch {
		case left > 0 && e == nil:
			e = &ShortError{Item: w.name, Left: left}
		case left > 0:
			e.More += left
		}
	}
	return e
}

// lay lays what is left on at most n sheets of stock k, and takes it off left.
func (p *packer) lay(k int, left []want, n int) []Sheet {
	st := p.stock[k]
	var out []Sheet
	for n > 0 {
		var waiting []want
		for _, w := range left {
			if w.n > 0 && p.holds(k, w.form) {
				waiting = append(waiting, w)
			}
		}
		if len(waiting) == 0 {
			break
		}
		s := p.fillOne(k, waiting)
		if len(s.Pieces) == 0 {
			break
		}
		// The same sheet again, as often as the counts allow.
		counts, times := repeats(s, left, n)
		if st.Roll {
			times = 1
		} else if len(waiting) > 1 {
			s = p.packedFuller(k, s, waiting, times)
			counts, times = repeats(s, left, n)
		}
		for i := range left {
			left[i].n -= times * counts[left[i].item]
		}
		for range times {
			out = append(out, s)
		}
		n -= times
	}
	return out
}

// repeats returns how many of each item lie on the sheet, and how often it can be
// repeated with what is left, at most n times.
func repeats(s Sheet, left []want, n int) (counts map[int]int, times int) {
	counts, times = map[int]int{}, n
	for _, q := range s.Pieces {
		counts[q.Item]++
	}
	for _, w := range left {
		if c := counts[w.item]; c > 0 {
			times = min(times, w.n/c)
		}
	}
	return counts, times
}

// cheaper reports whether lay a costs less than b, or as much and takes less
// felt, or as much felt on fewer sheets. Where one price is not known, felt
// decides; where the fewest sheets are asked for, their number does first.
func (p *packer) cheaper(a, b []Sheet) bool {
	if p.opt.Fewest && len(a) != len(b) {
		return len(a) < len(b)
	}
	ca, fa, ka := p.cost(a)
	cb, fb, kb := p.cost(b)
	if ka && kb && math.Abs(ca-cb) > geom.SameRatio*math.Max(ca, cb) {
		return ca < cb
	}
	if math.Abs(fa-fb) > geom.SameRatio*math.Max(fa, fb) {
		return fa < fb
	}
	return len(a) < len(b)
}

// cost returns the price and the felt of what must be bought for the sheets,
// and whether all prices are known.
func (p *packer) cost(sheets []Sheet) (price, felt float64, known bool) {
	known = true
	drawer := map[int]int{}
	for _, s := range sheets {
		if drawer[s.Stock]++; drawer[s.Stock] <= p.stock[s.Stock].InDrawer {
			continue
		}
		st := p.stock[s.Stock]
		price += st.priceOf(s.Height)
		felt += st.Width * s.Height
		known = known && st.Price > 0
	}
	return price, felt, known
}

// priceOf returns the price of a sheet, or of a roll cut at the height.
func (s Stock) priceOf(height float64) float64 {
	if !s.Roll {
		return s.Price
	}
	per := s.PricePer
	if per <= 0 {
		per = 1000
	}
	return s.Price * height / per
}

// trim lays the pieces of the last bought sheet on a cheaper stock, if one
// sheet of it holds them all.
func (p *packer) trim(sheets []Sheet, wants []want, kinds []int) []Sheet {
	if len(sheets) == 0 {
		return sheets
	}
	last := sheets[len(sheets)-1]
	waiting := on([]Sheet{last}, wants)
	for _, k := range kinds {
		if k == last.Stock || slices.ContainsFunc(waiting, func(w want) bool { return !p.holds(k, w.form) }) {
			continue
		}
		s := p.fillOne(k, waiting)
		if len(s.Pieces) != len(last.Pieces) {
			continue
		}
		with := append(slices.Clone(sheets[:len(sheets)-1]), s)
		if p.cheaper(with, sheets) {
			sheets = with
		}
	}
	return sheets
}

// on returns how many of each of the wants lie on the sheets.
func on(sheets []Sheet, wants []want) []want {
	var out []want
	for _, w := range wants {
		n := 0
		for _, s := range sheets {
			for _, q := range s.Pieces {
				if q.Item == w.item {
					n++
				}
			}
		}
		if n > 0 {
			out = append(out, want{w.form, n})
		}
	}
	return out
}
