package main

import (
	"bytes"
	"context"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

const goodProject = `
[skirt]
cut = "circle"
waist = 68
length = 60
[[motif]]
name = "leaf"
outline = "leaf.svg"
width = 6
[scatter]
spacing = 12
`

const goodOutline = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 60"><path fill="#d9a521" d="M30 0C60 10 60 40 30 60C0 40 0 10 30 0Z"/></svg>`

// Every wrong input gets a clear error and its exit status, and nothing is written.
func TestWrongInput(t *testing.T) {
	for _, c := range []struct {
		name    string
		project string // with goodProject's text replaced: "old=>new"
		outline string
		args    []string
		code    int
		says    []string
	}{
		{name: "missing file", args: []string{"plan", "nowhere.toml"}, code: exitWrong, says: []string{"nowhere.toml", "no such file"}},
		{name: "two files", args: []string{"plan", "a.toml", "b.toml"}, code: exitWrong, says: []string{"takes one project file"}},
		{name: "unknown flag", args: []string{"plan", "--spacings", "3"}, code: exitWrong, says: []string{"--spacings"}},
		{name: "unknown command", args: []string{"sew"}, code: exitWrong, says: []string{`no command "sew"`}},
		{name: "bad flag value", args: []string{"plan", "--spacing", "-3cm"}, code: exitWrong, says: []string{"--spacing"}},
		{name: "unknown key", project: "waist = 68=>waits = 68", code: exitWrong, says: []string{"project.toml:3:", "skirt.waits", `"waist"`}},
		{name: "wrong unit", project: "waist = 68=>waist = \"68 el\"", code: exitWrong, says: []string{"project.toml:3:", "skirt.waist", "el"}},
		{name: "negative length", project: "waist = 68=>waist = -68", code: exitWrong, says: []string{"skirt.waist"}},
		{name: "zero length", project: "spacing = 12=>spacing = 0", code: exitWrong, says: []string{"scatter.spacing"}},
		{name: "nan", project: "waist = 68=>waist = nan", code: exitWrong, says: []string{"skirt.waist"}},
		{name: "broken TOML", project: "waist = 68=>waist = = 68", code: exitWrong, says: []string{"project.toml:3:"}},
		{name: "budget without a price", project: "spacing = 12=>budget = 30", code: exitWrong, says: []string{"sheet.price", "budget"}},
		{name: "outline missing", project: "leaf.svg=>lea.svg", code: exitWrong, says: []string{"lea.svg", "no such file"}},
		{name: "outline is a folder", project: "leaf.svg=>folder.svg", code: exitWrong, says: []string{"folder.svg", "folder"}},
		{name: "empty outline", outline: " ", code: exitWrong, says: []string{"leaf.svg", `motif "leaf"`}},
		{name: "broken XML", outline: "<svg><path", code: exitWrong, says: []string{"leaf.svg", `motif "leaf"`}},
		{name: "only text", outline: `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text>leaf</text></svg>`, code: exitWrong, says: []string{"leaf.svg", "text"}},
		{name: "only an image", outline: `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><image href="a.png" width="9" height="9"/></svg>`, code: exitWrong, says: []string{"leaf.svg", "pictures"}},
		{name: "skirt too large for the cloth", project: "waist = 68=>waist = 68\nfabric_width = 20", code: exitFailed, says: []string{"skirt", "fabric_width"}},
		{name: "motif larger than the sheet", project: "width = 6=>width = 35", code: exitFailed, says: []string{"leaf", "craft felt A4"}},
		{name: "motif larger than the skirt", project: "width = 6=>width = 90", code: exitFailed, says: []string{"leaf", "waist and hem"}},
		{name: "too many marks", project: "spacing = 12=>spacing = \"1 mm\"\n[clearance]\nbetween = 0", code: exitFailed, says: []string{"200000"}},
		{name: "count that does not fit", project: "spacing = 12=>cutouts = 5000", code: exitFailed, says: []string{"5000 cutouts", "most"}},
		{name: "folder is a file", args: []string{"plan", "project.toml", "-o", "leaf.svg"}, code: exitWrong, says: []string{"leaf.svg", "file"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			t.Chdir(dir)
			text := goodProject
			if from, to, ok := strings.Cut(c.project, "=>"); ok {
				if !strings.Contains(text, from) {
					t.Fatalf("the project has no %q", from)
				}
				text = strings.Replace(text, from, to, 1)
			}
			outline := goodOutline
			if c.outline != "" {
				outline = strings.TrimSpace(c.outline)
			}
			write(t, "project.toml", strings.TrimPrefix(text, "\n"))
			write(t, "leaf.svg", outline)
			if err := os.Mkdir("folder.svg", 0o755); err != nil {
				t.Fatal(err)
			}
			args := c.args
			if args == nil {
				args = []string{"plan", "project.toml", "-o", "out"}
			}
			var out, errs bytes.Buffer
			if code := run(context.Background(), args, nil, &out, &errs); code != c.code {
				t.Errorf("exit status %d, want %d; stderr: %s", code, c.code, errs.String())
			}
			for _, s := range c.says {
				if !strings.Contains(errs.String(), s) {
					t.Errorf("the error does not name %q: %s", s, errs.String())
				}
			}
			if out.Len() > 0 {
				t.Errorf("stdout: %s", out.String())
			}
			left, err := filepath.Glob("*")
			if err != nil || strings.Join(left, " ") != "folder.svg leaf.svg project.toml" {
				t.Errorf("the folder holds %q, %v", left, err)
			}
			hidden, err := filepath.Glob(".*")
			if err != nil || len(hidden) > 0 {
				t.Errorf("left behind %q, %v", hidden, err)
			}
		})
	}
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestGoodProject(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "project.toml", goodProject)
	write(t, "leaf.svg", goodOutline)
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"plan", "project.toml", "-o", "deep/er"}, nil, &out, &errs); code != exitDone {
		t.Fatalf("exit status %d: %s", code, errs.String())
	}
	if _, err := os.Stat("deep/er/plan.json"); err != nil {
		t.Error(err)
	}
}

