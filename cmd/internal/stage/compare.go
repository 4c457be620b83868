package stage

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"strew/cmd/internal/project"
	"strew/scatter"
)

// Choice is one way to strew the same skirt: what is asked, then the result.
type Choice struct {
	Asked   string          // the spacing as written; "" for the project's own
	Pattern string          // as written
	Project project.Project // with the spacing and the pattern; not used where Err is set
	Plan    Plan            // its evenness is not measured
	Err     error           // why there is no plan
}

// Spacing returns the spacing in millimetres as asked, or else as found; 0 where
// it is not known.
func (c Choice) Spacing() float64 {
	if asked := c.Project.Scatter.Spacing; asked > 0 || c.Err != nil {
		return asked
	}
	return c.Plan.Strewn.Layout.Spacing
}

// Widened reports whether the spacing asked for was too close, and a wider one was
// taken.
func (c Choice) Widened() bool {
	return c.Err == nil && c.Project.Scatter.Spacing > 0 && slices.ContainsFunc(c.Plan.Strewn.Layout.Notes, func(n scatter.Note) bool { return n.Key == "scatter.spacing" })
}

// Compare plans the choices in parallel; they share what they have in common. A
// choice whose Err is set already is left alone; if one cannot be planned, the
// others still are. The error is the context's. done, which may be nil, is called
// with the number finished.
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
	_ = g.Wait() // each choice has its own error
	return out, ctx.Err()
}
