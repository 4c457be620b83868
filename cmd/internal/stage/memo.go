package stage

import (
	"crypto/sha256"
	"encoding/json"
	"slices"
	"sync"
)

// key is a hash of everything that a value depends on.
type key [sha256.Size]byte

// keyOf hashes values by their exported fields, which must hold all that matters.
func keyOf(values ...any) key {
	h := sha256.New()
	enc := json.NewEncoder(h)
	for _, v := range values {
		if err := enc.Encode(v); err != nil {
			panic(err) // the project's checks refuse NaN and infinity
		}
	}
	return key(h.Sum(nil))
}

// memo keeps the values used last, each by the hash of its inputs. It is safe for
// concurrent use: whoever asks for a value that is being made waits for it.
type memo[T any] struct {
	most int // values kept

	mu   sync.Mutex
	kept []*kept[T] // in order of use, the latest last
}

type kept[T any] struct {
	key   key
	mu    sync.Mutex // held while the value is made
	made  bool
	value T
}

// get returns the value kept for the key, or else the one that make returns. A
// value that make says not to keep, or returns with an error, is made again next
// time.
func (m *memo[T]) get(k key, make func() (value T, keep bool, err error)) (T, error) {
	e := m.entry(k)
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.made {
		return e.value, nil
	}
	value, keep, err := make()
	if err == nil && keep {
		e.value, e.made = value, true
	}
	return value, err
}

// entry returns the entry of the key, and marks it as used last.
func (m *memo[T]) entry(k key) *kept[T] {
	m.mu.Lock()
	defer m.mu.Unlock()
	i := slices.IndexFunc(m.kept, func(e *kept[T]) bool { return e.key == k })
	if i < 0 {
		m.kept = append(m.kept, &kept[T]{key: k})
		if len(m.kept) > m.most {
			m.kept = slices.Delete(m.kept, 0, 1)
		}
		return m.kept[len(m.kept)-1]
	}
	e := m.kept[i]
	m.kept = append(slices.Delete(m.kept, i, i+1), e)
	return e
}