// Places kept free and cutouts set by hand, taken in from the starter file as they
// stand there, can be planned.
func TestStarterByHand(t *testing.T) {
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"init"}, nil, &out, &errs); code != exitDone {
		t.Fatal(errs.String())
	}
	data, err := os.ReadFile("project.toml")
	if err != nil {
		t.Fatal(err)
	}
	before, rest, found := strings.Cut(string(data), "# [[bare]]")
	bare, rest, found2 := strings.Cut(rest, "# [[fixed]]")
	fixed, after, found3 := strings.Cut(rest, "[clearance]")
	if !found || !found2 || !found3 {
		t.Fatal("the starter file has no such comments")
	}
	taken := func(text string) string { return strings.ReplaceAll(text, "\n# ", "\n") }
	for name, text := range map[string]string{
		"bare":  before + "[[bare]]" + taken(bare) + "[clearance]" + after,
		"fixed": before + "[[fixed]]" + taken(fixed) + "[clearance]" + after,
		"both":  before + "[[bare]]" + taken(bare) + "[[fixed]]" + taken(fixed) + "[clearance]" + after,
	} {
		write(t, "project.toml", text)
		errs.Reset()
		if code := run(context.Background(), []string{"plan", "project.toml", "-q", "--effort", "0", "-o", name}, nil, &out, &errs); code != exitDone {
			t.Errorf("%s: exit status %d: %s", name, code, errs.String())
		}
	}
}

