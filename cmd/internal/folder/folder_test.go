package folder_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"

	"strew/cmd/internal/folder"
)

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// list is all that lies in a folder, but for the record.
func list(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		if e.Name() != folder.RecordName {
			out = append(out, e.Name())
		}
	}
	return strings.Join(out, " ")
}

func files(pairs ...string) (out []folder.File) {
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, folder.File{Name: pairs[i], Data: []byte(pairs[i+1])})
	}
	return out
}

func replace(t *testing.T, f folder.Folder, list []folder.File) []folder.Kept {
	t.Helper()
	kept, err := f.Replace(context.Background(), list)
	if err != nil {
		t.Fatal(err)
	}
	return kept
}

// refuses fails unless the folder may not be written to, and says so before
// the work where the names are known by then.
func refuses(t *testing.T, f folder.Folder, list []folder.File, says string) {
	t.Helper()
	names := make([]string, len(list))
	for i, file := range list {
		names[i] = file.Name
	}
	_, early := f.Prepare(names)
	_, late := f.Replace(context.Background(), list)
	for _, err := range []error{early, late} {
		var refused *folder.Refused
		if !errors.As(err, &refused) || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "-o") {
			t.Errorf("said %v, want %q", err, says)
		}
	}
}

func TestReplaceMakesTheFolderAndItsParents(t *testing.T) {
	top := t.TempDir()
	dir := filepath.Join(top, "a", "b")
	replace(t, folder.New(dir, folder.Owner{Command: "plan"}), files("x", "1"))
	if got := read(t, filepath.Join(dir, "x")); got != "1" {
		t.Errorf("x holds %q", got)
	}
	if got := list(t, filepath.Join(top, "a")); got != "b" {
		t.Errorf("beside the folder lies %q", got)
	}
}

func TestReplaceKeepsForeignFilesAndDropsOldResults(t *testing.T) {
	dir := t.TempDir()
	f := folder.New(dir, folder.Owner{Command: "plan"})
	write(t, filepath.Join(dir, "notes.txt"), "mine")
	replace(t, f, files("lay-1.png", "1", "lay-2.png", "2"))
	if kept := replace(t, f, files("lay-1.png", "new")); len(kept) > 0 {
		t.Errorf("kept %v", kept)
	}
	if got := list(t, dir); got != "lay-1.png notes.txt" {
		t.Errorf("the folder holds %q", got)
	}
	if read(t, filepath.Join(dir, "notes.txt")) != "mine" || read(t, filepath.Join(dir, "lay-1.png")) != "new" {
		t.Error("a file has the wrong content")
	}
}

