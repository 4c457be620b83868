package folder

import (
	"os"
	"path/filepath"
	"testing"
)

// A result that is missing from the stage makes the last move fail, after
// others have been made.
func TestSwapTakesEveryMoveBack(t *testing.T) {
	dir := t.TempDir()
	stage := filepath.Join(dir, "stage")
	if err := os.Mkdir(stage, 0o755); err != nil {
		t.Fatal(err)
	}
	for path, text := range map[string]string{
		filepath.Join(dir, "a"): "old a", filepath.Join(dir, "b"): "old b", filepath.Join(stage, "a"): "new a",
	} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := swap(dir, stage, []string{"a", "missing"}, []string{"a", "b"}); err == nil {
		t.Fatal("no error")
	}
	for _, name := range []string{"a", "b"} {
		got, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || string(got) != "old "+name {
			t.Errorf("%s holds %q, %v", name, got, err)
		}
	}
}
