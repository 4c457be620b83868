package desk

import (
	"context"

	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/motif/say"
)

// What others ask of a planning. Where the present project cannot be planned, a view
// shows the last plan that could; what is printed or saved is refused.

// reached waits until the present revision is as far as asked, or has ended, and
// returns its work. Meanwhile another revision may become the present one.
func (p *planning) reached(ctx context.Context, far func(*work) bool) (*work, error) {
	for {
		p.mu.Lock()
		w := p.running
		if w.ended || far(w) {
			p.mu.Unlock()
			return w, nil
		}
		moved := w.moved
		p.mu.Unlock()
		select {
		case <-moved:
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-p.ctx.Done():
			return nil, p.ctx.Err()
		}
	}
}

// seen returns the latest plan with marks: the present one or, where it is refused,
// the last that was not.
func (p *planning) seen(ctx context.Context) (stage.Plan, error) {
	if _, err := p.reached(ctx, func(w *work) bool { return w.marked != nil }); err != nil {
		return stage.Plan{}, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.good == nil {
		return stage.Plan{}, p.nothing()
	}
	if p.good.laid != nil {
		return *p.good.laid, nil
	}
	return *p.good.marked, nil
}

// nothing is the error where no plan was ever made. The caller holds the lock.
func (p *planning) nothing() error {
	if r := p.running.refused; r != nil {
		return Refused{r.Text}
	}
	return Refused{say.Printer{}.Say("nothing is planned yet")}
}

// finished returns the results of the present revision, once its plan is done.
func (p *planning) finished(ctx context.Context) (*results.Results, error) {
	w, err := p.reached(ctx, func(*work) bool { return false })
	if err != nil {
		return nil, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if w.results == nil {
		return nil, Refused{say.Printer{}.Say("there is nothing to print or save yet: %s", w.refused.Text)}
	}
	return w.results, nil
}

// lastDone returns the results of the present revision or, where it is refused, of
// the last plan that was made.
func (p *planning) lastDone(ctx context.Context) (*results.Results, error) {
	w, err := p.reached(ctx, func(*work) bool { return false })
	if err != nil {
		return nil, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	switch {
	case w.results != nil:
		return w.results, nil
	case p.last != nil:
		return p.last, nil
	}
	return nil, p.nothing()
}
