package page

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"strew/cmd/internal/desk"
)

const meadow = `title = "Snail meadow" # mine
[[motif]] # the first one
name = "snail"
outline = "snail.svg"
`

// testShelf is a shelf whose home folder is a new one, with the project meadow in it.
func testShelf(t *testing.T) (s *shelf, f *fake, home string) {
	t.Helper()
	server, f, _ := testServer(t)
	s, home = server.shelf, server.shelf.roots[0].Path
	put(t, filepath.Join(home, "meadow", "project.toml"), meadow)
	put(t, filepath.Join(home, "meadow", "snail.svg"), "<svg>snail</svg>")
	return s, f, home
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o640); err != nil {
		t.Fatal(err)
	}
}

func text(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// tree is every file below a folder, by its path from there.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(rel)] = text(t, path)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A project is opened by its file or its folder, changed, and saved where it lies:
// its bytes but for the change, with the mode that the file had, and the drawing that
// was added beside it.
func TestSaveInPlace(t *testing.T) {
	s, f, home := testShelf(t)
	file := filepath.Join(home, "meadow", "project.toml")
	for _, path := range []string{filepath.Dir(file), file} {
		if got, err := s.open(path); err != nil || got != file {
			t.Fatalf("opened %q, %v", got, err)
		}
	}
	if got := f.Snapshot(); string(got.Text) != meadow || got.Place != file {
		t.Fatalf("on the desk: %q at %q", got.Text, got.Place)
	}
	edited := strings.Replace(meadow, "Snail", "Late snail", 1) + "[[motif]]\nname = \"fern\"\noutline = \"fern.svg\"\n"
	f.change(func(p *desk.Project) {
		p.Text, p.Added, p.Unsaved = []byte(edited), map[string][]byte{"fern.svg": []byte("<svg>fern</svg>"), "unused.svg": nil}, true
	})
	if got, err := s.save(target{}); err != nil || got != file {
		t.Fatalf("saved %q, %v", got, err)
	}
	want := map[string]string{"project.toml": edited, "snail.svg": "<svg>snail</svg>", "fern.svg": "<svg>fern</svg>"}
	if got := tree(t, filepath.Dir(file)); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("saved %q", got)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	if f.Snapshot().Unsaved {
		t.Error("it is still unsaved")
	}
	if got := s.notes.recents(); len(got) != 1 || got[0].Path != file || got[0].Title != "Tide line" {
		t.Errorf("recent: %v", got)
	}
}

// Saved into another folder, the project takes its drawings along; one that lay
// outside comes inside, one whose name is taken gets another, and the text says so.
func TestSaveElsewhere(t *testing.T) {
	s, f, home := testShelf(t)
	put(t, filepath.Join(home, "fern.svg"), "<svg>fern</svg>")
	put(t, filepath.Join(home, "new", "snail.svg"), "<svg>another</svg>")
	put(t, filepath.Join(home, "meadow", "sub", "oak.svg"), "<svg>oak</svg>")
	all := meadow + "[[motif]]\noutline = \"../fern.svg\" # outside\n[[motif]]\noutline = \"sub/oak.svg\"\n[[motif]]\noutline = \"gone.svg\"\n"
	put(t, filepath.Join(home, "meadow", "project.toml"), all)
	if _, err := s.open(filepath.Join(home, "meadow")); err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(home, "new")
	if got, err := s.save(target{Path: filepath.Join(to, "project.toml")}); err != nil || got != filepath.Join(to, "project.toml") {
		t.Fatalf("saved %q, %v", got, err)
	}
	want := map[string]string{
		"project.toml": strings.NewReplacer("snail.svg", "snail-2.svg", "../fern.svg", "fern.svg").Replace(all),
		"snail.svg":    "<svg>another</svg>", "snail-2.svg": "<svg>snail</svg>", "fern.svg": "<svg>fern</svg>", "sub/oak.svg": "<svg>oak</svg>",
	}
	if got := tree(t, to); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("saved %q, want %q", got, want)
	}
	if now := f.Snapshot(); string(now.Text) != want["project.toml"] || now.Place != filepath.Join(to, "project.toml") {
		t.Errorf("on the desk: %q at %q", now.Text, now.Place)
	}
}

