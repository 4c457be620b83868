package sheet

import (
	"fmt"
	"math"

	"strew/sheet/search"
)

// Options say how to lay. The lay depends on Gap, Effort, Seed, Fewest and Hints; it
// does not depend on Workers, Progress or Cache. The zero Options lay quickly, with
// no gap.
//
//	lay, err := sheet.Pack(ctx, items, stock, sheet.Options{Gap: 3, Effort: 3, Seed: 1})
type Options struct {
	Gap      float64        // least distance between cutouts, millimetres
	Effort   int            // 0 quick to 10 thorough: an amount of work, never seconds
	Seed     uint64         // same seed, same lay
	Fewest   bool           // fewest sheets, whatever they cost; of as many, the cheapest found
	Workers  int            // goroutines; 0: one for every core
	Progress func(Progress) // called now and then, from one goroutine at a time; may be nil
	Cache    *Cache         // what earlier lays worked out, which makes this one faster; may be nil
	Hints    *Hints         // what earlier lays of the same items learned, which changes this one; may be nil
}

// Progress is how far a lay has come. Its values are the receiver's to keep.
type Progress struct {
	Done, Total int // pieces
	// Best is the best order so far: of the colours that are done and, once all of its
	// pieces have been laid in some way, of the one at work, for which AtLeast is 0.
	Best []Need
}

// Hints are what earlier lays of the same items on the same stock, in other counts, learned:
// which ways of filling a sheet did best, so that only these are tried, and what the
// search has asked for already, which no longer counts as work. So a lay with hints is
// found sooner, or is searched longer, and may be another than without. The zero Hints
// are empty and ready; Pack adds to them. They serve one lay at a time: the same lays
// in the same order give the same results, with any Cache.
type Hints struct {
	modes map[string][]mode // by bed, kinds and gap
	asked search.Asked
}

// mode is the turns tried for each want's pieces.
type mode [][]float64

// checkInput returns a *StockError for a value that no lay can be made with.
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
		if err := s.check(); err != nil {
			return err
		}
	}
	return nil
}

// check returns what is wrong with the stock, or nil.
func (s Stock) check() error {
	w, h := s.Width-2*s.Margin, s.Height-2*s.Margin
	switch {
	case !(s.Width > 0) || !(s.Height > 0) && !s.Roll:
		return &StockError{s.Name, fmt.Sprintf("is %v × %v mm; both sides must be longer than 0", s.Width, s.Height)}
	case !(s.Margin >= 0):
		return &StockError{s.Name, fmt.Sprintf("has a margin of %v mm; it must be 0 or more", s.Margin)}
	case !(w > 0) || !(h > 0) && !s.Roll:
		return &StockError{s.Name, fmt.Sprintf("the margin of %v mm leaves nothing of %v × %v mm; take a smaller margin", s.Margin, s.Width, s.Height)}
	case s.Roll && s.InDrawer > 0:
		return &StockError{s.Name, "is a roll, and rolls in the drawer have no length to count; enter the piece you have as a sheet"}
	case s.InDrawer < 0:
		return &StockError{s.Name, fmt.Sprintf("has %d sheets in stock; it must be 0 or more", s.InDrawer)}
	}
	return nil
}
