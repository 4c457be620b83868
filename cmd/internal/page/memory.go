package page

import (
	"crypto/rand"
	"encoding/json"
	"log"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// memory is what strew keeps in the person's configuration folder from run to run:
//
//	recent.json       projects that were opened or saved
//	pages/ID.json     one for each strew page that is running: where it answers
//	unsaved/ID/       the work of a run that is not saved yet
//
// Nothing there is needed: where the folder cannot be written, all else goes on.
type memory struct {
	dir  string // "": none
	id   string // of this run
	disk disk
	log  *log.Logger
	page *running // of this run
}

// newMemory returns the memory in the folder dir; "" for none.
func newMemory(dir string, d disk, to *log.Logger) memory {
	return memory{dir: dir, id: rand.Text(), disk: d, log: to, page: &running{}}
}

// write writes a file of the memory as JSON. A failure is logged and costs nothing
// else.
func (m memory) write(name string, value any) bool {
	if m.dir == "" {
		return false
	}
	data, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		panic(err) // strings, times and lists of them
	}
	return m.writeBytes(name, append(data, '\n'))
}

func (m memory) writeBytes(name string, data []byte) bool {
	full := filepath.Join(m.dir, name)
	err := m.disk.MkdirAll(filepath.Dir(full), closed)
	if err == nil {
		err = replace(m.disk, full, data, private)
	}
	if err != nil {
		m.log.Printf("cannot keep %s: %v", full, err)
	}
	return err == nil
}

// read reads a file of the memory; a broken one counts as none.
func (m memory) read(name string, value any) bool {
	if m.dir == "" {
		return false
	}
	data, err := os.ReadFile(filepath.Join(m.dir, name))
	return err == nil && json.Unmarshal(data, value) == nil
}

// mostRecent is how many projects are kept: what a list shows without scrolling.
const mostRecent = 12

// recent is a project that was opened or saved.
type recent struct {
	Path  string    `json:"path"`
	Title string    `json:"title"`
	When  time.Time `json:"when"`
}

const recentFile = "recent.json"

// keepRecent puts a project at the top of the list.
func (m memory) keepRecent(path, title string) {
	var list []recent
	m.read(recentFile, &list)
	list = slices.DeleteFunc(list, func(r recent) bool { return r.Path == path })
	list = append([]recent{{path, title, time.Now().UTC().Truncate(time.Second)}}, list...)
	m.write(recentFile, list[:min(len(list), mostRecent)])
}

// recents returns the projects that are still there, the latest first.
func (m memory) recents() []recent {
	var list []recent
	m.read(recentFile, &list)
	out := []recent{}
	for _, r := range list {
		if !missing(r.Path) {
			out = append(out, r)
		}
	}
	return out
}

// ids are the names of what stands in a folder of the memory, without extension.
func (m memory) ids(folder string) []string {
	if m.dir == "" {
		return nil
	}
	list, err := os.ReadDir(filepath.Join(m.dir, folder))
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range list {
		if !strings.HasPrefix(e.Name(), ".") {
			out = append(out, strings.TrimSuffix(e.Name(), ".json"))
		}
	}
	return out
}

// plainID reports whether an id is one of ours: it becomes part of a path.
func plainID(id string) bool {
	return id != "" && !strings.ContainsFunc(id, func(r rune) bool { return !(r >= 'A' && r <= 'Z' || r >= '2' && r <= '7') })
}
