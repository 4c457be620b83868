package sheet

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/motif/geom"
)

// Options say how to lay.
type Options struct {
	Gap      float64               // least distance between cutouts, millimetres
	Effort   int                   // 0 quick to 10 thorough: an amount of work, never seconds
	Seed     uint64                // same seed, same lay
	Workers  int                   // 0: one for every core; the lay does not depend on it
	Progress func(done, total int) // of the pieces; may be nil
}

// DefaultOptions returns the gap and the effort of a home project.
func DefaultOptions() Options { return Options{Gap: 3, Effort: 3, Seed: 1} }

// FitError says that a piece is too large for every sheet of its colour.
type FitError struct {
	Item          string
	Colour        string
	Width, Height float64 // of the piece as drawn, millimetres
	Largest       string  // the sheet that comes nearest
	Holds         [2]float64
}

func (e *FitError) Error() string {
	return fmt.Sprintf("%s is %.0f × %.0f mm and fits no sheet for %s: the largest, %s, holds %.0f × %.0f mm inside its margins; "+
		"take a sheet that holds the piece, or make the piece smaller",
		e.Item, e.Width, e.Height, e.Colour, e.Largest, e.Holds[0], e.Holds[1])
}

// ColourError says that no stock comes in a colour that is needed.
type ColourError struct {
	Item, Colour string
	Have         []string // the colours that stock is listed in
}

func (e *ColourError) Error() string {
	have := "no sheets are listed"
	if len(e.Have) > 0 {
		have = "sheets are listed in " + strings.Join(e.Have, ", ")
	}
	return fmt.Sprintf("%s needs %s felt and no sheet comes in it: %s; add a sheet of this colour, or one without colours", e.Item, e.Colour, have)
}

// StockError says what is wrong with a stock, or with an option or an item.
type StockError struct{ Name, Fault string }

func (e *StockError) Error() string { return e.Name + ": " + e.Fault }

