package browsertest

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// Story 1: she changes waist, spacing and pattern. What the page shows is what
// the prompt says of the saved file, to the digit.
func TestChangesAgreeWithThePrompt(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	w.shot("start")
	before := w.marks()

	w.enter("skirt.waist", "74 cm")
	w.waitDone()
	w.enter("scatter.spacing", "9,5 cm")
	w.waitDone()
	if now := w.marks(); now <= before {
		t.Errorf("%d marks at 9.5 cm, %d at 11 cm: closer marks are more", now, before)
	}
	w.choose("scatter.pattern", "grid")
	w.waitDone()
	w.shot("changed")

	shown := w.plan()
	w.press("button", "Save project")
	w.untilSaved(m, "74")
	saved := m.planOfFile()
	for _, d := range differ("plan", shown, saved, 10) {
		t.Error(d)
	}
	if got, want := w.marks(), saved.sum("counts", "placed"); got != want {
		t.Errorf("the picture has %d marks, the plan %d", got, want)
	}
	w.saysNumbers(
		strconv.Itoa(saved.sum("counts", "cut")),
		strconv.Itoa(saved.sum("order", "buy")),
		fmt.Sprintf("%.2f", saved.number("cost", "total")),
	)
}

// untilSaved waits until the project file holds a text.
func (w *window) untilSaved(m *maker, text string) {
	w.t.Helper()
	w.until("the project is saved", "() => true")
	for range int(stepLimit / pollEvery) {
		if strings.Contains(m.read(), text) {
			return
		}
		ask[any](w, "ms => new Promise(done => setTimeout(done, ms))", pollEvery.Milliseconds())
	}
	w.t.Fatalf("the project file never holds %q:\n%s", text, m.read())
}

// Story 2: inches and fractions throughout. An inch is 25.4 mm exactly
// (international yard and pound agreement, 1959).
func TestInchesWithFractions(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	w.choose("unit", "in")
	w.waitDone()
	if got := w.field("clearance.between"); !strings.Contains(got, "in") {
		t.Errorf("after the switch to inches 1.5 cm shows as %q", got)
	}
	for _, typed := range []struct{ key, text, shows string }{
		{"skirt.waist", "26 3/4", "26 3/4"},
		{"skirt.length", "23½", "23 1/2"},
		{"scatter.spacing", "4 1/2 in", "4 1/2"},
		{"clearance.between", "5/8\"", "5/8"},
	} {
		w.enter(typed.key, typed.text)
		w.waitDone()
		if why := w.reason(typed.key); why != "" {
			t.Errorf("%s refuses %q: %s", typed.key, typed.text, why)
		}
		w.keys(kb.Tab)
		if got := plainFraction(w.field(typed.key)); !strings.HasPrefix(got, typed.shows) {
			t.Errorf("%s shows %q after %q", typed.key, got, typed.text)
		}
	}
	w.shot("inches")

	const inch = 25.4
	shown := w.plan()
	if got, want := shown.number("clearance", "between_mm"), 5.0/8*inch; math.Abs(got-want) > 1e-9 {
		t.Errorf("5/8 in is %v mm in the plan, want %v", got, want)
	}
	w.press("button", "Save project")
	w.untilSaved(m, "26 3/4")
	for _, d := range differ("plan", shown, m.planOfFile(), 10) {
		t.Error(d)
	}
}

// plainFraction writes a fraction character as digits and a slash.
func plainFraction(text string) string {
	return strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅝", " 5/8", "⁄", "/", "\u00a0", " ", "  ", " ").Replace(text)
}
