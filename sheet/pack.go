package sheet

import (
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
