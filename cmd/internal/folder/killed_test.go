package folder

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// contents is what lies in a folder: file contents by name, the type of what is no file.
func contents(t interface{ Fatal(...any) }, dir string) map[string]string {
	out := map[string]string{}
	entries, err := os.ReadDir(dir)
	if errors.Is(err, os.ErrNotExist) {
		return out
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			out[e.Name()] = e.Type().String()
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(data)
	}
	return out
}

// results are the files that belong to a run, without the record.
func results(text string, names ...string) (out []File) {
	for _, n := range names {
		out = append(out, File{n, []byte(n + " " + text)})
	}
	return out
}

// The scene of the killed runs: a project's results, one of them edited, beside
// files of the maker.
func scene(t *testing.T, top string, fresh bool) (dir string, f Folder) {
	dir = filepath.Join(top, "out")
	f = New(dir, Owner{Command: "plan", Project: filepath.Join(top, "p.toml")})
	if fresh {
		return dir, f
	}
	if _, err := f.Replace(context.Background(), results("old", "plan.json", "skirt.png", "lay-2.png", "same.png")); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"skirt.png": "edited", "notes.txt": "mine", "skirt.yours.png": "edited before"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir, f
}

// next are the results of the run that is killed.
func next() []File {
	return append(results("new", "plan.json", "skirt.png", "lay-1.png"), results("old", "same.png")...)
}

const (
	stepVar  = "STREW_TEST_STEP"
	sceneVar = "STREW_TEST_SCENE"
	holdVar  = "STREW_TEST_HOLD"
)

// This is no test but the program that TestKilledAtAnyStep kills.
func TestKilledChild(t *testing.T) {
	at, err := strconv.Atoi(os.Getenv(stepVar))
	if err != nil {
		t.Skip("it is run by TestKilledAtAnyStep")
	}
	top := os.Getenv(sceneVar)
	f := New(filepath.Join(top, "out"), Owner{Command: "plan", Project: filepath.Join(top, "p.toml")})
	f = f.on(&stepped{disk: local{}, left: at, end: func() error {
		self, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = self.Kill() // SIGKILL: nothing of this program runs any more
		}
		if err != nil {
			t.Fatal(err)
		}
		select {}
	}})
	if _, err := f.Replace(context.Background(), next()); err != nil {
		t.Fatal(err)
	}
	fmt.Println("written whole")
}

// A run is killed by SIGKILL at every step there is, in turn. After the next
// start the results are the old ones or the new ones, all of them; nothing else
// is left; and the maker's files and what she edited are there.
func TestKilledAtAnyStep(t *testing.T) {
	for _, fresh := range []bool{true, false} {
		old, renewed := 0, 0
		for at := 0; ; at++ {
			top := t.TempDir()
			dir, f := scene(t, top, fresh)
			before := contents(t, dir)
			child := exec.Command(os.Args[0], "-test.run=^TestKilledChild$")
			child.Env = append(os.Environ(), stepVar+"="+strconv.Itoa(at), sceneVar+"="+top)
			out, err := child.CombinedOutput()
			if err == nil {
				if !strings.Contains(string(out), "written whole") {
					t.Fatalf("the child did not run: %s", out)
				}
				break
			}
			var ended *exec.ExitError
			if !errors.As(err, &ended) || strings.Contains(string(out), "FAIL") {
				t.Fatalf("step %d: %v: %s", at, err, out)
			}
			kept, err := f.Prepare([]string{"plan.json", "skirt.png"})
			if err != nil {
				t.Fatalf("step %d: the next start says %v", at, err)
			}
			if left := append(litter(top), litter(dir)...); len(left) > 0 {
				t.Errorf("step %d: left behind %q", at, left)
			}
			after := contents(t, dir)
			if maps.Equal(after, before) {
				old++
			} else {
				renewed++
				isNew(t, after, fresh)
				if len(kept) == 1 && kept[0].As != "skirt.yours-2.png" {
					t.Errorf("step %d: kept %v", at, kept)
				}
			}
			if _, err := f.Replace(context.Background(), next()); err != nil {
				t.Fatalf("step %d: the next run says %v", at, err)
			}
			isNew(t, contents(t, dir), fresh)
			if t.Failed() {
				t.Fatalf("after a kill at step %d", at)
			}
		}
		if old < 8 || renewed < 4 {
			t.Errorf("killed %d times before the new files counted and %d times after", old, renewed)
		}
	}
}