// The record is the file that other programs may read.
func TestRecord(t *testing.T) {
	top := t.TempDir()
	project := filepath.Join(top, "p", "project.toml")
	dir := filepath.Join(top, "out")
	replace(t, folder.New(dir, folder.Owner{Command: "lay", Project: project}), files("x", "abc"))
	var got map[string]any
	if err := json.Unmarshal([]byte(read(t, filepath.Join(dir, folder.RecordName))), &got); err != nil {
		t.Fatal(err)
	}
	// The hash of "abc" is an example of FIPS 180-2, appendix B.1.
	sums := map[string]any{"x": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"}
	if got["format"] != "strew-folder/1" || got["command"] != "lay" || got["project"] != "../p/project.toml" || got["files"].(map[string]any)["x"] != sums["x"] {
		t.Errorf("the record is %v", got)
	}
}

func TestResultsOfOthersStay(t *testing.T) {
	top := t.TempDir()
	a, b := filepath.Join(top, "a.toml"), filepath.Join(top, "b.toml")
	write(t, a, "")
	write(t, b, "")
	dir := filepath.Join(top, "skirt")
	replace(t, folder.New(dir, folder.Owner{Command: "plan", Project: a}), files("x", "1"))
	refuses(t, folder.New(dir, folder.Owner{Command: "plan", Project: b}), files("x", "2"), "a.toml")
	refuses(t, folder.New(dir, folder.Owner{Command: "lay", Project: a}), files("x", "2"), "strew plan")
	refuses(t, folder.New(dir, folder.Owner{Command: "plan"}), files("y", "2"), "a.toml")
	if got := list(t, dir); got != "x" || read(t, filepath.Join(dir, "x")) != "1" {
		t.Errorf("the folder holds %q", got)
	}
}

// Folder and project may move together, and be named by any path.
func TestOwnerIsKnownByItsPathFromTheFolder(t *testing.T) {
	top := t.TempDir()
	before, after := filepath.Join(top, "before"), filepath.Join(top, "after")
	if err := os.Mkdir(before, 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(before, "p.toml"), "")
	replace(t, folder.New(filepath.Join(before, "p"), folder.Owner{Command: "plan", Project: filepath.Join(before, "p.toml")}), files("x", "1"))
	if err := os.Rename(before, after); err != nil {
		t.Fatal(err)
	}
	t.Chdir(after)
	replace(t, folder.New("p", folder.Owner{Command: "plan", Project: "p.toml"}), files("x", "2"))
	replace(t, folder.New("./p/../p", folder.Owner{Command: "plan", Project: "../after/p.toml"}), files("x", "3"))
	if runtime.GOOS != "windows" {
		if err := os.Symlink(after, filepath.Join(top, "link")); err != nil {
			t.Fatal(err)
		}
		replace(t, folder.New("p", folder.Owner{Command: "plan", Project: filepath.Join(top, "link", "p.toml")}), files("x", "4"))
	}
}

func TestEditedResultsAreKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	f := folder.New(dir, folder.Owner{Command: "plan"})
	replace(t, f, files("list.md", "1", "same.md", "1", "lay-2.png", "1"))
	write(t, filepath.Join(dir, "list.md"), "mine")
	write(t, filepath.Join(dir, "same.md"), "2") // as the next run writes it
	write(t, filepath.Join(dir, "lay-2.png"), "mine as well")
	kept := replace(t, f, files("list.md", "2", "same.md", "2"))
	if len(kept) != 2 || kept[0] != (folder.Kept{Name: "lay-2.png"}) || kept[1] != (folder.Kept{Name: "list.md", As: "list.yours.md"}) {
		t.Errorf("kept %v", kept)
	}
	if got := list(t, dir); got != "lay-2.png list.md list.yours.md same.md" {
		t.Errorf("the folder holds %q", got)
	}
	write(t, filepath.Join(dir, "list.md"), "mine again")
	kept = replace(t, f, files("list.md", "3", "lay-2.png", "3"))
	if len(kept) != 2 || kept[0].As != "lay-2.yours.png" || kept[1].As != "list.yours-2.md" {
		t.Errorf("kept %v", kept)
	}
	for name, want := range map[string]string{
		"list.md": "3", "list.yours.md": "mine", "list.yours-2.md": "mine again", "lay-2.png": "3", "lay-2.yours.png": "mine as well",
	} {
		if got := read(t, filepath.Join(dir, name)); got != want {
			t.Errorf("%s holds %q, want %q", name, got, want)
		}
	}
}

