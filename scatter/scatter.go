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
	"errors"
	"fmt"
	"math"

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

// Options says how to scatter. Spacing or Cutouts is set, not both.
type Options struct {
	Pattern Pattern
	Spacing float64 // centre to centre, millimetres; at the hem where SpacingWaist differs
	// SpacingWaist is the spacing at the waist seam; the step changes evenly down
	// the skirt, from it to Spacing at the hem. 0: as Spacing.
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
	if err := opt.supported(); err != nil {
		return Layout{}, err
	}
	shapes := shapesOf(kinds)
	z, err := zoneOf(s, shapes, opt)
	if err != nil {
		return Layout{}, err
	}
	job := &job{ctx: ctx, surface: s, zone: z, shapes: shapes, opt: opt}
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

// supported refuses what is not built yet.
func (o Options) supported() error {
	missing := ""
	switch {
	case o.SpacingWaist != 0 && o.SpacingWaist != o.Spacing:
		missing = "a spacing of its own at the waist"
	case o.Crowding != 0 && o.Crowding != 1:
		missing = "a layout for gathered cloth"
	case len(o.Bare) > 0:
		missing = "a bare patch"
	case len(o.Fixed) > 0:
		missing = "a cutout placed by hand"
	default:
		return nil
	}
	return &Impossible{Why: missing + " is not supported yet"}
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
}

// draft is a layout of one repeat: marks on the folded surface.
type draft struct {
	fold    skirt.Surface
	repeat  int
	rows    []rowPlan // empty where the marks run in no rows
	marks   []mark
	step    float64 // the spacing asked of this draft
	pitch   float64 // between rows
	crowded string  // the pair that is too near, where the draft is not sound
}

// mark is one cutout on a folded surface; turn is against the upright frame.
// Its anchor may lie from low to high below the waist.
type mark struct {
	at        skirt.Place
	kind      int
	turn      float64
	row       int
	low, high float64
}

const (
	// stretchFar is the factor by which a spacing that turned out too close grows
	// from one try to the next, until one keeps the clearances.
	stretchFar = 1.15
	// stretchFine is how near to the least such spacing the search comes after
	// that: two parts in a hundred is finer than a maker can mark.
	stretchFine = 1.02
)

// bySpacing finds the layout at the spacing asked, or at a hardly wider one than
// must be to keep the clearances.
func (j *job) bySpacing() (*draft, error) {
	if n := j.estimate(j.opt.Spacing); n > MaxMarks {
		return nil, &Impossible{
			Why: fmt.Sprintf("a spacing of %s would make about %.0f marks, and %d is the most", j.opt.show(j.opt.Spacing), n, MaxMarks),
			Try: "check the unit of the spacing or make it wider",
		}
	}
	why := ""
	try := func(f float64) (*draft, error) {
		// A share of the estimate, since it is none exactly: what fails by that
		// much need not be drafted.
		if n := int(j.estimate(j.opt.Spacing*f) * 0.8); !j.areaHolds(n) {
			if why == "" {
				why = "so many cutouts need more cloth than there is"
			}
			return nil, j.ctx.Err()
		}
		for _, repeat := range j.repeats() {
			d, err := j.draftBySpacing(j.opt.Spacing*f, j.opt.RowSpacing*f, repeat)
			if err != nil {
				return nil, err
			}
			if d.crowded == "" {
				return d, nil
			}
			if why == "" {
				why = d.crowded
			}
		}
		return nil, nil
	}
	widest := 2 * (j.surface.Girth(j.surface.Drop) + j.surface.Drop)
	tooClose, f := 0.0, 1.0 // spacings known to be too close, and tried next, as factors
	var found *draft
	for found == nil {
		d, err := try(f)
		switch {
		case err != nil:
			return nil, err
		case d != nil:
			found = d
			continue
		case j.opt.Spacing*f > widest:
			return nil, &Impossible{
				Why: "no layout keeps the clearances: " + why,
				Try: "choose smaller motifs or a smaller clearance",
			}
		}
		tooClose, f = f, f*stretchFar
	}
	if tooClose == 0 {
		return found, nil
	}
	for f/tooClose > stretchFine {
		mid := math.Sqrt(f * tooClose)
		d, err := try(mid)
		if err != nil {
			return nil, err
		}
		if d == nil {
			tooClose = mid
			continue
		}
		found, f = d, mid
	}
	j.note(fmt.Sprintf("a spacing of %s is too close (%s): widened to %s", j.opt.show(j.opt.Spacing), why, j.opt.show(j.opt.Spacing*f)))
	return found, nil
}

// repeats lists the repeats to try: the one asked, and where the maker did not
// insist, fewer and larger ones.
func (j *job) repeats() []int {
	out := []int{j.opt.Repeat}
	if !j.opt.RepeatSet {
		for r := j.opt.Repeat - 1; r >= 1; r-- {
			if j.opt.Repeat%r == 0 {
				out = append(out, r)
			}
		}
	}
	return out
}

// byCount finds a layout of exactly opt.Cutouts marks.
func (j *job) byCount() (*draft, error) {
	n := j.opt.Cutouts
	if n > MaxMarks {
		return nil, &Impossible{Why: fmt.Sprintf("%d cutouts are more than %d, the most a plan can hold", n, MaxMarks)}
	}
	repeat := j.opt.Repeat
	if n%repeat != 0 {
		if j.opt.RepeatSet {
			below, above := n/repeat*repeat, (n/repeat+1)*repeat
			try := fmt.Sprintf("%d or %d would do, or repeat = 1", below, above)
			if below == 0 {
				try = fmt.Sprintf("%d would do, or repeat = 1", above)
			}
			return nil, &Impossible{
				Why: fmt.Sprintf("%d cutouts cannot repeat %d times round", n, repeat), Try: try,
			}
		}
		repeat = gcd(n, repeat)
	}
	crowded := "they would need more cloth than there is"
	if j.areaHolds(n) {
		d, err := j.draftByCount(n, repeat)
		if err != nil || d.crowded == "" {
			return d, err
		}
		crowded = d.crowded
	}
	fits, err := j.mostThatFit(n)
	if err != nil {
		return nil, err
	}
	if fits == 0 {
		return nil, &Impossible{Why: "not even one cutout keeps the clearances: " + crowded, Try: "choose smaller motifs or smaller clearances"}
	}
	return nil, &Impossible{
		Why: fmt.Sprintf("%d cutouts do not fit with these clearances: %s", n, crowded),
		Try: fmt.Sprintf("%d is the most found to fit", fits),
	}
}

// mostThatFit halves its way to the largest count below n that a draft exists
// for. Soundness is not strictly monotone in the count, so it is a found
// number, not a proven one.
func (j *job) mostThatFit(n int) (int, error) {
	lo, hi := 0, n
	for lo+1 < hi && !j.areaHolds(hi) {
		hi = lo + (hi-lo)*9/10
	}
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		repeat := gcd(mid, j.opt.Repeat)
		if j.opt.RepeatSet && repeat != j.opt.Repeat {
			mid -= mid % j.opt.Repeat
			if mid <= lo {
				break
			}
			repeat = j.opt.Repeat
		}
		d, err := j.draftByCount(mid, repeat)
		var no *Impossible
		switch {
		case err == nil && d.crowded == "":
			lo = mid
		case err == nil || errors.As(err, &no):
			hi = mid
		default:
			return 0, err
		}
	}
	return lo, nil
}

