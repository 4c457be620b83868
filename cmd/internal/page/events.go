package page

import (
	"bytes"
	"context"
	"net/http"
	"sync"
	"time"

	"strew/cmd/internal/desk"
)

const (
	// heartbeat is how often a line is sent where nothing happens, so that each
	// side learns that the other has gone; programs between them close what is
	// silent for half a minute (common practice, no source).
	heartbeat = 15 * time.Second
	// stuck is how long a reader may take no bytes.
	stuck = 30 * time.Second
)

// events answers GET /api/events with what the desk tells, as server-sent events
// (WHATWG, HTML Living Standard, section 9.2).
func (s *server) events(w http.ResponseWriter, r *http.Request) {
	defer s.idle.watching()()
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	ctx, stop := context.WithCancel(r.Context())
	defer stop()
	box := newMailbox()
	go box.fill(s.desk.Watch(ctx))
	to := http.NewResponseController(w)
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		var text []byte
		select {
		case <-ctx.Done():
			return
		case <-box.ready:
			text = eventText(box.take())
		case <-beat.C:
			text = []byte(":\n\n")
		}
		_ = to.SetWriteDeadline(time.Now().Add(stuck)) // a writer without deadlines is never stuck
		if _, err := w.Write(text); err != nil {
			return
		}
		if err := to.Flush(); err != nil {
			return
		}
		_ = to.SetWriteDeadline(time.Time{})
	}
}

// eventText is messages as a stream of events.
func eventText(list []desk.Message) []byte {
	var b bytes.Buffer
	for _, m := range list {
		for line := range bytes.Lines(m.Data) {
			b.WriteString("data: ")
			b.Write(bytes.TrimRight(line, "\r\n"))
			b.WriteByte('\n')
		}
		b.WriteByte('\n')
	}
	return b.Bytes()
}

// mailbox keeps the latest message of each part until it is taken, so that a slow
// reader neither holds up the desk nor fills the memory.
type mailbox struct {
	ready chan struct{} // holds one token while there is something to take

	mu   sync.Mutex
	list []desk.Message
}

func newMailbox() *mailbox { return &mailbox{ready: make(chan struct{}, 1)} }

// fill takes messages until there are no more.
func (b *mailbox) fill(from <-chan desk.Message) {
	for m := range from {
		b.put(m)
	}
}

// put adds a message, at the end, in place of an earlier one of its part.
func (b *mailbox) put(m desk.Message) {
	b.mu.Lock()
	defer b.mu.Unlock()
	kept := b.list[:0]
	for _, old := range b.list {
		if old.Part != m.Part {
			kept = append(kept, old)
		}
	}
	b.list = append(kept, m)
	select {
	case b.ready <- struct{}{}:
	default:
	}
}

// take returns the messages, and keeps none.
func (b *mailbox) take() []desk.Message {
	b.mu.Lock()
	defer b.mu.Unlock()
	out := b.list
	b.list = nil
	return out
}
