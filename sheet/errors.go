package sheet

import (
	"fmt"
	"math"
	"strings"
)

// FitError says that a piece is too large for every sheet of its colour.
type FitError struct {
	Item          string     // its name
	Colour        string     // "#rrggbb"
	Width, Height float64    // of the piece as drawn, millimetres
	Largest       string     // the sheet that comes nearest
	Holds         [2]float64 // width and height inside its margins; a roll's length is +Inf
}

// Error says it in plain text.
func (e *FitError) Error() string {
	if math.IsInf(e.Holds[1], 1) {
		return fmt.Sprintf("%s is %.0f × %.0f mm, too large for any felt in %s: the widest, %s, holds %.0f mm across inside its margins; "+
			"take wider felt, or make the piece smaller",
			e.Item, e.Width, e.Height, e.Colour, e.Largest, e.Holds[0])
	}
	return fmt.Sprintf("%s is %.0f × %.0f mm, too large for any sheet in %s: the largest, %s, holds %.0f × %.0f mm inside its margins; "+
		"take a sheet that holds the piece, or make the piece smaller",
		e.Item, e.Width, e.Height, e.Colour, e.Largest, e.Holds[0], e.Holds[1])
}

// ColourError says that no stock comes in the colour that an item needs.
type ColourError struct {
	Item, Colour string
	Have         []string // the colours that stock is listed in
}

// Error says it in plain text.
func (e *ColourError) Error() string {
	have := "no sheets are listed"
	if len(e.Have) > 0 {
		have = "sheets are listed in " + strings.Join(e.Have, ", ")
	}
	return fmt.Sprintf("%s needs %s felt and no sheet comes in it: %s; add a sheet of this colour, or one without colours", e.Item, e.Colour, have)
}

// ShortError says that the felt of a colour runs out and no more of it is sold.
type ShortError struct {
	Item, Colour string
	Left         int // pieces of the item that there is no room for
	More         int // pieces of other items, likewise
}

// Error says it in plain text.
func (e *ShortError) Error() string {
	others := ""
	if e.More > 0 {
		others = fmt.Sprintf(", and for %d others", e.More)
	}
	return fmt.Sprintf("the %s felt in the drawer runs out and no more is sold: there is no room for %d of %s%s; "+
		"add a sheet that can be bought, or cut fewer", e.Colour, e.Left, e.Item, others)
}

// StockError says what is wrong with the named stock, option or item.
type StockError struct{ Name, Fault string }

// Error says it in plain text.
func (e *StockError) Error() string { return e.Name + ": " + e.Fault }