// isNew checks a folder after the run that writes next.
func isNew(t *testing.T, got map[string]string, fresh bool) {
	t.Helper()
	want := map[string]string{}
	if !fresh {
		want = map[string]string{"notes.txt": "mine", "skirt.yours.png": "edited before", "skirt.yours-2.png": "edited"}
	}
	var r record
	if err := json.Unmarshal([]byte(got[RecordName]), &r); err != nil {
		t.Error(err)
	}
	sums := map[string]string{}
	for _, file := range next() {
		want[file.Name] = string(file.Data)
		sums[file.Name] = hash(file.Data)
	}
	if !maps.Equal(r.Files, sums) {
		t.Errorf("the record has %v", r.Files)
	}
	delete(got, RecordName)
	if !maps.Equal(got, want) {
		t.Errorf("the folder holds %v, want %v", got, want)
	}
}

// Where one step fails and the program goes on, the folder is as it was, or new
// if the results were in place by then.
func TestAnyStepMayFail(t *testing.T) {
	broken := errors.New("the disk is full")
	for _, fresh := range []bool{true, false} {
		for at := 0; ; at++ {
			top := t.TempDir()
			dir, f := scene(t, top, fresh)
			before := contents(t, dir)
			d := &stepped{disk: local{}, left: at, end: func() error { return broken }}
			_, err := f.on(d).Replace(context.Background(), next())
			if !d.ended {
				break
			}
			switch after := contents(t, dir); {
			case err != nil && !errors.Is(err, broken):
				t.Errorf("step %d: said %v", at, err)
			case err != nil && len(litter(dir)) == 0 && !maps.Equal(after, before):
				t.Errorf("step %d: failed, and the folder holds %v", at, after)
			}
			if _, err := f.Prepare(nil); err != nil {
				t.Fatalf("step %d: the next start says %v", at, err)
			}
			if left := append(litter(top), litter(dir)...); len(left) > 0 {
				t.Errorf("step %d: left behind %q", at, left)
			}
			after := contents(t, dir)
			if err != nil && !maps.Equal(after, before) {
				t.Errorf("step %d: failed, and at last the folder holds %v", at, after)
			}
			if err == nil {
				isNew(t, after, fresh)
			}
			if t.Failed() {
				t.Fatalf("after step %d failed", at)
			}
		}
	}
}

// Runs that are killed one after the other, the recovery as well, while the
// maker goes on editing: nothing of hers is lost, and a run that ends leaves all
// of its results and no litter.
func TestKilledAgainAndAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top, err := os.MkdirTemp("", "strew-test-")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(top)
		dir := filepath.Join(top, "out")
		f := New(dir, Owner{Command: "plan", Project: filepath.Join(top, "p.toml")})
		hers := map[string]bool{} // all that she wrote
		names := []string{"a.png", "b.png", "c.png"}
		ended := 0
		for run := range rapid.IntRange(1, 6).Draw(t, "runs") {
			var list []File
			for _, n := range names {
				if rapid.Bool().Draw(t, "has "+n) {
					list = append(list, File{n, []byte(rapid.SampledFrom([]string{"1", "2", "3"}).Draw(t, n))})
				}
			}
			d := &stepped{disk: local{}, left: rapid.IntRange(0, 60).Draw(t, "steps"), end: func() error { panic(errDead) }}
			err := func() (err error) {
				defer func() {
					if d.ended {
						recover()
						err = errDead
					}
				}()
				g := f.on(dying{d, &d.ended})
				if _, err := g.Prepare(nil); err != nil {
					return err
				}
				_, err = g.Replace(context.Background(), list)
				return err
			}()
			if err == nil {
				ended++
				got := contents(t, dir)
				for _, file := range list {
					if got[file.Name] != string(file.Data) {
						t.Fatalf("run %d: %s holds %q", run, file.Name, got[file.Name])
					}
				}
				if left := append(litter(top), litter(dir)...); len(left) > 0 {
					t.Fatalf("run %d: left behind %q", run, left)
				}
			} else if !errors.Is(err, errDead) {
				t.Fatalf("run %d: %v", run, err)
			}
			// She edits a result that is there.
			if n := rapid.SampledFrom(names).Draw(t, "edited"); rapid.Bool().Draw(t, "edits") {
				was := contents(t, dir)[n]
				if was == "" {
					continue
				}
				text := fmt.Sprintf("hers %d", run)
				if err := os.WriteFile(filepath.Join(dir, n), []byte(text), 0o644); err != nil {
					t.Fatal(err)
				}
				delete(hers, was) // she wrote over it herself
				hers[text] = true
			}
		}
		if _, err := f.Replace(context.Background(), []File{{"a.png", []byte("last")}}); err != nil {
			t.Fatal(err)
		}
		got := contents(t, dir)
		there := map[string]bool{}
		for _, text := range got {
			there[text] = true
		}
		for text := range hers {
			if !there[text] {
				t.Fatalf("%q is lost; the folder holds %v", text, got)
			}
		}
		if got["a.png"] != "last" {
			t.Fatalf("the folder holds %v", got)
		}
		if left := append(litter(top), litter(dir)...); len(left) > 0 {
			t.Fatalf("left behind %q", left)
		}
	})
}

