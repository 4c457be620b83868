package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"strew/cmd/internal/desk"
)

// visit is a run of Serve and a browser at its page.
type visit struct {
	t       *testing.T
	desk    *fake
	address string // with the key
	already bool
	web     *http.Client
	stop    context.CancelFunc
	ended   chan struct{}
	err     error // once it has ended
}

// visited starts a run, and waits until it is ready.
func visited(t *testing.T, o Options) *visit {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	v := &visit{t: t, desk: newFake(), stop: stop, ended: make(chan struct{})}
	o.Desk, o.Assets = v.desk, testAssets
	ready := make(chan bool, 1)
	o.Ready = func(address string, already bool) error {
		v.address = address
		ready <- already
		return nil
	}
	go func() {
		defer close(v.ended)
		v.err = Serve(ctx, o)
	}()
	t.Cleanup(func() {
		stop()
		<-v.ended
	})
	select {
	case v.already = <-ready:
	case <-v.ended:
		select {
		case v.already = <-ready: // the page of another run
		default:
			t.Fatalf("ended at once: %v", v.err)
		}
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	v.web = &http.Client{Jar: jar, Transport: &http.Transport{}}
	a, err := v.web.Get(v.address)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if a.StatusCode != http.StatusOK || strings.Contains(a.Request.URL.String(), "key") {
		t.Fatalf("the page: %s at %s", a.Status, a.Request.URL)
	}
	return v
}

// call makes a call, and reads the answer into to where that is not nil.
func (v *visit) call(name string, args, to any) int {
	v.t.Helper()
	body, err := json.Marshal(args)
	if err != nil {
		v.t.Fatal(err)
	}
	at, _, _ := strings.Cut(v.address, "?")
	a, err := v.web.Post(at+"api/"+name, "application/json", bytes.NewReader(body))
	if err != nil {
		v.t.Fatal(err)
	}
	defer a.Body.Close()
	data, err := io.ReadAll(a.Body)
	if err == nil && to != nil {
		err = json.Unmarshal(data, to)
	}
	if err != nil {
		v.t.Fatalf("%s: %v: %s", name, err, data)
	}
	return a.StatusCode
}

// over waits for the end.
func (v *visit) over() error {
	v.t.Helper()
	select {
	case <-v.ended:
		return v.err
	case <-time.After(10 * time.Second):
		v.t.Fatal("it goes on")
		return nil
	}
}

type obj = map[string]any

// Work is kept as soon as something is changed, and once in a pause while it goes on
// being changed.
func TestWorkIsKeptAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, f, _ := testShelf(t)
		ctx, stop := context.WithCancel(t.Context())
		defer func() {
			stop()
			synctest.Wait() // it has kept for the last time
		}()
		go s.keepAll(ctx)
		kept := func() string {
			time.Sleep(time.Millisecond)
			synctest.Wait()
			var u unsaved
			s.notes.read(workFile(s.notes.id), &u)
			return u.Text
		}
		change := func(text string) {
			f.change(func(p *desk.Project) { p.Text, p.Unsaved = []byte(text), true })
		}
		if got := kept(); got != "" {
			t.Fatalf("nothing was changed, and %q is kept", got)
		}
		change("seed = 1\n")
		if got := kept(); got != "seed = 1\n" {
			t.Fatalf("at once %q is kept", got)
		}
		change("seed = 2\n")
		change("seed = 3\n")
		if got := kept(); got != "seed = 1\n" {
			t.Errorf("within the pause %q was kept", got)
		}
		time.Sleep(pause)
		if got := kept(); got != "seed = 3\n" {
			t.Errorf("after the pause %q is kept", got)
		}
		time.Sleep(pause)
		change("seed = 4\n")
		if got := kept(); got != "seed = 4\n" {
			t.Errorf("after a rest %q is kept at once", got)
		}
	})
}

