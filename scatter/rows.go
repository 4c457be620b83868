package scatter

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
)

// Rows: marks at one distance below the waist each, equal steps apart all
// round. The step of a row is the wish, rounded so that a whole number of
// steps closes the repeat: no odd gap is left at a seam. Rows end on the
// clearances, so their distance is rounded in the same way.

// rowPlan is one row of a repeat: n marks, the first one phase steps from the
// repeat's left edge.
type rowPlan struct {
	down  float64
	n     int
	phase float64
	// On an outline rows do not close: n places from first on, step apart, as
	// shares of the drawing's width; step is 0 elsewhere.
	first, step float64
	free        [][2]float64 // where the row is free; nil: all of it
}

// downs returns where the rows lie for about the given pitch, and the true
// pitch (0 for a single row).
func (j *job) downs(pitch float64) ([]float64, float64, error) {
	low, high := j.zone.low, j.zone.high
	if j.opt.Pattern == HemBand {
		return j.bandDowns(pitch)
	}
	den := j.zone.density
	downs, pitch := den.spread(low, high, int(math.Round((den.depth(high)-den.depth(low))/pitch))+1)
	return downs, pitch, nil
}

// spread returns n rows from low to high and their pitch, as it would be at the
// hem; one alone lies in the middle.
func (d density) spread(low, high float64, n int) ([]float64, float64) {
	if n == 1 {
		return []float64{(low + high) / 2}, 0
	}
	from, to := d.depth(low), d.depth(high)
	pitch := (to - from) / float64(n-1)
	out := make([]float64, n)
	for i := range out {
		out[i] = d.under(from + float64(i)*pitch)
	}
	out[0], out[n-1] = low, high
	return out, pitch
}

// span returns the length of a row in the lengths of the density.
func (f folded) span(down float64) float64 {
	along, _ := f.density.at(down)
	return f.fold.Girth(down) / along
}

func (j *job) bandDowns(pitch float64) ([]float64, float64, error) {
	last := j.zone.high
	if j.opt.Rise > 0 {
		last = j.surface.Drop - j.opt.Rise
	}
	if last > j.zone.high {
		j.note(fmt.Sprintf("a rise of %s would bring cutouts into the hem clearance: raised to %s",
			j.opt.show(j.opt.Rise), j.opt.show(j.surface.Drop-j.zone.high)))
		last = j.zone.high
	}
	den := j.zone.density
	first := den.under(den.depth(last) - float64(j.opt.Rows-1)*pitch)
	if first < j.zone.low-geom.Touch {
		most := int((last-j.zone.low)/pitch) + 1
		why := fmt.Sprintf("%d rows %s apart do not fit below the waist clearance", j.opt.Rows, j.opt.show(pitch))
		if last < j.zone.low {
			return nil, 0, &Impossible{Why: fmt.Sprintf("a rise of %s lies above the waist clearance", j.opt.show(j.opt.Rise)), Try: "make the rise smaller"}
		}
		return nil, 0, &Impossible{Why: why, Try: fmt.Sprintf("use rows = %d or a smaller row_spacing", most)}
	}
	out := make([]float64, j.opt.Rows)
	for i := range out {
		out[i] = math.Max(den.under(den.depth(last)-float64(j.opt.Rows-1-i)*pitch), j.zone.low)
	}
	if len(out) == 1 {
		pitch = 0
	}
	return out, pitch, nil
}

// note keeps what a maker must know once, however often it comes up.
func (j *job) note(text string) {
	if !slices.Contains(j.notes, text) {
		j.notes = append(j.notes, text)
	}
}