func TestForeignFilesAreNotReplaced(t *testing.T) {
	for name, make := range map[string]func(t *testing.T, path string){
		"a file":   func(t *testing.T, path string) { write(t, path, "mine") },
		"a folder": func(t *testing.T, path string) { os.Mkdir(path, 0o755); write(t, filepath.Join(path, "f"), "mine") },
		"a link": func(t *testing.T, path string) {
			target := filepath.Join(t.TempDir(), "target")
			write(t, target, "mine")
			if err := os.Symlink(target, path); err != nil {
				t.Skipf("links cannot be made on this system: %v", err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			for _, recorded := range []bool{false, true} {
				dir := t.TempDir()
				f := folder.New(dir, folder.Owner{Command: "plan"})
				path := filepath.Join(dir, "skirt.png")
				if recorded {
					if name == "a file" {
						continue // then it is an edited result
					}
					replace(t, f, files("skirt.png", "1"))
					if err := os.Remove(path); err != nil {
						t.Fatal(err)
					}
				}
				make(t, path)
				before, err := os.Lstat(path)
				if err != nil {
					t.Fatal(err)
				}
				refuses(t, f, files("plan.json", "{}", "skirt.png", "new"), "skirt.png")
				after, err := os.Lstat(path)
				if err != nil || !os.SameFile(before, after) {
					t.Errorf("it was touched: %v", err)
				}
				if got := list(t, dir); got != "skirt.png" {
					t.Errorf("the folder holds %q", got)
				}
			}
		})
	}
}

// A record may claim anything: a file goes only if it holds what strew wrote.
func TestForgedRecords(t *testing.T) {
	top := t.TempDir()
	dir := filepath.Join(top, "out")
	f := folder.New(dir, folder.Owner{Command: "plan"})
	replace(t, f, files("x", "1"))
	path := filepath.Join(dir, folder.RecordName)
	sound := read(t, path)
	write(t, filepath.Join(dir, "notes.txt"), "mine")
	write(t, filepath.Join(top, "outside.txt"), "1")
	write(t, path, strings.Replace(sound, `"x":`, `"notes.txt": "0123", "x":`, 1))
	replace(t, f, files("x", "2"))
	if got := read(t, filepath.Join(dir, "notes.txt")); got != "mine" {
		t.Errorf("notes.txt holds %q", got)
	}
	one := sound[strings.Index(sound, `"x": `)+5:][:66]
	for _, bad := range []string{
		strings.Replace(sound, `"x":`, `"../outside.txt": `+one+`, "x":`, 1),
		strings.Replace(sound, "strew-folder/1", "strew-folder/9", 1),
		"{", "null", "",
	} {
		write(t, path, bad)
		refuses(t, f, files("x", "3"), folder.RecordName)
		if read(t, filepath.Join(top, "outside.txt")) != "1" || read(t, filepath.Join(dir, "x")) != "2" {
			t.Errorf("%s: a file was replaced", bad)
		}
	}
}

func TestReplaceLeavesEverythingWhenAResultCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	f := folder.New(dir, folder.Owner{Command: "plan"})
	replace(t, f, files("a", "1", "b", "1"))
	long := strings.Repeat("x", 300) // longer than any file system takes
	if _, err := f.Replace(context.Background(), files("a", "2", long, "2")); err == nil {
		t.Fatal("no error")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := f.Replace(ctx, files("a", "2")); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled, it says %v", err)
	}
	if got := list(t, dir); got != "a b" || read(t, filepath.Join(dir, "a")) != "1" {
		t.Errorf("left behind %q", got)
	}
	deep := filepath.Join(dir, "c", "d")
	if _, err := folder.New(deep, folder.Owner{}).Replace(ctx, files("a", "2")); err == nil {
		t.Error("no error")
	}
	if got := list(t, dir); got != "a b" {
		t.Errorf("left behind %q", got)
	}
}

