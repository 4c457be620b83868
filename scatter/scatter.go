// Package scatter decides where each cutout goes: rows that close evenly round
// the skirt, a band above the hem, or a loose even polka, with true outlines
// kept clear of one another, of waist, hem and seams, across every seam.
//
// The layout is found on one repeat, folded to a closed surface of its own, and
// copied round. Every stage is a function from values to new values:
// zone → rows → even → mix → turns → clear.
package scatter

import (
	"context"
	"fmt"
	"math"
	"slices"

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
	Outline   []geom.Ring // filled, at this size, the anchor at the origin
	Share     float64     // of the motif in the mix; equal for all its kinds
	Direction Direction
	Tilt      float64 // radians, clockwise as seen, added to the direction
}

// Clearance is the cloth kept free, in millimetres, measured from true outlines.
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
	Rise       float64 // hemband: lowest row above the hem; 0: as low as may be
	Jitter     float64 // polka: 0 regular rows … 1 as loose as the clearance allows
	Repeat     int     // copies of the layout round the skirt
	RepeatSet  bool    // keep Repeat even where another would do better
	Cutouts    int     // exactly so many; 0: by the spacing
	OrFewer    bool    // where so many Cutouts cannot be, as many as are found to fit
	Clearance  Clearance
	Bare       []Bare  // cloth kept free
	Fixed      []Fixed // placed by hand
	Seed       uint64
	Unit       geom.Unit // of lengths in messages; "" is millimetres
}

// Bare is a patch of cloth that no cutout may touch: of one panel, counted from
// 0, the points whose Down and whose Around, along their own row from the
// panel's left edge, lie in the two ranges. On a wedge its sides so keep their
// distance to the left edge along every row, as a placket does.
type Bare struct {
	Panel        int
	Down, Around [2]float64
}

// Fixed is a cutout placed by hand. It is never moved, and all others keep clear
// of it; it counts among the cutouts of its kind.
type Fixed struct {
	Kind         int
	Panel        int // from 0
	Down, Around float64
	Turn         float64 // radians, clockwise as seen, from the top toward the waist
}

// Placement is one cutout on the cloth.
type Placement struct {
	Kind   int
	Point  skirt.Point
	Turn   float64 // radians, clockwise as seen in the panel's frame
	Row    int     // from 1, waist to hem
	Down   float64
	Around float64
	Fixed  bool // placed by hand
}

// Row tells how one row runs on one panel.
type Row struct {
	Row, Panel, Marks int     // Row and Panel from 1
	Down, Step, First float64 // First: from the panel's left edge to the first mark
}

// Layout is what Run found. Placements run panel by panel, row by row, round.
type Layout struct {
	Placements []Placement
	Rows       []Row // of patterns that run in rows
	Spacing    float64
	RowSpacing float64 // between rows; 0 for a single row or a loose pattern
	Repeat     int
	Evenness   Evenness
	Notes      []string // what was changed against the wish, in the maker's words
}

// MaxMarks is the most marks a layout may have: more is a slip of the unit,
// since no one cuts two hundred thousand felt leaves.
const MaxMarks = 200_000

// Run scatters the kinds over the surface. It returns an *Impossible where the
// wish cannot be met, and ctx's error where it was stopped.
func Run(ctx context.Context, s skirt.Surface, kinds []Kind, opt Options) (Layout, error) {
	if err := checkKinds(kinds); err != nil {
		return Layout{}, err
	}
	if err := checkBare(s, opt); err != nil {
		return Layout{}, err
	}
	shapes := shapesOf(kinds)
	if opt.Cutouts > 0 && opt.SpacingWaist > 0 && opt.Spacing == 0 {
		var err error
		if opt, err = hemSpacing(s, shapes, opt); err != nil {
			return Layout{}, err
		}
	}
	z, err := zoneOf(s, shapes, opt)
	if err != nil {
		return Layout{}, err
	}
	job := &job{ctx: ctx, surface: s, zone: z, shapes: shapes, opt: opt, folds: map[int]folded{}}
	if len(opt.Bare) > 0 && job.fold(1).cloth() == 0 {
		return Layout{}, &Impossible{Why: "the bare patches leave no room for any cutout", Try: "make them smaller"}
	}
	if err := job.checkFixed(); err != nil {
		return Layout{}, err
	}
	if err := job.checkRepeat(); err != nil {
		return Layout{}, err
	}
	var found *draft
	if opt.Cutouts > 0 {
		found, err = job.byCount()
	} else {
		found, err = job.bySpacing()
	}
	if err != nil {
		return Layout{}, err
	}
	return job.layout(found)
}