// rowChoices returns sets of rows for n marks (or groups of marks, one a
// panel), the best shaped first.
func (j *job) rowChoices(f folded, n int) ([][]float64, error) {
	if j.opt.Pattern == HemBand {
		// A band's rows are given; their distance follows the step unless it is.
		girth := 0.0
		last := j.zone.high
		for range j.opt.Rows {
			girth += f.span(last)
		}
		step := girth / float64(max(1, n*max(1, len(f.seams))))
		downs, _, err := j.bandDowns(j.pitch(step, j.opt.RowSpacing))
		if err != nil && j.opt.RowSpacing == 0 && j.opt.Rows > 1 {
			downs, _, err = j.bandDowns((last - j.zone.low) / float64(j.opt.Rows-1))
		}
		if err == nil && len(downs) > n {
			err = &Impossible{
				Why: fmt.Sprintf("%d rows need more than %d cutouts", len(downs), n*max(1, len(f.seams))*f.repeat),
				Try: "use fewer rows or more cutouts",
			}
		}
		return [][]float64{downs}, err
	}
	low, high := j.zone.low, j.zone.high
	type choice struct {
		downs []float64
		off   float64
	}
	var all []choice
	// More rows than marks there cannot be; a pitch under a tenth of what any
	// pattern asks for would only pile rows up.
	for r := 1; r <= min(n, 2000); r++ {
		downs, pitch := j.zone.density.spread(low, high, r)
		girth := 0.0
		for _, d := range downs {
			girth += f.span(d)
		}
		step := girth / float64(n*max(1, len(f.seams)))
		want := j.pitch(step, j.opt.RowSpacing)
		if r == 1 {
			pitch = math.Max(high-low, want/2) * 2
		}
		off := math.Abs(math.Log(pitch / want))
		if off > math.Log(10) && r > 1 {
			continue
		}
		all = append(all, choice{downs, off})
	}
	slices.SortStableFunc(all, func(a, b choice) int { return cmp.Compare(a.off, b.off) })
	// Beyond the first dozen the cells are stretched past recognition; marks that
	// leave their rows anyway need no choice.
	most := 12
	if j.loose() {
		most = 2
	}
	out := make([][]float64, 0, most)
	for _, c := range all[:min(len(all), most)] {
		out = append(out, c.downs)
	}
	return out, nil
}

// apportion shares n groups of unit marks among the rows by girth: largest
// remainders (Hamilton's method), at least one a row.
func apportion(f folded, downs []float64, n, unit int) []rowPlan {
	weights := make([]float64, len(downs))
	for i, d := range downs {
		weights[i] = f.span(d)
	}
	rows := make([]rowPlan, len(downs))
	for i, k := range shareOut(n-len(downs), weightsLess(weights, n, len(downs))) {
		rows[i] = rowPlan{down: downs[i], n: (k + 1) * unit}
	}
	return rows
}

// weightsLess takes the one mark that every row has already off its weight.
func weightsLess(weights []float64, n, rows int) []float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	out := make([]float64, len(weights))
	for i, w := range weights {
		out[i] = math.Max(0, w/sum*float64(n)-1)
	}
	return out
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

// setPhases starts the rows half a step from the repeat's edge, so that a seam
// lies midway between two marks; staggered rows alternate with a mark on the
// seam, or where seams are kept clear with a quarter and three quarters.
func (j *job) setPhases(f folded, rows []rowPlan) {
	for i := range rows {
		r := &rows[i]
		r.phase = 0.5
		if !j.staggered() {
			continue
		}
		if len(f.seams) == 0 {
			if i%2 == 1 {
				r.phase = 0
			}
			continue
		}
		if quarter := 0.25 / float64(r.n); quarter >= f.inset(r.down)*float64(f.repeat) {
			r.phase = 0.25 + 0.5*float64(i%2)
		}
	}
	if len(f.seams) == 0 {
		return
	}
	// A row whose marks would come into the seam clearance takes fewer of them.
	if j.opt.Cutouts > 0 {
		return
	}
	q := len(f.seams)
	for i := range rows {
		r := &rows[i]
		for r.n > q && math.Min(r.phase, 1-r.phase)/float64(r.n) < f.inset(r.down)*float64(f.repeat) {
			r.n -= q
		}
	}
}
