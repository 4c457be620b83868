package folder

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// Whatever a record or a journal says, nothing outside the folder changes, and
// what the maker wrote in it is still there.
func FuzzRecordAndJournal(f *testing.F) {
	r := record{Format: recordFormat, Command: "plan", Files: map[string]string{"x": hash([]byte("1")), "notes.txt": "0"}}
	f.Add(r.file().Data, byte(0))
	for i := range byte(3) {
		for _, names := range [][2]string{{"x", "y"}, {"../outside", "x"}, {"notes.txt", "notes.txt"}} {
			text, err := json.Marshal(journal{journalFormat, map[string]string{names[0]: hash([]byte("1"))}, map[string]string{names[1]: "0"}})
			if err != nil {
				f.Fatal(err)
			}
			f.Add(text, i+1)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, kind byte) {
		top := t.TempDir()
		dir := filepath.Join(top, "out")
		work := filepath.Join(dir, staging+"1")
		in := map[string]string{
			filepath.Join(top, "outside"): "hers", filepath.Join(dir, "notes.txt"): "hers too", filepath.Join(dir, "x"): "1",
		}
		switch kind % 4 {
		case 0:
			in[filepath.Join(dir, RecordName)] = string(data)
		default:
			in[filepath.Join(work, []string{staged, moving, done}[kind%4-1])] = string(data)
			in[filepath.Join(work, "new", "y")] = "1"
			in[filepath.Join(work, "old", "x")] = "edited"
		}
		for path, text := range in {
			if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		_, _ = New(dir, Owner{Command: "plan"}).Replace(context.Background(), results("new", "z")) // it may be refused
		if outside, err := os.ReadFile(filepath.Join(top, "outside")); err != nil || string(outside) != "hers" {
			t.Errorf("outside the folder is %q, %v", outside, err)
		}
		found := map[string]bool{}
		err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
			if err != nil || !d.Type().IsRegular() {
				return err
			}
			text, err := os.ReadFile(path)
			found[string(text)] = true
			return err
		})
		if err != nil || !found["hers too"] || kind%4 != 0 && !found["edited"] {
			t.Errorf("the folder holds %v, %v", found, err)
		}
	})
}