// A project saved into a folder gets one of its own there, named after its title,
// and stays where it is once it lies there.
func TestSavedInAFolderOfItsOwn(t *testing.T) {
	s, _, home := testShelf(t)
	if _, err := s.open(filepath.Join(home, "meadow")); err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(home, "skirts", "tide-line")
	for _, to := range []string{filepath.Join(home, "skirts"), own} {
		if got, err := s.save(target{Path: to}); err != nil || got != filepath.Join(own, "project.toml") {
			t.Errorf("into %s: saved %q, %v", to, got, err)
		}
	}
}

// What the maker may not know is not written over unless she says so.
func TestClashes(t *testing.T) {
	s, f, home := testShelf(t)
	file := filepath.Join(home, "meadow", "project.toml")
	var over clash
	if _, err := s.save(target{}); err == nil || !strings.Contains(err.Error(), "choose a folder") {
		t.Errorf("saved nowhere: %v", err)
	}
	if _, err := s.save(target{Path: file}); !errors.As(err, &over) || !over.Exists {
		t.Errorf("over another project: %v", err)
	}
	if text(t, file) != meadow {
		t.Error("it was overwritten")
	}
	if _, err := s.open(file); err != nil {
		t.Fatal(err)
	}
	put(t, file, meadow+"# by an editor\n")
	if s.looked(); !f.isOutside() {
		t.Error("a change outside was not told")
	}
	if _, err := s.save(target{}); !errors.As(err, &over) || !over.Changed {
		t.Errorf("over a change outside: %v", err)
	}
	put(t, file, meadow)
	if s.looked(); f.isOutside() {
		t.Error("changed back, and still told as changed")
	}
	put(t, file, meadow+"# by an editor\n")
	if _, err := s.save(target{Force: true}); err != nil || text(t, file) != meadow {
		t.Errorf("by force: %v", err)
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if s.looked(); !f.isOutside() {
		t.Error("a removed file was not told")
	}
	if _, err := s.save(target{}); err != nil || text(t, file) != meadow {
		t.Errorf("after it was removed: %v", err)
	}
	for _, path := range []string{"/etc", filepath.Join(home, ".."), filepath.Join(home, "..", "x.toml"), "meadow", home + "x"} {
		if _, err := s.save(target{Path: path, Force: true}); err == nil {
			t.Errorf("saved at %s", path)
		}
	}
}

// failing lets so many steps pass; then each fails as a full disk does, or the
// program is killed.
type failing struct {
	disk
	left  *int
	fault func() error
}

func (f failing) step(do func() error) error {
	if *f.left <= 0 {
		return f.fault()
	}
	*f.left--
	return do()
}

func (f failing) Fill(name string, data []byte, mode fs.FileMode) error {
	return f.step(func() error {
		err := f.disk.Fill(name, data[:len(data)/2], mode)
		if *f.left > 0 && err == nil {
			if err = f.disk.Remove(name); err == nil {
				err = f.disk.Fill(name, data, mode)
			}
		} else if err == nil {
			err = f.fault()
		}
		return err
	})
}
func (f failing) Chmod(name string, mode fs.FileMode) error {
	return f.step(func() error { return f.disk.Chmod(name, mode) })
}
func (f failing) Rename(from, to string) error {
	return f.step(func() error { return f.disk.Rename(from, to) })
}

// edit puts a change with a new drawing on the desk, to be saved.
func edit(f *fake) (text string) {
	text = meadow + "[[motif]]\noutline = \"fern.svg\"\n"
	f.change(func(p *desk.Project) {
		p.Text, p.Unsaved, p.Added = []byte(text), true, map[string][]byte{"fern.svg": []byte("<svg>fern</svg>")}
	})
	return text
}

// The disk is full at any step of a save: the file is as it was, it is told, nothing
// half-written is left, and the next save with room does all of it.
func TestDiskFull(t *testing.T) {
	failed := 0
	for at := 0; ; at++ {
		s, f, home := testShelf(t)
		file := filepath.Join(home, "meadow", "project.toml")
		if _, err := s.open(file); err != nil {
			t.Fatal(err)
		}
		want := edit(f)
		left := at
		s.disk = failing{s.disk, &left, func() error { return &fs.PathError{Op: "write", Path: file, Err: syscall.ENOSPC} }}
		_, err := s.save(target{})
		if err == nil {
			break
		}
		failed++
		if !strings.Contains(err.Error(), "the disk is full") || !strings.Contains(err.Error(), "not saved") {
			t.Errorf("step %d: told %q", at, err)
		}
		if text(t, file) != meadow || !f.Snapshot().Unsaved {
			t.Errorf("step %d: the file holds %q", at, text(t, file))
		}
		for name := range tree(t, home) {
			if strings.Contains(name, halfway) {
				t.Errorf("step %d: left behind %s", at, name)
			}
		}
		s.disk = local{}
		if _, err := s.save(target{}); err != nil || text(t, file) != want || text(t, filepath.Join(home, "meadow", "fern.svg")) != "<svg>fern</svg>" {
			t.Errorf("step %d: then saved %v: %q", at, err, text(t, file))
		}
	}
	if failed < 5 {
		t.Errorf("only %d steps failed", failed)
	}
}

const stepVar, homeVar = "STREW_TEST_STEP", "STREW_TEST_HOME"

// This is no test but the program that TestKilledWhileSaving kills.
func TestKilledChild(t *testing.T) {
	left, err := strconv.Atoi(os.Getenv(stepVar))
	if err != nil {
		t.Skip("it is run by TestKilledWhileSaving")
	}
	f, home := newFake(), os.Getenv(homeVar)
	s := &shelf{desk: f, roots: rootsOf(home, "", ""), notes: newMemory("", local{}, log.New(io.Discard, "", 0)), read: map[string]stamp{}}
	if _, err := s.open(filepath.Join(home, "meadow")); err != nil {
		t.Fatal(err)
	}
	edit(f)
	s.disk = failing{local{}, &left, func() error {
		self, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = self.Kill()
		}
		if err != nil {
			t.Fatal(err)
		}
		select {}
	}}
	if _, err := s.save(target{}); err != nil {
		t.Fatal(err)
	}
	fmt.Println("saved whole")
}

