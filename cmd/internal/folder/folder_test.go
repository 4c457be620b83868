package folder_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
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

func list(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func files(pairs ...string) (out []folder.File) {
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, folder.File{Name: pairs[i], Data: []byte(pairs[i+1])})
	}
	return out
}

func TestReplaceMakesTheFolderAndItsParents(t *testing.T) {
	top := t.TempDir()
	dir := filepath.Join(top, "a", "b")
	if err := folder.Replace(dir, files("x", "1"), nil); err != nil {
		t.Fatal(err)
	}
	if got := read(t, filepath.Join(dir, "x")); got != "1" {
		t.Errorf("x holds %q", got)
	}
	if got := list(t, filepath.Join(top, "a")); len(got) != 1 {
		t.Errorf("beside the folder lies %q", got)
	}
}

func TestReplaceKeepsForeignFilesAndDropsOldResults(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := folder.Replace(dir, files("lay-1.png", "1", "lay-2.png", "2"), nil); err != nil {
		t.Fatal(err)
	}
	if err := folder.Replace(dir, files("lay-1.png", "new"), []string{"lay-1.png", "lay-2.png", "gone.png"}); err != nil {
		t.Fatal(err)
	}
	if got := list(t, dir); len(got) != 2 || got[0] != "lay-1.png" || got[1] != "notes.txt" {
		t.Errorf("the folder holds %q", got)
	}
	if read(t, filepath.Join(dir, "notes.txt")) != "mine" || read(t, filepath.Join(dir, "lay-1.png")) != "new" {
		t.Error("a file has the wrong content")
	}
}

func TestReplaceRefusesToOverwriteAForeignFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "skirt.png")
	if err := os.WriteFile(path, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	err := folder.Replace(dir, files("plan.json", "{}", "skirt.png", "new"), nil)
	var taken *folder.Taken
	if !errors.As(err, &taken) || taken.Path != path {
		t.Fatalf("got %v", err)
	}
	if got := list(t, dir); len(got) != 1 || read(t, path) != "mine" {
		t.Errorf("the folder was changed: %q", got)
	}
}

func TestReplaceLeavesEverythingWhenAResultCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	if err := folder.Replace(dir, files("a", "1", "b", "1"), nil); err != nil {
		t.Fatal(err)
	}
	long := strings.Repeat("x", 300) // longer than any file system takes
	if err := folder.Replace(dir, files("a", "2", long, "2"), []string{"a", "b"}); err == nil {
		t.Fatal("no error")
	}
	if got := list(t, dir); len(got) != 2 || read(t, filepath.Join(dir, "a")) != "1" {
		t.Errorf("left behind %q", got)
	}
}

func TestCheckOnAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "f")
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := folder.Check(path, nil, nil); err == nil {
		t.Error("a file passed for a folder")
	}
	if err := folder.Check(filepath.Join(path, "below"), nil, nil); err == nil {
		t.Error("a folder below a file passed")
	}
}