// areaHolds reports whether n marks can fit by their areas at all: outlines
// grown by half the clearance lie apart, in the band between waist and hem
// clearance grown by as much. A shape of area A grown by r covers at least
// (√A + √π·r)² (Brunn–Minkowski), so a no is proven.
func (j *job) areaHolds(n int) bool {
	r := j.opt.Clearance.Between / 2
	need := 0.0
	for i, k := range j.kindCounts(n) {
		area := 0.0
		for _, ring := range j.shapes[i].Outline {
			area = math.Max(area, math.Abs(ring.Area()))
		}
		side := math.Sqrt(area) + math.Sqrt(math.Pi)*r
		need += float64(k) * side * side
	}
	top := math.Max(j.opt.Clearance.Waist-r, -j.surface.Inner)
	bottom := j.surface.Drop - j.opt.Clearance.Hem + r
	return need <= (j.surface.Girth(top)+j.surface.Girth(bottom))/2*(bottom-top)
}

// estimate returns about how many marks a spacing makes: one per cell of the
// pattern over the zone.
func (j *job) estimate(spacing float64) float64 {
	pitch := j.pitch(spacing, j.opt.RowSpacing)
	rows := (j.zone.high-j.zone.low)/pitch + 1
	if j.opt.Pattern == HemBand {
		rows = float64(j.opt.Rows)
	}
	return rows * j.surface.Girth((j.zone.low+j.zone.high)/2) / spacing
}

// pitch returns the distance between rows for a spacing.
func (j *job) pitch(spacing, rowSpacing float64) float64 {
	switch {
	case rowSpacing > 0:
		return rowSpacing
	case j.staggered():
		return spacing * math.Sqrt(3) / 2
	}
	return spacing
}

// show writes a length in the maker's unit.
func (o Options) show(mm float64) string { return geom.Length(mm).In(o.Unit) }

func (j *job) staggered() bool { return j.opt.Stagger || j.opt.Pattern == Polka }

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
