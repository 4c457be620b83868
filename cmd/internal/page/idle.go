package page

import (
	"context"
	"sync"
	"time"
)

// idle knows since when nobody has used the page.
type idle struct {
	mu     sync.Mutex
	last   time.Time // of a call, or of a page closed
	shown  int       // pages that are open
	clock  func() time.Time
	looks  time.Duration // between two looks at the clock
	enough time.Duration // without use
}

func newIdle(enough time.Duration) *idle {
	const looksInAll = 60 // so that the end comes a sixtieth late at most
	return &idle{last: time.Now(), clock: time.Now, looks: max(enough/looksInAll, time.Millisecond), enough: enough}
}

// busy notes a call.
func (i *idle) busy() {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.last = i.clock()
}

// watching notes a page that is open, until the function returned is called.
func (i *idle) watching() (gone func()) {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.shown++
	return func() {
		i.mu.Lock()
		defer i.mu.Unlock()
		i.shown--
		i.last = i.clock()
	}
}

// over reports whether nobody has used the page for long enough, and none is open.
func (i *idle) over() bool {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.shown == 0 && i.clock().Sub(i.last) >= i.enough
}

// wait calls end once the page was idle for long enough while nothing is unsaved, or
// returns when ctx ends.
func (i *idle) wait(ctx context.Context, unsaved func() bool, end func()) {
	look := time.NewTicker(i.looks)
	defer look.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-look.C:
			if i.over() && !unsaved() {
				end()
				return
			}
		}
	}
}
