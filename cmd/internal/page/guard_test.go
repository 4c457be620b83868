package page

import (
	"compress/gzip"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"
)

const (
	testPort = "4711"
	testKey  = "RIGHTKEY"
)

var testAssets = fstest.MapFS{
	"index.html":      {Data: []byte("<!doctype html><title>strew</title>" + strings.Repeat("<p>net and felt", 100))},
	"main.js":         {Data: []byte("export {};")},
	"vendor/p.mjs":    {Data: []byte("export const a = 1;")},
	"words/read.md":   {Data: []byte("plain")},
	"view/flat.css":   {Data: []byte("svg{}")},
	"icon.svg":        {Data: []byte("<svg/>")},
	"view/needle.svg": {Data: []byte("<svg/>")},
}

// testServer is a server behind its guard, with a home folder of its own.
func testServer(t *testing.T) (*server, *fake, http.Handler) {
	t.Helper()
	f := newFake()
	s, err := newServer(Options{Desk: f, Assets: testAssets, Home: t.TempDir(), Config: t.TempDir(), Log: io.Discard}, func() {})
	if err != nil {
		t.Fatal(err)
	}
	return s, f, s.handler(testPort, testKey)
}

// asked is a request by this page itself, changed by how.
func asked(method, path, body string, how ...func(*http.Request)) *http.Request {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "127.0.0.1:" + testPort
	r.AddCookie(&http.Cookie{Name: "strew-" + testPort, Value: testKey})
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Origin", "http://127.0.0.1:"+testPort)
	}
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	for _, do := range how {
		do(r)
	}
	return r
}

func header(key, value string) func(*http.Request) {
	return func(r *http.Request) {
		r.Header.Del(key)
		if value != "" {
			r.Header.Set(key, value)
		}
	}
}

func host(name string) func(*http.Request) { return func(r *http.Request) { r.Host = name } }

