package desk

import (
	"context"
	"encoding/json"
	"slices"
	"sync"
)

// The parts of what a desk tells.
const (
	partState   = "state"
	partMarks   = "marks"
	partLay     = "lay"
	partSum     = "sum"
	partRefused = "refused"
)

// news is the latest of every part, and who listens. It is safe for concurrent use.
type news struct {
	mu       sync.Mutex
	parts    map[string][]byte // as JSON
	watchers map[*watcher]bool
}

func newNews() *news { return &news{parts: map[string][]byte{}, watchers: map[*watcher]bool{}} }

// tell sets a part and wakes the watchers.
func (n *news) tell(part string, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		panic(err) // the parts are plain values without NaN
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	n.parts[part] = data
	for w := range n.watchers {
		w.add(part, data)
	}
}

// watcher is one listener: the parts it has not been sent yet.
type watcher struct {
	mu      sync.Mutex
	pending []Message
	wake    chan struct{}
}

// add puts a part in line, in place of an earlier one that was not sent.
func (w *watcher) add(part string, data []byte) {
	w.mu.Lock()
	w.pending = slices.DeleteFunc(w.pending, func(m Message) bool { return m.Part == part })
	w.pending = append(w.pending, Message{part, data})
	w.mu.Unlock()
	select {
	case w.wake <- struct{}{}:
	default:
	}
}

// next takes the first part in line.
func (w *watcher) next() (Message, bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.pending) == 0 {
		return Message{}, false
	}
	m := w.pending[0]
	w.pending = slices.Delete(w.pending, 0, 1)
	return m, true
}

// watch returns a channel of parts: first the latest of every part, then each that
// changes. One that is read slowly skips values that were replaced meanwhile. It is
// closed when ctx ends.
func (n *news) watch(ctx context.Context) <-chan Message {
	w := &watcher{wake: make(chan struct{}, 1)}
	n.mu.Lock()
	for _, part := range []string{partState, partRefused, partMarks, partLay, partSum} {
		if data := n.parts[part]; data != nil {
			w.add(part, data)
		}
	}
	n.watchers[w] = true
	n.mu.Unlock()
	out := make(chan Message)
	go func() {
		defer close(out)
		defer func() {
			n.mu.Lock()
			delete(n.watchers, w)
			n.mu.Unlock()
		}()
		for {
			m, some := w.next()
			if !some {
				select {
				case <-w.wake:
					continue
				case <-ctx.Done():
					return
				}
			}
			select {
			case out <- m:
			case <-ctx.Done():
				return
			}
		}
	}()
	return out
}