// The program is killed at any step of a save: the project file is the old one or the
// new one, every drawing that it names is whole, and the next save leaves no litter.
func TestKilledWhileSaving(t *testing.T) {
	killed := 0
	for at := 0; ; at++ {
		s, f, home := testShelf(t)
		child := exec.Command(os.Args[0], "-test.run=^TestKilledChild$")
		child.Env = append(os.Environ(), stepVar+"="+strconv.Itoa(at), homeVar+"="+home)
		out, err := child.CombinedOutput()
		if err == nil && strings.Contains(string(out), "saved whole") {
			break
		}
		if err == nil || strings.Contains(string(out), "FAIL") {
			t.Fatalf("step %d: %v: %s", at, err, out)
		}
		killed++
		got := tree(t, filepath.Join(home, "meadow"))
		if now := got["project.toml"]; now != meadow && (!strings.Contains(now, "fern.svg") || got["fern.svg"] != "<svg>fern</svg>") {
			t.Errorf("step %d: left %q", at, got)
		}
		if got["snail.svg"] != "<svg>snail</svg>" {
			t.Errorf("step %d: the drawing is %q", at, got["snail.svg"])
		}
		if _, err := s.open(filepath.Join(home, "meadow")); err != nil {
			t.Fatal(err)
		}
		want := edit(f)
		if _, err := s.save(target{}); err != nil {
			t.Fatal(err)
		}
		got = tree(t, filepath.Join(home, "meadow"))
		if len(got) != 3 || got["project.toml"] != want || got["fern.svg"] != "<svg>fern</svg>" {
			t.Errorf("step %d: after the next save %q", at, got)
		}
	}
	if killed < 5 {
		t.Errorf("killed only %d times", killed)
	}
}

