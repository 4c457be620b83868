package main

import (
	"os"
	"path/filepath"
	"testing"
)

// How strew can be started, and whether it then opens the page. What the streams are
// in each case is common knowledge, no source; the pipes, files and null device here
// are real ones.
func TestStartedAlone(t *testing.T) {
	open := func(name string, flag int) *os.File {
		f, err := os.OpenFile(name, flag, 0o600)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	null := open(os.DevNull, os.O_RDWR)
	log := open(filepath.Join(t.TempDir(), "session.log"), os.O_CREATE|os.O_RDWR)
	file := open(filepath.Join(t.TempDir(), "help.txt"), os.O_CREATE|os.O_RDWR)
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer w.Close()
	screen := open(os.DevNull, os.O_RDWR) // stands for a terminal
	isTerminal := func(f *os.File) bool { return f == screen }
	for _, c := range []struct {
		name          string
		in, out, errs *os.File
		desktop, want bool
	}{
		{"at a prompt", screen, screen, screen, true, false},
		{"at a prompt, into a pager", screen, w, screen, true, false},
		{"at a prompt, into a file", screen, file, screen, true, false},
		{"at a prompt, with nothing to read, into a file", null, file, screen, true, false},
		{"by a script that reads", r, w, w, true, false},
		{"by a script that reads, without input", null, w, w, true, false},
		{"with an input file", file, null, null, true, false},
		{"in a pipeline", r, null, null, true, false},
		{"by a timer, without a desktop", null, null, null, false, false},
		{"by a timer, into a log, without a desktop", null, log, log, false, false},
		{"into two files", null, file, log, true, false},
		{"by a double click", null, null, null, true, true},
		{"by a double click, into the session's log", null, log, log, true, true},
	} {
		if got := streamsOf(c.in, c.out, c.errs, isTerminal, c.desktop).alone(); got != c.want {
			t.Errorf("%s: alone is %t", c.name, got)
		}
	}
}

func TestBrowsers(t *testing.T) {
	for _, system := range []string{"linux", "darwin", "windows", "freebsd"} {
		for _, b := range browsers(system) {
			if len(b) == 0 || b[0] == "" {
				t.Errorf("%s: %q", system, b)
			}
		}
		if len(browsers(system)) == 0 {
			t.Errorf("%s: none", system)
		}
	}
}
