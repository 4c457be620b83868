// Package scatter decides where each cutout goes: rows that close evenly round
// the skirt, a band above the hem, or a loose even polka, with true outlines
// kept clear of one another, of waist, hem and seams, across every seam.
//
// The layout is found on one repeat, folded to a closed surface of its own (the
// fundamental domain), and copied round. Every step is a function from values to
// new values: feasible band → rows → relaxing → mix → turns → clearances.
//
// Run places the cutouts, Measure measures how evenly they lie, and a Checker says
// at once how far a moved cutout would be from all others.
package scatter

import (
	"context"
	"sort"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Pattern names how marks are spread.
type Pattern string

// The patterns.
const (
	Grid    Pattern = "grid"    // rows from waist to hem, equal steps in each
	HemBand Pattern = "hemband" // a few rows above the hem
	Polka   Pattern = "polka"   // staggered rows, loosened by the jitter
)

// Direction says which way motifs point.
type Direction string

// The directions.
const (
	OneWay Direction = "one-way" // the top toward the waist
	TwoWay Direction = "two-way" // toward the waist or toward the hem
	Tossed Direction = "tossed"  // all ways round
)

// Kind is a motif in one size.
type Kind struct {
	Name      string      // for messages
	Motif     int         // kinds of the same motif differ in size only
	Outline   []geom.Ring // filled, at this size, millimetres, the anchor at the origin
	Share     float64     // of the motif in the mix; equal for all its kinds. 0: placed by hand only
	Direction Direction
	Tilt      float64 // radians, clockwise as seen, added to the direction
}

// Clearance is the cloth kept free, in millimetres, measured from true outlines:
// between two cutouts, at the waist, at the hem and at every seam.
type Clearance struct{ Between, Waist, Hem, Seam float64 }

// Options says how to scatter. Spacing or Cutouts is set; both only to give a
// count the ratio of Spacing to SpacingWaist.
type Options struct {
	Pattern Pattern
	Spacing float64 // centre to centre, millimetres; at the hem where SpacingWaist differs
	// SpacingWaist is the spacing at the waist seam; the step changes evenly down
	// the skirt, from it to Spacing at the hem. 0: as Spacing. With Cutouts, Spacing
	// is found to suit; where it is set too, only the ratio of the two counts.
	SpacingWaist float64
	// Crowding is how much the gathers crowd the cloth at the waist, 1 or more,
	// falling evenly to 1 at the hem: steps along the row grow by it, distances
	// down the cloth do not, so that marks lie evenly once the fullness is
	// gathered in. 0 or 1: the cloth lies flat. Common practice, no source.
	Crowding   float64
	RowSpacing float64 // 0: the spacing, or times √3/2 where rows are staggered
	Stagger    bool    // grid, hemband: every other row half a step round
	Rows       int     // hemband
	Rise       float64 // hemband: lowest row above the hem; 0: as low as possible
	Jitter     float64 // polka: 0 regular rows … 1 as loose as the clearance allows
	Repeat     int     // copies of the layout round the skirt
	RepeatSet  bool    // keep Repeat even where another would do better
	Cutouts    int     // exactly this many; 0: by the spacing
	OrFewer    bool    // where Cutouts do not fit, as many as are found to fit
	Clearance  Clearance
	Bare       []Bare  // cloth kept free
	Fixed      []Fixed // placed by hand
	Seed       uint64  // another one makes another layout
}

// Bare is a patch of cloth that no cutout may touch: of one panel, counted from
// 0, the points whose Down and whose Around, along their own row from the
// panel's left edge, lie in the two ranges. On a wedge, therefore, its sides keep
// their distance to the left edge along every row, as a placket does.
type Bare struct {
	Panel        int
	Down, Around [2]float64 // from, to; millimetres
}

// Fixed is a cutout placed by hand. It is never moved, and all others keep clear
// of it; it counts among the cutouts of its kind.
type Fixed struct {
	Kind         int     // index into the kinds
	Panel        int     // from 0
	Down, Around float64 // of the anchor, as in Placement
	Turn         float64 // radians, clockwise as seen, from the top toward the waist
}

// Placement is one cutout on the cloth.
type Placement struct {
	Kind   int         // index into the kinds
	Place  skirt.Place // of its anchor on the sewn cloth, to the last digit
	Point  skirt.Point // the same in its panel's frame
	Turn   float64     // radians, clockwise as seen in the panel's frame
	Row    int         // from 1, waist to hem
	Down   float64     // below the waist seam, millimetres
	Around float64     // along its row from the panel's left edge, millimetres
	Fixed  bool        // placed by hand
}

// Row is how one row runs on one panel; lengths in millimetres.
type Row struct {
	Row, Panel, Marks int     // Row and Panel from 1
	Down, Step, First float64 // First: from the panel's left edge to the first mark
}

// Layout is what Run found. Placements run panel by panel, row by row, round.
type Layout struct {
	Placements []Placement
	Rows       []Row      // of patterns that run in rows
	Spacing    float64    // as asked for, or found for the count, mm
	RowSpacing float64    // between rows; 0 for a single row or a loose pattern
	Repeat     int        // copies of the layout round the skirt
	Band       [2]float64 // from which Down to which marks may lie
	Notes      []Note     // what differs from what was asked for
}

// MaxMarks is the most marks a layout may have: more comes from a wrong unit, since
// no one cuts two hundred thousand felt leaves.
const MaxMarks = 200_000

// Run scatters the kinds over the surface. It returns an *Impossible if what is
// asked for cannot be done, and ctx's error within 0.2 s of ctx's end. The same options
// and seed give the same layout, whatever the number of workers.
func Run(ctx context.Context, s skirt.Surface, all []Kind, opt Options) (Layout, error) {
	if err := checkKinds(all, opt.Fixed); err != nil {
		return Layout{}, err
	}
	if err := checkBare(s, opt); err != nil {
		return Layout{}, err
	}
	b, err := readyBand(ctx, s, kindsOf(all, opt.Fixed), opt)
	if err != nil {
		return Layout{}, err
	}
	if err := checkRoom(b); err != nil {
		return Layout{}, err
	}
	if err := checkFixed(b); err != nil {
		return Layout{}, err
	}
	repeat, err := repeatOf(b)
	if err != nil {
		return Layout{}, err
	}
	b.opt.Repeat = repeat
	if !b.kinds.strewn() {
		return handsAlone(ctx, b)
	}
	_, risen := b.hemRow()
	found, widened, err := search{band: b, repeats: map[int]drafter{}}.run(ctx)
	if err != nil {
		return Layout{}, err
	}
	l, err := found.layout(ctx)
	l.Notes = append(risen, widened...)
	return l, err
}

// MostByArea returns an upper bound on the cutouts that the cloth can hold, from
// their areas; no layout has more.
func MostByArea(s skirt.Surface, all []Kind, opt Options) int {
	ready := make(kinds, len(all))
	for i, k := range all {
		ready[i].Kind = k
	}
	return sort.Search(MaxMarks, func(n int) bool { return !areaHolds(s, ready, opt, n+1) })
}
