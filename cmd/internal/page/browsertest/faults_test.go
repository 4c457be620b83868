package browsertest

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A window hears what goes wrong in a page: the other tests rest on that.
func TestWindowHearsFaults(t *testing.T) {
	needsBrowser(t)
	browser, err := shared.browse()
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/" {
			http.NotFound(rw, r)
			return
		}
		rw.Header().Set("Content-Type", "text/html")
		_, _ = rw.Write([]byte(`<!doctype html><link rel="icon" href="data:,"><script>
			console.error('told');
			setTimeout(() => { throw new Error('thrown'); });
			Promise.reject(new Error('rejected'));
			fetch('/missing');
			fetch('http://elsewhere.invalid/').catch(() => 0);
		</script>`))
	}))
	defer server.Close()

	w := newWindow(t, browser, laptop, server.URL, chromedp.WithNewBrowserContext())
	w.visit(server.URL)
	for _, fault := range []string{"told", "thrown", "rejected", "/missing", "asks elsewhere: http://elsewhere.invalid/"} {
		if !heard(w, fault) {
			t.Errorf("not heard: %s\n%q", fault, w.faults)
		}
	}
	w.forgive("")
}

// heard waits a little for a fault, since events come a moment later.
func heard(w *window, fault string) bool {
	for range 40 {
		w.mu.Lock()
		all := strings.Join(w.faults, "\n")
		w.mu.Unlock()
		if strings.Contains(all, fault) {
			return true
		}
		ask[any](w, "() => new Promise(done => setTimeout(done, 25))")
	}
	return false
}