func answer(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// Who may in. The statuses are those of interface: 401 without the key's cookie, 421
// for another Host (RFC 9110, 15.5.20), 403 for another origin.
func TestGuard(t *testing.T) {
	_, _, h := testServer(t)
	local := host("localhost:" + testPort)
	for _, c := range []struct {
		name string
		r    *http.Request
		want int
	}{
		{"the page", asked("GET", "/", ""), 200},
		{"by the other name", asked("GET", "/", "", local), 200},
		{"opened from outside the browser", asked("GET", "/", "", header("Sec-Fetch-Site", "none")), 200},
		{"a call", asked("POST", "/api/act", `{"text":""}`), 200},
		{"a call by a program without a browser's headers", asked("POST", "/api/act", `{"text":""}`, header("Sec-Fetch-Site", ""), header("Origin", "")), 200},
		{"a foreign name", asked("GET", "/", "", host("tide.example:"+testPort)), 421},
		{"a foreign name that begins alike", asked("GET", "/", "", host("127.0.0.1.example:"+testPort)), 421},
		{"another port", asked("POST", "/api/act", `{"text":""}`, host("127.0.0.1:80")), 421},
		{"no port", asked("GET", "/", "", host("localhost")), 421},
		{"no host", asked("GET", "/", "", host("")), 421},
		{"a foreign page calls", asked("POST", "/api/act", `{"text":""}`, header("Sec-Fetch-Site", "cross-site")), 403},
		{"a page of another port calls", asked("POST", "/api/act", `{"text":""}`, header("Sec-Fetch-Site", "same-site")), 403},
		{"a foreign origin, of an old browser", asked("POST", "/api/act", `{"text":""}`, header("Sec-Fetch-Site", ""), header("Origin", "http://tide.example")), 403},
		{"an origin of no name", asked("POST", "/api/act", `{"text":""}`, header("Sec-Fetch-Site", ""), header("Origin", "null")), 403},
		{"a foreign page reads", asked("GET", "/api/result", "", header("Sec-Fetch-Site", "cross-site")), 403},
		{"a foreign page listens", asked("GET", "/api/events", "", header("Sec-Fetch-Site", "same-site")), 403},
		{"no cookie", asked("GET", "/", "", header("Cookie", "")), 401},
		{"no cookie for a call", asked("POST", "/api/act", `{"text":""}`, header("Cookie", "")), 401},
		{"no cookie for a file of the page", asked("GET", "/main.js", "", header("Cookie", "")), 401},
		{"an earlier run's cookie", asked("GET", "/", "", header("Cookie", "strew-"+testPort+"=OLDKEY")), 401},
		{"the cookie of another port", asked("GET", "/", "", header("Cookie", "strew-80="+testKey)), 401},
		{"a wrong key", asked("GET", "/?key=OLDKEY", "", header("Cookie", "")), 401},
		{"the right key elsewhere", asked("GET", "/main.js?key="+testKey, "", header("Cookie", "")), 401},
		{"the right key under a foreign name", asked("GET", "/?key="+testKey, "", header("Cookie", ""), host("tide.example:"+testPort)), 421},
		{"the right key", asked("GET", "/?key="+testKey, "", header("Cookie", "")), 303},
		{"a form", asked("POST", "/api/act", "text=1", header("Content-Type", "application/x-www-form-urlencoded")), 415},
		{"a call as an address", asked("GET", "/api/act", ""), 405},
		{"a method there is not", asked("DELETE", "/api/act", ""), 405},
		{"a call there is not", asked("POST", "/api/sew", "{}"), 404},
		{"a file there is not", asked("GET", "/go.mod", ""), 404},
		{"no JSON", asked("POST", "/api/act", "{"), 400},
		{"not an object", asked("POST", "/api/act", "[]"), 400},
		{"refused by the desk", asked("POST", "/api/no", "{}"), 422},
		{"broken", asked("POST", "/api/broken", "{}"), 500},
		{"a fault", asked("POST", "/api/panic", "{}"), 500},
	} {
		w := answer(h, c.r)
		if w.Code != c.want {
			t.Errorf("%s: status %d, want %d: %s", c.name, w.Code, c.want, w.Body)
		}
		if got := w.Header().Get("Content-Security-Policy"); !strings.Contains(got, "default-src 'self'") || !strings.Contains(got, "frame-ancestors 'none'") || strings.Contains(got, "unsafe") {
			t.Errorf("%s: policy %q", c.name, got)
		}
		if w.Header().Get("X-Content-Type-Options") != "nosniff" || w.Header().Get("Referrer-Policy") != "no-referrer" {
			t.Errorf("%s: headers %v", c.name, w.Header())
		}
		if strings.HasPrefix(c.r.URL.Path, "/api/") && w.Code >= 400 && c.r.Method == http.MethodPost {
			var told refusal
			if err := json.Unmarshal(w.Body.Bytes(), &told); err != nil || told.Refused == "" {
				t.Errorf("%s: %v: %s", c.name, err, w.Body)
			}
		}
	}
}

// The key opens the door and leaves the address; the cookie that it becomes is out
// of reach of scripts and of other sites (RFC 6265bis, 5.6).
func TestKeyBecomesACookie(t *testing.T) {
	_, _, h := testServer(t)
	w := answer(h, asked("GET", "/?key="+testKey, "", header("Cookie", "")))
	got := w.Result().Cookies()
	if len(got) != 1 || w.Header().Get("Location") != "/" {
		t.Fatalf("cookies %v, on to %q", got, w.Header().Get("Location"))
	}
	c := got[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Name != "strew-"+testPort || c.Path != "/" || c.Domain != "" {
		t.Errorf("cookie %v", c)
	}
	again := asked("GET", "/", "", header("Cookie", c.Name+"="+c.Value))
	if w := answer(h, again); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "net and felt") {
		t.Errorf("with the cookie: %d %s", w.Code, w.Body)
	}
	w = answer(h, asked("GET", "/", "", header("Cookie", "")))
	if !strings.Contains(w.Body.String(), "Start strew again") || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
		t.Errorf("without one: %s", w.Body)
	}
}

func TestAssets(t *testing.T) {
	_, _, h := testServer(t)
	for path, kind := range map[string]string{
		"/": "text/html", "/favicon.ico": "image/svg+xml", "/main.js": "text/javascript", "/vendor/p.mjs": "text/javascript",
		"/view/flat.css": "text/css", "/view/needle.svg": "image/svg+xml", "/words/read.md": "application/octet-stream",
	} {
		w := answer(h, asked("GET", path, ""))
		if w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), kind) {
			t.Errorf("%s: %d %q", path, w.Code, w.Header().Get("Content-Type"))
		}
	}
	w := answer(h, asked("GET", "/", "", header("Accept-Encoding", "gzip, br")))
	plain := answer(h, asked("GET", "/", ""))
	if w.Header().Get("Content-Encoding") != "gzip" || w.Body.Len() >= plain.Body.Len() || w.Header().Get("ETag") == plain.Header().Get("ETag") {
		t.Errorf("compressed: %v, %d bytes of %d", w.Header(), w.Body.Len(), plain.Body.Len())
	}
	w = answer(h, asked("GET", "/", "", header("If-None-Match", plain.Header().Get("ETag"))))
	if w.Code != http.StatusNotModified || w.Body.Len() > 0 {
		t.Errorf("known already: %d, %d bytes", w.Code, w.Body.Len())
	}
	if _, err := Assets().Open("icon.svg"); err != nil {
		t.Error(err)
	}
}

