package folder_test

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"strew/cmd/internal/folder"
)

// Whole runs at once, each of which prepares and then writes, do not make each
// other fail: into one folder, into folders beside one another, and into ones
// that are yet to be made.
func TestPreparedRunsAtOnce(t *testing.T) {
	const (
		rounds  = 8
		writers = 6 // of which each folder has its share
	)
	for name, dirs := range map[string][]string{
		"one folder":                {"a"},
		"two folders of one parent": {"a", "b"},
		"folders one in the other":  {"a", "a/b"},
	} {
		for _, fresh := range []bool{true, false} {
			t.Run(name+", fresh "+strconv.FormatBool(fresh), func(t *testing.T) {
				for range rounds {
					top := t.TempDir()
					if !fresh {
						for _, d := range dirs {
							if err := os.MkdirAll(filepath.Join(top, d), 0o755); err != nil {
								t.Fatal(err)
							}
						}
					}
					var all sync.WaitGroup
					for i := range writers {
						f := folder.New(filepath.Join(top, dirs[i%len(dirs)]), folder.Owner{Command: "plan"})
						all.Go(func() {
							if _, err := f.Prepare([]string{"plan.json"}); err != nil {
								t.Error(err)
							}
							text := strconv.Itoa(i)
							if _, err := f.Replace(context.Background(), files("plan.json", text, "skirt.png", text)); err != nil {
								t.Error(err)
							}
						})
					}
					all.Wait()
					for _, d := range dirs {
						dir := filepath.Join(top, d)
						if plan, skirt := read(t, filepath.Join(dir, "plan.json")), read(t, filepath.Join(dir, "skirt.png")); plan != skirt {
							t.Errorf("%s holds the plan of run %s and the skirt of run %s", d, plan, skirt)
						}
						for _, name := range strings.Fields(list(t, dir)) {
							if !slices.Contains([]string{"plan.json", "skirt.png", "b"}, name) {
								t.Errorf("%s holds %s", d, name)
							}
						}
					}
				}
			})
		}
	}
}
