// Package sheet lays outlines on felt: which piece lies where on which sheet,
// how many sheets that takes, what they cost, and a proven lower bound on their
// number. It knows no skirt and no motif, only shapes, counts and colours. Lengths
// are in millimetres, x right and y down.
package sheet

import (
	"strew/motif/geom"
	"strew/sheet/shape"
)

// Item is a shape to be cut Count times from felt of one colour.
type Item struct {
	Name   string      // for errors: what the maker calls it
	Shape  geom.Region // in its own frame
	Colour string      // "#rrggbb"
	Count  int         // how many to lay
}

// Nap says at which turns a piece may lie on the felt.
type Nap = shape.Nap

// The naps, from free to strict.
const (
	AnyTurn = shape.AnyTurn // felt without nap: any angle
	FourWay = shape.FourWay // 0, 90, 180, 270 degrees
	TwoWay  = shape.TwoWay  // 0, 180 degrees
	OneWay  = shape.OneWay  // 0 degrees only
)

// Stock is a kind of sheet that can be had. The zero Stock holds nothing.
type Stock struct {
	Name          string
	Width, Height float64 // Height 0 for a roll
	Roll          bool    // felt by the length: the width is fixed, the length is found
	SoldBy        float64 // a roll is cut in steps of this; 0: at any length
	PricePer      float64 // a roll's price is for this length; 0: for 1000 mm
	Margin        float64 // kept free along every edge
	Nap           Nap
	Colours       []string // "#rrggbb"; empty: comes in any colour
	Price         float64  // of one sheet; 0: not known
	InDrawer      int      // sheets already there: used first, cost nothing
	NotSold       bool     // only those in the drawer can be had
}

// Placed is one piece where it lies on its sheet, right side up: the map is
// geom.Placing(At, Turn, 1, false) with the sheet's top left corner as origin.
type Placed struct {
	Item int      // index into the items
	At   geom.Vec // where the origin of its frame lies
	Turn float64  // radians, clockwise as seen
}

// Sheet is one sheet with what is cut from it.
type Sheet struct {
	Stock  int      // index into the stock
	Number int      // 1, 2, … within this stock and colour
	Colour string   // of its felt, "#rrggbb"
	Height float64  // as laid; the stock's own, or a roll's length
	Used   float64  // share of the sheet's whole area that becomes cutouts
	Pieces []Placed // in cutting order
}

// Need is what to have of one stock in one colour.
type Need struct {
	Stock   int     // index into the stock
	Colour  string  // "#rrggbb"
	Sheets  int     // laid
	Length  float64 // of a roll: to be cut off it; 0 for sheets
	Drawer  int     // of these, from the drawer
	Buy     int     // the others: sheets, or lengths of a roll
	AtLeast int     // proven: no lay needs fewer sheets of this size; of a roll, no fewer mm
	Cost    float64 // of what is bought; 0 where the price is not known
}

// Lay is the whole result: every copy of every item lies on exactly one sheet.
type Lay struct {
	Sheets  []Sheet // colour by colour, then stock by stock
	Needs   []Need  // likewise, one for each stock and colour in use
	Stopped bool    // before the work of the effort was done
}
