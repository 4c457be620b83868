package desk

import (
	"context"

	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
)

// tryArgs are changes to be tried without making them.
type tryArgs struct {
	Edits []Edit
	Lay   bool // the felt too
}

// tried is what changes would give.
type tried struct {
	Refused *refused      `json:"refused,omitempty"`
	Marks   *shown.Marks  `json:"marks,omitempty"`
	Counts  []shown.Count `json:"counts,omitempty"`
	Order   []need        `json:"order,omitempty"`
	Sum     *words.Sum    `json:"sum,omitempty"`
	Cost    *words.Cost   `json:"cost,omitempty"` // without the paper to print on, which is not drawn
}

// tryEffort is the most effort that a try lays felt with: that of a project which asks
// for none, so that a choice comes to what was said of it.
const tryEffort = 3

// try plans the present project with changes, beside it.
func (d *Desk) try(ctx context.Context, a tryArgs) (answer, error) {
	d.mu.Lock()
	s, err := d.history.present.apply(a.Edits)
	present := d.history.present
	d.mu.Unlock()
	planner := d.planning.plannerFor(present)
	if err != nil {
		return nil, err
	}
	pr, err := s.project()
	if err != nil {
		return tried{Refused: &refused{Key: words.Blame(pr, err), Text: words.Reason(pr, err)}}, nil
	}
	pr.Cutting.Effort = min(pr.Cutting.Effort, tryEffort)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	out := tried{}
	_, err = planner.Plan(ctx, pr, func(e stage.Event) {
		if e.Plan == nil {
			return
		}
		marks := shown.MarksOf(*e.Plan)
		out.Marks, out.Counts = &marks, marks.Counts
		if e.Stage == stage.Measuring && a.Lay {
			said := words.Of(*e.Plan, words.Drawn{})
			sum, cost := said.Sum(), said.Cost()
			out.Order, out.Sum, out.Cost = needs(pr, e.Plan.Laid.Lay.Needs), &sum, &cost
		}
		if e.Stage == stage.Measuring || !a.Lay {
			stop() // evenness, and felt not asked for, are not worked out
		}
	})
	switch {
	case ctx.Err() == nil && err != nil:
		out.Refused = &refused{Key: words.Blame(pr, err), Text: words.Reason(pr, err)}
	case out.Marks == nil:
		return nil, ctx.Err()
	}
	return out, nil
}
