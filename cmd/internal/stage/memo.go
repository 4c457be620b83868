package stage

import (
	"crypto/sha256"
	"encoding/json"
	"slices"
	"sync"
)

// key is a hash of all that a value depends on.
type key [sha256.Size]byte

// keyOf hashes values whose exported fields say all that matters of them.
func keyOf(values ...any) key {
	h := sha256.New()
	enc := json.NewEncoder(h)
	for _, v := range values {
		if err := enc.Encode(v); err != nil {
			panic(err) // numbers without a value do not pass the project's checks
		}
	}
	return key(h.Sum(nil))
}

// memo keeps the values used last, each by the hash of its inputs. It may be
// used by several at once: the second who asks for a value waits for the first.
type memo[T any] struct {
	most int // values kept

	mu   sync.Mutex
	kept []*kept[T] // the one used last stands last
}

type kept[T any] struct {
	key   key
	mu    sync.Mutex // held while the value is made
	made  bool
	value T
}

// get returns the value of the key, by make where it is not kept. What make
// says is not to be kept, or returns with an error, is made again next time.
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

// entry returns the entry of the key as the one used last.
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
