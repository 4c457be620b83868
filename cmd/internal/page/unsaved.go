package page

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"slices"
	"time"

	"strew/cmd/internal/desk"
	"strew/cmd/internal/project"
)

// unsaved is the work of a run that was not saved, as it is kept.
type unsaved struct {
	Title string    `json:"title"`
	Place string    `json:"place"`
	Text  string    `json:"text"`
	When  time.Time `json:"when"`
	// Base is the hash of the project file that the work began from; "": none.
	Base string `json:"base"`
	// Drawings has the file of each drawing that was added, by its path.
	Drawings map[string]string `json:"drawings"`
}

// workFile is where the work of a run is kept.
func workFile(id string) string { return filepath.Join("unsaved", id, "work.json") }

// keepUnsaved keeps what there is to lose, and forgets it where there is nothing. It
// reports whether there is something.
func (s *shelf) keepUnsaved() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.desk.Snapshot()
	if !now.Unsaved {
		s.notes.forget(s.notes.id)
		return false
	}
	s.notes.keepWork(s.notes.id, now, s.read[now.Place])
	return true
}

// setAside keeps work that another project is about to take the place of, as a run
// leaves it that ends. The caller holds the shelf.
func (s *shelf) setAside(was desk.Snapshot) {
	if was.Unsaved {
		s.notes.keepWork(rand.Text(), was, s.read[was.Place])
	}
}

// keepWork keeps work that began from a project file with the stamp on.
func (m memory) keepWork(id string, now desk.Snapshot, on stamp) {
	if m.dir == "" {
		return
	}
	u := unsaved{Title: now.Title, Place: now.Place, Text: string(now.Text), When: time.Now().UTC().Truncate(time.Second), Drawings: map[string]string{}}
	if now.Place != "" {
		u.Base = hex.EncodeToString(on.sum[:])
	}
	for path, data := range now.Added {
		sum := sha256.Sum256(data)
		file := hex.EncodeToString(sum[:]) + ".drawing"
		full := filepath.Join("unsaved", id, file)
		if missing(filepath.Join(m.dir, full)) && !m.writeBytes(full, data) {
			continue
		}
		u.Drawings[path] = file
	}
	m.write(workFile(id), u)
}

// forget removes the work that a run left.
func (m memory) forget(id string) {
	if m.dir == "" || !plainID(id) {
		return
	}
	dir := filepath.Join(m.dir, "unsaved", id)
	if err := os.RemoveAll(dir); err != nil {
		m.log.Printf("cannot remove %s: %v", dir, err)
	}
}

// left is a line of the list of work that ended runs left.
type left struct {
	ID    string    `json:"id"`
	Title string    `json:"title"`
	Path  string    `json:"path"`
	When  time.Time `json:"when"`
}

// leftBehind returns the work of runs that have ended, the latest first.
func (m memory) leftBehind(ctx context.Context) []left {
	ids := m.ids("unsaved")
	if len(ids) == 0 {
		return []left{}
	}
	alive := m.others(ctx)
	out := []left{}
	for _, id := range ids {
		var u unsaved
		if id == m.id || alive[id] != nil || !plainID(id) || !m.read(workFile(id), &u) {
			continue
		}
		out = append(out, left{id, u.Title, u.Place, u.When})
	}
	slices.SortFunc(out, func(a, b left) int { return b.When.Compare(a.When) })
	return out
}

// restore opens the work that an ended run left.
func (s *shelf) restore(ctx context.Context, id string) error {
	var u unsaved
	if !plainID(id) || s.notes.others(ctx)[id] != nil || !s.notes.read(workFile(id), &u) {
		return refused("this work is no longer kept")
	}
	p := desk.Project{Text: []byte(u.Text), Place: u.Place, Added: map[string][]byte{}, Unsaved: true, Files: exampleFiles()}
	if u.Place != "" {
		p.Files = project.Beside(filepath.Dir(u.Place))
	}
	for path, file := range u.Drawings {
		data, err := os.ReadFile(filepath.Join(s.notes.dir, "unsaved", id, filepath.Base(file)))
		if err == nil { // a lost drawing is told by the plan
			p.Added[path] = data
		}
	}
	if err := s.reopen(p, u.Base); err != nil {
		return err
	}
	if id != s.notes.id {
		s.keepUnsaved()
		if !missing(filepath.Join(s.notes.dir, workFile(s.notes.id))) {
			s.notes.forget(id)
		}
	}
	return nil
}

// reopen opens kept work that began from a project file with that hash.
func (s *shelf) reopen(p desk.Project, base string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	was := s.desk.Snapshot()
	if err := s.desk.Open(p); err != nil {
		return err
	}
	s.setAside(was)
	if p.Place != "" {
		began := stamp{} // of no time, so that the file is read
		if sum, err := hex.DecodeString(base); err == nil {
			copy(began.sum[:], sum)
		}
		s.read[p.Place] = began
	}
	s.desk.ChangedOutside(s.changed(p.Place))
	s.notes.running(p.Place)
	return nil
}

// pause is how long there is between two times that the work is kept: a slider that
// moves makes thirty changes a second.
const pause = time.Second

// keepAll keeps unsaved work, until ctx ends and once more then: a change at once, or a
// pause after the one before was kept.
func (s *shelf) keepAll(ctx context.Context) {
	changes := s.desk.Watch(ctx)
	due := time.NewTimer(pause)
	due.Stop()
	waiting := false
	last := int64(-1)
	var kept time.Time
	keep := func() {
		waiting = false
		if s.keepUnsaved() {
			kept = time.Now()
		}
	}
	for {
		select {
		case _, more := <-changes:
			if !more {
				changes = nil
				continue
			}
			if rev := s.desk.Snapshot().Rev; rev != last && !waiting {
				last, waiting = rev, true
				due.Reset(pause - min(pause, time.Since(kept)))
			}
		case <-due.C:
			keep()
		case <-ctx.Done():
			keep()
			return
		}
	}
}
