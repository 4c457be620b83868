package desk

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"strconv"
	"strings"

	"strew/cmd/internal/engine"
	"strew/cmd/internal/project"
)

// home is where a project lies. All states of a project share one, and saving
// changes it; a desk's lock guards it.
type home struct {
	files   fs.FS  // opens drawings by the paths written in the text
	place   string // path of the project file; "": it was never saved
	kind    kindOf
	saved   []byte // the text as last read or written; nil: never
	outside bool   // another program has changed the file since
}

// kindOf says where a project came from.
type kindOf string

const (
	example kindOf = "example" // the built-in one
	fresh   kindOf = "new"     // begun here
	opened  kindOf = "opened"
)

// state is all that one step of the history holds. It is never changed.
type state struct {
	home *home
	text []byte           // of the project file
	doc  project.Document // of text
	own  engine.Files     // drawings added here; never changed, only replaced
}

// equal reports whether two states are of one project and say the same. A drawing
// added counts once the text names it: a name never stands for two drawings.
func (s state) equal(o state) bool { return s.home == o.home && bytes.Equal(s.text, o.text) }

// unsaved reports whether something would be lost without saving. The built-in
// example untouched would not.
func (s state) unsaved() bool { return s.home.saved == nil || !bytes.Equal(s.text, s.home.saved) }

// with returns the state with another text.
func (s state) with(d project.Document) state {
	s.doc, s.text = d, d.Bytes()
	return s
}

// exampleState is the built-in example.
func exampleState() state {
	text, drawings := project.ExampleFiles()
	d, err := project.ReadDocument(text)
	if err != nil {
		panic(err) // it is compiled in
	}
	return state{home: &home{files: drawings, kind: example, saved: text}, text: text, doc: d}
}

// freshState is a project to begin with: the example's text with a title of its own.
func freshState() state {
	s := exampleState()
	d, err := s.doc.Set("title", project.StarterTitle)
	if err != nil {
		panic(err) // the example has a title
	}
	s.home.kind, s.home.saved = fresh, nil
	return s.with(d)
}

// files are the drawings of a state: those added here over those at home.
type files struct {
	home fs.FS
	own  engine.Files
}

func (s state) files() files { return files{s.home.files, s.own} }

// readsAs reports whether two states read the same drawings.
func (s state) readsAs(o state) bool {
	return s.home == o.home && maps.EqualFunc(s.own, o.own, func(a, b []byte) bool { return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0]) })
}

// Open implements fs.FS.
func (f files) Open(name string) (fs.File, error) {
	if _, own := f.own[path.Clean(name)]; own {
		return f.own.Open(name)
	}
	return f.home.Open(name)
}

// addDrawing returns the state with one more drawing, and the name that it
// got: one that no drawing of the project has.
func (s state) addDrawing(name string, data []byte) (state, string) {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	ext := path.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	for n := 2; s.taken(name, data); n++ {
		name = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
	own := maps.Clone(s.own)
	if own == nil {
		own = engine.Files{}
	}
	own[name] = data
	s.own = own
	return s, name
}

// taken reports whether another drawing has the name.
func (s state) taken(name string, data []byte) bool {
	f, err := s.files().Open(name)
	if err != nil {
		return !errors.Is(err, fs.ErrNotExist)
	}
	defer f.Close()
	old, err := fs.ReadFile(s.files(), name)
	return err != nil || !bytes.Equal(old, data)
}

// named returns the path of every file that the project names, by its key.
func (s state) named() map[string]string {
	out := map[string]string{}
	add := func(key string) {
		if path, ok := s.doc.Get(key); ok {
			if text, is := path.(string); is && text != "" {
				out[key] = text
			}
		}
	}
	add("skirt.outline")
	for i := range s.doc.Len("motif") {
		add("motif." + strconv.Itoa(i) + ".outline")
	}
	return out
}

// title is the project's title as written.
func (s state) title() string {
	title, _ := s.doc.Get("title")
	text, _ := title.(string)
	return text
}
