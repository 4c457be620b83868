package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// fakeBuild returns, as the program, a script that prints where it is, what it was
// called with, and what it was built for.
func fakeBuild(system, machine, version string, console bool) ([]byte, error) {
	return fmt.Appendf(nil, "#!/bin/sh\necho \"$0 $* $(pwd)\"\n# %s/%s %s %t", system, machine, version, console), nil
}

// unpack writes an archive's files into a folder, by this test's own reading of the
// formats, and returns their modes.
func unpack(t *testing.T, path, dir string) map[string]fs.FileMode {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	modes := map[string]fs.FileMode{}
	put := func(name string, mode fs.FileMode, r io.Reader) {
		data, err := io.ReadAll(r)
		if err == nil {
			err = os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o777)
		}
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), data, mode)
		}
		if err != nil {
			t.Fatal(err)
		}
		modes[name] = mode
	}
	if strings.HasSuffix(path, ".zip") {
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range z.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			put(f.Name, f.Mode(), r)
		}
		return modes
	}
	g, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for r := tar.NewReader(g); ; {
		h, err := r.Next()
		if err == io.EOF {
			return modes
		}
		if err != nil {
			t.Fatal(err)
		}
		put(h.Name, fs.FileMode(h.Mode), r)
	}
}

// Each archive has one folder, with a program, something to double-click and a page
// to read that names both; and all archives are the same each time.
func TestRelease(t *testing.T) {
	one, two := t.TempDir(), filepath.Join(t.TempDir(), "deep", "er")
	for _, dir := range []string{one, two} {
		if err := release(dir, "1.2-rc.3", fakeBuild); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ archive, program, click, named string }{
		{"strew-1.2-rc.3-linux-x86_64.tar.gz", "strew", "strew.desktop", `"strew.desktop"`},
		{"strew-1.2-rc.3-linux-arm64.tar.gz", "strew", "strew.desktop", `"strew.desktop"`},
		{"strew-1.2-rc.3-macos-apple.zip", "strew.app/Contents/MacOS/strew", "strew.app/Contents/MacOS/strew-page", `"strew"`},
		{"strew-1.2-rc.3-macos-intel.zip", "strew.app/Contents/MacOS/strew", "strew.app/Contents/MacOS/strew-page", `"strew"`},
		{"strew-1.2-rc.3-windows.zip", "strew.exe", "strew-page.exe", `"strew-page.exe"`},
	} {
		a, errA := os.ReadFile(filepath.Join(one, c.archive))
		b, errB := os.ReadFile(filepath.Join(two, c.archive))
		if errA != nil || errB != nil || !bytes.Equal(a, b) {
			t.Errorf("%s: %v, %v, or not the same twice", c.archive, errA, errB)
			continue
		}
		dir := t.TempDir()
		modes := unpack(t, filepath.Join(one, c.archive), dir)
		top := strings.TrimSuffix(strings.TrimSuffix(c.archive, ".zip"), ".tar.gz") + "/"
		for name := range modes {
			if !strings.HasPrefix(name, top) {
				t.Errorf("%s: %s is not in the folder", c.archive, name)
			}
		}
		if modes[top+c.program] != 0o755 || modes[top+c.click] != 0o755 || modes[top+"Read me.txt"] != 0o644 {
			t.Errorf("%s: modes %v", c.archive, modes)
		}
		text, err := os.ReadFile(filepath.Join(dir, top, "Read me.txt"))
		if err != nil || !bytes.Contains(text, []byte("1.2-rc.3")) || !bytes.Contains(text, []byte(c.named)) || bytes.Contains(text, []byte("%VERSION%")) {
			t.Errorf("%s: the page to read: %v: %s", c.archive, err, text)
		}
		if windows := strings.Contains(c.archive, "windows"); windows != bytes.Contains(text, []byte("\r\n")) {
			t.Errorf("%s: line ends", c.archive)
		}
	}
	if left, _ := os.ReadDir(one); len(left) != len(systems) {
		t.Errorf("%d archives of %d systems", len(left), len(systems))
	}
}

// What is double-clicked starts the program beside it with "page", wherever the
// archive was unpacked.
func TestLaunchers(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the launchers are shell scripts; the one for Windows is a program")
	}
	dir, home := t.TempDir(), t.TempDir()
	if err := release(dir, "1", fakeBuild); err != nil {
		t.Fatal(err)
	}
	at := filepath.Join(t.TempDir(), "my things & more")
	unpack(t, filepath.Join(dir, "strew-1-linux-x86_64.tar.gz"), at)
	unpack(t, filepath.Join(dir, "strew-1-macos-apple.zip"), at)
	run := func(want string, name string, args ...string) {
		t.Helper()
		c := exec.Command(name, args...)
		c.Env = append(os.Environ(), "HOME="+home)
		out, err := c.CombinedOutput()
		if err != nil || !strings.HasPrefix(string(out), want) {
			t.Errorf("%s: %v: got %q, want %q", name, err, out, want)
		}
	}
	app := filepath.Join(at, "strew-1-macos-apple", "strew.app", "Contents")
	run(filepath.Join(app, "MacOS", "strew")+" page "+home, filepath.Join(app, "MacOS", "strew-page"))

	// The desktop entry's command, with %k as the desktop fills it in: the entry's
	// own place (freedesktop.org, Desktop Entry Specification 1.0, "The Exec key").
	desktop := filepath.Join(at, "strew-1-linux-x86_64", "strew.desktop")
	entry, err := os.ReadFile(desktop)
	if err != nil {
		t.Fatal(err)
	}
	_, line, _ := strings.Cut(string(entry), "\nExec=")
	line, _, _ = strings.Cut(line, "\n")
	line = strings.ReplaceAll(line, `\\`, `\`) // of the value, before it is a command
	run(filepath.Join(at, "strew-1-linux-x86_64", "strew")+" page", "sh", "-c", strings.ReplaceAll(line, "%k", "'"+desktop+"'"))

	// The bundle's list names what is started.
	var list struct {
		Dict struct {
			Keys    []string `xml:"key"`
			Strings []string `xml:"string"`
		} `xml:"dict"`
	}
	data, err := os.ReadFile(filepath.Join(app, "Info.plist"))
	if err == nil {
		err = xml.Unmarshal(data, &list)
	}
	if err != nil || list.Dict.Keys[0] != "CFBundleExecutable" || list.Dict.Strings[0] != "strew-page" {
		t.Errorf("%v, %+v", err, list)
	}
}

func TestReleaseRefuses(t *testing.T) {
	for _, version := range []string{"", "1 -X main.release=2", "../1", "-1"} {
		if err := release(t.TempDir(), version, fakeBuild); err == nil {
			t.Errorf("%q is a version", version)
		}
	}
	broken := errors.New("no compiler")
	err := release(t.TempDir(), "1", func(string, string, string, bool) ([]byte, error) { return nil, broken })
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}
