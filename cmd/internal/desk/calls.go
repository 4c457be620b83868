package desk

import (
	"context"
	"encoding/json"
	"fmt"

	"strew/cmd/internal/project"
	"strew/motif/say"
)

// call is one thing that can be asked of a desk.
type call func(d *Desk, ctx context.Context, args json.RawMessage) (answer, error)

// with is a call whose arguments are read into a T.
func with[T any](do func(*Desk, context.Context, T) (answer, error)) call {
	return func(d *Desk, ctx context.Context, raw json.RawMessage) (answer, error) {
		var args T
		if len(raw) > 0 {
			if err := json.Unmarshal(raw, &args); err != nil {
				return nil, Refused{fmt.Sprintf("the call is not understood: %v", err)}
			}
		}
		return do(d, ctx, args)
	}
}

type none struct{}

func calls() map[string]call {
	return map[string]call{
		"act":  with(func(d *Desk, _ context.Context, a act) (answer, error) { return d.act(a) }),
		"undo": with(func(d *Desk, _ context.Context, _ none) (answer, error) { return d.step(d.history.undo) }),
		"redo": with(func(d *Desk, _ context.Context, _ none) (answer, error) { return d.step(d.history.redo) }),
		"keep": with(func(d *Desk, _ context.Context, a struct{ Name string }) (answer, error) { return d.keep(a.Name) }),
		"back": with(func(d *Desk, _ context.Context, a struct{ ID int }) (answer, error) {
			return d.step(func() bool { return d.history.back(a.ID) })
		}),
		"enough": with(func(d *Desk, _ context.Context, _ none) (answer, error) { d.planning.enough(); return none{}, nil }),
		"try":    with((*Desk).try),
		"schema": with(func(*Desk, context.Context, none) (answer, error) { return project.Schema(say.Printer{}), nil }),
		"folds":  with(func(d *Desk, ctx context.Context, _ none) (answer, error) { return folds(ctx, d.planning) }),
		"cloth":  with(func(d *Desk, ctx context.Context, _ none) (answer, error) { return cloth(ctx, d.planning) }),
		"pages":  with(func(d *Desk, ctx context.Context, _ none) (answer, error) { return pages(ctx, d.planning) }),
		"pageof": with(func(d *Desk, ctx context.Context, a pageArgs) (answer, error) { return pageOf(ctx, d.planning, a) }),
		"list":   with(func(d *Desk, ctx context.Context, _ none) (answer, error) { return list(ctx, d.planning) }),
		"result": with(func(d *Desk, ctx context.Context, a struct{ Name string }) (answer, error) {
			return result(ctx, d.planning, a.Name)
		}),
		"everything": with(func(d *Desk, ctx context.Context, _ none) (answer, error) { return everything(ctx, d) }),
		"project":    with(func(d *Desk, _ context.Context, _ none) (answer, error) { return d.present().packed() }),
		"drawing":    with((*Desk).drawing),
		"example":    with(func(d *Desk, _ context.Context, _ none) (answer, error) { return d.example() }),
		"begin":      with((*Desk).begin),
	}
}

// Call answers one call, with arguments as JSON. The answer is a File or a value for
// JSON; an error for the maker is a Refused. It ends when ctx does.
func (d *Desk) Call(ctx context.Context, name string, args json.RawMessage) (any, error) {
	do, known := calls()[name]
	if !known {
		return nil, ErrNoCall
	}
	return do(d, ctx, args)
}

// step goes back or forth in the history.
func (d *Desk) step(move func() bool) (answer, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if move() {
		d.changed(false)
	}
	return d.now(), nil
}

// present returns the present state.
func (d *Desk) present() state {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.history.present
}

// now is the answer to a change. The caller holds the lock.
func (d *Desk) now() answer { return map[string]int{"rev": d.revision} }

// keep names the present state to come back to.
func (d *Desk) keep(name string) (answer, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.history.keep(name)
	d.tellState(false)
	return d.now(), nil
}

// example puts the built-in example in place of the project.
func (d *Desk) example() (answer, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.replace(exampleState(), say.Printer{}.Say("opening the example"))
	return d.now(), nil
}

// begin begins a new project, with what is known of it.
func (d *Desk) begin(_ context.Context, a act) (answer, error) {
	s := freshState()
	s, err := s.apply(a.Edits)
	if err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.replace(s, say.Printer{}.Say("beginning your own"))
	return d.now(), nil
}

// replace puts another project in place of the present one, as a step. The caller
// holds the lock.
func (d *Desk) replace(s state, words string) {
	d.history.settle()
	d.history.push(s, words)
	d.changed(false)
}
