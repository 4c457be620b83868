package browsertest

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Story 7: two tabs on one project. The second shows what the first changes,
// and the other way round; none of the changes is lost.
func TestTwoTabsOneProject(t *testing.T) {
	m := newMaker(t, "")
	p := m.page(m.project)
	first := p.open(laptop)
	second := first.beside(p)

	first.enter("skirt.waist", "71 cm")
	second.shows("skirt.waist", "71 cm")
	first.waitDone()
	second.enter("scatter.spacing", "12 cm")
	first.shows("scatter.spacing", "12 cm")
	first.waitDone()
	second.waitDone()
	for _, w := range []*window{first, second} {
		if waist, spacing := w.field("skirt.waist"), w.field("scatter.spacing"); waist != "71 cm" || spacing != "12 cm" {
			t.Errorf("a tab shows a waist of %s and a spacing of %s", waist, spacing)
		}
	}
	for _, d := range differ("plan", first.plan(), second.plan(), 10) {
		t.Error(d)
	}
	if a, b := first.marks(), second.marks(); a != b {
		t.Errorf("one tab draws %d marks, the other %d", a, b)
	}
	second.shot("second")
	second.press("button", "Undo")
	first.shows("scatter.spacing", "11 cm")
	if waist := first.field("skirt.waist"); waist != "71 cm" {
		t.Errorf("undo of the spacing left a waist of %s", waist)
	}
}

// shows waits until the control of a key shows a text.
func (w *window) shows(key, text string) {
	w.t.Helper()
	w.until(key+" shows "+text, "(key, text) => document.getElementsByName(key)[0]?.value === text", key, text)
}

// Story 7, from the prompt: a second `strew page` of the same project says that
// it is open and ends; the first goes on.
func TestSecondStartOpensTheFirst(t *testing.T) {
	m := newMaker(t, "")
	p := m.page(m.project)
	var out bytes.Buffer
	again := m.command("page", "--no-open", m.project)
	again.Stdout, again.Stderr = &out, &out
	if err := again.Start(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- again.Wait() }()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("the second start ends with %v", err)
		}
	case <-time.After(startLimit):
		_ = again.Process.Kill()
		t.Fatal("the second start does not end")
	}
	if !strings.Contains(out.String(), p.origin()) {
		t.Errorf("the second start does not name the first page's address:\n%s", out.String())
	}
	if !p.alive() {
		t.Error("the first page has ended")
	}
}

// Story 8: saving keeps her comments and the order of the file; after a crash
// what was not saved is offered again.
func TestSaveKeepsCommentsAndCrashLosesNothing(t *testing.T) {
	m := newMaker(t, "")
	before := m.read()
	p := m.page(m.project)
	w := p.open(laptop)
	w.enter("skirt.waist", "73 cm")
	w.waitDone()
	w.press("button", "Save project")
	w.untilSaved(m, "73")
	was, is := strings.Split(before, "\n"), strings.Split(m.read(), "\n")
	if len(was) != len(is) {
		t.Fatalf("the file had %d lines and has %d", len(was), len(is))
	}
	for i := range was {
		if was[i] != is[i] && !strings.HasPrefix(was[i], "waist ") {
			t.Errorf("line %d was changed:\n%s\n%s", i+1, was[i], is[i])
		}
	}
	if comment := "# round the body, where the waistband sits"; !strings.Contains(m.read(), comment) {
		t.Error("the comment beside the waist is gone")
	}

	w.enter("scatter.spacing", "13 cm")
	w.waitDone()
	m.untilKept()
	p.crash()
	w.gone = true // its page complains that nobody answers
	again := m.page(m.project).open(laptop)
	again.shot("restore")
	again.press("button", "Go on with it")
	again.shows("scatter.spacing", "13 cm")
	again.waitDone()
	if strings.Contains(m.read(), "13") {
		t.Error("the unsaved spacing was written to the file unasked")
	}
}

// keptAfter is how long autosave may take after a change.
const keptAfter = 10 * time.Second

// untilKept waits until autosave holds the spacing of 13 cm.
func (m *maker) untilKept() {
	m.t.Helper()
	for deadline := time.Now().Add(keptAfter); time.Now().Before(deadline); time.Sleep(pollEvery) {
		kept := false
		_ = filepath.WalkDir(filepath.Join(m.home, ".config"), func(path string, d os.DirEntry, err error) error {
			if err == nil && d.Name() == "work.json" { // not one that is still being written beside it
				data, _ := os.ReadFile(path)
				kept = kept || bytes.Contains(data, []byte("spacing = 13")) || bytes.Contains(data, []byte("13 cm"))
			}
			return nil
		})
		if kept {
			return
		}
	}
	m.t.Fatalf("autosave holds nothing %v after a change", keptAfter)
}

// Story 9: several spacings side by side with counts, sheets and cost; a click
// takes one.
func TestSideBySide(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	before := w.field("scatter.spacing")
	w.press("button", "Compare side by side")
	w.until("the board is complete", `() => {
		const choices = [...document.querySelectorAll('#picture li')];
		return choices.length >= 2 && choices.every(c => !c.innerText.includes('…'));
	}`)
	w.shot("board")
	for _, choice := range w.named("button", "") {
		if strings.Contains(choice.name, "cutouts") && strings.Contains(choice.name, "sheet") && !strings.Contains(choice.name, before) {
			w.hit(choice.name, w.spotOf(choice))
			w.waitDone()
			if now := w.field("scatter.spacing"); !strings.Contains(choice.name, now) {
				t.Errorf("%q was taken, and the spacing is %s", choice.name, now)
			}
			w.saysNumbers(firstNumber(choice.name))
			w.shot("taken")
			return
		}
	}
	t.Fatalf("no choice with cutouts and sheets among %q", names(w.named("button", "")))
}

// firstNumber is the first whole number of a text that counts cutouts.
func firstNumber(text string) string {
	words := strings.Fields(text)
	for i, word := range words {
		if strings.HasPrefix(word, "cutout") && i > 0 {
			return words[i-1]
		}
	}
	return text
}
