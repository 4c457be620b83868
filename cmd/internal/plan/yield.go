package plan

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter"
	"strew/sheet"
)

// As many cutouts as so many sheets of felt, or felt for so much money, yield.
//
// The mix and the spares of a count are known before any cutout has its place,
// so counts are laid on felt first: quick lays find about the most that holds,
// better ones find it. What a lay leaves free tells how many to try next. Then
// that many are scattered.

// tried is what was laid while counts were tried on the felt.
type tried struct {
	cache sheet.Cache
	hints sheet.Hints
	lays  []triedLay
}

type triedLay struct {
	counts []Count
	effort int
	held   bool
	lay    sheet.Lay
}

// find returns a lay of the counts found by the effort, or by less where that
// did already; but not a quick one, for what that leaves over is in pieces.
func (t *tried) find(counts []Count, effort int) (sheet.Lay, bool) {
	for _, l := range t.lays {
		if (l.effort == effort || l.held && l.effort > 0) && slices.Equal(l.counts, counts) {
			return l.lay, true
		}
	}
	return sheet.Lay{}, false
}

func (t *tried) keep(p *Plan, effort int) {
	t.lays = append(t.lays, triedLay{slices.Clone(p.Counts), effort, p.withinFelt(), p.Lay})
}

// byFelt reports whether the felt decides how many cutouts there are.
func (p *Plan) byFelt() bool { return p.Project.Scatter.Sheets > 0 || p.Project.Scatter.Budget > 0 }

// withinFelt reports whether the lay keeps to the sheets or the money.
func (p *Plan) withinFelt() bool {
	sc := p.Project.Scatter
	if sc.Sheets > 0 {
		return p.sheetsLaid() <= sc.Sheets
	}
	cost, _ := p.feltCost()
	return cost <= sc.Budget*(1+geom.SameRatio)
}

// sheetsLaid is how many sheets the lay takes, of all colours, those in the
// drawer included.
func (p *Plan) sheetsLaid() int {
	sum := 0
	for _, n := range p.Lay.Needs {
		sum += n.Sheets
	}
	return sum
}

// copied returns the plan with lists of its own.
func (p Plan) copied() Plan {
	p.Motifs, p.Measures, p.Kinds = slices.Clone(p.Motifs), slices.Clone(p.Measures), slices.Clone(p.Kinds)
	p.backs, p.Warnings = slices.Clone(p.backs), slices.Clone(p.Warnings)
	return p
}

// yield finds the most cutouts whose felt, spares included, keeps to the
// sheets or the money.
func (p *Plan) yield(ctx context.Context, progress func(Stage)) (int, error) {
	kinds := p.scatterKinds()
	trial := p.copied()
	trial.addBacking()
	guess := 0 // how many the felt holds, by what the last lay leaves of it
	holds := func(n, effort int) (bool, error) {
		progress(Stage{Name: fmt.Sprintf("trying %d cutouts on the felt", n)})
		trial.countPlaced(scatter.Counts(kinds, n))
		err := cmp.Or(trial.pack(ctx, effort, nil), ctx.Err())
		var short *sheet.ShortError
		if errors.As(err, &short) {
			guess = 0
			return false, nil // more than there is
		}
		if err != nil {
			return false, err
		}
		guess = int(min(float64(n)/trial.shareOfFelt(), math.MaxInt32))
		return trial.withinFelt(), nil
	}
	// One of every motif is the least: a mix that lacks one is not what was asked.
	least := 1
	for !p.everyMotif(scatter.Counts(kinds, least)) {
		least++
	}
	effort := p.Project.Cutting.Effort
	ok, err := holds(least, effort)
	if err != nil {
		return 0, err
	}
	if !ok {
		return 0, p.tooLittleFelt(&trial, least)
	}
	room := max(least, scatter.MostByArea(p.Surface, kinds, p.scatterOptions(0)))
	last := func(low int, effort func(above int) int) (int, error) {
		return lastThatHolds(low, room, func() int { return guess }, func(n, above int) (bool, error) { return holds(n, effort(above)) })
	}
	most, err := last(least, func(int) int { return 0 })
	if err != nil || effort == 0 {
		return most, err
	}
	// All of the effort only where the answer hangs on one cutout.
	return last(most, func(above int) int {
		switch {
		case above == 1:
			return effort
		case above <= nearly:
			return max(1, effort-1)
		}
		return max(1, effort-2)
	})
}

// nearly is up to how many cutouts more than are known to hold are tried with nearly all
// of the effort: such a try fails or holds by little.
const nearly = 3

// oftenFull is the share of a sheet of felt that a lay uses without trouble.
const oftenFull = 0.5

// shareOfFelt returns how much of the sheets or of the money the lay takes: a
// sheet less full than the others, the emptiest left out, is a part of one.
func (p *Plan) shareOfFelt() float64 {
	sum, least := 0.0, 1.0
	for _, s := range p.Lay.Sheets {
		sum, least = sum+s.Used, min(least, s.Used)
	}
	n := float64(len(p.Lay.Sheets))
	sheets := sum / max(oftenFull, (sum-least)/max(1, n-1))
	if sc := p.Project.Scatter; sc.Sheets > 0 {
		return sheets / float64(sc.Sheets)
	}
	cost, _ := p.feltCost()
	return cost / p.Project.Scatter.Budget * sheets / n
}

// everyMotif reports whether no motif that has a share comes to none.
func (p *Plan) everyMotif(counts []int) bool {
	got := map[int]int{}
	for i, n := range counts {
		got[p.Kinds[i].Motif] += n
	}
	for m, motif := range p.Project.Motifs {
		if motif.Share > 0 && got[m] == 0 {
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

// tooLittleFelt tells that not even the smallest mix can be had.
func (p *Plan) tooLittleFelt(trial *Plan, least int) error {
	what := "one cutout"
	if least > 1 {
		what = fmt.Sprintf("the %d cutouts of the smallest mix with every motif in it", least)
	}
	sc := p.Project.Scatter
	if sc.Sheets > 0 {
		return fmt.Errorf("scatter.sheets: %s, with spares and patches, take %s of felt; write sheets = %d or more, or use fewer colours",
			what, many(trial.sheetsLaid(), "sheet", "sheets"), trial.sheetsLaid())
	}
	cost, _ := trial.feltCost()
	return fmt.Errorf("scatter.budget: felt for %s, with spares and patches, costs %s; write a budget of that or more", what, p.money(cost))
}

// tellYield says what the felt yields, and where the cloth holds less.
func (p *Plan) tellYield(reckoned int) {
	sc, placed := p.Project.Scatter, len(p.Layout.Placements)
	felt := fmt.Sprintf("felt for %s", p.money(sc.Budget))
	if sc.Sheets > 0 {
		felt = many(sc.Sheets, "sheet", "sheets") + " of felt"
	}
	if placed < reckoned {
		p.addWarning("%s would yield %d cutouts, and %d is the most found to fit on the cloth", felt, reckoned, placed)
	}
}
