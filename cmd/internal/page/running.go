package page

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// running is a strew page that runs: where it answers, and the project it has open.
type running struct {
	Address string `json:"address"` // with the key
	Project string `json:"project"` // path of the project file; "": none

	mu sync.Mutex
}

// pageFile is where a run is kept.
func pageFile(id string) string { return filepath.Join("pages", id+".json") }

// started keeps this run's address.
func (m memory) started(address string) {
	m.page.mu.Lock()
	m.page.Address = address
	m.page.mu.Unlock()
	m.keepPage()
}

// running keeps which project this run has open; "" for none.
func (m memory) running(project string) {
	m.page.mu.Lock()
	same := m.page.Project == project
	m.page.Project = project
	m.page.mu.Unlock()
	if !same {
		m.keepPage()
	}
}

func (m memory) keepPage() {
	m.page.mu.Lock()
	defer m.page.mu.Unlock()
	if m.page.Address != "" {
		m.write(pageFile(m.id), m.page)
	}
}

// ended forgets this run.
func (m memory) ended() {
	if m.dir != "" {
		_ = m.disk.Remove(filepath.Join(m.dir, pageFile(m.id))) // a run that does not answer is forgotten by the next one
	}
}

// others returns the other runs that answer, by id, and forgets those that do not.
func (m memory) others(ctx context.Context) map[string]*running {
	out := map[string]*running{}
	for _, id := range m.ids("pages") {
		p := &running{}
		if id == m.id || !m.read(pageFile(id), p) {
			continue
		}
		if answers(ctx, p.Address) {
			out[id] = p
			continue
		}
		_ = m.disk.Remove(filepath.Join(m.dir, pageFile(id))) // the next run tries again
	}
	return out
}

// openElsewhere returns the address of another run that has a project open; "" for
// none.
func (m memory) openElsewhere(ctx context.Context, project string) string {
	mine, err := os.Stat(project)
	if err != nil {
		return ""
	}
	for _, p := range m.others(ctx) {
		theirs, err := os.Stat(p.Project)
		if p.Project != "" && err == nil && os.SameFile(mine, theirs) {
			return p.Address
		}
	}
	return ""
}

// soon is how long a run on this machine may take to answer.
const soon = time.Second

// answers reports whether a page answers at an address that has its key: it sends
// the browser on, without the key.
func answers(ctx context.Context, address string) bool {
	ctx, stop := context.WithTimeout(ctx, soon)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		return false
	}
	client := http.Client{
		Transport:     &http.Transport{DisableKeepAlives: true}, // and no proxy
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	a, err := client.Do(r)
	if err != nil {
		return false
	}
	a.Body.Close()
	return a.StatusCode == http.StatusSeeOther
}
