package stage

import (
	"context"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"strew/cmd/internal/project"
)

// Choice is one way to strew the same skirt: what is asked, then what came of
// it.
type Choice struct {
	Asked   string // the spacing as written; "" for the project's own
	Pattern string
	Project project.Project
	Plan    Plan  // its evenness is not measured
	Err     error // why there is no plan
}

// Spacing returns what was asked in millimetres, or else what was found; 0 where
// it is not known.
func (c Choice) Spacing() float64 {
	if asked := c.Project.Scatter.Spacing; asked > 0 || c.Err != nil {
		return asked
	}
	return c.Plan.Strewn.Layout.Spacing
}

// Compare plans the choices in parallel; they share what they have in common.
// One whose Err is set already is left alone, and one that cannot be planned
// does not keep the others back. The error is that of the context. done, which
// may be nil, is called with the number finished.
func (p *Planner) Compare(ctx context.Context, choices []Choice, done func(n int)) ([]Choice, error) {
	out := append([]Choice(nil), choices...)
	var mu sync.Mutex
	finished := 0
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range out {
		g.Go(func() error {
			if out[i].Err == nil && ctx.Err() == nil {
				out[i].Plan, _, out[i].Err = p.plan(ctx, out[i].Project, func(Event) {})
			}
			mu.Lock()
			defer mu.Unlock()
			finished++
			if done != nil {
				done(finished)
			}
			return nil
		})
	}
	_ = g.Wait() // errors stand with their choices
	return out, ctx.Err()
}
