package stage

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/scatter"
	"strew/sheet"
)

// Finds the largest count whose felt fits the sheets or the money asked for.
//
// The mix and the spares of a count are known before any cutout has its place,
// so counts are laid on felt first: quick lays find about the most that holds,
// better ones find it. What a lay leaves free tells how many to try next. Then
// that many are strewn.

// byFelt reports whether the felt decides how many cutouts there are.
func byFelt(p project.Project) bool { return p.Scatter.Sheets > 0 || p.Scatter.Budget > 0 }

// TooLittleFelt says that not even the smallest mix can be had.
type TooLittleFelt struct {
	Least  int     // cutouts of the smallest mix with every motif in it
	Sheets int     // it takes, where sheets were asked for; else 0
	Cost   float64 // of its felt
}

func (e *TooLittleFelt) Error() string {
	return fmt.Sprintf("the felt holds fewer than %d cutouts, the smallest mix with every motif", e.Least)
}

// errNoMix says that no layout came out whose felt can be had.
var errNoMix = errors.New("the felt is not enough for one of every motif")

// trials are the lays of the counts tried so far.
type trials struct {
	mix   Mix
	felt  Felt
	wish  project.Scatter
	cache *sheet.Cache
	hints sheet.Hints
	lays  []trial
}

type trial struct {
	counts []Count
	effort int
	held   bool
	lay    sheet.Lay
}

// find returns a lay of the counts found by the effort, or by less where that
// did already; but not a quick one, for what that leaves over is in pieces.
func (t *trials) find(counts []Count, effort int) (sheet.Lay, bool) {
	for _, l := range t.lays {
		if (l.effort == effort || l.held && l.effort > 0) && slices.Equal(l.counts, counts) {
			return l.lay, true
		}
	}
	return sheet.Lay{}, false
}

// lay lays the counts with an effort; a stopped lay is ctx's error.
func (t *trials) lay(ctx context.Context, counts []Count, effort int, progress func(sheet.Progress)) (sheet.Lay, error) {
	if err := ctx.Err(); err != nil {
		return sheet.Lay{}, err
	}
	if lay, ok := t.find(counts, effort); ok {
		return lay, nil
	}
	f := t.felt
	f.Effort = effort
	lay, err := pack(ctx, t.mix, counts, f, sheet.Options{Progress: progress, Cache: t.cache, Hints: &t.hints})
	if err == nil && lay.Stopped {
		err = ctx.Err()
	}
	if err != nil {
		return sheet.Lay{}, err
	}
	t.lays = append(t.lays, trial{slices.Clone(counts), effort, t.holds(lay), lay})
	return lay, nil
}

// holds reports whether the lay keeps to the sheets or the money.
func (t *trials) holds(l sheet.Lay) bool {
	if t.wish.Sheets > 0 {
		return sheetsOf(l) <= t.wish.Sheets
	}
	return costOf(l) <= t.wish.Budget*(1+geom.SameRatio)
}

// shareOfFelt returns how much of the sheets or of the money the lay takes: a
// sheet less full than the others, the emptiest left out, is a part of one.
func (t *trials) shareOfFelt(l sheet.Lay) float64 {
	sum, least := 0.0, 1.0
	for _, s := range l.Sheets {
		sum, least = sum+s.Used, min(least, s.Used)
	}
	n := float64(len(l.Sheets))
	sheets := sum / max(oftenFull, (sum-least)/max(1, n-1))
	if t.wish.Sheets > 0 {
		return sheets / float64(t.wish.Sheets)
	}
	return costOf(l) / t.wish.Budget * sheets / n
}

// oftenFull is the share of a sheet of felt that a lay uses without trouble.
const oftenFull = 0.5