// Files are shown or downloaded under their names, and a drawing in a tab of its own
// can run nothing.
func TestFileAnswers(t *testing.T) {
	_, _, h := testServer(t)
	w := answer(h, asked("GET", `/api/result?args=`+`%7B%22name%22%3A%22placement.pdf%22%7D`, ""))
	if w.Body.String() != "%PDF" || w.Header().Get("Content-Disposition") != `inline; filename=placement.pdf` || w.Header().Get("Content-Type") != "application/pdf" || w.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("%v %s", w.Header(), w.Body)
	}
	w = answer(h, asked("GET", "/api/pageof", ""))
	if w.Header().Get("Content-Encoding") != "" {
		t.Error("a drawing is compressed for one who cannot read that")
	}
	w = answer(h, asked("GET", "/api/pageof", "", header("Accept-Encoding", "gzip")))
	plain, err := gzip.NewReader(w.Body)
	if err != nil || w.Header().Get("Content-Encoding") != "gzip" {
		t.Fatalf("%v: %v", err, w.Header())
	}
	if got, err := io.ReadAll(plain); err != nil || string(got) != "<svg/>" {
		t.Errorf("compressed: %q, %v", got, err)
	}
	if p := w.Header().Get("Content-Security-Policy"); !strings.Contains(p, "sandbox") || !strings.Contains(p, "default-src 'none'") {
		t.Errorf("policy of a drawing: %q", p)
	}
}

// A body of a stated or an unstated size that is too large is refused with what
// would do, and never handed on.
func TestTooLarge(t *testing.T) {
	_, f, h := testServer(t)
	before := f.Snapshot().Rev
	long := `{"name":"a.png","data":"` + strings.Repeat("A", mostOfSent) + `"}`
	for _, stated := range []bool{true, false} {
		w := answer(h, asked("POST", "/api/drawing", long, func(r *http.Request) {
			if !stated {
				r.ContentLength = -1
			}
		}))
		if w.Code != http.StatusRequestEntityTooLarge || !strings.Contains(w.Body.String(), "64 MB") || !strings.Contains(w.Body.String(), "smaller") {
			t.Errorf("size stated: %t: %d %s", stated, w.Code, w.Body)
		}
	}
	if w := answer(h, asked("POST", "/api/act", `{"text":"`+strings.Repeat("A", mostOfCall)+`"}`)); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a long text: %d", w.Code)
	}
	if f.Snapshot().Rev != before {
		t.Error("it was handed on")
	}
	whole := `{"name":"a.png","data":"` + strings.Repeat("A", mostOfFile/3*4) + `"}`
	if w := answer(h, asked("POST", "/api/drawing", whole)); w.Code != http.StatusOK {
		t.Errorf("the largest drawing: %d %s", w.Code, w.Body)
	}
}

// Events come as lines of a stream, the present value first (WHATWG HTML, 9.2.6:
// "data:" lines, an empty line after each event).
func TestEvents(t *testing.T) {
	_, _, h := testServer(t)
	web := httptest.NewServer(h)
	defer web.Close()
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	r, err := http.NewRequestWithContext(ctx, "GET", web.URL+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Host = "127.0.0.1:" + testPort
	r.AddCookie(&http.Cookie{Name: "strew-" + testPort, Value: testKey})
	a, err := web.Client().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if a.Header.Get("Content-Type") != "text/event-stream" {
		t.Errorf("type %q", a.Header.Get("Content-Type"))
	}
	want := func(text string) {
		got := make([]byte, len(text))
		if _, err := io.ReadFull(a.Body, got); err != nil || string(got) != text {
			t.Errorf("got %q, %v; want %q", got, err, text)
		}
	}
	want("data: {\"part\":\"state\",\"rev\":0}\n\n")
	if w := answer(h, asked("POST", "/api/act", `{"text":"a = 1"}`)); w.Code != 200 {
		t.Fatal(w.Body)
	}
	want("data: {\"part\":\"state\",\"rev\":1}\n\n")
}
