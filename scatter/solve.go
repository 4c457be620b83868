package scatter

import (
	"cmp"
	"context"
	"errors"
	"math"

	"strew/motif/say"
	"strew/scatter/skirt"
)

// The search for a layout of the spacing or the count asked for.

const (
	// stretchFar is the factor by which a spacing that turned out too close grows
	// from one try to the next, until one keeps the clearances.
	stretchFar = 1.15
	// stretchFine is how near to the least such spacing the search comes after
	// that: two parts in a hundred is finer than a maker can mark.
	stretchFine = 1.02
	// looseMost is more of the cloth than a loose pattern covers by its hulls, and
	// looseGuess about what the densest cover: 0.39 to 0.65 on four cuts with eight
	// mixes.
	looseMost, looseGuess = 0.7, 0.5
	// gallop is the factor from one count tried to the next, until one fits and
	// another does not; fitFine is the share by which those two may then differ.
	gallop, fitFine = 1.1, 0.01
	// crowdedBy is the share of an estimated count that must fit by area for the count
	// to be drafted at all: the rest allows for the error of the estimate.
	crowdedBy = 0.8
)

// search holds what drafts are made from.
type search struct {
	band
	repeats map[int]drafter // those of the repeats used so far
}

// of returns the drafter of one of n repeats.
func (s search) of(n int) drafter {
	f, ok := s.repeats[n]
	if !ok {
		made := s.domain(n)
		f = drafter{rowPlanner{&made}}
		s.repeats[n] = f
	}
	return f
}

// run finds a draft of what was asked for, with notes of what had to change.
func (s search) run(ctx context.Context) (*draft, []Note, error) {
	switch {
	case s.opt.Cutouts == 0:
		return s.bySpacing(ctx)
	case s.opt.OrFewer:
		d, err := s.orFewer(ctx, min(s.opt.Cutouts, MaxMarks))
		return d, nil, err
	}
	d, err := s.byCount(ctx, s.opt.Cutouts)
	return d, nil, err
}

// readyBand returns the feasible band at the spacing asked for; where a count comes
// with a spacing at the waist only, at a hem spacing that suits both.
func readyBand(ctx context.Context, s skirt.Surface, all kinds, opt Options) (band, error) {
	if opt.Cutouts == 0 || opt.SpacingWaist == 0 || opt.Spacing > 0 {
		return bandOf(s, all, opt)
	}
	low, high := opt.SpacingWaist/10, opt.SpacingWaist*10
	for high/low > 1.002 { // finer than rows round to
		opt.Spacing = math.Sqrt(low * high)
		b, err := bandOf(s, all, opt)
		if err = cmp.Or(err, ctx.Err()); err != nil {
			return b, err
		}
		f := b.domain(1)
		if f.extents().spacing(opt.Cutouts)*rowsFill > opt.Spacing {
			low = opt.Spacing
		} else {
			high = opt.Spacing
		}
	}
	return bandOf(s, all, opt)
}

// checkRoom refuses bare patches that leave no room.
func checkRoom(b band) error {
	if len(b.opt.Bare) == 0 {
		return nil
	}
	if f := b.domain(1); f.extents().cloth == 0 {
		return &Impossible{Key: "bare.0.down", Why: say.New("the bare patches leave no room for any cutout"), Try: say.New("make them smaller")}
	}
	return nil
}