// A maker opens a project, changes it, is interrupted, finds her work again, saves it
// and closes strew.
func TestStory(t *testing.T) {
	home, config := real(t.TempDir()), filepath.Join(t.TempDir(), "strew")
	file := filepath.Join(home, "meadow", "project.toml")
	put(t, file, meadow)
	o := Options{Home: home, Config: config}

	v := visited(t, o)
	var list listing
	if code := v.call("folders", obj{}, &list); code != 200 || len(list.Entries) != 1 {
		t.Fatalf("folders: %d %v", code, list)
	}
	var opened struct{ Path string }
	if code := v.call("open", obj{"path": list.Entries[0].Path}, &opened); code != 200 || opened.Path != file {
		t.Fatalf("open: %d %v", code, opened)
	}
	if code := v.call("open", obj{"path": "/etc/passwd"}, nil); code != 422 {
		t.Errorf("opened what is outside: %d", code)
	}
	edited := meadow + "# changed\n"
	v.call("act", obj{"text": edited}, nil)
	v.call("drawing", obj{"name": "fern.svg", "data": []byte("<svg>fern</svg>")}, nil)
	v.stop()
	if err := v.over(); err != nil {
		t.Fatal(err)
	}
	if text(t, file) != meadow {
		t.Error("the file was changed without being asked for")
	}

	v = visited(t, o)
	var kept struct {
		Recent  []recent
		Unsaved []left
	}
	v.call("recent", obj{}, &kept)
	if len(kept.Recent) != 1 || kept.Recent[0].Path != file || len(kept.Unsaved) != 1 || kept.Unsaved[0].Path != file {
		t.Fatalf("kept: %+v", kept)
	}
	if code := v.call("restore", obj{"id": kept.Unsaved[0].ID}, nil); code != 200 {
		t.Fatalf("restore: %d", code)
	}
	now := v.desk.Snapshot()
	if string(now.Text) != edited || string(now.Added["fern.svg"]) != "<svg>fern</svg>" || now.Place != file || !now.Unsaved {
		t.Errorf("restored %q at %q, added %v", now.Text, now.Place, now.Added)
	}
	if code := v.call("restore", obj{"id": "../../etc"}, nil); code != 422 {
		t.Errorf("restored from elsewhere: %d", code)
	}
	if code := v.call("save", obj{}, &opened); code != 200 || text(t, file) != edited {
		t.Errorf("save: %d, %q", code, text(t, file))
	}
	v.call("recent", obj{}, &kept)
	if len(kept.Unsaved) != 0 {
		t.Errorf("still unsaved: %v", kept.Unsaved)
	}
	put(t, file, meadow)
	var told refusal
	if code := v.call("save", obj{}, &told); code != http.StatusConflict || !told.Changed {
		t.Errorf("over a change outside: %d %v", code, told)
	}
	if code := v.call("close", obj{}, nil); code != 200 {
		t.Errorf("close: %d", code)
	}
	if err := v.over(); err != nil {
		t.Error(err)
	}
	if left := tree(t, filepath.Join(config)); len(left) != 1 || left[recentFile] == "" {
		t.Errorf("the configuration folder holds %v", left)
	}
}

// What is kept belongs to the person alone.
func TestMemoryIsPrivate(t *testing.T) {
	config := filepath.Join(t.TempDir(), "strew")
	v := visited(t, Options{Config: config})
	defer v.stop()
	v.call("act", obj{"text": "seed = 1\n"}, nil)
	deadline := time.Now().Add(10 * time.Second)
	for len(tree(t, config)) < 2 && time.Now().Before(deadline) {
		time.Sleep(pause / 10)
	}
	found := 0
	err := filepath.Walk(config, func(path string, info os.FileInfo, err error) error {
		if err == nil && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s has mode %v", path, info.Mode())
		}
		if err == nil && !info.IsDir() {
			found++
		}
		return err
	})
	if err != nil || found != 2 { // where it answers, and the unsaved work
		t.Errorf("%d files, %v", found, err)
	}
}