// Pack lays every item's count on sheets of its colour.
//
// Sheets in the drawer are used first; what is bought is of the stock that
// costs least, or takes least felt where a price is not known. The error is a
// *FitError, *ColourError or *StockError, or the context's own.
func Pack(ctx context.Context, items []Item, stock []Stock, opt Options) (Lay, error) {
	if err := checkInput(items, stock, opt); err != nil {
		return Lay{}, err
	}
	p := &packer{ctx: ctx, items: items, stock: stock, opt: opt, nofits: newNofits()}
	for _, it := range items {
		p.total += it.Count
	}
	var lay Lay
	for _, colour := range colours(items) {
		wants, kinds, err := p.sort(colour)
		if err != nil {
			return Lay{}, err
		}
		sheets := p.colour(wants, kinds)
		if err := ctx.Err(); err != nil {
			return Lay{}, err
		}
		lay.Needs = append(lay.Needs, p.finish(sheets, wants, colour)...)
		lay.Sheets = append(lay.Sheets, sheets...)
	}
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

func checkInput(items []Item, stock []Stock, opt Options) error {
	if !(opt.Gap >= 0) || math.IsInf(opt.Gap, 0) {
		return &StockError{"gap between cutouts", fmt.Sprintf("is %v mm; it must be 0 mm or more", opt.Gap)}
	}
	for _, it := range items {
		if it.Count < 0 {
			return &StockError{it.Name, fmt.Sprintf("is wanted %d times; it must be 0 or more", it.Count)}
		}
		if it.Count > 0 && (len(it.Shape.Outer) < 3 || !(it.Shape.Area() > 0)) {
			return &StockError{it.Name, "has no area to cut"}
		}
	}
	for _, s := range stock {
		if !(s.Width > 0) || !(s.Height > 0) && !s.Roll {
			return &StockError{s.Name, fmt.Sprintf("is %v × %v mm; both sides must be longer than 0", s.Width, s.Height)}
		}
		if !(s.Margin >= 0) {
			return &StockError{s.Name, fmt.Sprintf("has a margin of %v mm; it must be 0 or more", s.Margin)}
		}
		if w, h := s.inner(); !(w > 0) || !(h > 0) && !s.Roll {
			return &StockError{s.Name, fmt.Sprintf("the margin of %v mm leaves nothing of %v × %v mm; take a smaller margin", s.Margin, s.Width, s.Height)}
		}
		if s.Roll && s.InDrawer > 0 {
			return &StockError{s.Name, "is a roll, and rolls in the drawer have no length to count; enter the piece you have as a sheet"}
		}
		if s.InDrawer < 0 {
			return &StockError{s.Name, fmt.Sprintf("has %d sheets in stock; it must be 0 or more", s.InDrawer)}
		}
	}
	return nil
}

// inner returns the size of the stock inside its margins; a roll has no height.
func (s Stock) inner() (w, h float64) { return s.Width - 2*s.Margin, s.Height - 2*s.Margin }

// comesIn reports whether the stock can be had in the colour.
func (s Stock) comesIn(colour string) bool {
	return len(s.Colours) == 0 || slices.ContainsFunc(s.Colours, func(c string) bool { return strings.EqualFold(c, colour) })
}

// packer is one call of Pack.
type packer struct {
	ctx         context.Context
	items       []Item
	stock       []Stock
	opt         Options
	nofits      *nofits
	done, total int
}

// sort returns what is wanted in a colour, large pieces first, and the stocks
// that come in it and hold at least one of the pieces.
func (p *packer) sort(colour string) ([]want, []int, error) {
	var wants []want
	for i, it := range p.items {
		if it.Count > 0 && strings.EqualFold(it.Colour, colour) {
			wants = append(wants, want{newForm(i, it, p.opt.Gap), it.Count})
		}
	}
	least := math.Inf(1)
	for _, w := range wants {
		least = math.Min(least, w.inscribed())
	}
	for _, w := range wants {
		w.idle(least)
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

// colour lays all that is wanted in one colour. Each stock in turn is taken as
// the one to buy; the cheapest result is kept.
func (p *packer) colour(wants []want, kinds []int) []Sheet {
	var best []Sheet
	for i, main := range kinds {
		s := p.buying(main, wants, kinds)
		if p.ctx.Err() != nil {
			return nil
		}
		s = p.trim(s, wants, kinds)
		if i == 0 || p.cheaper(s, best) {
			best = s
		}
	}
	return best
}

// buying lays the wants on what is in the drawer and then on sheets of the
// main stock; what the main stock does not hold goes on the others, in their
// order.
func (p *packer) buying(main int, wants []want, kinds []int) []Sheet {
	left := slices.Clone(wants)
	order := append([]int{main}, slices.DeleteFunc(slices.Clone(kinds), func(k int) bool { return k == main })...)
	var out []Sheet
	for _, k := range order {
		if n := p.stock[k].InDrawer; n > 0 {
			out = append(out, p.lay(k, left, n)...)
		}
	}
	// Too large for the main stock: first, so that the small ones fill up.
	for _, k := range order[1:] {
		for slices.ContainsFunc(left, func(w want) bool { return w.n > 0 && !p.holds(main, w.form) && p.holds(k, w.form) }) && p.ctx.Err() == nil {
			out = append(out, p.lay(k, left, 1)...)
		}
	}
	return p.fewer(main, append(out, p.lay(main, left, math.MaxInt)...), wants)
}

// lay lays what is left on at most n sheets of stock k, and takes it off left.
func (p *packer) lay(k int, left []want, n int) []Sheet {
	st := p.stock[k]
	var out []Sheet
	for n > 0 && p.ctx.Err() == nil {
		var todo []want
		for _, w := range left {
			if w.n > 0 && p.holds(k, w.form) {
				todo = append(todo, w)
			}
		}
		if len(todo) == 0 {
			break
		}
		s := p.fillOne(k, todo)
		if len(s.Pieces) == 0 {
			break
		}
		// The same sheet again, as often as the counts allow.
		times := n
		counts := map[int]int{}
		for _, q := range s.Pieces {
			counts[q.Item]++
		}
		for _, w := range left {
			if c := counts[w.item]; c > 0 {
				times = min(times, w.n/c)
			}
		}
		if st.Roll {
			times = 1
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

// cheaper reports whether lay a costs less than b, or as much and takes less
// felt, or as much felt on fewer sheets. Where one price is not known, felt
// decides.
func (p *packer) cheaper(a, b []Sheet) bool {
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
	var todo []want
	for _, w := range wants {
		n := 0
		for _, q := range last.Pieces {
			if q.Item == w.item {
				n++
			}
		}
		if n > 0 {
			todo = append(todo, want{w.form, n})
		}
	}
	for _, k := range kinds {
		if k == last.Stock || slices.ContainsFunc(todo, func(w want) bool { return !p.holds(k, w.form) }) {
			continue
		}
		s := p.fillOne(k, todo)
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

// finish numbers the sheets and says what to have of each stock.
func (p *packer) finish(sheets []Sheet, wants []want, colour string) []Need {
	p.done += func() (n int) {
		for _, w := range wants {
			n += w.n
		}
		return
	}()
	if p.opt.Progress != nil {
		p.opt.Progress(p.done, p.total)
	}
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
