package scatter

import (
	"fmt"
	"math"
	"slices"
)

// Drafts by spacing and by count.

// draftBySpacing drafts one repeat with steps as near to spacing as close.
func (j *job) draftBySpacing(spacing, rowSpacing float64, repeat int) (*draft, error) {
	f := j.fold(repeat)
	downs, pitch, err := j.downs(j.pitch(spacing, rowSpacing))
	if err != nil {
		return nil, err
	}
	rows := j.rowsAt(f, downs)
	j.fill(f, rows, spacing, 0)
	exactly := 0
	if j.loose() && f.ground != nil {
		exactly = max(held(rows)+len(j.byHand(f)), f.about(spacing))
	}
	return j.draft(f, rows, spacing, pitch, exactly)
}

// rowsFill is how many marks rows that close hold, as a share of the most that
// lie a spacing apart: what they lose by rounding, measured on whole rings.
const rowsFill = 0.95

// about returns how many marks about a spacing apart one repeat holds where what
// lies in the way would leave too many of a lattice out: Oler's most, less what
// rows lose.
func (f folded) about(spacing float64) int {
	_, area, edge, euler := f.area()
	most := 2*area/(math.Sqrt(3)*spacing*spacing) + edge/(2*spacing) + float64(euler)
	return int(rowsFill * most / float64(f.repeat))
}

// rowsAt returns empty rows, with where they are free.
func (j *job) rowsAt(f folded, downs []float64) []rowPlan {
	rows := make([]rowPlan, len(downs))
	for i, down := range downs {
		rows[i] = rowPlan{down: down}
	}
	if f.ground != nil || len(j.opt.Fixed) > 0 {
		parallel(len(rows), func(i int) { rows[i].free = j.stretches(f, rows[i].down) })
	}
	return rows
}

// fill puts as many places into every row as lie about a step apart, the first of
// them shifted by a part of a step.
func (j *job) fill(f folded, rows []rowPlan, step, shift float64) {
	if !f.fold.Closed() {
		j.fillDrawn(f, rows, step, shift)
		return
	}
	for i := range rows {
		n := f.span(rows[i].down) / step
		if q := len(f.seams); q > 0 {
			rows[i].n = q * max(1, int(math.Round(n/float64(q))))
		} else {
			rows[i].n = max(1, int(math.Round(n)))
		}
	}
	j.setPhases(f, rows)
	for i := range rows {
		rows[i].phase += shift
	}
}

// fillDrawn lays level rows over a drawing, centred on it.
func (j *job) fillDrawn(f folded, rows []rowPlan, step, shift float64) {
	for i := range rows {
		r := &rows[i]
		along, _ := f.density.at(r.down)
		r.step = step * along / f.fold.Width
		at := shift
		if j.staggered() && (len(rows)-i)%2 == 0 {
			at += 0.5
		}
		back := math.Floor(0.5/r.step + at)
		r.first = 0.5 + (at-back)*r.step
		r.n = int(math.Floor((1-r.first)/r.step)) + 1
	}
}

func held(rows []rowPlan) int {
	n := 0
	for _, r := range rows {
		n += r.holds()
	}
	return n
}

// draftByCount drafts exactly n marks in all: it shares them among the rows by
// girth, trying numbers of rows in the order in which they come near the shape
// of cell the pattern asks for.
func (j *job) draftByCount(n, repeat int) (*draft, error) {
	f := j.fold(repeat)
	if f.ground != nil || len(j.opt.Fixed) > 0 {
		return j.draftAmong(f, n/repeat)
	}
	per := n / repeat // marks of one repeat
	unit := max(1, len(f.seams))
	if per%unit != 0 {
		if j.loose() {
			return j.draftAmong(f, per)
		}
		below, above := per/unit*unit*repeat, (per/unit+1)*unit*repeat
		try := fmt.Sprintf("%d or %d would do, or seam = 0", below, above)
		if below == 0 {
			try = fmt.Sprintf("%d would do, or seam = 0", above)
		}
		return nil, &Impossible{
			Why: fmt.Sprintf("the seam clearance parts the panels, and %d cannot be shared evenly among them", n), Try: try,
		}
	}
	var best *draft
	choices, err := j.rowChoices(f, per/unit)
	if err != nil {
		return nil, err
	}
	for _, downs := range choices {
		span := 0.0
		for _, d := range downs {
			span += f.span(d)
		}
		step := span / float64(per)
		rows := apportion(f, downs, per/unit, unit)
		j.setPhases(f, rows)
		d, err := j.draft(f, rows, step, j.pitchOf(downs), 0)
		if err != nil {
			return nil, err
		}
		if d.crowded == "" {
			return d, nil
		}
		if best == nil {
			best = d
		}
	}
	return best, nil
}