func TestInterrupted(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "leaf.svg", goodOutline)
	write(t, "scan.png", "")
	before, _ := filepath.Glob("*")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	for _, args := range [][]string{{"plan"}, {"compare", "--spacing", "10cm,12cm"}, {"measure", "leaf.svg", "--picture", "out"}, {"trace", "scan.png", "-o", "out.svg"}} {
		if code := run(ctx, args, nil, &out, &errs); code != exitInterrupted {
			t.Errorf("%q: exit status %d, want %d: %s", args, code, exitInterrupted, errs.String())
		}
	}
	if left, _ := filepath.Glob("*"); len(left) != len(before) || out.Len() > 0 {
		t.Errorf("left behind %q, printed %q", left, out.String())
	}
}

// Stopped while a roll is made shorter, which would go on for a minute, lay
// writes the best so far; stopped earlier, nothing. The machine may be slow, so
// it is given more time until it was seen to lay.
func TestStoppedLay(t *testing.T) {
	t.Chdir(t.TempDir())
	project := "[[motif]]\nname = \"star\"\noutline = \"star.svg\"\nwidth = 60\ncut = 60\nsizes = [1, 0.6]\n" +
		"[[sheet]]\nname = \"roll\"\nwidth = 450\nroll = true\n"
	star := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 60" width="60mm" height="60mm"><path d="M30 0L37 20L60 22L42 36L48 58L30 45L12 58L18 36L0 22L23 20Z"/></svg>`
	for name, text := range map[string]string{"lay.toml": "unit = \"mm\"\n" + project, "star.svg": star} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for wait := 200 * time.Millisecond; ; wait *= 2 {
		ctx, cancel := context.WithCancel(context.Background())
		timer := time.AfterFunc(wait, cancel)
		var out, errs bytes.Buffer
		code := run(ctx, []string{"lay", "lay.toml", "-o", "out", "--effort", "10"}, nil, &out, &errs)
		timer.Stop()
		cancel()
		if code != exitInterrupted {
			t.Fatalf("after %v: exit status %d: %s", wait, code, errs.String())
		}
		data, err := os.ReadFile("out/plan.json")
		if err != nil {
			if left, _ := filepath.Glob("*"); len(left) != 2 || !strings.Contains(errs.String(), "nothing was written") {
				t.Fatalf("after %v: left behind %q, said %s", wait, left, errs.String())
			}
			continue
		}
		if !strings.HasPrefix(errs.String(), "strew: stopping: the best lay so far is being written; press Ctrl-C again to end at once\n") {
			t.Errorf("stopped after %v: said %s", wait, errs.String())
		}
		if !strings.Contains(errs.String(), "strew: stopped early; the lay is the best found until then") || !bytes.Contains(data, []byte("the lay was stopped early")) || !strings.Contains(out.String(), "120 pieces") {
			t.Errorf("stopped after %v: said %s and %s", wait, out.String(), errs.String())
		}
		return
	}
}

// A step that does not look at its context is given up as soon as that is
// cancelled, and its result is not waited for.
func TestUntilStopped(t *testing.T) {
	if got, err := untilStopped(context.Background(), func() (int, error) { return 3, nil }); got != 3 || err != nil {
		t.Errorf("got %d, %v", got, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	begun, end := make(chan struct{}), make(chan struct{})
	defer close(end)
	go func() {
		<-begun
		cancel()
	}()
	got, err := untilStopped(ctx, func() (int, error) {
		close(begun)
		<-end
		return 3, nil
	})
	if got != 0 || err != context.Canceled {
		t.Errorf("got %d, %v", got, err)
	}
}

// A closed terminal ends a run as a request to end does; a program that was
// started to outlive its terminal goes on.
func TestStopSignals(t *testing.T) {
	for _, ignored := range []bool{false, true} {
		if ignored {
			signal.Ignore(syscall.SIGHUP)
			defer signal.Reset(syscall.SIGHUP)
		} else if signal.Ignored(syscall.SIGHUP) {
			continue // the tests themselves were started so
		}
		if got := slices.Contains(stopSignals(), os.Signal(syscall.SIGHUP)); got == ignored {
			t.Errorf("hangup ignored: %t, taken for a request to end: %t", ignored, got)
		}
	}
}
