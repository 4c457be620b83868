package stage

import (
	"errors"
	"sync"
	"sync/atomic"
	"testing"
)

// A value is made once however many ask for it at the same time; one that may
// not be kept, or is none, is made again; the value used longest ago goes first.
func TestMemo(t *testing.T) {
	m := memo[int]{most: 2}
	var made atomic.Int32
	ask := func(k byte, keep bool, err error) int {
		v, got := m.get(key{k}, func() (int, bool, error) { made.Add(1); return int(k), keep, err })
		if got != err {
			t.Errorf("key %d: %v", k, got)
		}
		return v
	}
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			if ask(1, true, nil) != 1 {
				t.Error("another value")
			}
		})
	}
	all.Wait()
	if n := made.Swap(0); n != 1 {
		t.Errorf("made %d times", n)
	}
	for _, c := range []struct {
		k    byte
		keep bool
		err  error
		made int32
	}{
		{2, false, nil, 1}, {2, true, nil, 1}, {2, true, nil, 0}, // kept at the second time
		{1, true, nil, 0},
		{3, true, nil, 1}, // 2 goes
		{1, true, nil, 0}, {2, true, nil, 1},
	} {
		ask(c.k, c.keep, c.err)
		if n := made.Swap(0); n != c.made {
			t.Errorf("key %d: made %d times, want %d", c.k, n, c.made)
		}
	}
	fault := errors.New("fault")
	ask(4, true, fault)
	ask(4, true, fault)
	if n := made.Swap(0); n != 2 {
		t.Errorf("with an error: made %d times, want 2", n)
	}
}

// Keys differ where values do, pointers by what they point at.
func TestKeyOf(t *testing.T) {
	one, same, other := 1.0, 1.0, 2.0
	type value struct {
		A *float64
		B []string
	}
	if keyOf(value{&one, nil}, "a") != keyOf(value{&same, nil}, "a") {
		t.Error("equal values have other keys")
	}
	if keyOf(value{&one, nil}) == keyOf(value{&other, nil}) || keyOf("a", "b") == keyOf("ab") || keyOf(value{&one, []string{"a"}}) == keyOf(value{&one, nil}) {
		t.Error("other values have the same key")
	}
}
