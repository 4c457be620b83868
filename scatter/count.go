package scatter

import (
	"context"
	"math"
	"slices"

	"strew/motif/say"
)

// drafter drafts layouts of one repeat, by spacing and by count.
type drafter struct{ rowPlanner }

// bySpacing drafts one repeat with steps as near to spacing as lets its rows close.
func (f drafter) bySpacing(ctx context.Context, spacing, rowSpacing float64) (*draft, error) {
	downs, pitch, err := f.downs(f.opt.pitch(spacing, rowSpacing))
	if err != nil {
		return nil, err
	}
	rows, err := f.rowsAt(ctx, downs)
	if err != nil {
		return nil, err
	}
	f.fill(rows, spacing, 0)
	exactly := 0
	if f.opt.loose() && f.obstacles != nil && !f.obstacles.onlyIslands() {
		exactly = max(held(rows)+len(f.hands), f.about(spacing))
	}
	return f.draft(ctx, rows, spacing, pitch, exactly)
}

// byCount drafts exactly n marks in all: it shares them among the rows by
// girth, trying first the numbers of rows that give cells closest to the shape
// that the pattern asks for.
func (f drafter) byCount(ctx context.Context, n int) (*draft, error) {
	per := n / f.repeat // marks of one repeat
	if f.obstacles != nil || len(f.opt.Fixed) > 0 {
		return f.among(ctx, per)
	}
	unit := max(1, len(f.seams))
	if per%unit != 0 {
		if f.opt.loose() {
			return f.among(ctx, per)
		}
		no := &Impossible{Key: "clearance.seam", Why: say.New("the seam clearance parts the panels, and %d cannot be shared evenly among them", n)}
		below, above := per/unit*unit*f.repeat, (per/unit+1)*unit*f.repeat
		if no.Try = say.New("%d or %d would do, or no seam clearance", below, above); below == 0 {
			no.Try = say.New("%d would do, or no seam clearance", above)
		}
		return nil, no
	}
	choices, err := f.rowChoices(per / unit)
	if err != nil {
		return nil, err
	}
	var first *draft
	for _, downs := range choices {
		span := 0.0
		for _, d := range downs {
			span += f.span(d)
		}
		rows := f.apportion(downs, per/unit, unit)
		f.setPhases(rows)
		d, err := f.draft(ctx, rows, span/float64(per), f.density.pitchOf(downs), 0)
		if err != nil || d.crowded.IsZero() {
			return d, err
		}
		if first == nil {
			first = d
		}
		if d.jammed {
			break
		}
	}
	return first, nil
}

// lattices is how many lattices that turn out too close are tried among obstacles
// before the count itself is blamed.
const lattices = 6

// among drafts exactly n marks of one repeat where some places of the lattice
// are not free. A loose pattern takes the nearest lattice and adds or drops
// marks; one in rows tries steps and shifts, and then one place more or less in
// single rows, until n places are free.
func (f drafter) among(ctx context.Context, n int) (*draft, error) {
	hands := len(f.hands)
	want := n - hands
	if want < 0 {
		return nil, &Impossible{
			Key: "scatter.cutouts",
			Why: say.Many(n*f.repeat, "%d cutout is fewer than the %d placed by hand", "%d cutouts are fewer than the %d placed by hand", hands*f.repeat),
			Try: say.New("ask for %d or more", hands*f.repeat),
		}
	}
	step := math.Sqrt(2 / math.Sqrt(3) * f.extents().area / float64(f.repeat) / float64(max(1, want)))
	if f.opt.loose() {
		downs, pitch, err := f.downs(f.opt.pitch(step, 0))
		if err != nil {
			return nil, err
		}
		rows, err := f.rowsAt(ctx, downs)
		if err != nil {
			return nil, err
		}
		f.fill(rows, step, 0)
		return f.draft(ctx, rows, step, pitch, n)
	}
	fit := fitting{f: f.rowPlanner, want: want, above: math.MaxInt}
	var first *draft
	tried := 0
	for _, part := range ladder() {
		downs, pitch, err := f.downs(f.opt.pitch(step*part, f.opt.RowSpacing))
		if err != nil {
			if f.opt.Pattern == HemBand && part < 1 {
				continue
			}
			return nil, err
		}
		rows, err := f.rowsAt(ctx, downs)
		if err != nil {
			return nil, err
		}
		along, rows, err := fit.steps(ctx, rows, step*part)
		if err != nil {
			return nil, err
		}
		if rows == nil {
			continue
		}
		d, err := f.draft(ctx, rows, along, pitch, 0)
		if err != nil || d.crowded.IsZero() {
			return d, err
		}
		if first == nil {
			first = d
		}
		if tried++; tried == lattices {
			break
		}
	}
	if first != nil {
		return first, nil
	}
	return nil, fit.refused(n)
}

// ladder lists factors for a step, those nearest to 1 first.
func ladder() []float64 {
	out := []float64{1}
	for i := 1; i <= 40; i++ {
		out = append(out, math.Pow(1.02, float64(i)), math.Pow(1.02, -float64(i)))
	}
	return out
}

// fitting is the search for rows with a given number of free places.
type fitting struct {
	f            rowPlanner
	want         int
	below, above int // the nearest numbers found on either side
}

// steps looks for a step along the rows, near the one given, that leaves want
// places free; nil rows where there is none.
func (t *fitting) steps(ctx context.Context, rows []row, step float64) (float64, []row, error) {
	for _, part := range ladder() {
		if err := ctx.Err(); err != nil {
			return 0, nil, err
		}
		for _, shift := range [...]float64{0, 0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875} {
			try := slices.Clone(rows)
			t.f.fill(try, step*part, shift)
			n := held(try)
			if n == t.want {
				return step * part, try, nil
			}
			if n < t.want {
				t.below = max(t.below, n)
			} else {
				t.above = min(t.above, n)
			}
			if t.f.fold.Closed() && n < t.want && t.want-n <= len(rows) && t.f.opt.Clearance.Seam == 0 {
				if nudge(try, t.want-n) {
					return step * part, try, nil
				}
			}
		}
	}
	return 0, nil, nil
}

// nudge gives single rows one more place, the longest first, until more are free.
func nudge(rows []row, more int) bool {
	order := make([]int, len(rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return rows[b].n - rows[a].n })
	for _, i := range order {
		if more == 0 {
			break
		}
		was := rows[i].holds()
		rows[i].n++
		if is := rows[i].holds(); is == was+1 {
			more--
		} else {
			rows[i].n--
		}
	}
	return more == 0
}

// refused returns why no rows of n marks were found.
func (t *fitting) refused(n int) error {
	hands, repeat := len(t.f.hands), t.f.repeat
	below, above := (t.below+hands)*repeat, (t.above+hands)*repeat
	no := &Impossible{Key: "scatter.cutouts", Why: say.New("no regular rows leave exactly %d places free", n*repeat)}
	switch {
	case t.below > 0 && t.above < math.MaxInt:
		no.Try = say.New("%d or %d would do", below, above)
	case t.below > 0:
		no.Try = say.New("%d would do", below)
	case t.above < math.MaxInt:
		no.Try = say.New("%d would do", above)
	default:
		no.Try = say.New("use the polka pattern with some jitter")
	}
	return no
}
