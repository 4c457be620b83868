package main

import "context"

// untilStopped returns what work returns, or ctx's error as soon as ctx is
// cancelled. Work still under way then is left to end by itself: it must
// have no effect but its result. It is for steps that cannot check a context, such
// as decoding a large picture.
func untilStopped[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type result struct {
		value T
		err   error
	}
	done := make(chan result, 1)
	go func() {
		value, err := work()
		done <- result{value, err}
	}()
	select {
	case r := <-done:
		return r.value, r.err
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	}
}
