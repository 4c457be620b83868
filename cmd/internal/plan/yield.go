package plan

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"strew/motif/geom"
	"strew/scatter"
	"strew/sheet"
)

// As many cutouts as so many sheets of felt, or felt for so much money, yield.
//
// The mix and the spares of a count are known before any cutout has its place,
// so counts are laid on felt first: quick lays bracket the most that holds,
// thorough ones find it. Then that many are scattered, and laid as in every
// plan.

// tried is what was laid while counts were tried on the felt.
type tried struct {
	memory sheet.Memory
	lays   []triedLay
}

type triedLay struct {
	counts []Count
	effort int
	lay    sheet.Lay
}

func (t *tried) find(counts []Count, effort int) (sheet.Lay, bool) {
	for _, l := range t.lays {
		if l.effort == effort && slices.Equal(l.counts, counts) {
			return l.lay, true
		}
	}
	return sheet.Lay{}, false
}

func (t *tried) keep(counts []Count, effort int, lay sheet.Lay) {
	t.lays = append(t.lays, triedLay{slices.Clone(counts), effort, lay})
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
	tries := 0
	holds := func(n, effort int) (bool, error) {
		tries++
		progress(Stage{Name: fmt.Sprintf("trying %d cutouts on the felt", n)})
		trial.countPlaced(scatter.Counts(kinds, n))
		err := cmp.Or(trial.pack(ctx, effort, nil), ctx.Err())
		var short *sheet.ShortError
		if errors.As(err, &short) {
			return false, nil // more than there is
		}
		return err == nil && trial.withinFelt(), err
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
	most, err := lastThatHolds(least, room, 1, func(n int) (bool, error) { return holds(n, 0) })
	if err != nil || effort == 0 {
		return most, err
	}
	// Thorough lays hold a few in the hundred more.
	return lastThatHolds(most, room, max(1, most/50), func(n int) (bool, error) { return holds(n, effort) })
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
// low is one: ever longer steps until one does not, then halves.
func lastThatHolds(low, high, step int, holds func(n int) (bool, error)) (int, error) {
	fails := high + 1
	for low < high {
		n := min(low+step, high)
		ok, err := holds(n)
		if err != nil {
			return 0, err
		}
		if !ok {
			fails = n
			break
		}
		low, step = n, 2*step
	}
	for fails-low > 1 {
		n := (low + fails) / 2
		ok, err := holds(n)
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
