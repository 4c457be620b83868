// Package engine makes a plan from bytes in memory to bytes in memory: what a
// program without a disk runs.
package engine

import (
	"context"
	"errors"

	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/words"
)

// Plan plans the project file called name, which is among the files with its
// drawings, and draws all its results. If name is "", it plans the built-in
// example. tell, which may be nil, receives progress. The error's text is for the
// maker.
func Plan(ctx context.Context, files Files, name string, tell func(stage.Event)) ([]results.File, error) {
	p, from, err := open(files, name)
	if err != nil {
		return nil, err
	}
	made, err := stage.NewPlanner(from).Plan(ctx, p, tell)
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, errors.New(words.Error(p, err))
	}
	return results.Of(made).Files(ctx, nil)
}
