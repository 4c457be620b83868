// Package project reads the maker's project file: the schema, its units and
// defaults, and errors that name file, line, column and key. Everything that
// leaves the package is in millimetres and radians, checked and complete.
package project

import (
	"path/filepath"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// Project is a project file read, checked and completed with its defaults. Lengths
// are in millimetres, prices in the project's currency.
type Project struct {
	Dir   string    // folder that paths in the file are relative to
	File  string    // as named on the command line; "" for the built-in example
	Title string    // of the plan; the results' folder is named after it
	Unit  geom.Unit // of lengths shown to the maker: the file's, unless overridden
	Seed  uint64    // another one makes another layout

	Skirt     Skirt
	Lining    *Lining // nil: none
	Motifs    []Motif
	Scatter   Scatter
	Bare      []Bare
	Fixed     []Fixed
	Clearance Clearance
	Cutting   Cutting
	Backing   Backing
	Sheets    []Sheet
	Supplies  Supplies

	Notes []Note // what in the file does nothing here, or looks like a slip

	from *checked // the file as read, for With
}

// Note says what in the file does nothing here, or looks like a slip.
type Note struct {
	Key  string // as a Document has it; the maker wrote it
	Text say.Message
}

// Skirt is the top layer and the body it is for.
type Skirt struct {
	Cut           Cut
	Waist         float64     // girth
	Hip           float64     // girth; 0: not given
	Length        float64     // top of the waistband to hem
	Waistband     float64     // its height; 0: none
	Drop          float64     // waist seam to hem; Length - Waistband where not given
	Fullness      float64     // girth of the layer at the waist seam over the waist
	Circle        float64     // "circle": share of a full circle
	Panels        int         // "outline": 0, the drawing says
	HemGirth      float64     // "gores": all hems together
	Straight      bool        // "gores": straight waist and hem edges
	Outline       string      // "outline": path of its drawing, as written
	Seams         [][2]string // "outline": pairs of named lines that are sewn together
	WaistEdges    []string    // of an outline: its edges that keep the waist clearance
	Line          int         // where the outline stands in the file, for later errors
	SeamAllowance float64
	Layers        int     // of net
	Colour        string  // of the net, "#rrggbb"
	Opacity       float64 // of one layer of net, 0 clear to 1 solid
	FabricWidth   float64 // of the bolt
	FabricPrice   ByLength
}

// Lining is the plain skirt under the net.
type Lining struct {
	Fullness    float64 // girth of its seam over that of the body
	Cut         Cut     // never drawn
	Circle      float64 // "circle": share of a full circle
	ShorterBy   float64 // than the net
	Girth       Girth
	Colour      string // "#rrggbb"
	FabricWidth float64
	FabricPrice ByLength
}

// ByLength is the price of cloth by the length.
type ByLength struct {
	Price float64
	Per   float64 // the length it is for
	Set   bool    // the maker wrote it
}

// Motif is one [[motif]] table. The drawing is not read here.
type Motif struct {
	Name          string
	Outline       string    // path as written
	Width, Height float64   // of the outline at size 1; at most one is set
	Paper         Paper     // the sheet that a photo shows whole; "": none
	Pick          int       // the figure meant on a page of several; 0: all of them
	Cut           int       // how many to cut in a lay without a skirt
	Sizes         []float64 // at least one; 1 is as drawn
	Share         float64   // its part of the mix, against the other motifs
	Colour        string    // "": the drawing's own colours
	Direction     Direction
	Tilt          float64 // radians, clockwise as seen
	Line          int     // where the outline stands in the file, for later errors
}

// Scatter is the [scatter] table.
type Scatter struct {
	Pattern Pattern
	Spacing float64 // 0 where Cutouts, Sheets or Budget is given
	// SpacingWaist is the spacing at the waist; 0: as everywhere.
	SpacingWaist float64
	Even         Even
	Jitter       float64 // polka: 0 regular rows to 1 as loose as the clearance allows
	RowSpacing   float64 // 0: by the pattern's own rule
	Stagger      bool    // every other row half a step round
	Rows         int     // hemband
	Rise         float64 // 0: as low as the hem clearance allows
	Repeat       int     // copies of the layout round the skirt
	RepeatSet    bool    // the maker wrote it; else it may give way
	// One of these may be given instead of Spacing; 0: it is not.
	Cutouts int
	Sheets  int     // as many cutouts as this many sheets of felt yield
	Budget  float64 // as many cutouts as felt for this much money yields
}

// Bare is one [[bare]] table: a patch that stays free, by its distances from the
// waist seam and from the panel's left edge. A range left out is {0, 0} and means
// all of the panel.
type Bare struct {
	Panel        int // from 1
	Down, Around [2]float64
}

// Fixed is one [[fixed]] table: a cutout placed by hand.
type Fixed struct {
	Motif        int     // index into Motifs
	Size         float64 // one of the motif's
	Panel        int     // from 1
	Down, Around float64 // from the waist seam; from the panel's left edge along the row
	Turn         float64 // radians, clockwise as seen, from upright
}

// Clearance is the [clearance] table: cloth kept free between true outlines, and
// between them and the edges.
type Clearance struct{ Between, Waist, Hem, Seam float64 }

// Cutting is the [cutting] table. SpareShare and SpareCount are never both set.
type Cutting struct {
	Gap        float64 // felt between cutouts
	SpareShare float64 // 0.05 for "5%"
	SpareCount int
	TraceOn    Side
	Effort     int // 0 quick to 10 thorough
}

// Backing is the [backing] table: a plain patch behind the net under each
// cutout.
type Backing struct {
	Shape  Patch
	Size   float64 // side or diameter at size 1; 0: the widest that stays hidden
	Colour string  // "#rrggbb"; "" where there are none
}

// Sheet is one [[sheet]] table: felt in sheets, or by the length.
type Sheet struct {
	Name          string
	Width, Height float64 // Height 0 for a roll
	Roll          bool
	PricePer      float64  // the length that a roll's price is for; 0 for sheets
	SoldBy        float64  // the step that a roll is cut in; 0: any length
	Margin        float64  // kept free along every edge
	Colours       []string // "#rrggbb"; empty: it comes in any
	Nap           Nap
	Price         float64 // of a sheet, or of PricePer of a roll
	PriceSet      bool    // the maker wrote it
	Stock         int     // sheets in the drawer
	NotSold       bool    // no more than the stock can be had
}

// Supplies is the [supplies] table.
type Supplies struct {
	Fixing    Fixing
	GlueStick [2]float64 // across, long; zero: not given
	Paper     Paper
	Currency  string // a code or a sign; "": not given

	FixingPrice, PaperPrice *float64 // of a glue stick or a reel, of a printed sheet; nil: not given

	// What estimates go by. Zero: as in motif.DefaultAllowances and package stage.
	FeltWeight     float64 // g/m²
	NetWeight      float64 // g/m², one layer
	CuttingSpeed   float64 // mm/s
	FixingTime     float64 // seconds for each piece
	GluePerPiece   float64 // cm³
	ThreadPerPiece float64 // mm
	ThreadReel     float64 // mm
}

// IsSVG reports whether an outline's file is an SVG drawing by its name; any
// other is a picture to be traced.
func IsSVG(outline string) bool {
	switch strings.ToLower(filepath.Ext(outline)) {
	case ".svg", ".svgz":
		return true
	}
	return false
}
