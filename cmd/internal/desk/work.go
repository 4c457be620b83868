package desk

import (
	"context"
	"math"
	"time"

	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
	"strew/motif/geom"
	"strew/sheet"
)

// work is the planning of one revision. Its fields are guarded by the desk's lock.
type work struct {
	rev    int
	live   bool
	stop   context.CancelFunc // of all of it
	enough context.CancelFunc // of the search for a better lay; nil while there is none
	ended  bool               // nothing more will come
	moved  chan struct{}      // closed when something below is set, then replaced

	marked  *stage.Plan // with marks and counts
	laid    *stage.Plan // with the latest lay
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

// changed tells the present state and plans it, in place of earlier work. The caller
// holds the lock.
func (d *Desk) changed(live bool) {
	if d.running != nil {
		d.running.stop()
		d.running.step() // who waits for it goes on with the newer
	}
	d.revision++
	s := d.history.present
	ctx, stop := context.WithCancel(d.ctx)
	w := &work{rev: d.revision, live: live, stop: stop, moved: make(chan struct{})}
	d.running = w
	pr, err := s.project()
	d.tellState()
	if err != nil {
		d.refuse(w, pr, err)
		return
	}
	go d.plan(ctx, w, d.plannerOf(s), pr)
}

// project reads the state's text.
func (s state) project() (project.Project, error) { return project.Parse(s.text, "", "") }

// plannerOf returns the planner for the state's drawings: the one at hand if it
// reads the same. The caller holds the lock.
func (d *Desk) plannerOf(s state) *stage.Planner {
	if d.planner == nil || !s.readsAs(d.planned) {
		d.planner, d.planned = stage.NewPlanner(s.files()), s
	}
	return d.planner
}

// plan plans a revision: marks first, then a quick lay, then the best that the
// project's effort finds, then what the whole costs.
func (d *Desk) plan(ctx context.Context, w *work, planner *stage.Planner, pr project.Project) {
	defer w.stop()
	quick := pr
	quick.Cutting.Effort = 0
	made, err := planner.Plan(ctx, quick, func(e stage.Event) {
		switch {
		case e.Plan != nil && e.Stage == stage.Laying:
			d.mark(w, *e.Plan)
			if w.live {
				wait(ctx, slideWait)
			}
		case e.Plan != nil && e.Stage == stage.Measuring:
			if w.marked == nil { // felt decided how many there are
				d.mark(w, *e.Plan)
			}
			d.lay(w, *e.Plan, pr.Cutting.Effort > 0)
		}
	})
	if err == nil && w.live {
		wait(ctx, restWait)
	}
	if err == nil && pr.Cutting.Effort > 0 {
		made, err = d.better(ctx, w, planner, pr, made)
	}
	if ctx.Err() != nil {
		return // another revision is at work
	}
	if err != nil {
		d.mu.Lock()
		defer d.mu.Unlock()
		d.refuse(w, pr, err)
		return
	}
	made.Project = pr
	d.sum(ctx, w, made)
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

// better lays the felt with the project's own effort, until the maker says enough:
// then the best so far stands.
func (d *Desk) better(ctx context.Context, w *work, planner *stage.Planner, pr project.Project, quick stage.Plan) (stage.Plan, error) {
	until, enough := context.WithCancel(ctx)
	defer enough()
	d.mu.Lock()
	w.enough = enough
	d.mu.Unlock()
	made, err := planner.Plan(until, pr, func(e stage.Event) {
		if e.Stage == stage.Laying && len(e.Best) > 0 {
			d.progress(w, e.Best, quick)
		}
	})
	d.mu.Lock()
	w.enough = nil
	d.mu.Unlock()
	if err != nil && until.Err() != nil && ctx.Err() == nil {
		quick.Laid.Lay.Stopped = true
		return quick, nil
	}
	return made, err
}

// current runs a function that tells something of a revision, unless a newer one is
// there.
func (d *Desk) current(w *work, tell func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.running != w {
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
func (d *Desk) mark(w *work, p stage.Plan) {
	marks := shown.MarksOf(p)
	d.current(w, func() {
		w.marked = &p
		d.good = w
		d.tell(partMarks, struct {
			Part string `json:"part"`
			Rev  int    `json:"rev"`
			shown.Marks
		}{partMarks, w.rev, marks})
		d.tell(partRefused, told(refused{Rev: w.rev}))
	})
}

// lays is the part that tells of the felt.
type lays struct {
	Part    string        `json:"part"`
	Rev     int           `json:"rev"`
	Working bool          `json:"working"`
	Order   []need        `json:"order"`
	Sheets  []shown.Sheet `json:"sheets,omitempty"` // left out while only the order got better
}

// need is how much of one felt is needed. Sheets are counted, felt by the length
// is in millimetres.
type need struct {
	Sheet   string  `json:"sheet"`
	Colour  string  `json:"colour"`
	Roll    bool    `json:"roll"`
	Need    int     `json:"need"`
	Stock   int     `json:"stock"`
	Buy     int     `json:"buy"`
	AtLeast int     `json:"at_least"`
	Cost    float64 `json:"cost"`
}

// lay tells a lay.
func (d *Desk) lay(w *work, p stage.Plan, working bool) {
	sheets := shown.SheetsOf(p)
	d.current(w, func() {
		w.laid = &p
		d.tell(partLay, lays{partLay, w.rev, working, needs(p.Project, p.Laid.Lay.Needs), sheets})
	})
}

// progress tells a better order.
func (d *Desk) progress(w *work, best []sheet.Need, quick stage.Plan) {
	order := needs(quick.Project, best)
	d.current(w, func() {
		d.tell(partLay, lays{partLay, w.rev, true, order, shown.SheetsOf(quick)})
	})
}

// sum tells the final lay, and what the whole comes to.
func (d *Desk) sum(ctx context.Context, w *work, p stage.Plan) {
	d.lay(w, p, false)
	made := results.Of(p)
	text, err := made.Text(ctx)
	if err != nil {
		return // another revision is at work
	}
	d.current(w, func() {
		w.results, w.ended = made, true
		d.last = made
		d.tell(partSum, sumOf(w.rev, text))
	})
}

// refuse tells why a revision could not be planned. The caller holds the lock.
func (d *Desk) refuse(w *work, pr project.Project, err error) {
	if d.running != w {
		return
	}
	pr.Unit = d.history.present.doc.Unit()
	w.refused, w.ended = refusedAs(pr, err), true
	w.refused.Rev = w.rev
	d.tell(partRefused, told(*w.refused))
	w.step()
}

// refusedAs names the control to blame for a refusal, and says why.
func refusedAs(pr project.Project, err error) *refused {
	return &refused{Key: words.Blame(pr, err), Text: words.Reason(pr, err)}
}

// told is the part that tells a refusal, or that there is none.
func told(r refused) any {
	return struct {
		Part string `json:"part"`
		refused
	}{partRefused, r}
}

// needs turns an order into what the page shows.
func needs(pr project.Project, list []sheet.Need) []need {
	out := make([]need, len(list))
	for i, n := range list {
		s := pr.Sheets[n.Stock]
		out[i] = need{s.Name, n.Colour, s.Roll, n.Sheets, n.Drawer, n.Buy, n.AtLeast, n.Cost}
		if s.Roll {
			out[i].Need = int(math.Ceil(n.Length - geom.Touch))
			out[i].Buy = out[i].Need
		}
	}
	return out
}