// Runs into one folder at once take turns: in the end it holds the results of
// one of them, whole.
func TestRunsAtOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "out")
	var all sync.WaitGroup
	for run := range 8 {
		all.Go(func() {
			text := strconv.Itoa(run)
			var list []folder.File
			for i := range 5 + run {
				list = append(list, folder.File{Name: strconv.Itoa(i), Data: []byte(text)})
			}
			if _, err := folder.New(dir, folder.Owner{Command: "plan"}).Replace(context.Background(), list); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	names := strings.Fields(list(t, dir))
	last := read(t, filepath.Join(dir, "0"))
	if run, err := strconv.Atoi(last); err != nil || len(names) != 5+run {
		t.Errorf("run %s left %q", last, names)
	}
	for _, name := range names {
		if got := read(t, filepath.Join(dir, name)); got != last {
			t.Errorf("%s is of run %s, 0 of run %s", name, got, last)
		}
	}
	if left := list(t, filepath.Dir(dir)); left != "out" {
		t.Errorf("left behind %q", left)
	}
}

func TestNamesStayInTheFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	f := folder.New(dir, folder.Owner{Command: "plan"})
	for _, name := range []string{"", ".", "..", "../x", "a/b", "/x", folder.RecordName, ".strew-new-1"} {
		if _, err := f.Replace(context.Background(), files(name, "1")); err == nil {
			t.Errorf("%q passed for a name", name)
		}
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("the folder was made")
	}
	if runtime.GOOS != "windows" {
		replace(t, f, files("a:b\\c.png", "1"))
		replace(t, f, files("x", "1"))
		if got := list(t, dir); got != "x" {
			t.Errorf("the folder holds %q", got)
		}
	}
}

func TestPrepareOnAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	write(t, path, "")
	for _, dir := range []string{path, filepath.Join(path, "below")} {
		var refused *folder.Refused
		if _, err := folder.New(dir, folder.Owner{}).Prepare(nil); !errors.As(err, &refused) || !strings.Contains(err.Error(), path+" is a file") {
			t.Errorf("%s: %v", dir, err)
		}
	}
}

// What a refusal says, word for word.
func TestRefusals(t *testing.T) {
	top := t.TempDir()
	t.Chdir(top)
	for _, name := range []string{"a.toml", "b.toml", "gone.toml"} {
		write(t, name, "")
	}
	plan, mine := folder.Owner{Command: "plan"}, folder.Owner{Command: "plan", Project: "b.toml"}
	list := files("a.png", "1", "b.png", "1", "plan.json", "1")
	replace(t, folder.New("example", plan), list)
	replace(t, folder.New("other", folder.Owner{Command: "plan", Project: "a.toml"}), list)
	replace(t, folder.New("left", folder.Owner{Command: "plan", Project: "gone.toml"}), list)
	replace(t, folder.New("damaged", mine), list)
	replace(t, folder.New("unrecorded", mine), list)
	replace(t, folder.New("sizes", folder.Owner{Command: "measure"}), list)
	if err := errors.Join(os.Remove("gone.toml"), os.Remove(filepath.Join("unrecorded", folder.RecordName)), os.Mkdir("one", 0o755)); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join("damaged", folder.RecordName), "{")
	write(t, filepath.Join("one", "b.png"), "hers")
	for dir, want := range map[string]string{
		"example":    "example holds the results of the built-in example; give your project another title, or name another folder with -o",
		"other":      `other holds the results of "strew plan a.toml"; name another folder with -o`,
		"left":       "left holds the results of gone.toml, which is no longer there; move the folder away or delete it, or name another with -o",
		"sizes":      `sizes holds the results of "strew measure"; name another folder with -o`,
		"damaged":    "the record " + filepath.Join("damaged", folder.RecordName) + " cannot be read; bring it back as it was, or move it and the results beside it away, or name another folder with -o",
		"unrecorded": filepath.Join("unrecorded", "a.png") + " and 2 more are already there and were not written by strew; move them away or delete them, or name another folder with -o",
		"one":        filepath.Join("one", "b.png") + " is already there and was not written by strew; move it away or delete it, or name another folder with -o",
	} {
		refuses(t, folder.New(dir, mine), list, want)
	}
}

func TestOverwrite(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "leaf.svg"), "old")
	if err := folder.Overwrite(context.Background(), dir, files("leaf.svg", "new", "leaf-overlay.png", "new too")); err != nil {
		t.Fatal(err)
	}
	if got := list(t, dir); got != "leaf-overlay.png leaf.svg" || read(t, filepath.Join(dir, "leaf.svg")) != "new" {
		t.Errorf("the folder holds %q", got)
	}
	long := strings.Repeat("x", 300)
	if err := folder.Overwrite(context.Background(), dir, files("leaf.svg", "newer", long, "")); err == nil {
		t.Error("no error")
	}
	if got := list(t, dir); got != "leaf-overlay.png leaf.svg" || read(t, filepath.Join(dir, "leaf.svg")) != "new" {
		t.Errorf("the folder holds %q", got)
	}
}