// bySpacing finds the layout at the spacing asked for or, where that breaks a
// clearance, at the least wider one that does not.
func (s search) bySpacing(ctx context.Context) (*draft, []Note, error) {
	asked := s.opt.Spacing
	if n := s.estimate(asked); n > MaxMarks {
		return nil, nil, &Impossible{
			Key: "scatter.spacing",
			Why: say.New("a spacing of %s would make about %.0f marks, and %d is the most", say.Length(asked), n, MaxMarks),
			Try: say.New("check the unit of the spacing or make it wider"),
		}
	}
	var why say.Message
	try := func(f float64) (*draft, error) {
		d, crowded, err := s.atSpacing(ctx, f)
		if why.IsZero() {
			why = crowded
		}
		return d, err
	}
	widest := 2 * (s.surface.Girth(s.surface.Drop) + s.surface.Drop)
	tooClose, f := 0.0, 1.0 // spacings known to be too close, and tried next, as factors
	var found *draft
	for found == nil {
		if f > 1 && s.hopeless(s.estimate(asked*f)) {
			tooClose, f = f, f*stretchFar
			continue
		}
		d, err := try(f)
		switch {
		case err != nil:
			return nil, nil, err
		case d != nil:
			found = d
			continue
		case asked*f > widest:
			return nil, nil, &Impossible{
				Key: "clearance.between",
				Why: say.New("no layout keeps the clearances: %s", why),
				Try: say.New("choose smaller motifs or a smaller clearance"),
			}
		}
		tooClose, f = f, f*stretchFar
	}
	if tooClose == 0 {
		return found, nil, nil
	}
	for f/tooClose > stretchFine {
		mid := math.Sqrt(f * tooClose)
		d, err := try(mid)
		if err != nil {
			return nil, nil, err
		}
		if d == nil {
			tooClose = mid
			continue
		}
		found, f = d, mid
	}
	return found, []Note{{"scatter.spacing", say.New("a spacing of %s is too close (%s): widened to %s", say.Length(asked), why, say.Length(asked*f))}}, nil
}

// atSpacing returns a sound draft at f times the spacing asked for; where there is
// none, nil and what would be too near.
func (s search) atSpacing(ctx context.Context, f float64) (*draft, say.Message, error) {
	if n := int(s.estimate(s.opt.Spacing*f) * crowdedBy); !areaHolds(s.surface, s.kinds, s.opt, n) {
		return nil, say.New("the cutouts need more cloth than there is"), ctx.Err()
	}
	var why say.Message
	for _, repeat := range s.opt.repeatsToTry() {
		d, err := s.of(repeat).bySpacing(ctx, s.opt.Spacing*f, s.opt.RowSpacing*f)
		if err != nil {
			return nil, why, err
		}
		if d.crowded.IsZero() {
			return d, why, nil
		}
		if why.IsZero() {
			why = d.crowded
		}
		if d.jammed {
			break
		}
	}
	return nil, why, nil
}

// hopeless reports whether n loose marks are so unlikely to fit that fewer should
// be tried first.
func (s search) hopeless(n float64) bool {
	return s.opt.loose() && crowding(s.surface, s.kinds, s.opt, n) > looseMost
}

// estimate returns about how many marks a spacing makes: one per cell of the
// pattern over the band, and half a row more along each edge.
func (s search) estimate(spacing float64) float64 {
	f := s.of(1)
	if s.opt.Pattern == HemBand {
		return float64(s.opt.Rows) * f.span((f.low+f.high)/2) / spacing
	}
	e := f.extents()
	return e.area/(spacing*s.opt.pitch(spacing, s.opt.RowSpacing)) + e.edge/(2*spacing)
}

// byCount finds a layout of exactly n marks.
func (s search) byCount(ctx context.Context, n int) (*draft, error) {
	if n > MaxMarks {
		return nil, &Impossible{Key: "scatter.cutouts", Why: say.New("%d cutouts are more than %d, the most a plan can hold", n, MaxMarks)}
	}
	repeat := s.opt.Repeat
	if n%repeat != 0 {
		if s.opt.RepeatSet {
			return nil, refuseShares(n, repeat)
		}
		repeat = gcd(n, repeat)
	}
	crowded := tooLittleCloth()
	if areaHolds(s.surface, s.kinds, s.opt, n) {
		d, err := s.of(repeat).byCount(ctx, n)
		if err != nil || d.crowded.IsZero() {
			return d, err
		}
		crowded = d.crowded
	}
	fits, err := s.mostThatFit(ctx, n)
	if err != nil {
		return nil, err
	}
	if fits == nil {
		return nil, &Impossible{
			Key: "clearance.between",
			Why: say.New("not even one cutout keeps the clearances: %s", crowded), Try: say.New("choose smaller motifs or smaller clearances"),
		}
	}
	return nil, &Impossible{
		Key: "scatter.cutouts",
		Why: say.Many(n, "%d cutout does not fit with these clearances: %s", "%d cutouts do not fit with these clearances: %s", crowded),
		Try: say.New("%d is the most found to fit", len(fits.marks)*fits.repeat),
	}
}

