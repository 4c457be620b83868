package sheet

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// Choosing stock: what is in the drawer is used first, then sheets of one stock
// are bought, and each stock is tried as that one; so are some sheets of one
// stock and the rest of another (patterns.go). The last sheet may be swapped for a
// cheaper one that holds its pieces as well. Rolls are compared as quickly filled;
// only those chosen are made shorter.

// chooser lays one colour on the stock that is best.
type chooser struct {
	improver
	colour string
	best   []Sheet // the best lay of all pieces so far, as reported
}

// offer reports a lay of all wants that is the best so far.
func (p *chooser) offer(sheets []Sheet, wants []want) {
	if p.tell == nil || short(sheets, wants, p.items) != nil || p.best != nil && !p.cheaper(sheets, p.best) {
		return
	}
	p.best = slices.Clone(sheets)
	p.report(0, p.best, p.colour)
}

// order is what to buy: n sheets of the first stock, and the rest of the main one.
type order struct{ first, n, main int }

// fromDrawer lays what it can on the felt in the drawer, and takes it off left.
func (p *chooser) fromDrawer(kinds []int, left []want) []Sheet {
	var out []Sheet
	for _, k := range kinds {
		if n := p.stock[k].InDrawer; n > 0 {
			out = append(out, p.layOn(k, left, n)...)
		}
	}
	return out
}

// buying lays the wants on what is in the drawer, and then on what is ordered; what
// the main stock does not hold goes on the others that are sold, in their order.
func (p *chooser) buying(o order, wants []want, kinds []int) []Sheet {
	left := slices.Clone(wants)
	main := o.main
	kinds = append([]int{main}, slices.DeleteFunc(slices.Clone(kinds), func(k int) bool { return k == main })...)
	out := p.fromDrawer(kinds, left)
	out = append(out, p.layOn(o.first, left, o.n)...)
	// Too large for the main stock: first, so that the small ones fill up.
	for _, k := range kinds[1:] {
		for !p.stock[k].NotSold && slices.ContainsFunc(left, func(w want) bool { return w.n > 0 && !p.holds(main, w.form) && p.holds(k, w.form) }) {
			s := p.layOn(k, left, 1)
			if len(s) == 0 {
				break
			}
			out = append(out, s...)
		}
	}
	out = append(out, p.layOn(main, left, math.MaxInt)...)
	p.offer(out, wants)
	return p.eliminated(main, out, wants, func(s []Sheet) { p.offer(s, wants) })
}

// layOn lays what is left on at most n sheets of stock k, and takes it off left.
func (p *chooser) layOn(k int, left []want, n int) []Sheet {
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
			left[i].n -= times * counts[left[i].Item]
		}
		for range times {
			out = append(out, s)
		}
		n -= times
	}
	return out
}

// short returns what has no room on the sheets, nil where all has.
func short(sheets []Sheet, wants []want, items []Item) *ShortError {
	var e *ShortError
	laid := map[int]int{}
	for _, s := range sheets {
		for _, q := range s.Pieces {
			laid[q.Item]++
		}
	}
	for _, w := range wants {
		left := w.n - laid[w.Item]
		switch {
		case left > 0 && e == nil:
			e = &ShortError{Item: items[w.Item].Name, Left: left}
		case left > 0:
			e.More += left
		}
	}
	return e
}

// cheaper reports whether lay a costs less than b, or as much and takes less
// felt, or as much felt on fewer sheets. Where one price is not known, felt
// decides; where the fewest sheets are asked for, their number does first.
func (p *chooser) cheaper(a, b []Sheet) bool {
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
func (p *chooser) cost(sheets []Sheet) (price, felt float64, known bool) {
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

// trim lays the pieces of the last bought sheet on a cheaper stock, if one
// sheet of it holds them all.
func (p *chooser) trim(sheets []Sheet, wants []want, kinds []int) []Sheet {
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
