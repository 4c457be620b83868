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
// is done, the best lay so far is returned, with what was not yet laid laid the
// quick way; its Stopped is set. The error is a *FitError, *ColourError,
// *ShortError or *StockError.
func Pack(ctx context.Context, items []Item, stock []Stock, opt Options) (Lay, error) {
	if err := checkInput(items, stock, opt); err != nil {
		return Lay{}, err
	}
	p := &packer{ctx: ctx, items: items, stock: stock, opt: opt, known: opt.Memory.begin()}
	for _, it := range items {
		p.total += it.Count
	}
	var lay Lay
	for _, colour := range colours(items) {
		wants, kinds, err := p.sort(colour, opt.Gap)
		if err != nil {
			return Lay{}, err
		}
		sheets := p.snugly(colour, wants, kinds)
		if e := short(sheets, wants); e != nil {
			e.Colour = colour
			return Lay{}, e
		}
		lay.Needs = append(lay.Needs, p.finish(sheets, wants, colour)...)
		lay.Sheets = append(lay.Sheets, sheets...)
	}
	lay.Stopped = ctx.Err() != nil
	p.mustHold(lay)
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

// packer is one call of Pack.
type packer struct {
	ctx         context.Context
	items       []Item
	stock       []Stock
	opt         Options
	known       *Memory
	done, total int
}

// sort returns what is wanted in a colour, large pieces first, made ready to lie
// the gap apart, and the stocks that come in it and hold at least one of the
// pieces.
func (p *packer) sort(colour string, gap float64) ([]want, []int, error) {
	var wants []want
	least := math.Inf(1) // the narrowest piece, by its widest circle
	for _, it := range p.items {
		if it.Count > 0 && strings.EqualFold(it.Colour, colour) {
			least = math.Min(least, inscribed(it.Shape))
		}
	}
	for i, it := range p.items {
		if it.Count > 0 && strings.EqualFold(it.Colour, colour) {
			wants = append(wants, want{p.known.form(i, it, gap, least), it.Count})
		}
	}
	slices.SortStableFunc(wants, func(a, b want) int {
		switch {
		case a.hull.Area() > b.hull.Area():
			return -1
		case a.hull.Area() < b.hull.Area():
			return 1
		}
		return 0
	})
	var kinds, listed []int
	for k, s := range p.stock {
		if !s.comesIn(colour) {
			continue
		}
		if s.NotSold && s.InDrawer == 0 {
			continue // there is none
		}
		listed = append(listed, k)
		if slices.ContainsFunc(wants, func(w want) bool { return p.holds(k, w.form) }) {
			kinds = append(kinds, k)
		}
	}
	if len(listed) == 0 {
		e := &ColourError{Item: wants[0].name, Colour: colour}
		for _, s := range p.stock {
			for _, c := range s.Colours {
				if !slices.Contains(e.Have, c) {
					e.Have = append(e.Have, c)
				}
			}
		}
		return nil, nil, e
	}
	for _, w := range wants {
		if slices.ContainsFunc(kinds, func(k int) bool { return p.holds(k, w.form) }) {
			continue
		}
		b := w.true.Box()
		e := &FitError{Item: w.name, Colour: colour, Width: b.Width(), Height: b.Height()}
		for _, k := range listed {
			iw, ih := p.stock[k].inner()
			if p.stock[k].Roll {
				ih = math.Inf(1)
			}
			if e.Largest == "" || iw*ih > e.Holds[0]*e.Holds[1] {
				e.Largest, e.Holds = p.stock[k].Name, [2]float64{iw, ih}
			}
		}
		return nil, nil, e
	}
	return wants, kinds, nil
}

// holds reports whether stock k holds the form at some turn.
func (p *packer) holds(k int, f *form) bool {
	w, h := p.stock[k].inner()
	if p.stock[k].Roll {
		h = math.Inf(1)
	}
	_, ok := f.fitTurn(p.stock[k].Nap, w, h)
	return ok
}

// finish numbers the sheets and says what to have of each stock.
func (p *packer) finish(sheets []Sheet, wants []want, colour string) []Need {
	p.done += func() (n int) {
		for _, w := range wants {
			n += w.n
		}
		return
	}()
	p.tell(0)
	slices.SortStableFunc(sheets, func(a, b Sheet) int { return a.Stock - b.Stock })
	var needs []Need
	for i := range sheets {
		s := &sheets[i]
		s.Colour = colour
		if len(needs) == 0 || needs[len(needs)-1].Stock != s.Stock {
			needs = append(needs, Need{Stock: s.Stock, Colour: colour, AtLeast: p.atLeast(s.Stock, wants)})
		}
		n := &needs[len(needs)-1]
		n.Sheets++
		s.Number = n.Sheets
		if n.Drawer < p.stock[s.Stock].InDrawer {
			n.Drawer++
		} else {
			n.Buy++
			n.Cost += p.stock[s.Stock].priceOf(s.Height)
		}
	}
	return needs
}

// tell reports progress: pieces of the colours done, and so many of the one at
// work.
func (p *packer) tell(more int) {
	if p.opt.Progress != nil {
		p.opt.Progress(min(p.done+more, p.total), p.total)
	}
}

// atLeast returns the proven least number of sheets of stock k: for the pieces
// that no other stock of the colour holds. For a roll it is a length in whole
// millimetres, or a whole number of steps.
func (p *packer) atLeast(k int, wants []want) int {
	st := p.stock[k]
	colour := p.items[wants[0].item].Colour
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
	if len(only) == 0 {
		return 0
	}
	w, h := st.inner()
	if st.Roll {
		l := lengthAtLeast(only, w, p.opt.Gap, st.Nap) + 2*st.Margin
		if st.SoldBy > 0 {
			return int(math.Floor(math.Ceil(l/st.SoldBy-boundSlack)*st.SoldBy + boundSlack))
		}
		return int(math.Floor(l))
	}
	return sheetsAtLeast(only, w, h, p.opt.Gap)
}

// mustHold panics where the lay is not what was asked: that would be our own
// mistake, and felt is cut by it.
func (p *packer) mustHold(lay Lay) {
	count := make([]int, len(p.items))
	for i, s := range lay.Sheets {
		for _, q := range s.Pieces {
			count[q.Item]++
		}
		if i > 0 && s.Stock == lay.Sheets[i-1].Stock && slices.Equal(s.Pieces, lay.Sheets[i-1].Pieces) {
			continue // the same sheet again
		}
		if err := check(p.items, p.stock[s.Stock], s, p.opt.Gap); err != nil {
			panic("sheet: " + err.Error())
		}
	}
	for i, it := range p.items {
		if count[i] != it.Count {
			panic(fmt.Sprintf("sheet: %s is laid %d times, wanted %d", it.Name, count[i], it.Count))
		}
	}
}
