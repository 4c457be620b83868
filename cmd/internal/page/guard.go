package page

import (
	"crypto/subtle"
	"net/http"
	"strings"

	"strew/motif/say"
)

// A middleware wraps a handler.
type middleware func(http.Handler) http.Handler

// chain wraps h so that the first middleware sees a request first.
func chain(h http.Handler, list ...middleware) http.Handler {
	for i := len(list) - 1; i >= 0; i-- {
		h = list[i](h)
	}
	return h
}

// policy lets a page load from this server alone, and nobody show it in a frame
// (W3C, Content Security Policy Level 3).
const policy = "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// withHeaders gives every answer the headers that keep the page to itself.
func withHeaders(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// onlyHost refuses requests under any other name than 127.0.0.1 or localhost with
// this port: a foreign name may have been made to lead here (DNS rebinding).
func onlyHost(port string) middleware {
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if r.Host != "127.0.0.1:"+port && r.Host != "localhost:"+port {
				refuse(w, r, http.StatusMisdirectedRequest, say.New("strew answers only at 127.0.0.1, on this computer"))
				return
			}
			next.ServeHTTP(w, r)
		})
	}
}

// onlyOrigin refuses requests that another page makes: all that change something,
// and those for data too. Pages of other programs at 127.0.0.1 are of the same
// site, so that cookies alone would not tell.
func onlyOrigin(next http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		checked := r
		if strings.HasPrefix(r.URL.Path, calls) {
			checked = r.Clone(r.Context())
			checked.Method = http.MethodPost // as strict with what only reads
		}
		if protection.Check(checked) != nil {
			refuse(w, r, http.StatusForbidden, say.New("strew does not answer other pages"))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// onlyKey lets requests in that carry the cookie of this run. The address that was
// opened has the key: it becomes the cookie and goes from the address. Cookies do
// not know ports, so its name has the port.
func onlyKey(port, key string) middleware {
	name := "strew-" + port
	right := func(given string) bool { return subtle.ConstantTimeCompare([]byte(given), []byte(key)) == 1 }
	return func(next http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if given := r.URL.Query().Get("key"); given != "" && r.URL.Path == "/" && r.Method == http.MethodGet && right(given) {
				http.SetCookie(w, &http.Cookie{Name: name, Value: key, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
				http.Redirect(w, r, "/", http.StatusSeeOther)
				return
			}
			if c, err := r.Cookie(name); err != nil || !right(c.Value) {
				refuse(w, r, http.StatusUnauthorized, say.New("This address no longer opens strew. Start strew again, and it opens the page by itself."))
				return
			}
			next.ServeHTTP(w, r)
		})
	}
}