// yield finds the most cutouts whose felt, spares included, keeps to the
// sheets or the money. tried is called with each number tried.
func (t *trials) yield(ctx context.Context, c Cloth, p project.Project, tried func(n int)) (int, error) {
	kinds := strewnKinds(t.mix, p)
	guess := 0 // how many the felt holds, by what the last lay leaves of it
	var last sheet.Lay
	holds := func(n, effort int) (bool, error) {
		tried(n)
		lay, err := t.lay(ctx, CountPlaced(t.mix, scatter.Counts(kinds, n), p.Cutting), effort, nil)
		var short *sheet.ShortError
		if errors.As(err, &short) {
			guess = 0
			return false, nil // more than there is
		}
		if err != nil {
			return false, err
		}
		last = lay
		guess = int(min(float64(n)/t.shareOfFelt(lay), math.MaxInt32))
		return t.holds(lay), nil
	}
	// One of every motif is the least: a mix that lacks one is not what was asked.
	least := 1
	for !everyMotif(t.mix, p.Motifs, scatter.Counts(kinds, least)) {
		least++
	}
	effort := t.felt.Effort
	ok, err := holds(least, effort)
	if err != nil {
		return 0, err
	}
	if !ok {
		e := &TooLittleFelt{Least: least, Cost: costOf(last)}
		if t.wish.Sheets > 0 {
			e.Sheets = sheetsOf(last)
		}
		return 0, e
	}
	room := max(least, scatter.MostByArea(c.Surface, kinds, strewOptions(c, t.mix, p, 0)))
	search := func(low int, effort func(above int) int) (int, error) {
		return lastThatHolds(low, room, func() int { return guess }, func(n, above int) (bool, error) { return holds(n, effort(above)) })
	}
	most, err := search(least, func(int) int { return 0 })
	if err != nil || effort == 0 {
		return most, err
	}
	// All of the effort only where the answer hangs on one cutout.
	return search(most, func(above int) int {
		switch {
		case above == 1:
			return effort
		case above <= nearly:
			return max(1, effort-1)
		}
		return max(1, effort-2)
	})
}

// nearly is up to how many cutouts more than are known to hold are tried with
// nearly all of the effort: such a try fails or holds by little.
const nearly = 3

// everyMotif reports whether each motif that has a share gets a cutout.
func everyMotif(m Mix, motifs []project.Motif, counts []int) bool {
	got := map[int]int{}
	for i, n := range counts {
		got[m.Kinds[i].Motif] += n
	}
	for i, asked := range motifs {
		if asked.Share > 0 && got[i] == 0 {
			return false
		}
	}
	return true
}

// lastThatHolds returns the last number from low to high that holds, of which
// low is one. The next tried is the guess where it lies between what holds and
// what does not, but after a few guesses ever farther from what holds; else the
// middle. Holds learns by how much a number is above the last one that held.
func lastThatHolds(low, high int, guess func() int, holds func(n, above int) (bool, error)) (int, error) {
	fails := high + 1
	for away := 1; fails-low > 1; away *= 2 {
		n := max(guess(), low+max(1, away/freeGuesses))
		if n >= fails && away > 1 {
			n = (low + fails) / 2
		}
		n = min(n, high)
		ok, err := holds(n, n-low)
		if err != nil {
			return 0, err
		}
		if ok {
			low = n
		} else {
			fails = n
		}
	}
	return low, nil
}

// freeGuesses, as away doubles, leaves the first four guesses free.
const freeGuesses = 8

// strewByFelt strews as many cutouts as the felt yields, and lays them; so is the
// plan so far.
func strewByFelt(ctx context.Context, so Plan, cache *sheet.Cache, tell func(Event)) (Strewn, []Count, Laid, error) {
	c, m, p := so.Cloth, so.Mix, so.Project
	t := &trials{mix: m, felt: FeltOf(p), wish: p.Scatter, cache: cache}
	n, err := t.yield(ctx, c, p, func(n int) { tell(Event{Stage: Trying, Tried: n}) })
	if err != nil {
		return Strewn{}, nil, Laid{}, err
	}
	for ; n > 0; n-- {
		tell(Event{Stage: Strewing})
		strewn, err := Strew(ctx, c, m, p, n)
		if err != nil {
			return Strewn{}, nil, Laid{}, err
		}
		counts := CountPlaced(m, placed(m, strewn.Layout), p.Cutting)
		lay, err := t.lay(ctx, counts, t.felt.Effort, laying(tell))
		if err != nil {
			return Strewn{}, nil, Laid{}, err
		}
		if t.holds(lay) {
			strewn.Yields = n
			return strewn, counts, laidAs(m, counts, t.felt, lay), nil
		}
		// The mix came out a cutout dearer than reckoned.
	}
	return Strewn{}, nil, Laid{}, fmt.Errorf("scatter: %w", errNoMix)
}