// Unsaved work of a run that was killed is offered; that of a run that goes on is not;
// and a change of the file meanwhile is told when it is restored.
func TestTwoRuns(t *testing.T) {
	home, config := real(t.TempDir()), t.TempDir()
	file := filepath.Join(home, "meadow", "project.toml")
	put(t, file, meadow)
	put(t, filepath.Join(home, "tide.toml"), "title = \"Tide\"\n")
	o := Options{Home: home, Config: config, Project: file}
	one := visited(t, o)
	again := visited(t, o)
	if !again.already || again.address != one.address || again.over() != nil {
		t.Fatalf("the second run: already %t, at %s, the first at %s", again.already, again.address, one.address)
	}
	two := visited(t, Options{Home: home, Config: config})
	var told refusal
	if code := two.call("open", obj{"path": file}, &told); code != 422 || !strings.Contains(told.Refused, "another window") {
		t.Errorf("opened twice: %d %v", code, told)
	}
	if code := two.call("open", obj{"path": filepath.Join(home, "tide.toml")}, nil); code != 200 {
		t.Errorf("opened another: %d", code)
	}
	one.call("act", obj{"text": meadow + "# changed\n"}, nil)
	kept := filepath.Join(config, "unsaved")
	for deadline := time.Now().Add(10 * time.Second); len(tree(t, config)) < 4 && time.Now().Before(deadline); {
		time.Sleep(pause / 10)
	}
	var list struct{ Unsaved []left }
	two.call("recent", obj{}, &list)
	if len(list.Unsaved) != 0 {
		t.Errorf("offered the work of a run that goes on: %v", list)
	}
	ids, err := os.ReadDir(kept)
	if err != nil || len(ids) != 1 {
		t.Fatalf("kept %v, %v", ids, err)
	}
	one.stop()
	if err := one.over(); err != nil {
		t.Fatal(err)
	}
	put(t, file, meadow+"# by an editor\n")
	two.call("recent", obj{}, &list)
	if len(list.Unsaved) != 1 {
		t.Fatalf("offered %v", list)
	}
	if code := two.call("restore", obj{"id": list.Unsaved[0].ID}, nil); code != 200 || !two.desk.isOutside() {
		t.Errorf("restored: %d; told of the change outside: %t", code, two.desk.isOutside())
	}
	two.stop()
	if err := two.over(); err != nil {
		t.Error(err)
	}
	// A run that was killed has left its address; the next one does not wait for it.
	put(t, filepath.Join(config, "pages", "DEAD.json"), `{"address":"http://127.0.0.1:9/?key=A","project":"`+file+`"}`)
	three := visited(t, o)
	if three.already || !missing(filepath.Join(config, "pages", "DEAD.json")) {
		t.Errorf("took a dead run for a living one: %t", three.already)
	}
}

// Opening another project loses no unsaved work.
func TestSetAside(t *testing.T) {
	s, f, home := testShelf(t)
	f.change(func(p *desk.Project) { p.Text, p.Unsaved, p.Example = []byte("seed = 12\n"), true, false })
	if _, err := s.open(filepath.Join(home, "meadow")); err != nil {
		t.Fatal(err)
	}
	list := s.notes.leftBehind(context.Background())
	if len(list) != 1 {
		t.Fatalf("kept %v", list)
	}
	if err := s.restore(context.Background(), list[0].ID); err != nil || string(f.Snapshot().Text) != "seed = 12\n" {
		t.Errorf("restored %q, %v", f.Snapshot().Text, err)
	}
}

// A project that is not TOML, or not there, ends the run before it answers.
func TestCannotBegin(t *testing.T) {
	home := t.TempDir()
	put(t, filepath.Join(home, "bad.toml"), "= =")
	put(t, filepath.Join(home, "long.toml"), strings.Repeat("#", 2<<20))
	for _, name := range []string{"bad.toml", "none.toml", "", "long.toml"} {
		o := Options{Desk: newFake(), Assets: testAssets, Project: filepath.Join(home, name), Ready: func(string, bool) error {
			t.Errorf("%q: it is ready", name)
			return nil
		}}
		var no desk.Refused
		if err := Serve(context.Background(), o); !errors.As(err, &no) {
			t.Errorf("%q: %v", name, err)
		}
	}
	broken := errors.New("no browser")
	o := Options{Desk: newFake(), Assets: testAssets, Ready: func(string, bool) error { return broken }}
	if err := Serve(context.Background(), o); err != broken {
		t.Errorf("got %v", err)
	}
}

