package desk

import (
	"context"
	"encoding/json"
	"slices"
	"sync"

	"strew/cmd/internal/results"
	"strew/cmd/internal/stage"
)

// Desk is the open project. It is safe for concurrent use.
type Desk struct {
	ctx  context.Context // of all work
	stop context.CancelFunc

	mu       sync.Mutex
	history  history
	revision int               // one more with every change
	parts    map[string][]byte // the latest of each part, as JSON
	watchers map[*watcher]bool
	planner  *stage.Planner   // of the files below
	planned  state            // whose drawings the planner reads
	running  *work            // the work on the present revision; nil before the first
	good     *work            // the last that came to marks
	last     *results.Results // of the last that came to its end
}

// New returns a desk with the built-in example on it, and starts planning it.
// Close ends it.
func New(ctx context.Context) *Desk {
	d := &Desk{parts: map[string][]byte{}, watchers: map[*watcher]bool{}}
	d.ctx, d.stop = context.WithCancel(ctx)
	d.mu.Lock()
	defer d.mu.Unlock()
	d.history = begun(exampleState())
	d.changed(false)
	return d
}

// Close stops all work and ends every watch.
func (d *Desk) Close() { d.stop() }

// The parts of what a desk tells.
const (
	partState   = "state"
	partMarks   = "marks"
	partLay     = "lay"
	partSum     = "sum"
	partRefused = "refused"
)

// tell sets a part and wakes the watchers. The caller holds the lock.
func (d *Desk) tell(part string, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		panic(err) // the parts are plain values without NaN
	}
	d.parts[part] = data
	for w := range d.watchers {
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

// Watch returns a channel of parts, each JSON with its name as "part": first the latest of every part, then each that changes. One that is read
// slowly skips values that were replaced meanwhile. It is closed when ctx or
// the desk ends.
func (d *Desk) Watch(ctx context.Context) <-chan Message {
	w := &watcher{wake: make(chan struct{}, 1)}
	d.mu.Lock()
	for _, part := range []string{partState, partRefused, partMarks, partLay, partSum} {
		if data := d.parts[part]; data != nil {
			w.add(part, data)
		}
	}
	d.watchers[w] = true
	d.mu.Unlock()
	out := make(chan Message)
	go func() {
		defer close(out)
		defer func() {
			d.mu.Lock()
			delete(d.watchers, w)
			d.mu.Unlock()
		}()
		for {
			m, some := w.next()
			if !some {
				select {
				case <-w.wake:
					continue
				case <-ctx.Done():
				case <-d.ctx.Done():
				}
				return
			}
			select {
			case out <- m:
			case <-ctx.Done():
				return
			case <-d.ctx.Done():
				return
			}
		}
	}()
	return out
}