// "Save everything" writes the folder that plan would write, beside the project.
func TestSaveAll(t *testing.T) {
	s, _, home := testShelf(t)
	if _, err := s.open(filepath.Join(home, "meadow")); err != nil {
		t.Fatal(err)
	}
	got, err := s.saveAll(context.Background(), target{})
	if err != nil || got.Path != filepath.Join(home, "meadow", "tide-line") || text(t, filepath.Join(got.Path, "plan.json")) != "{}" {
		t.Fatalf("%v, %v", got, err)
	}
	put(t, filepath.Join(got.Path, "plan.json"), "edited")
	if got, err = s.saveAll(context.Background(), target{}); err != nil || len(got.Kept) != 1 || !strings.Contains(got.Kept[0], "plan.yours.json") {
		t.Errorf("with an edited result: %v, %v", got, err)
	}
	if !strings.Contains(text(t, filepath.Join(got.Path, ".strew.json")), `"../project.toml"`) {
		t.Error("the record does not name the project")
	}
	if _, err := s.save(target{Path: filepath.Join(home, "other", "project.toml")}); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(home, "other", "tide-line", "plan.json"), "foreign")
	if _, err = s.saveAll(context.Background(), target{}); err == nil || strings.Contains(err.Error(), "-o") || !strings.Contains(err.Error(), "another title") {
		t.Errorf("over foreign results: %v", err)
	}
}

