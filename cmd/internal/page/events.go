package page

import (
	"bytes"
	"context"
	"net/http"
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
	told := s.desk.Watch(ctx)
	to := http.NewResponseController(w)
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		var text []byte
		select {
		case <-ctx.Done():
			return
		case m, more := <-told:
			if !more {
				return
			}
			text = eventText(m)
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

// eventText is a message as an event.
func eventText(m desk.Message) []byte {
	var b bytes.Buffer
	for line := range bytes.Lines(m.Data) {
		b.WriteString("data: ")
		b.Write(bytes.TrimRight(line, "\r\n"))
		b.WriteByte('\n')
	}
	b.WriteByte('\n')
	return b.Bytes()
}
