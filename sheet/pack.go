package sheet

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Pack lays every item's count on sheets of its colour.
//
// Sheets in the drawer are used first; what is bought is of the stock that
// costs least, or takes least felt where a price is not known. Once the context
// is done, the best lay so far is returned within a fifth of a second, with what was
// not yet laid in rows; its Stopped is set. The error is a *FitError, *ColourError,
// *ShortError or *StockError.
func Pack(ctx context.Context, items []Item, stock []Stock, opt Options) (Lay, error) {
	if err := checkInput(items, stock, opt); err != nil {
		return Lay{}, err
	}
	kept, release := opt.Cache.take()
	defer release()
	p := newCall(ctx, items, stock, opt, kept)
	var lay Lay
	for _, colour := range colours(items) {
		wants := p.wants(colour, opt.Gap)
		kinds, err := p.kinds(colour, wants)
		if err != nil {
			return Lay{}, err
		}
		c := &chooser{improver: improver{filling{p}}, colour: colour}
		sheets := c.layApart(wants, kinds)
		if e := short(sheets, wants, items); e != nil {
			e.Colour = colour
			return Lay{}, e
		}
		lay.Needs = append(lay.Needs, p.numbered(sheets, wants, colour)...)
		lay.Sheets = append(lay.Sheets, sheets...)
	}
	lay.Stopped = ctx.Err() != nil
	mustHold(items, stock, lay, opt.Gap)
	return lay, nil
}

// colours returns the colours of the items wanted, in order of appearance.
func colours(items []Item) []string {
	var out []string
	for _, it := range items {
		if it.Count > 0 && !slices.ContainsFunc(out, func(c string) bool { return strings.EqualFold(c, it.Colour) }) {
			out = append(out, it.Colour)
		}
	}
	return out
}

// wants returns what is wanted in a colour, large pieces first, made ready to lie the
// gap apart.
func (p *call) wants(colour string, gap float64) []want {
	least := math.Inf(1) // the narrowest piece, by its widest circle
	in := func(it Item) bool { return it.Count > 0 && strings.EqualFold(it.Colour, colour) }
	for _, it := range p.items {
		if in(it) {
			least = math.Min(least, p.cache.inscribed(it.Shape))
		}
	}
	var out []want
	for i, it := range p.items {
		if in(it) {
			out = append(out, want{p.cache.form(i, it, gap, least), it.Count})
		}
	}
	slices.SortStableFunc(out, func(a, b want) int { return cmp.Compare(b.Hull.Area(), a.Hull.Area()) })
	return out
}

// kinds returns the stocks that come in a colour and hold at least one of the pieces.
// The error says that there is none, or that one of the pieces fits on none.
func (p *call) kinds(colour string, wants []want) ([]int, error) {
	var kinds, listed []int
	for k, s := range p.stock {
		if !s.comesIn(colour) || s.NotSold && s.InDrawer == 0 {
			continue
		}
		listed = append(listed, k)
		if slices.ContainsFunc(wants, func(w want) bool { return p.holds(k, w.form) }) {
			kinds = append(kinds, k)
		}
	}
	if len(listed) == 0 {
		e := &ColourError{Item: p.items[wants[0].Item].Name, Colour: colour}
		for _, s := range p.stock {
			for _, c := range s.Colours {
				if !slices.Contains(e.Have, c) {
					e.Have = append(e.Have, c)
				}
			}
		}
		return nil, e
	}
	for _, w := range wants {
		if !slices.ContainsFunc(kinds, func(k int) bool { return p.holds(k, w.form) }) {
			return nil, p.tooLarge(w, colour, listed)
		}
	}
	return kinds, nil
}

// tooLarge returns the error of a piece that fits on none of the stocks listed.
func (p *call) tooLarge(w want, colour string, listed []int) *FitError {
	b := w.Region.Box()
	e := &FitError{Item: p.items[w.Item].Name, Colour: colour, Width: b.Width(), Height: b.Height()}
	for _, k := range listed {
		bed := p.stock[k].bed()
		if e.Largest == "" || bed.Width()*bed.Height() > e.Holds[0]*e.Holds[1] {
			e.Largest, e.Holds = p.stock[k].Name, [2]float64{bed.Width(), bed.Height()}
		}
	}
	return e
}

// numbered numbers the sheets of a colour, stock by stock, and returns what to have
// of each.
func (p *call) numbered(sheets []Sheet, wants []want, colour string) []Need {
	slices.SortStableFunc(sheets, func(a, b Sheet) int { return a.Stock - b.Stock })
	count := map[int]int{}
	for i := range sheets {
		s := &sheets[i]
		count[s.Stock]++
		s.Colour, s.Number = colour, count[s.Stock]
	}
	out := needs(p.stock, sheets, colour)
	for i := range out {
		out[i].AtLeast = p.atLeast(out[i].Stock, wants, colour)
	}
	p.finish(total(wants), out)
	return out
}

// atLeast returns the proven least number of sheets of stock k: for the pieces
// that no other stock of the colour holds. For a roll it is a length in whole
// millimetres, or a whole number of steps.
func (p *call) atLeast(k int, wants []want, colour string) int {
	st := p.stock[k]
	var only []want
	for _, w := range wants {
		other := false
		for j := range p.stock {
			other = other || j != k && p.stock[j].comesIn(colour) && p.holds(j, w.form)
		}
		if !other {
			only = append(only, w)
		}
	}
	switch {
	case len(only) == 0:
		return 0
	case !st.Roll:
		return p.sheetsAtLeast(k, only)
	}
	l := p.lengthAtLeast(k, only) + 2*st.Margin
	if st.SoldBy > 0 {
		return int(math.Floor(math.Ceil(l/st.SoldBy-noise)*st.SoldBy + noise))
	}
	return int(math.Floor(l))
}

// noise is taken off a quotient of lengths before it is rounded up, so that float
// noise cannot raise a bound.
const noise = 1e-6

// mustHold panics if the lay breaks the request: that is a bug, and felt is cut by it.
func mustHold(items []Item, stock []Stock, lay Lay, gap float64) {
	count := make([]int, len(items))
	for i, s := range lay.Sheets {
		for _, q := range s.Pieces {
			count[q.Item]++
		}
		if i > 0 && s.Stock == lay.Sheets[i-1].Stock && slices.Equal(s.Pieces, lay.Sheets[i-1].Pieces) {
			continue // the same sheet again
		}
		if err := check(items, stock[s.Stock], s, gap); err != nil {
			panic("sheet: " + err.Error())
		}
	}
	for i, it := range items {
		if count[i] != it.Count {
			panic(fmt.Sprintf("sheet: %s is laid %d times, wanted %d", it.Name, count[i], it.Count))
		}
	}
}
