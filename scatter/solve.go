package scatter

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"strew/scatter/skirt"
)

// The spacing or the count that was asked, met or told why not.

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
		for _, repeat := range j.repeatsToTry() {
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

// repeatsToTry lists the repeats to try: the one asked, and where the maker did not
// insist, fewer and larger ones.
func (j *job) repeatsToTry() []int {
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
	if j.opt.OrFewer {
		return j.orFewer(n)
	}
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

// shareTries is how many counts below one that cannot be shared among repeats
// and panels are tried: two panels' worth of the most panels a skirt has.
const shareTries = 128

// orFewer finds a layout of n marks, or of as many as are found to fit.
func (j *job) orFewer(n int) (*draft, error) {
	n = min(n, MaxMarks)
	for ; n > 0 && !j.areaHolds(n); n = n * 99 / 100 {
	}
tries:
	for k := n; k > max(0, n-shareTries); k-- {
		if j.opt.RepeatSet && k%j.opt.Repeat != 0 {
			continue
		}
		d, err := j.draftByCount(k, gcd(k, j.opt.Repeat))
		var no *Impossible
		switch {
		case errors.As(err, &no):
			continue // not to be shared: one less may be
		case err != nil || d.crowded == "":
			return d, err
		default:
			break tries // too crowded: a few less will not do
		}
	}
	fits, err := j.mostThatFit(n)
	if err != nil {
		return nil, err
	}
	if fits == 0 {
		return nil, &Impossible{Why: "not even one cutout keeps the clearances", Try: "choose smaller motifs or smaller clearances"}
	}
	return j.draftByCount(fits, gcd(fits, j.opt.Repeat))
}

// Counts returns about how many of n cutouts carry each kind; Run deals them
// panel by panel, and may differ by one for each motif.
func Counts(kinds []Kind, n int) []int { return (&job{shapes: shapesOf(kinds)}).kindCounts(n) }

// MostByArea returns how many cutouts the cloth can hold at most by their areas; no
// layout has more.
func MostByArea(s skirt.Surface, kinds []Kind, opt Options) int {
	j := &job{surface: s, shapes: shapesOf(kinds), opt: opt}
	return sort.Search(MaxMarks, func(n int) bool { return !j.areaHolds(n + 1) })
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
	covers := make([]float64, len(j.shapes))
	for i, s := range j.shapes {
		area := 0.0
		for _, ring := range s.Outline {
			area = math.Max(area, math.Abs(ring.Area()))
		}
		side := math.Sqrt(area) + math.Sqrt(math.Pi)*r
		covers[i] = side * side
	}
	for i, k := range j.leastCounts(n, covers) {
		need += float64(k) * covers[i]
	}
	if !j.surface.Banded() {
		// Grown by r, a panel of area A and edge P covers at most A + P·r + π·r².
		area, edge := j.surface.Cloth()
		return need <= area+edge*r+float64(j.surface.Panels)*math.Pi*r*r
	}
	top := math.Max(j.opt.Clearance.Waist-r, -j.surface.Inner)
	bottom := j.surface.Drop - j.opt.Clearance.Hem + r
	return need <= (j.surface.Girth(top)+j.surface.Girth(bottom))/2*(bottom-top)
}

// leastCounts returns how many of n cutouts carry each kind, where no deal that
// keeps those placed by hand covers less: the more of a kind are placed by hand
// than its share, the fewer there are of the kinds that cover most.
func (j *job) leastCounts(n int, covers []float64) []int {
	counts := j.kindCounts(n)
	hands := make([]int, len(counts))
	for _, h := range j.opt.Fixed {
		if h.Kind >= 0 && h.Kind < len(hands) {
			hands[h.Kind]++
		}
	}
	over := 0
	for k, h := range hands {
		over += max(0, h-counts[k])
		counts[k] = max(counts[k], h)
	}
	for ; over > 0; over-- {
		widest := -1
		for k := range counts {
			if counts[k] > hands[k] && (widest < 0 || covers[k] > covers[widest]) {
				widest = k
			}
		}
		if widest < 0 {
			break // fewer are asked for than are placed by hand
		}
		counts[widest]--
	}
	return counts
}

// estimate returns about how many marks a spacing makes: one per cell of the
// pattern over the zone, and half a row more along each edge.
func (j *job) estimate(spacing float64) float64 {
	f := j.fold(1)
	if j.opt.Pattern == HemBand {
		return float64(j.opt.Rows) * f.span((f.low+f.high)/2) / spacing
	}
	_, area, edge, _ := f.area()
	return area/(spacing*j.pitch(spacing, j.opt.RowSpacing)) + edge/(2*spacing)
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

func (j *job) staggered() bool { return j.opt.Stagger || j.opt.Pattern == Polka }

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
