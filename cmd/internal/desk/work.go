package desk

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/say"
	"strew/sheet"
)

// work is the planning of one revision. Its fields are guarded by the planning's lock.
type work struct {
	revision
	stop   context.CancelFunc // of all of it
	enough context.CancelFunc // of the search for a better lay; nil while there is none
	ended  bool               // nothing more will come
	moved  chan struct{}      // closed when something below is set, then replaced

	marked  *stage.Plan   // with marks and counts
	laid    *stage.Plan   // with the latest lay
	sheets  []shown.Sheet // of it
	results *results.Results
	refused *refused
}

// refused says why a revision could not be planned.
type refused struct {
	Rev  int    `json:"rev"`
	Key  string `json:"key,omitempty"` // the control that caused it, where it is known
	Text string `json:"text,omitempty"`
}

const (
	// slideWait is how long felt waits while a control is sliding: the next value
	// comes within a few frames, and the lay of this one would only be in its way.
	slideWait = 120 * time.Millisecond
	// restWait is how long a control must have rested until better lays are looked
	// for, although its change is not said to have ended.
	restWait = 400 * time.Millisecond
)

// planning follows the changes of a project: it plans the latest revision, and keeps
// what the last good ones came to. It is safe for concurrent use.
type planning struct {
	ctx  context.Context // of all work
	news *news

	mu      sync.Mutex
	planner *stage.Planner   // of the drawings below
	planned state            // whose drawings the planner reads
	running *work            // on the present revision
	good    *work            // the last that came to marks
	last    *results.Results // of the last that came to its end
}

// revision is one change of a project.
type revision struct {
	number int
	live   bool // it is still being slid or typed
}

// begin plans a revision in place of the one before: its state, and the project read
// from it or why it cannot be.
func (p *planning) begin(rev revision, s state, pr project.Project, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.running != nil {
		p.running.stop()
		p.running.step() // who waits for it goes on with the newer
	}
	ctx, stop := context.WithCancel(p.ctx)
	w := &work{revision: rev, stop: stop, moved: make(chan struct{})}
	p.running = w
	if err != nil {
		pr.Unit = s.doc.Unit()
		p.refuse(w, pr, err)
		return
	}
	go p.plan(ctx, w, p.plannerOf(s), pr)
}

// reread forgets what was read of drawings: they lie elsewhere now.
func (p *planning) reread() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.planner = nil
}

// project reads the state's text.
func (s state) project() (project.Project, error) { return project.Parse(s.text, "", "") }

// plannerOf returns the planner for the state's drawings: the one at hand if it
// reads the same. The caller holds the lock.
func (p *planning) plannerOf(s state) *stage.Planner {
	if p.planner == nil || !s.readsAs(p.planned) {
		p.planner, p.planned = stage.NewPlanner(s.files()), s
	}
	return p.planner
}

// plannerFor is plannerOf for one who does not hold the lock.
func (p *planning) plannerFor(s state) *stage.Planner {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.plannerOf(s)
}

// enough ends the search for a better lay.
func (p *planning) enough() {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.running.enough != nil {
		p.running.enough()
	}
}

// plan plans a revision: marks first, then a quick lay, then the best that the
// project's effort finds, then what the whole costs.
func (p *planning) plan(ctx context.Context, w *work, planner *stage.Planner, pr project.Project) {
	defer w.stop()
	defer p.survive(w, pr)
	effort := pr.Cutting.Effort
	quick := pr
	quick.Cutting.Effort = 0
	made, err := planner.Plan(ctx, quick, p.follow(ctx, w, pr))
	if err == nil && w.live {
		wait(ctx, restWait)
	}
	switch {
	case effort == 0:
	case err == nil:
		made, err = p.improve(ctx, w, planner, pr, made)
	case lacksFelt(err): // of a quick lay, which wastes some
		made, err = planner.Plan(ctx, pr, p.follow(ctx, w, pr))
	}
	if ctx.Err() != nil {
		return // another revision is at work
	}
	if err != nil {
		p.mu.Lock()
		defer p.mu.Unlock()
		p.refuse(w, pr, err)
		return
	}
	made.Project = pr
	p.sum(ctx, w, made)
}

// follow tells the marks of a plan and its lay as soon as they are there.
func (p *planning) follow(ctx context.Context, w *work, pr project.Project) func(stage.Event) {
	return func(e stage.Event) {
		switch {
		case e.Plan != nil && e.Stage == stage.Laying:
			p.mark(w, *e.Plan)
			if w.live {
				wait(ctx, slideWait)
			}
		case e.Plan != nil && e.Stage == stage.Measuring:
			if w.marked == nil { // felt decided how many there are
				p.mark(w, *e.Plan)
			}
			p.lay(w, *e.Plan, pr.Cutting.Effort > 0)
		}
	}
}

