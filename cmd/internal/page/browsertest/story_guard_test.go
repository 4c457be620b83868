package browsertest

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"strings"
	"testing"
)

// Story 4: the page answers nobody but the browser it was opened in: another
// name for this machine (DNS rebinding), another site, no cookie, and the key
// of an earlier run are refused, reads and writes alike.
func TestGuard(t *testing.T) {
	m := newMaker(t, "")
	earlier := m.page(m.project)
	old := enterPage(t, earlier.address)
	earlier.end()
	p := m.page(m.project)
	keyed := enterPage(t, p.address)

	for _, path := range []string{"/", "/main.js", "/api/events", "/api/undo", "/api/project"} {
		method := http.MethodGet
		if path == "/api/undo" {
			method = http.MethodPost
		}
		for _, c := range []struct {
			name   string
			client *http.Client
			change func(*http.Request)
			status int
		}{
			{"another host", keyed, func(r *http.Request) { r.Host = "strew.example:80" }, http.StatusMisdirectedRequest},
			{"no cookie", http.DefaultClient, func(*http.Request) {}, http.StatusUnauthorized},
			{"an earlier run's cookie", old, func(*http.Request) {}, http.StatusUnauthorized},
		} {
			if got := status(t, c.client, method, p.origin()+path, c.change); got != c.status {
				t.Errorf("%s %s with %s: %d, want %d", method, path, c.name, got, c.status)
			}
		}
	}
	foreign := func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") }
	if got := status(t, keyed, http.MethodPost, p.origin()+"/api/undo", foreign); got != http.StatusForbidden {
		t.Errorf("from another origin: %d, want 403", got)
	}
	expired := strings.Replace(earlier.address, earlier.origin(), p.origin(), 1)
	if got := status(t, http.DefaultClient, http.MethodGet, expired, func(*http.Request) {}); got != http.StatusUnauthorized {
		t.Errorf("an earlier run's key: %d, want 401", got)
	}

	w := p.window(laptop)
	w.visit(p.origin() + "/")
	if says := ask[string](w, "() => document.body.innerText"); !strings.Contains(says, "strew") {
		t.Errorf("whoever comes without a key is not told what to do: %q", says)
	}
	w.shot("no-key")
	w.forgive("status of 401")
	// Whether the browser lets the key out again is seen in the address.
	in := p.open(laptop)
	if address := ask[string](in, "() => location.href"); address != p.origin()+"/" {
		t.Errorf("the address keeps %q after the start", address)
	}
	if cookies := ask[string](in, "() => document.cookie"); cookies != "" {
		t.Errorf("scripts can read the cookie %q", cookies)
	}
}

// enterPage opens the address with its key and returns a client that holds the
// cookie.
func enterPage(t *testing.T, address string) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &http.Client{Jar: jar}
	if got := status(t, c, http.MethodGet, address, func(*http.Request) {}); got != http.StatusOK {
		t.Fatalf("the printed address answers %d", got)
	}
	return c
}

func status(t *testing.T, c *http.Client, method, address string, change func(*http.Request)) int {
	t.Helper()
	var body io.Reader
	if method == http.MethodPost {
		body = strings.NewReader("{}")
	}
	r, err := http.NewRequestWithContext(t.Context(), method, address, body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	change(r)
	answer, err := c.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	return answer.StatusCode
}