// pitchOf returns the distance of rows as it would be at the hem; 0 for one.
func (j *job) pitchOf(downs []float64) float64 {
	if len(downs) < 2 {
		return 0
	}
	return j.zone.density.depth(downs[1]) - j.zone.density.depth(downs[0])
}

// draftAmong drafts exactly n marks of one repeat where some places of the
// lattice are not free. A loose pattern takes the nearest lattice and adds or
// drops marks; one in rows tries steps and shifts, and then one place more or
// less in single rows, until n places are free.
func (j *job) draftAmong(f folded, n int) (*draft, error) {
	hands := len(j.byHand(f))
	want := n - hands
	if want < 0 {
		return nil, &Impossible{
			Why: fmt.Sprintf("%d cutouts are fewer than the %d placed by hand", n*f.repeat, hands*f.repeat),
			Try: fmt.Sprintf("ask for %d or more", hands*f.repeat),
		}
	}
	_, area, _, _ := f.area()
	step := math.Sqrt(2 / math.Sqrt(3) * area / float64(f.repeat) / float64(max(1, want)))
	if j.loose() {
		downs, pitch, err := j.downs(j.pitch(step, 0))
		if err != nil {
			return nil, err
		}
		rows := j.rowsAt(f, downs)
		j.fill(f, rows, step, 0)
		return j.draft(f, rows, step, pitch, n)
	}
	below, above := 0, math.MaxInt
	var first *draft
	tried := 0
	for _, part := range ladder() {
		downs, pitch, err := j.downs(j.pitch(step*part, j.opt.RowSpacing))
		if err != nil {
			if j.opt.Pattern == HemBand && part < 1 {
				continue
			}
			return nil, err
		}
		rows := j.rowsAt(f, downs)
		along, rows := j.fitSteps(f, rows, step*part, want, &below, &above)
		if rows == nil {
			continue
		}
		d, err := j.draft(f, rows, along, pitch, 0)
		if err != nil {
			return nil, err
		}
		if d.crowded == "" {
			return d, nil
		}
		if first == nil {
			first = d
		}
		if tried++; tried == 6 { // six lattices that are all too close: it is the count
			break
		}
	}
	if first != nil {
		return first, nil
	}
	try := ""
	switch {
	case below > 0 && above < math.MaxInt:
		try = fmt.Sprintf("%d or %d would do", (below+hands)*f.repeat, (above+hands)*f.repeat)
	case below > 0:
		try = fmt.Sprintf("%d would do", (below+hands)*f.repeat)
	case above < math.MaxInt:
		try = fmt.Sprintf("%d would do", (above+hands)*f.repeat)
	default:
		try = "use pattern = \"polka\" with a jitter"
	}
	return nil, &Impossible{Why: fmt.Sprintf("no regular rows leave exactly %d cutouts free", n*f.repeat), Try: try}
}

// ladder lists factors of a step in the order in which they change it little.
func ladder() []float64 {
	out := []float64{1}
	for i := 1; i <= 40; i++ {
		out = append(out, math.Pow(1.02, float64(i)), math.Pow(1.02, -float64(i)))
	}
	return out
}

// fitSteps looks for a step along the rows, near the one given, that leaves want
// places free, and keeps the nearest counts found below and above.
func (j *job) fitSteps(f folded, rows []rowPlan, step float64, want int, below, above *int) (float64, []rowPlan) {
	for _, part := range ladder() {
		for _, shift := range [...]float64{0, 0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875} {
			try := slices.Clone(rows)
			j.fill(f, try, step*part, shift)
			n := held(try)
			if n == want {
				return step * part, try
			}
			if n < want {
				*below = max(*below, n)
			} else {
				*above = min(*above, n)
			}
			if f.fold.Closed() && n < want && want-n <= len(rows) && j.opt.Clearance.Seam == 0 {
				if j.nudge(try, want-n) {
					return step * part, try
				}
			}
		}
	}
	return 0, nil
}

// nudge gives single rows one place more, the longest first, until more are free.
func (j *job) nudge(rows []rowPlan, more int) bool {
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
