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

// Finding the largest count whose felt fits the sheets or the money asked for.
//
// The mix and the spares of a count are known before any mark is placed, so
// counts are laid on felt first: quick lays come near the largest count that
// fits, better ones find it. What a lay leaves free suggests the next count.
// Then that many cutouts are strewn.

// ByFelt reports whether the felt decides how many cutouts there are.
func ByFelt(p project.Project) bool { return p.Scatter.Sheets > 0 || p.Scatter.Budget > 0 }

// TooLittleFelt is the error where the felt is not enough for the smallest mix.
type TooLittleFelt struct {
	Least  int     // cutouts of the smallest mix with every motif in it
	Sheets int     // that it takes, where sheets were asked for; else 0
	Cost   float64 // of its felt, in the project's currency
}

// Error says it in plain text; package words says it to the maker.
func (e *TooLittleFelt) Error() string {
	return fmt.Sprintf("the felt holds fewer than %d cutouts, the smallest mix with every motif", e.Least)
}

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

// find returns an earlier lay of the same counts: one of the same effort, or one
// of another effort that fitted. A quick lay (effort 0) does not stand in for a
// better one, since it leaves the felt over in scraps.
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

// holds reports whether the lay stays within the sheets or the money.
func (t *trials) holds(l sheet.Lay) bool {
	if t.wish.Sheets > 0 {
		return sheetsOf(l) <= t.wish.Sheets
	}
	return costOf(l) <= t.wish.Budget*(1+geom.SameRatio)
}

// shareOfFelt returns the share of the sheets or of the money that the lay takes.
// A sheet less full than the others counts in part; the emptiest is left out of
// what is full.
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

// oftenFull is the share of a sheet that any lay reaches without trouble.
const oftenFull = 0.5

// yield finds the most cutouts whose felt, spares included, stays within the
// sheets or the money; no more than cover the cloth by area. tried is called with each count before it is laid.
func (t *trials) yield(ctx context.Context, c Cloth, p project.Project, tried func(n int)) (int, error) {
	kinds := strewnKinds(t.mix, p)
	guess := 0 // how many the felt holds, to judge by the last lay
	var last sheet.Lay
	var empty error // the drawer does not hold the last count, and no more is sold
	holds := func(n, effort int) (bool, error) {
		tried(n)
		lay, err := t.lay(ctx, CountPlaced(t.mix, dealt(kinds, p, t.mix, n), p.Cutting), effort, nil)
		if short := (*sheet.ShortError)(nil); errors.As(err, &short) {
			guess, empty = 0, err
			return false, nil
		}
		if err != nil {
			return false, err
		}
		last = lay
		guess = int(min(float64(n)/t.shareOfFelt(lay), math.MaxInt32))
		return t.holds(lay), nil
	}
	// The least is one of every motif: a mix without one is not what was asked for.
	least := 1
	for !everyMotif(t.mix, p.Motifs, dealt(kinds, p, t.mix, least)) {
		least++
	}
	effort := t.felt.Effort
	ok, err := holds(least, effort)
	if err != nil {
		return 0, err
	}
	if empty != nil {
		return 0, empty
	}
	if !ok {
		return 0, t.tooLittle(least, last)
	}
	room := max(least, scatter.MostByArea(c.Surface, kinds, strewOptions(c, t.mix, p, 0)))
	search := func(low int, effort func(above int) int) (int, error) {
		return lastThatHolds(low, room, func() int { return guess }, func(n, above int) (bool, error) { return holds(n, effort(above)) })
	}
	most, err := search(least, func(int) int { return 0 })
	if err != nil || effort == 0 {
		return most, err
	}
	// Full effort only where the answer hangs on one cutout.
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

// tooLittle returns the error where the felt of the smallest mix is too much.
func (t *trials) tooLittle(least int, lay sheet.Lay) error {
	e := &TooLittleFelt{Least: least, Cost: costOf(lay)}
	if t.wish.Sheets > 0 {
		e.Sheets = sheetsOf(lay)
	}
	return e
}

// nearly is how many cutouts above the last count that fitted are still tried
// with nearly full effort: such a try is a close thing.
const nearly = 3

// dealt returns about how many of n cutouts carry each kind. Those placed by hand
// whose motif has no share come first; the mix is dealt to the rest.
func dealt(kinds []scatter.Kind, p project.Project, m Mix, n int) []int {
	alone := make([]int, len(kinds))
	for _, f := range p.Fixed {
		if p.Motifs[f.Motif].Share == 0 && n > 0 {
			alone[m.kind(f.Motif, f.Size)]++
			n--
		}
	}
	out := scatter.Counts(kinds, n)
	for i, k := range alone {
		out[i] += k
	}
	return out
}

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

// lastThatHolds returns the largest number from low to high that holds; low must.
// It tries the guess if that lies between the last number that held and the first
// that failed, and else the middle; after a few guesses it steps ever farther
// from the one that held. holds is also given how far n lies above that one.
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

// freeGuesses lets the first four guesses through unchanged, as away doubles.
const freeGuesses = 8

// strewByFelt strews as many cutouts as the felt yields, and lays them. The plan is
// complete up to its cloth and mix.
func strewByFelt(ctx context.Context, begun Plan, cache *sheet.Cache, tell func(Event)) (Strewn, []Count, Laid, error) {
	c, m, p := begun.Cloth, begun.Mix, begun.Project
	t := &trials{mix: m, felt: FeltOf(p), wish: p.Scatter, cache: cache}
	n, err := t.yield(ctx, c, p, func(n int) { tell(Event{Stage: Trying, Tried: n}) })
	if err != nil {
		return Strewn{}, nil, Laid{}, err
	}
	for ; ; n-- {
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
		// The mix of this layout takes more felt than the one that was tried.
		if n == 1 {
			return Strewn{}, nil, Laid{}, t.tooLittle(n, lay)
		}
	}
}
