package sheet

import (
	"math"
	"slices"
	"strings"

	"strew/motif/geom"
	"strew/sheet/shape"
)

// bed returns the stock's felt inside its margins; that of a roll is open.
func (s Stock) bed() shape.Bed {
	bed := shape.NewBed(s.Width-2*s.Margin, s.Height-2*s.Margin, s.Nap)
	if s.Roll {
		return bed.Open()
	}
	return bed
}

// comesIn reports whether the stock can be had in the colour.
func (s Stock) comesIn(colour string) bool {
	return len(s.Colours) == 0 || slices.ContainsFunc(s.Colours, func(c string) bool { return strings.EqualFold(c, colour) })
}

// metre is the length that a roll's price is for where nothing else is said.
const metre = 1000

// priceOf returns the price of a sheet, or of a roll cut at the height.
func (s Stock) priceOf(height float64) float64 {
	if !s.Roll {
		return s.Price
	}
	per := s.PricePer
	if per <= 0 {
		per = metre
	}
	return s.Price * height / per
}

// cutAt returns the length of roll to buy for the length needed.
func (s Stock) cutAt(length float64) float64 {
	if s.SoldBy <= 0 {
		return length
	}
	return math.Ceil((length-geom.Press)/s.SoldBy) * s.SoldBy
}

// needs returns what to have of each stock, in their order, for the sheets of a
// colour; AtLeast is left 0.
func needs(stock []Stock, sheets []Sheet, colour string) []Need {
	var out []Need
	for _, s := range sheets {
		i := slices.IndexFunc(out, func(n Need) bool { return n.Stock == s.Stock })
		if i < 0 {
			i = len(out)
			out = append(out, Need{Stock: s.Stock, Colour: colour})
		}
		n, st := &out[i], stock[s.Stock]
		n.Sheets++
		if st.Roll {
			n.Length += s.Height
		}
		if n.Drawer < st.InDrawer {
			n.Drawer++
		} else {
			n.Buy++
			n.Cost += st.priceOf(s.Height)
		}
	}
	slices.SortFunc(out, func(a, b Need) int { return a.Stock - b.Stock })
	return out
}