// dying is a disk on which nothing happens once the program has ended: what is
// deferred does not run in a program that was killed.
type dying struct {
	*stepped
	ended *bool
}

func (d dying) Mkdir(name string) error {
	if *d.ended {
		return errDead
	}
	return d.stepped.Mkdir(name)
}

func (d dying) Remove(name string) error {
	if *d.ended {
		return errDead
	}
	return d.stepped.Remove(name)
}

func (d dying) Rename(from, to string) error {
	if *d.ended {
		return errDead
	}
	return d.stepped.Rename(from, to)
}

// This is no test but the run that TestLivingRunsAreWaitedFor waits for.
func TestHoldingChild(t *testing.T) {
	dir := os.Getenv(holdVar)
	if dir == "" {
		t.Skip("it is run by TestLivingRunsAreWaitedFor")
	}
	f := New(dir, Owner{Command: "plan"})
	s, err := f.disk.Lock(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer s()
	if _, err := stage(context.Background(), f.disk, dir, dir, results("held", "x"), nil); err != nil {
		t.Fatal(err)
	}
	fmt.Println("held")
	time.Sleep(time.Minute)
}

// The staging folder of a run that lives is not touched, and a second run
// waits; that of a run that was killed is cleared.
func TestLivingRunsAreWaitedFor(t *testing.T) {
	dir := t.TempDir()
	child := exec.Command(os.Args[0], "-test.run=^TestHoldingChild$")
	child.Env = append(os.Environ(), holdVar+"="+dir)
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	defer child.Process.Kill()
	var line string
	if _, err := fmt.Fscanln(out, &line); err != nil || line != "held" {
		t.Fatal(line, err)
	}
	f := New(dir, Owner{Command: "plan"})
	if _, err := f.Prepare(nil); err != nil {
		t.Error(err)
	}
	if left := litter(dir); len(left) != 1 {
		t.Errorf("the living run has %q", left)
	}
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	if _, err := f.Replace(ctx, results("1", "x")); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("beside a living run: %v", err)
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	child.Wait()
	if _, err := f.Replace(context.Background(), results("1", "x")); err != nil {
		t.Error(err)
	}
	if left := litter(dir); len(left) > 0 {
		t.Errorf("left behind %q", left)
	}
}

// A folder that is named like a staging folder and holds anything of somebody
// else's stays as it is.
func TestForeignStagingFoldersStay(t *testing.T) {
	elsewhere := t.TempDir()
	if err := os.WriteFile(filepath.Join(elsewhere, "x"), []byte("1"), 0o644); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(journal{journalFormat, map[string]string{"x": hash([]byte("1"))}, map[string]string{"y": hash([]byte("1"))}})
	if err != nil {
		t.Fatal(err)
	}
	for name, make := range map[string]func(work string) error{
		"with a file of its own": func(work string) error {
			return os.WriteFile(filepath.Join(work, "notes.txt"), []byte("mine"), 0o644)
		},
		"with a journal and a file": func(work string) error {
			return errors.Join(os.WriteFile(filepath.Join(work, staged), text, 0o644), os.WriteFile(filepath.Join(work, "notes.txt"), []byte("mine"), 0o644))
		},
		"with another journal": func(work string) error {
			return errors.Join(os.WriteFile(filepath.Join(work, moving), []byte("{}"), 0o644), os.Mkdir(filepath.Join(work, "new"), 0o755))
		},
		"with a link to elsewhere": func(work string) error {
			return errors.Join(os.WriteFile(filepath.Join(work, staged), text, 0o644), os.Symlink(elsewhere, filepath.Join(work, "new")))
		},
		"with a journal that leads out": func(work string) error {
			out := strings.ReplaceAll(string(text), `"x"`, `"../x"`)
			return errors.Join(os.WriteFile(filepath.Join(work, moving), []byte(out), 0o644), os.Mkdir(filepath.Join(work, "new"), 0o755))
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			work := filepath.Join(dir, staging+"1")
			if err := os.Mkdir(work, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, "x"), []byte("1"), 0o644); err != nil {
				t.Fatal(err)
			}
			if err := make(work); err != nil {
				t.Skipf("links cannot be made on this system: %v", err)
			}
			before, outside := contents(t, work), contents(t, elsewhere)
			f := New(dir, Owner{Command: "plan"})
			if _, err := f.Replace(context.Background(), results("1", "z")); err != nil {
				t.Error(err)
			}
			if after := contents(t, work); !maps.Equal(after, before) || !maps.Equal(contents(t, elsewhere), outside) {
				t.Errorf("it held %v and holds %v", before, after)
			}
			if contents(t, dir)["x"] != "1" {
				t.Error("a file beside it is gone")
			}
		})
	}
}