// zipped is a zip of files by name.
func zipped(t *testing.T, files map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for name, text := range files {
		f, err := w.Create(name)
		if err == nil {
			_, err = f.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestOpenZip(t *testing.T) {
	s, f, _ := testShelf(t)
	for name, c := range map[string]struct {
		files map[string]string
		says  string   // of the error
		added []string // else
	}{
		"flat":         {map[string]string{"project.toml": meadow, "snail.svg": "<svg/>", "notes.txt": "x"}, "", []string{"snail.svg"}},
		"in a folder":  {map[string]string{"meadow/tide.toml": meadow, "meadow/snail.svg": "<svg/>", "__MACOSX/meadow/._snail.svg": "x"}, "", []string{"snail.svg"}},
		"beside it":    {map[string]string{"a/b/project.toml": meadow, "a/drawings/snail.svg": "<svg/>", "a/b/.fern.svg": "x"}, "", []string{"../drawings/snail.svg"}},
		"named":        {map[string]string{"project.toml": meadow, "old.toml": "x"}, "", nil},
		"no project":   {map[string]string{"snail.svg": "<svg/>"}, "no project in this zip", nil},
		"several":      {map[string]string{"a.toml": meadow, "b.toml": meadow}, "2 projects", nil},
		"not a TOML":   {map[string]string{"a.toml": "= ="}, "line", nil},
		"upward names": {map[string]string{"../project.toml": meadow}, "no project", nil},
		"a long file":  {map[string]string{"project.toml": meadow + strings.Repeat("#", mostOfProject)}, "too large", nil},
	} {
		err := s.openZip(zipped(t, c.files))
		if c.says != "" {
			if err == nil || name != "not a TOML" && !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		now := f.Snapshot()
		if err != nil || string(now.Text) != meadow || now.Place != "" || !now.Unsaved || len(now.Added) != len(c.added) {
			t.Errorf("%s: %v, %q, added %v", name, err, now.Text, now.Added)
		}
		for _, a := range c.added {
			if string(now.Added[a]) != "<svg/>" {
				t.Errorf("%s: added %v", name, now.Added)
			}
		}
	}
	if err := s.openZip([]byte("no zip")); err == nil || !strings.Contains(err.Error(), "not a zip") {
		t.Error(err)
	}
}

func FuzzZip(f *testing.F) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	p, _ := w.Create("meadow/project.toml")
	_, _ = p.Write([]byte(meadow))
	p, _ = w.Create("drawings/snail.svg")
	_, _ = p.Write([]byte("<svg/>"))
	_ = w.Close()
	f.Add(b.Bytes())
	f.Add([]byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := projectOf(data)
		if err == nil && int64(len(p.Text)) > mostOfProject {
			t.Error("a text that is too long")
		}
		for name := range p.Added {
			if filepath.IsAbs(name) || strings.Contains(name, "//") {
				t.Errorf("a drawing called %q", name)
			}
		}
	})
}

// The listing shows folders, then projects, zips and drawings; nothing hidden, and
// nothing that a link reaches outside the home folder.
func TestFolders(t *testing.T) {
	s, _, home := testShelf(t)
	outside := t.TempDir()
	put(t, filepath.Join(outside, "secret.toml"), "")
	for _, name := range []string{"b.toml", "A.zip", "c.svg", "notes.txt", ".hidden.toml", ".ssh/key.toml"} {
		put(t, filepath.Join(home, name), "")
	}
	for from, to := range map[string]string{"out": outside, "out.toml": filepath.Join(outside, "secret.toml"), "in": filepath.Join(home, "meadow"), "dead.svg": filepath.Join(home, "none")} {
		if err := os.Symlink(to, filepath.Join(home, from)); err != nil {
			t.Skip("no links here: ", err)
		}
	}
	got, err := s.folders("")
	if err != nil {
		t.Fatal(err)
	}
	names := []string{}
	for _, e := range got.Entries {
		names = append(names, e.Name+":"+e.Kind)
	}
	if want := "in:folder meadow:folder A.zip:zip b.toml:project c.svg:drawing"; strings.Join(names, " ") != want {
		t.Errorf("listed %q, want %q", names, want)
	}
	if got.Up != "" || got.Path != home || len(got.Roots) != 1 {
		t.Errorf("at %q, up %q, roots %v", got.Path, got.Up, got.Roots)
	}
	if got, err = s.folders(filepath.Join(home, "meadow")); err != nil || got.Up != home {
		t.Errorf("up from the meadow: %q, %v", got.Up, err)
	}
	for _, path := range []string{"/", filepath.Dir(home), filepath.Join(home, ".."), filepath.Join(home, "out"), outside, "meadow", filepath.Join(home, "none"), home + "/b.toml"} {
		if _, err := s.folders(path); err == nil {
			t.Errorf("listed %s", path)
		}
	}
	if _, err := s.inside(filepath.Join(home, "out.toml")); err == nil {
		t.Error("a link out of the home folder was followed")
	}
}

func TestRoots(t *testing.T) {
	top := real(t.TempDir())
	home, stick := filepath.Join(top, "home", "ann"), filepath.Join(top, "stick")
	put(t, filepath.Join(stick, "p.toml"), "")
	put(t, filepath.Join(home, "x"), "")
	for _, c := range []struct {
		home, start, project string
		want                 int
	}{
		{home, home, "", 1}, {home, filepath.Join(home, "sub"), "", 1}, {home, "/", "", 1}, {home, top, "", 1},
		{home, stick, "", 2}, {home, top, filepath.Join(stick, "p.toml"), 2}, {home, "", stick, 2}, {"", stick, "", 1}, {"", "", "", 0},
	} {
		if got := rootsOf(c.home, c.start, c.project); len(got) != c.want {
			t.Errorf("%v: %v", c, got)
		}
	}
}
