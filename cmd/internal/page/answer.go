package page

import (
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"html"
	"log"
	"mime"
	"net/http"
	"runtime/debug"
	"strconv"
	"strings"

	"strew/cmd/internal/desk"
	"strew/motif/say"
)

// refusal is the JSON of an error.
type refusal struct {
	Refused string `json:"refused"`
	Changed bool   `json:"changed,omitempty"` // another program changed the file
	Exists  bool   `json:"exists,omitempty"`  // another project stands there
}

// clash is the error of a save that would replace what it must not; asked again
// with force, it does.
type clash struct{ refusal }

func (c clash) Error() string { return c.Refused }

// refused returns an error for the maker.
func refused(text string, args ...any) error {
	return desk.Refused{Text: say.Printer{}.Say(text, args...)}
}

// refuse answers a request that is not served: a call with JSON, all else with a
// page to read.
func refuse(w http.ResponseWriter, r *http.Request, status int, why say.Message) {
	text := say.Printer{}.Message(why)
	if strings.HasPrefix(r.URL.Path, calls) {
		writeJSON(w, status, refusal{Refused: text})
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", wordsPolicy)
	w.WriteHeader(status)
	_, _ = w.Write([]byte(wordsBefore + html.EscapeString(text) + "</p></main></html>\n")) // a reader who has gone needs no answer
}

// A page of words alone has its style in it, for nothing else can be had without the
// key. The policy lets in that style by its hash.
const (
	wordsStyle  = "body{margin:0;display:grid;place-items:center;min-height:100vh;font:19px/1.6 Palatino,Georgia,serif;background:light-dark(#fbfaf6,#1b1a18);color:light-dark(#211e1a,#ece7dc)}main{max-width:32em;padding:24px}h1{font-weight:400;font-style:italic;margin:0}"
	wordsBefore = `<!doctype html><html lang="en-GB"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark"><title>strew</title><style>` +
		wordsStyle + "</style><main><h1>strew</h1><p>"
)

var wordsPolicy = policy + "; style-src 'sha256-" + hashOf(wordsStyle) + "'"

func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return base64.StdEncoding.EncodeToString(sum[:])
}

func writeJSON(w http.ResponseWriter, status int, value any) {
	data, err := json.Marshal(value)
	if err != nil {
		panic(err) // told as any other fault of the program
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(data)
}

// svgPolicy is for drawings opened in a tab of their own: they may run and load
// nothing.
const svgPolicy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; sandbox; frame-ancestors 'none'"

// writeFile answers with bytes: to be shown, or to be downloaded where a browser
// cannot show them.
func writeFile(w http.ResponseWriter, r *http.Request, f desk.File) {
	h := w.Header()
	how, data := "inline", f.Data
	switch f.Type {
	case "image/svg+xml":
		h.Set("Content-Security-Policy", svgPolicy)
		h.Set("Vary", "Accept-Encoding")
		if takesGzip(r) { // a page with all its outlines is a megabyte
			h.Set("Content-Encoding", "gzip")
			data = compressed(data, gzip.BestSpeed)
		}
	case "application/zip":
		how = "attachment"
	}
	kind := f.Type
	if kind == "" {
		kind = "application/octet-stream"
	}
	h.Set("Content-Type", kind)
	h.Set("Content-Length", strconv.Itoa(len(data)))
	if with := mime.FormatMediaType(how, map[string]string{"filename": f.Name}); with != "" {
		h.Set("Content-Disposition", with)
	}
	_, _ = w.Write(data)
}

// writeAnswer answers a call with its value or its error.
func (s *server) writeAnswer(w http.ResponseWriter, r *http.Request, answer any, err error) {
	var no desk.Refused
	var large *http.MaxBytesError
	var over clash
	switch f, isFile := answer.(desk.File); {
	case err == nil && isFile:
		writeFile(w, r, f)
	case err == nil && answer == nil:
		writeJSON(w, http.StatusOK, struct{}{})
	case err == nil:
		writeJSON(w, http.StatusOK, answer)
	case errors.As(err, &over):
		writeJSON(w, http.StatusConflict, over.refusal)
	case errors.As(err, &no):
		refuse(w, r, http.StatusUnprocessableEntity, say.New("%s", no.Text))
	case errors.As(err, &large):
		s.tooLarge(w, r, large.Limit)
	case errors.Is(err, desk.ErrNoCall):
		refuse(w, r, http.StatusNotFound, say.New("strew knows no such call"))
	case errors.Is(err, errNotJSON):
		refuse(w, r, http.StatusBadRequest, say.New("strew could not read this call"))
	case errors.Is(err, context.Canceled): // nobody waits for an answer
		w.WriteHeader(http.StatusServiceUnavailable)
	default:
		s.log.Printf("%s: %v", r.URL.Path, err)
		refuse(w, r, http.StatusInternalServerError, say.New("this did not work: %s", err))
	}
}

// recovering turns a panic into an answer, so that a fault of the program costs
// one call and never the work that is open. What was under way is in the log.
func recovering(to *log.Logger) middleware {
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			defer func() {
				switch fault := recover(); fault {
				case nil:
				case http.ErrAbortHandler:
					panic(fault) // asked for
				default:
					to.Printf("%s: %v\n%s", r.URL.Path, fault, debug.Stack())
					refuse(w, r, http.StatusInternalServerError, say.New("a fault in strew stopped this; your work is still open"))
				}
			}()
			next.ServeHTTP(w, r)
		})
	}
}
