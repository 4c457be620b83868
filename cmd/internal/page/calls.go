package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"

	"strew/motif/say"
)

// calls is where the calls of the page are.
const calls = "/api/"

// reads are the calls that can be had as an address too: they change nothing.
var reads = map[string]bool{"pageof": true, "result": true, "everything": true, "project": true}

const (
	// mostOfCall is the most bytes of a call: a project file may hold 1 MB, and
	// an edit of it never more than all of it in escapes.
	mostOfCall = 4 << 20
	// mostOfFile is the most bytes of a file that is sent: the largest drawing
	// that is read.
	mostOfFile = 64 << 20
	// mostOfSent is that file as base64, four letters for three bytes, with what
	// stands round it.
	mostOfSent = mostOfFile/3*4 + 64<<10
	// mostPassedOver is how much of a body that is too large is read and thrown
	// away: a browser reads the answer only when it has sent everything. A photo
	// is smaller.
	mostPassedOver = 1 << 30
)

// carries are the calls that send a file.
var carries = map[string]bool{"drawing": true, "openzip": true}

var errNotJSON = errors.New("the call is not JSON")

// own is a call that the server answers itself.
type own func(ctx context.Context, args json.RawMessage) (any, error)

// with returns a call that takes its arguments as an A.
func with[A any](do func(ctx context.Context, args A) (any, error)) own {
	return func(ctx context.Context, raw json.RawMessage) (any, error) {
		var args A
		if err := json.Unmarshal(raw, &args); err != nil {
			return nil, fmt.Errorf("%w: %w", errNotJSON, err)
		}
		return do(ctx, args)
	}
}

// post answers POST /api/NAME with a JSON object.
func (s *server) post(w http.ResponseWriter, r *http.Request) {
	s.idle.busy()
	name := r.PathValue("name")
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		refuse(w, r, http.StatusUnsupportedMediaType, say.New("strew could not read this call"))
		return
	}
	most := int64(mostOfCall)
	if carries[name] {
		most = mostOfSent
	}
	if r.ContentLength > most {
		s.tooLarge(w, r, most)
		return
	}
	args, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	if err != nil {
		s.writeAnswer(w, r, nil, err)
		return
	}
	answer, err := s.call(r.Context(), name, args)
	s.writeAnswer(w, r, answer, err)
}

// get answers GET /api/NAME?args=JSON for what can be had as an address.
func (s *server) get(w http.ResponseWriter, r *http.Request) {
	s.idle.busy()
	name := r.PathValue("name")
	if !reads[name] {
		w.Header().Set("Allow", http.MethodPost)
		refuse(w, r, http.StatusMethodNotAllowed, say.New("strew could not read this call"))
		return
	}
	answer, err := s.call(r.Context(), name, []byte(r.URL.Query().Get("args")))
	s.writeAnswer(w, r, answer, err)
}

func (s *server) call(ctx context.Context, name string, args []byte) (any, error) {
	if args = bytes.TrimSpace(args); len(args) == 0 {
		args = []byte("{}")
	}
	if !json.Valid(args) || args[0] != '{' {
		return nil, errNotJSON
	}
	if do, ok := s.own[name]; ok {
		return do(ctx, args)
	}
	return s.desk.Call(ctx, name, args)
}

// tooLarge answers a body of more than that many bytes.
func (s *server) tooLarge(w http.ResponseWriter, r *http.Request, most int64) {
	_, _ = io.CopyN(io.Discard, r.Body, mostPassedOver)
	w.Header().Set("Connection", "close")
	if most < mostOfSent {
		refuse(w, r, http.StatusRequestEntityTooLarge, say.New("this is more than strew takes at once"))
		return
	}
	refuse(w, r, http.StatusRequestEntityTooLarge,
		say.New("this file is too large: strew takes files of up to %d MB; save the picture smaller, or photograph it again at a lower setting", mostOfFile>>20))
}

// knownTypes are the media types of results and assets by extension; the
// machine's own table may be wrong.
var knownTypes = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8",
	".js": "text/javascript; charset=utf-8", ".mjs": "text/javascript; charset=utf-8",
	".json": "application/json", ".svg": "image/svg+xml", ".png": "image/png", ".ico": "image/x-icon",
	".txt": "text/plain; charset=utf-8", ".woff2": "font/woff2", ".wasm": "application/wasm",
}