// lacksFelt reports whether a plan failed because its lay took too much felt.
func lacksFelt(err error) bool {
	var little *stage.TooLittleFelt
	var short *sheet.ShortError
	return errors.As(err, &little) || errors.As(err, &short)
}

// survive turns a mistake in the program into a refusal: the maker can undo what led
// to it, and all her other work is still there.
func (p *planning) survive(w *work, pr project.Project) {
	if mistake := recover(); mistake != nil {
		p.mu.Lock()
		defer p.mu.Unlock()
		p.refuse(w, pr, say.Errorf("strew made a mistake with these values and could not plan them; undo the last change, or try another (%s)", fmt.Sprint(mistake)))
	}
}

// wait waits for a time, or until ctx ends.
func wait(ctx context.Context, t time.Duration) {
	timer := time.NewTimer(t)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}

// improve lays the felt with the project's own effort, until the maker says enough:
// then the best so far stands.
func (p *planning) improve(ctx context.Context, w *work, planner *stage.Planner, pr project.Project, quick stage.Plan) (stage.Plan, error) {
	until, enough := context.WithCancel(ctx)
	defer enough()
	p.mu.Lock()
	w.enough = enough
	p.mu.Unlock()
	made, err := planner.Plan(until, pr, func(e stage.Event) {
		if e.Stage == stage.Laying && len(e.Best) > 0 && !stage.ByFelt(pr) {
			p.progress(w, e.Best, quick)
		}
	})
	p.mu.Lock()
	w.enough = nil
	p.mu.Unlock()
	if err != nil && until.Err() != nil && ctx.Err() == nil {
		quick.Laid.Lay.Stopped = true
		return quick, nil
	}
	return made, err
}

// current runs a function that tells something of a revision, unless a newer one is
// there.
func (p *planning) current(w *work, tell func()) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.running != w {
		return
	}
	tell()
	w.step()
}

// step wakes those who wait for the work to come further.
func (w *work) step() {
	close(w.moved)
	w.moved = make(chan struct{})
}

// mark tells marks and counts.
func (p *planning) mark(w *work, made stage.Plan) {
	marks := shown.MarksOf(made)
	p.current(w, func() {
		w.marked = &made
		p.good = w
		p.news.tell(partMarks, struct {
			Part string `json:"part"`
			Rev  int    `json:"rev"`
			shown.Marks
		}{partMarks, w.number, marks})
		p.news.tell(partRefused, told(refused{Rev: w.number}))
	})
}

// lay tells a lay.
func (p *planning) lay(w *work, made stage.Plan, working bool) {
	sheets := shown.SheetsOf(made)
	p.current(w, func() {
		w.laid, w.sheets = &made, sheets
		p.news.tell(partLay, lays{partLay, w.number, working, needs(made.Project, made.Laid.Lay.Needs), sheets})
	})
}

// progress tells the best order so far for the cutouts of the quick lay: of each
// colour the better of that lay's and what was found since.
func (p *planning) progress(w *work, found []sheet.Need, quick stage.Plan) {
	order := needs(quick.Project, better(quick.Laid.Lay.Needs, found))
	p.current(w, func() {
		p.news.tell(partLay, lays{partLay, w.number, true, order, w.sheets})
	})
}

// sum tells the final lay, and what the whole comes to. Where the felt decides how
// many cutouts there are, a better lay than the quick one may hold more.
func (p *planning) sum(ctx context.Context, w *work, made stage.Plan) {
	if stage.ByFelt(made.Project) {
		p.mark(w, made)
	}
	p.lay(w, made, false)
	drawn := results.Of(made)
	text, err := drawn.Text(ctx)
	if err != nil {
		return // another revision is at work
	}
	p.current(w, func() {
		w.results, w.ended = drawn, true
		p.last = drawn
		p.news.tell(partSum, sumOf(w.number, text))
	})
}

// refuse tells why a revision could not be planned. The caller holds the lock.
func (p *planning) refuse(w *work, pr project.Project, err error) {
	if p.running != w {
		return
	}
	w.refused, w.ended = &refused{w.number, words.Blame(pr, err), words.Reason(pr, err)}, true
	p.news.tell(partRefused, told(*w.refused))
	w.step()
}

// told is the part that tells a refusal, or that there is none.
func told(r refused) any {
	return struct {
		Part string `json:"part"`
		refused
	}{partRefused, r}
}
