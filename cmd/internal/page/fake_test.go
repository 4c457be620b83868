package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"sync"
	"time"

	"strew/cmd/internal/desk"
	"strew/cmd/internal/project"
)

// fake is a desk that plans nothing: it holds a text, and tells its number.
type fake struct {
	mu      sync.Mutex
	p       desk.Project
	rev     int64
	outside bool
	told    chan struct{} // closed at each change
}

func newFake() *fake {
	return &fake{told: make(chan struct{}), p: desk.Project{Text: []byte("title = \"Tide line\"\n"), Example: true}}
}

// change changes the project and wakes whoever watches.
func (f *fake) change(do func(*desk.Project)) {
	f.mu.Lock()
	defer f.mu.Unlock()
	do(&f.p)
	f.rev++
	close(f.told)
	f.told = make(chan struct{})
}

func (f *fake) Call(ctx context.Context, name string, args json.RawMessage) (any, error) {
	switch name {
	case "act": // {"text": …} is the new text
		var a struct{ Text string }
		if err := json.Unmarshal(args, &a); err != nil {
			return nil, err
		}
		f.change(func(p *desk.Project) { p.Text, p.Unsaved = []byte(a.Text), true })
		return map[string]int64{"rev": f.Snapshot().Rev}, nil
	case "drawing":
		var a struct {
			Name string
			Data []byte
		}
		if err := json.Unmarshal(args, &a); err != nil {
			return nil, err
		}
		f.change(func(p *desk.Project) {
			p.Added = maps.Clone(p.Added)
			if p.Added == nil {
				p.Added = map[string][]byte{}
			}
			p.Added[a.Name], p.Unsaved = a.Data, true
		})
		return map[string]string{"name": a.Name}, nil
	case "result":
		return desk.File{Name: "placement.pdf", Type: "application/pdf", Data: []byte("%PDF")}, nil
	case "pageof":
		return desk.File{Name: "page.svg", Type: "image/svg+xml", Data: []byte("<svg/>")}, nil
	case "no":
		return nil, desk.Refused{Text: "the hip does not fit"}
	case "broken":
		return nil, errors.New("a pipe broke")
	case "panic":
		panic("a fault")
	}
	return nil, desk.ErrNoCall
}

func (f *fake) Watch(ctx context.Context) <-chan desk.Message {
	out := make(chan desk.Message)
	go func() {
		defer close(out)
		for {
			f.mu.Lock()
			m, next := desk.Message{Part: "state", Data: fmt.Appendf(nil, `{"part":"state","rev":%d}`, f.rev)}, f.told
			f.mu.Unlock()
			select {
			case out <- m:
			case <-ctx.Done():
				return
			}
			select {
			case <-next:
			case <-ctx.Done():
				return
			}
		}
	}()
	return out
}

func (f *fake) Open(p desk.Project) error {
	if _, err := project.ReadDocument(p.Text); err != nil {
		return desk.Refused{Text: err.Error()}
	}
	f.change(func(old *desk.Project) { *old = p })
	return nil
}

func (f *fake) Snapshot() desk.Snapshot {
	f.mu.Lock()
	defer f.mu.Unlock()
	s := desk.Snapshot{
		Rev: f.rev, Text: f.p.Text, Added: f.p.Added, Place: f.p.Place, Example: f.p.Example && !f.p.Unsaved, Unsaved: f.p.Unsaved,
		Files: over{f.p.Added, f.p.Files}, Drawings: map[string]string{}, Title: "Tide line",
	}
	doc, err := project.ReadDocument(f.p.Text)
	if err != nil {
		return s
	}
	for n := range doc.Len("motif") {
		key := fmt.Sprintf("motif.%d.outline", n)
		if v, ok := doc.Get(key); ok {
			s.Drawings[key], _ = v.(string)
		}
	}
	return s
}

func (f *fake) Saved(rev int64, at desk.Project) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if rev == f.rev {
		f.p = at
	}
}

func (f *fake) ChangedOutside(changed bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.outside = changed
}

func (f *fake) isOutside() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.outside
}

func (f *fake) Results(context.Context) ([]desk.File, error) {
	return []desk.File{{Name: "plan.json", Type: "application/json", Data: []byte("{}")}}, nil
}

// over opens added files before those of a folder.
type over struct {
	added map[string][]byte
	below fs.FS
}

func (o over) Open(name string) (fs.File, error) {
	if data, ok := o.added[name]; ok {
		return memoryFile{bytes.NewReader(data), name}, nil
	}
	if o.below == nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return o.below.Open(name)
}

// memoryFile is an open file, and its own fs.FileInfo.
type memoryFile struct {
	*bytes.Reader
	name string
}

func (f memoryFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f memoryFile) Close() error               { return nil }
func (f memoryFile) Name() string               { return f.name }
func (f memoryFile) Mode() fs.FileMode          { return 0o444 }
func (f memoryFile) ModTime() (t time.Time)     { return t }
func (f memoryFile) IsDir() bool                { return false }
func (f memoryFile) Sys() any                   { return nil }