// The end closes open streams of events. That it comes within 0.2 s is measured by
// BenchmarkEnd.
func TestEndClosesStreams(t *testing.T) {
	v := visited(t, Options{})
	at, _, _ := strings.Cut(v.address, "?")
	a, err := v.web.Get(at + "api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	v.stop()
	if err := v.over(); err != nil {
		t.Error(err)
	}
	if _, err := io.ReadAll(a.Body); err != nil {
		t.Errorf("the stream ended with %v", err)
	}
}

// BenchmarkEnd measures the time from the end of the context, with a stream of events
// open and unsaved work to keep, to the return of Serve:
//
//	go test -run '^$' -bench End ./cmd/internal/page
func BenchmarkEnd(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		ctx, stop := context.WithCancel(context.Background())
		f := newFake()
		f.change(func(p *desk.Project) { p.Unsaved = true })
		ready, ended := make(chan string, 1), make(chan error, 1)
		go func() {
			ended <- Serve(ctx, Options{Desk: f, Assets: testAssets, Config: b.TempDir(), Ready: func(address string, _ bool) error {
				ready <- address
				return nil
			}})
		}()
		address := <-ready
		jar, _ := cookiejar.New(nil)
		web := &http.Client{Jar: jar, Transport: &http.Transport{}}
		a, err := web.Get(address)
		if err == nil {
			a.Body.Close()
			at, _, _ := strings.Cut(address, "?")
			a, err = web.Get(at + "api/events")
		}
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		stop()
		err = <-ended
		b.StopTimer()
		a.Body.Close()
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
	}
}

// Nobody has used the page for long: it ends, but not with unsaved work, nor with a
// page open.
func TestIdle(t *testing.T) {
	i := newIdle(time.Hour)
	now := i.last
	i.clock = func() time.Time { return now }
	pass := func(d time.Duration, want bool, when string) {
		t.Helper()
		now = now.Add(d)
		if i.over() != want {
			t.Errorf("%s: over is %t", when, !want)
		}
	}
	pass(59*time.Minute, false, "before an hour")
	i.busy()
	pass(59*time.Minute, false, "after a call")
	gone := i.watching()
	pass(time.Minute, false, "with a page open")
	pass(10*time.Hour, false, "with a page open for long")
	gone()
	pass(59*time.Minute, false, "after it was closed")
	pass(time.Minute, true, "an hour after it was closed")

	var unsaved atomic.Bool
	unsaved.Store(true)
	i.looks = time.Millisecond
	ended := make(chan bool)
	go i.wait(context.Background(), unsaved.Load, func() { close(ended) })
	select {
	case <-ended:
		t.Error("it ended with unsaved work")
	case <-time.After(50 * time.Millisecond):
	}
	unsaved.Store(false)
	select {
	case <-ended:
	case <-time.After(10 * time.Second):
		t.Error("it goes on")
	}
}

// A folder that cannot be written, or one with broken files, costs nothing but what
// would be kept there.
func TestBrokenMemory(t *testing.T) {
	config := t.TempDir()
	put(t, filepath.Join(config, recentFile), "{")
	put(t, filepath.Join(config, "pages", "A.json"), "{")
	put(t, filepath.Join(config, "unsaved", "B", "work.json"), "{")
	put(t, filepath.Join(config, "unsaved", "C"), "no folder")
	v := visited(t, Options{Config: config})
	var kept obj
	if code := v.call("recent", obj{}, &kept); code != 200 || len(kept["recent"].([]any)) != 0 || len(kept["unsaved"].([]any)) != 0 {
		t.Errorf("recent: %d %v", code, kept)
	}
	put(t, filepath.Join(config, "file"), "")
	for _, dir := range []string{filepath.Join(config, "file", "below"), ""} {
		v := visited(t, Options{Config: dir})
		v.call("act", obj{"text": "seed = 1\n"}, nil)
		v.stop()
		if err := v.over(); err != nil {
			t.Error(err)
		}
	}
}