// Impossible tells why a wish cannot be met and what could be.
type Impossible struct{ Why, Try string }

func (e *Impossible) Error() string {
	if e.Try == "" {
		return e.Why
	}
	return e.Why + "; " + e.Try
}

// job carries the unchanging inputs of one Run.
type job struct {
	ctx     context.Context
	surface skirt.Surface
	zone    zone
	shapes  []shape
	opt     Options
	notes   []string
	folds   map[int]folded
}

// fold returns the zone of one of n repeats.
func (j *job) fold(n int) folded {
	f, ok := j.folds[n]
	if !ok {
		f = j.zone.folded(n)
		j.folds[n] = f
	}
	return f
}

// hemSpacing sets the spacing at the hem so that, with the one given at the waist,
// about as many marks fit as are asked.
func hemSpacing(s skirt.Surface, shapes []shape, opt Options) (Options, error) {
	low, high := opt.SpacingWaist/10, opt.SpacingWaist*10
	for high/low > 1.002 { // finer than rows round to
		opt.Spacing = math.Sqrt(low * high)
		z, err := zoneOf(s, shapes, opt)
		if err != nil {
			return opt, err
		}
		_, area, edge, euler := z.folded(1).area()
		if OlerSpacing(opt.Cutouts, area, edge, euler)*rowsFill > opt.Spacing {
			low = opt.Spacing
		} else {
			high = opt.Spacing
		}
	}
	return opt, nil
}

// checkKinds refuses a mix of nothing.
func checkKinds(kinds []Kind) error {
	sum := 0.0
	for _, k := range kinds {
		sum += math.Max(0, k.Share)
	}
	if len(kinds) == 0 || !(sum > 0) || math.IsInf(sum, 1) {
		return &Impossible{Why: "the shares of the motifs sum to nothing", Try: "give at least one motif a share above 0"}
	}
	return nil
}

// checkRepeat makes the repeat one that the cloth, and what is bare or fixed on
// it, can keep.
func (j *job) checkRepeat() error {
	keeps := func(n int) bool { return j.surface.Folds(n) && (n == 1 || j.repeats(n)) }
	n := max(1, j.opt.Repeat)
	if !keeps(n) {
		if j.opt.RepeatSet {
			why := fmt.Sprintf("the layout cannot repeat %d times round: ", n)
			if !j.surface.Folds(n) {
				why += fmt.Sprintf("%d copies do not meet the seams of %d panels", n, j.surface.Panels)
			} else {
				why += "what is bare or placed by hand does not repeat with it"
			}
			return &Impossible{Why: why, Try: "use repeat = 1"}
		}
		less := n
		for !keeps(less) {
			less--
		}
		if j.surface.Cut != skirt.Outline && j.surface.Folds(n) {
			j.note("the layout does not repeat from panel to panel, since a bare patch or a cutout placed by hand does not")
		}
		n = less
	}
	j.opt.Repeat = n
	return nil
}

// repeats reports whether all that is bare or placed by hand comes again n times
// round.
func (j *job) repeats(n int) bool {
	if len(j.opt.Bare)+len(j.opt.Fixed) == 0 {
		return true
	}
	panels := j.surface.Panels
	if panels%n != 0 {
		return false
	}
	for _, b := range j.opt.Bare {
		b.Panel = (b.Panel + panels/n) % panels
		if !slices.Contains(j.opt.Bare, b) {
			return false
		}
	}
	for _, h := range j.opt.Fixed {
		h.Panel = (h.Panel + panels/n) % panels
		if !slices.Contains(j.opt.Fixed, h) {
			return false
		}
	}
	return true
}

// show writes a length in the maker's unit; a small one that a tape does not
// show, as callipers read it.
func (o Options) show(mm float64) string {
	const tape = 3 // mm; an eighth of an inch
	if mm > 0 && mm < tape {
		return geom.Length(mm).Fine(o.Unit)
	}
	return geom.Length(mm).In(o.Unit)
}