// refuseShares refuses a count that a set repeat does not divide.
func refuseShares(n, repeat int) error {
	below, above := n/repeat*repeat, (n/repeat+1)*repeat
	no := &Impossible{
		Key: "scatter.cutouts",
		Why: say.New("%d cutouts cannot repeat %d times round", n, repeat), Try: say.New("%d or %d would do, or a repeat of 1", below, above),
	}
	if below == 0 {
		no.Try = say.New("%d would do, or a repeat of 1", above)
	}
	return no
}

// shareTries is how many counts below one that cannot be shared among repeats
// and panels are tried: two panels' worth of the most panels a skirt has.
const shareTries = 128

// orFewer finds a layout of n marks, or of as many as are found to fit.
func (s search) orFewer(ctx context.Context, n int) (*draft, error) {
	for ; n > 0 && !areaHolds(s.surface, s.kinds, s.opt, n); n = n * 99 / 100 {
	}
tries:
	for k := n; k > max(0, n-shareTries); k-- {
		if s.opt.RepeatSet && k%s.opt.Repeat != 0 {
			continue
		}
		d, err := s.of(gcd(k, s.opt.Repeat)).byCount(ctx, k)
		var no *Impossible
		switch {
		case errors.As(err, &no):
			continue // not to be shared: one less may be
		case err != nil || d.crowded.IsZero():
			return d, err
		default:
			break tries // too crowded: a few less will not do
		}
	}
	d, err := s.mostThatFit(ctx, n)
	if err == nil && d == nil {
		err = &Impossible{
			Key: "clearance.between",
			Why: say.New("not even one cutout keeps the clearances"), Try: say.New("choose smaller motifs or smaller clearances"),
		}
	}
	return d, err
}

// mostThatFit looks for the largest count below n that can be drafted, and returns
// that draft; nil if there is none. A count may fit although a smaller one does
// not, and the search stops within a hundredth, so the number is found, not proven.
func (s search) mostThatFit(ctx context.Context, n int) (*draft, error) {
	lo, hi := 0, n // known to fit, and not to
	for lo+1 < hi && !areaHolds(s.surface, s.kinds, s.opt, hi) {
		hi = hi * 9 / 10
	}
	next := (lo + hi) / 2
	if s.opt.loose() {
		next = int(looseGuess / crowding(s.surface, s.kinds, s.opt, 1))
	}
	var found *draft
	stride := gallop
	for hi-lo > 1+int(fitFine*float64(lo)) {
		n := min(max(next, lo+1), hi-1)
		// Counts that the repeat divides are the quickest to draft.
		if whole := n - n%s.opt.Repeat; whole > lo {
			n = whole
		} else if s.opt.RepeatSet {
			break
		}
		repeat := gcd(n, s.opt.Repeat)
		d, err := s.of(repeat).byCount(ctx, n)
		var no *Impossible
		switch {
		case err == nil && d.crowded.IsZero():
			lo, found = n, d
		case err == nil || errors.As(err, &no):
			hi = n
		default:
			return nil, err
		}
		// Near the guess at first, farther off with every miss.
		next = (lo + hi) / 2
		switch {
		case !s.opt.loose():
		case found == nil:
			next = max(next, int(float64(hi)/stride))
			stride *= stride
		default:
			next = min(next, int(float64(lo)*gallop))
		}
	}
	return found, nil
}
