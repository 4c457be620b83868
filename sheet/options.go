package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Options say how to lay.
type Options struct {
	Gap      float64               // least distance between cutouts, millimetres
	Effort   int                   // 0 quick to 10 thorough: an amount of work, never seconds
	Seed     uint64                // same seed, same lay
	Fewest   bool                  // fewest sheets, whatever they cost; of as many, the cheapest found
	Workers  int                   // 0: one for every core; the lay does not depend on it
	Progress func(done, total int) // of the pieces; may be nil
	Memory   *Memory               // what earlier calls found out; nil: nothing
}

// DefaultOptions returns the gap and the effort of a home project.
func DefaultOptions() Options { return Options{Gap: 3, Effort: 3, Seed: 1} }

// FitError says that a piece is too large for every sheet of its colour.
type FitError struct {
	Item          string
	Colour        string
	Width, Height float64    // of the piece as drawn, millimetres
	Largest       string     // the sheet that comes nearest
	Holds         [2]float64 // inside the margins; a roll's length is +Inf
}

func (e *FitError) Error() string {
	if math.IsInf(e.Holds[1], 1) {
		return fmt.Sprintf("%s is %.0f × %.0f mm and fits no felt for %s: the widest, %s, holds %.0f mm across inside its margins; "+
			"take wider felt, or make the piece smaller",
			e.Item, e.Width, e.Height, e.Colour, e.Largest, e.Holds[0])
	}
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

// ShortError says that the felt of a colour runs out: none of it is sold.
type ShortError struct {
	Item, Colour string
	Left         int // pieces of the item that found no place
	More         int // and of other items
}

func (e *ShortError) Error() string {
	text := fmt.Sprintf("the %s felt in the drawer runs out and no more is sold: %d of %s find no place", e.Colour, e.Left, e.Item)
	if e.More > 0 {
		text += fmt.Sprintf(", and %d others", e.More)
	}
	return text + "; add a sheet that can be bought, or cut fewer"
}

// StockError says what is wrong with a stock, or with an option or an item.
type StockError struct{ Name, Fault string }

func (e *StockError) Error() string { return e.Name + ": " + e.Fault }

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
