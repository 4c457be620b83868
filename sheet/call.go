package sheet

import (
	"context"
	"runtime"

	"strew/motif/geom"
	"strew/sheet/bound"
	"strew/sheet/search"
	"strew/sheet/shape"
)

// call is one call of Pack.
type call struct {
	ctx     context.Context
	items   []Item
	stock   []Stock
	opt     Options
	cache   *cached
	session *search.Session
	hints   *Hints
	turns   map[fitKey]fit
	progress
}

// newCall returns a call that lays with what is kept.
func newCall(ctx context.Context, items []Item, stock []Stock, opt Options, kept *cached) *call {
	hints := opt.Hints
	if hints == nil {
		hints = &Hints{}
	}
	if hints.modes == nil {
		hints.modes, hints.asked = map[string][]mode{}, search.Asked{}
	}
	p := &call{
		ctx: ctx, items: items, stock: stock, opt: opt, cache: kept,
		session: search.NewSession(&kept.store, hints.asked), hints: hints, turns: map[fitKey]fit{},
	}
	p.progress = progress{tell: opt.Progress, stock: stock}
	for _, it := range items {
		p.all += it.Count
	}
	return p
}

// workers returns how many goroutines may work at once.
func (p *call) workers() int {
	if p.opt.Workers > 0 {
		return p.opt.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// fitKey is a form on a stock.
type fitKey struct {
	stock int
	form  *shape.Form
}

// fit is at which turn a form fits, if it does.
type fit struct {
	turn float64
	ok   bool
}

// fit returns the turn at which the form fits on stock k with most room, and whether
// it fits at all.
func (p *call) fit(k int, f *form) fit {
	key := fitKey{k, f.Form}
	x, ok := p.turns[key]
	if !ok {
		x.turn, x.ok = f.FitTurn(p.stock[k].bed())
		p.turns[key] = x
	}
	return x
}

// holds reports whether stock k holds the form at some turn.
func (p *call) holds(k int, f *form) bool { return p.fit(k, f).ok }

// sheet returns the sheet of stock k on which the pieces lie.
func (p *call) sheet(k int, pieces []shape.Laid) Sheet {
	st := p.stock[k]
	s := Sheet{Stock: k, Height: st.Height}
	area, end := 0.0, 0.0
	for _, l := range pieces {
		l = l.Upright()
		area += l.Area
		end = max(end, l.At.Y+l.Box.Max.Y)
		s.Pieces = append(s.Pieces, Placed{l.Item, l.At.Add(geom.Vec{X: st.Margin, Y: st.Margin}), l.Turn})
	}
	if st.Roll {
		s.Height = st.cutAt(end + 2*st.Margin)
	}
	s.Used = area / (st.Width * s.Height)
	s.Pieces = cuttingOrder(p.items, s.Pieces)
	return s
}

// laidOn returns the pieces of a sheet in the coordinates of the search.
func (p *call) laidOn(s Sheet, wants []want) []shape.Laid {
	m := p.stock[s.Stock].Margin
	forms := map[int]*form{}
	for _, x := range wants {
		forms[x.Item] = x.form
	}
	var out []shape.Laid
	for _, q := range s.Pieces {
		out = append(out, shape.Laid{View: forms[q.Item].View(q.Turn, false), At: q.At.Sub(geom.Vec{X: m, Y: m})})
	}
	return out
}

// grownOf returns a lower bound on the area of all wanted pieces, grown by half the
// gap.
func (p *call) grownOf(wants []want) float64 {
	a := 0.0
	for _, x := range wants {
		a += float64(x.n) * x.Grown(p.ctx)
	}
	return a
}

// roomOf returns the area of stock k's bed grown by half the gap.
func (p *call) roomOf(k int) float64 {
	bed := p.stock[k].bed()
	return (bed.Width() + p.opt.Gap) * (bed.Height() + p.opt.Gap)
}

// sheetsAtLeast returns a proven lower bound on the sheets of stock k that hold all
// the wanted pieces.
func (p *call) sheetsAtLeast(k int, wants []want) int {
	return bound.Sheets(p.ctx, bounded(wants), p.stock[k].bed().Box, p.opt.Gap)
}

// lengthAtLeast returns a proven lower bound on the inner length of a roll of stock k
// that holds all the wanted pieces.
func (p *call) lengthAtLeast(k int, wants []want) float64 {
	bed, longest := p.stock[k].bed(), 0.0
	for _, x := range wants {
		longest = max(longest, x.ShortestSide(bed.Nap))
	}
	return bound.Length(p.ctx, bounded(wants), bed.Width(), p.opt.Gap, longest)
}

func bounded(wants []want) []bound.Want {
	out := make([]bound.Want, len(wants))
	for i, x := range wants {
		out[i] = bound.Want{Shape: x.Shape, N: x.n}
	}
	return out
}

// formsOf returns the forms of the wants.
func formsOf(wants []want) []*shape.Form {
	out := make([]*shape.Form, len(wants))
	for i, x := range wants {
		out[i] = x.Form
	}
	return out
}

// on returns how many of each of the wants lie on the sheets.
func on(sheets []Sheet, wants []want) []want {
	counts := map[int]int{}
	for _, s := range sheets {
		for _, q := range s.Pieces {
			counts[q.Item]++
		}
	}
	var out []want
	for _, w := range wants {
		if n := counts[w.Item]; n > 0 {
			out = append(out, want{w.form, n})
		}
	}
	return out
}
