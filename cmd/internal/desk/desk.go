package desk

import (
	"context"
	"sync"
)

// Desk is the open project. It is safe for concurrent use.
type Desk struct {
	ctx      context.Context // of all work
	stop     context.CancelFunc
	news     *news
	planning *planning

	mu       sync.Mutex
	history  history
	revision int  // one more with every change
	sliding  bool // the present revision is live
}

// New returns a desk with the built-in example on it, and starts planning it.
// Close ends it.
func New(ctx context.Context) *Desk {
	d := &Desk{news: newNews(), history: begun(exampleState())}
	d.ctx, d.stop = context.WithCancel(ctx)
	d.planning = &planning{ctx: d.ctx, news: d.news}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.changed(false)
	return d
}

// Close stops all work and ends every watch.
func (d *Desk) Close() { d.stop() }

// Watch returns a channel of parts, each JSON with its name as "part": first the
// latest of every part, then each that changes. One that is read slowly skips values
// that were replaced meanwhile. It is closed when ctx or the desk ends.
func (d *Desk) Watch(ctx context.Context) <-chan Message {
	ctx, end := context.WithCancel(ctx)
	stop := context.AfterFunc(d.ctx, end)
	context.AfterFunc(ctx, func() { stop() })
	return d.news.watch(ctx)
}

// changed tells the present state and plans it, in place of earlier work. The caller
// holds the lock.
func (d *Desk) changed(live bool) {
	d.revision++
	d.sliding = live
	s := d.history.present
	pr, err := s.project()
	d.tellState(live)
	d.planning.begin(revision{d.revision, live}, s, pr, err)
}
