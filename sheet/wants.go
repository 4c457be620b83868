package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// What is wanted in a colour, and the stocks that can hold it.

// wants returns what is wanted in a colour, large pieces first, made ready to lie the
// gap apart.
func (p *call) wants(colour string, gap float64) []want {
	least := math.Inf(1) // the narrowest piece, by its widest circle
	in := func(it Item) bool { return it.Count > 0 && strings.EqualFold(it.Colour, colour) }
	for _, it := range p.items {
		if in(it) {
			least = math.Min(least, p.cache.inradius(it.Shape))
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
