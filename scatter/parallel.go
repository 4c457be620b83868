package scatter

import (
	"context"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// chunk is how many marks one worker takes at a time: enough to outweigh the
// start of a goroutine, few enough to end within milliseconds.
const chunk = 128

// inChunks calls do with ranges that cover 0 … n-1, on all processors. Each call
// writes into its own slots, so the order in which they run does not show. Once
// ctx ends it leaves out the rest and returns ctx's error.
func inChunks(ctx context.Context, n, size int, do func(from, to int)) error {
	if n <= size || runtime.GOMAXPROCS(0) == 1 {
		for from := 0; from < n && ctx.Err() == nil; from += size {
			do(from, min(n, from+size))
		}
		return ctx.Err()
	}
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for from := 0; from < n && ctx.Err() == nil; from += size {
		g.Go(func() error {
			do(from, min(n, from+size))
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	return ctx.Err()
}
