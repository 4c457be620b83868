package scatter

import (
	"cmp"
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// Rows: marks at one distance below the waist each, equal steps apart all
// round. A row's step is the one asked for, rounded so that a whole number of
// steps closes the repeat: no odd gap is left at a seam. Rows end on the
// clearances, so their distance is rounded in the same way.

// row is one row of a repeat: n places, the first one phase steps from the
// repeat's left edge.
type row struct {
	down  float64
	n     int
	phase float64
	// On an outline rows do not close: n places from first on, step apart, as
	// shares of the drawing's width; step is 0 elsewhere.
	first, step float64
	free        [][2]float64 // where the row is free, as shares of the way round; nil: all of it
}

// staggered reports whether every other row is shifted by half a step.
func (o *Options) staggered() bool { return o.Stagger || o.Pattern == Polka }

// loose reports whether marks leave their rows.
func (o *Options) loose() bool { return o.Pattern == Polka && o.Jitter > 0 }

// pitch returns the distance between rows for a spacing; rowSpacing where that
// is set.
func (o *Options) pitch(spacing, rowSpacing float64) float64 {
	switch {
	case rowSpacing > 0:
		return rowSpacing
	case o.staggered():
		return spacing * math.Sqrt(3) / 2
	}
	return spacing
}

// downs returns where the rows lie for about the given pitch, and the true
// pitch (0 for a single row).
func (b *band) downs(pitch float64) ([]float64, float64, error) {
	if b.opt.Pattern == HemBand {
		return b.hemDowns(pitch)
	}
	den := b.density
	downs, pitch := den.spread(b.low, b.high, int(math.Round((den.depth(b.high)-den.depth(b.low))/pitch))+1)
	return downs, pitch, nil
}

// hemRow returns where the lowest row of a hem band lies, with a note where that is
// higher than asked for.
func (b *band) hemRow() (last float64, notes []Note) {
	if b.opt.Pattern != HemBand || b.opt.Rise <= 0 {
		return b.high, nil
	}
	last = b.surface.Drop - b.opt.Rise
	if last <= b.high {
		return last, nil
	}
	return b.high, []Note{{"scatter.rise", say.New("a rise of %s would bring cutouts into the hem clearance: raised to %s",
		say.Length(b.opt.Rise), say.Length(b.surface.Drop-b.high))}}
}

// hemDowns returns where the rows of a hem band lie, from the lowest up.
func (b *band) hemDowns(pitch float64) ([]float64, float64, error) {
	last, _ := b.hemRow()
	den := b.density
	first := den.under(den.depth(last) - float64(b.opt.Rows-1)*pitch)
	if first < b.low-geom.Touch {
		if last < b.low {
			return nil, 0, &Impossible{
				Key: "scatter.rise",
				Why: say.New("a rise of %s lies above the waist clearance", say.Length(b.opt.Rise)), Try: say.New("make the rise smaller"),
			}
		}
		return nil, 0, &Impossible{
			Key: "scatter.rows",
			Why: say.New("%d rows %s apart do not fit below the waist clearance", b.opt.Rows, say.Length(pitch)),
			Try: say.New("%d would fit, or rows closer together", int((last-b.low)/pitch)+1),
		}
	}
	out := make([]float64, b.opt.Rows)
	for i := range out {
		out[i] = math.Max(den.under(den.depth(last)-float64(b.opt.Rows-1-i)*pitch), b.low)
	}
	if len(out) == 1 {
		pitch = 0
	}
	return out, pitch, nil
}

// pitchOf returns the distance of rows as it would be at the hem; 0 for one.
func (d density) pitchOf(downs []float64) float64 {
	if len(downs) < 2 {
		return 0
	}
	return d.depth(downs[1]) - d.depth(downs[0])
}

// rowPlanner plans the rows of one repeat.
type rowPlanner struct{ *domain }

// rowsAt returns empty rows, with where they are free.
func (f rowPlanner) rowsAt(ctx context.Context, downs []float64) ([]row, error) {
	rows := make([]row, len(downs))
	for i, down := range downs {
		rows[i] = row{down: down}
	}
	if f.obstacles == nil && len(f.opt.Fixed) == 0 {
		return rows, nil
	}
	return rows, inChunks(ctx, len(rows), 1, func(i, _ int) { rows[i].free = f.stretches(rows[i].down) })
}

// fill puts as many places into every row as lie about a step apart, the first of
// them shifted by a part of a step.
func (f rowPlanner) fill(rows []row, step, shift float64) {
	if !f.fold.Closed() {
		f.fillLevel(rows, step, shift)
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
	f.setPhases(rows)
	for i := range rows {
		rows[i].phase += shift
	}
}

// fillLevel lays level rows over a drawing, centred on it.
func (f rowPlanner) fillLevel(rows []row, step, shift float64) {
	for i := range rows {
		r := &rows[i]
		along, _ := f.density.at(r.down)
		r.step = step * along / f.fold.Width
		at := shift
		if f.opt.staggered() && (len(rows)-i)%2 == 0 {
			at += 0.5
		}
		back := math.Floor(0.5/r.step + at)
		r.first = 0.5 + (at-back)*r.step
		r.n = int(math.Floor((1-r.first)/r.step)) + 1
	}
}

// setPhases starts the rows half a step from the repeat's edge, so that a seam
// lies midway between two marks; staggered rows alternate with a mark on the
// seam, or where seams are kept clear with a quarter and three quarters.
func (f rowPlanner) setPhases(rows []row) {
	clear := func(r *row) float64 { return f.inset(r.down) * float64(f.repeat) }
	for i := range rows {
		r := &rows[i]
		r.phase = 0.5
		if !f.opt.staggered() {
			continue
		}
		if len(f.seams) == 0 {
			if i%2 == 1 {
				r.phase = 0
			}
			continue
		}
		if quarter := 0.25 / float64(r.n); quarter >= clear(r) {
			r.phase = 0.25 + 0.5*float64(i%2)
		}
	}
	q := len(f.seams)
	if q == 0 || f.opt.Cutouts > 0 {
		return
	}
	// A row whose marks would come into the seam clearance takes fewer of them.
	for i := range rows {
		r := &rows[i]
		for r.n > q && math.Min(r.phase, 1-r.phase)/float64(r.n) < clear(r) {
			r.n -= q
		}
	}
}

// rowChoices returns sets of rows for n marks (or groups of marks, one for each
// panel), the best shaped first.
func (f rowPlanner) rowChoices(n int) ([][]float64, error) {
	if f.opt.Pattern == HemBand {
		downs, err := f.hemChoice(n)
		return [][]float64{downs}, err
	}
	type choice struct {
		downs []float64
		off   float64
	}
	var all []choice
	// There are at most as many rows as marks, and a pitch of less than a tenth of
	// what the pattern asks for would only pile up rows.
	for r := 1; r <= min(n, 2000); r++ {
		downs, pitch := f.density.spread(f.low, f.high, r)
		girth := 0.0
		for _, d := range downs {
			girth += f.span(d)
		}
		step := girth / float64(n*max(1, len(f.seams)))
		want := f.opt.pitch(step, f.opt.RowSpacing)
		if r == 1 {
			pitch = math.Max(f.high-f.low, want/2) * 2
		}
		off := math.Abs(math.Log(pitch / want))
		if off > math.Log(10) && r > 1 {
			continue
		}
		all = append(all, choice{downs, off})
	}
	slices.SortStableFunc(all, func(a, b choice) int { return cmp.Compare(a.off, b.off) })
	// Beyond the first dozen the pattern's cells are stretched past recognition; marks
	// that leave their rows need little choice.
	most := 12
	if f.opt.loose() {
		most = 2
	}
	out := make([][]float64, 0, most)
	for _, c := range all[:min(len(all), most)] {
		out = append(out, c.downs)
	}
	return out, nil
}

// hemChoice returns the rows of a hem band for n marks. How many rows is given;
// their distance follows the step unless it is given too.
func (f rowPlanner) hemChoice(n int) ([]float64, error) {
	unit := max(1, len(f.seams))
	girth := 0.0
	for range f.opt.Rows {
		girth += f.span(f.high)
	}
	step := girth / float64(max(1, n*unit))
	downs, _, err := f.hemDowns(f.opt.pitch(step, f.opt.RowSpacing))
	if err != nil && f.opt.RowSpacing == 0 && f.opt.Rows > 1 {
		downs, _, err = f.hemDowns((f.high - f.low) / float64(f.opt.Rows-1))
	}
	if err == nil && len(downs) > n {
		err = &Impossible{
			Key: "scatter.rows",
			Why: say.New("%d rows need more than %d cutouts", len(downs), n*unit*f.repeat),
			Try: say.New("use fewer rows or more cutouts"),
		}
	}
	return downs, err
}

// apportion shares n groups of unit marks among the rows by girth: largest
// remainders (Hamilton's method), at least one to each row.
func (f rowPlanner) apportion(downs []float64, n, unit int) []row {
	weights := make([]float64, len(downs))
	sum := 0.0
	for i, d := range downs {
		weights[i] = f.span(d)
		sum += weights[i]
	}
	for i, w := range weights { // every row has one mark already
		weights[i] = math.Max(0, w/sum*float64(n)-1)
	}
	rows := make([]row, len(downs))
	for i, k := range shareOut(n-len(downs), weights) {
		rows[i] = row{down: downs[i], n: (k + 1) * unit}
	}
	return rows
}

// shareOut splits n into whole parts in proportion to the weights, by largest
// remainders; ties go to the earlier part. All weights zero: equal parts.
func shareOut(n int, weights []float64) []int {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	out := make([]int, len(weights))
	rest := make([]int, len(weights))
	left := n
	frac := make([]float64, len(weights))
	for i, w := range weights {
		exact := float64(n) / float64(len(weights))
		if sum > 0 {
			exact = w / sum * float64(n)
		}
		out[i] = int(exact + geom.SameRatio)
		frac[i] = exact - float64(out[i])
		left -= out[i]
		rest[i] = i
	}
	slices.SortStableFunc(rest, func(a, b int) int { return cmp.Compare(frac[b], frac[a]) })
	for i := 0; left > 0; i = (i + 1) % len(rest) {
		out[rest[i]]++
		left--
	}
	return out
}
