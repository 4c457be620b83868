package browsertest

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// Story 3: a value that cannot be. The reason stands at its control for eyes
// and for screen readers; the last good picture stays, marked as old; Escape
// brings the last good value back.
func TestRefusedValue(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	marks, good := w.marks(), w.field("scatter.spacing")
	for _, bad := range []struct{ text, says string }{
		{"0 cm", "0"},
		{"eleven", "eleven"},
		{"-3 cm", "cm"},
	} {
		w.typeText("scatter.spacing", bad.text)
		w.until("the refusal of "+bad.text, "async (key, says) => (await ("+reason+")(key)).includes(says)", "scatter.spacing", bad.says)
		if got := w.field("scatter.spacing"); got != bad.text {
			t.Errorf("%q was typed, and now stands %q", bad.text, got)
		}
		if got := w.marks(); got != marks {
			t.Errorf("the last good picture had %d marks; beside %q it has %d", marks, bad.text, got)
		}
		w.until("it is said that the picture beside "+bad.text+" is the last plan that worked", `() => document.body.innerText.includes('still the last plan')`)
		w.shot("refused-" + strings.ReplaceAll(bad.text, " ", "-"))
		w.keys(kb.Escape)
		w.waitDone()
		if got := w.field("scatter.spacing"); got != good {
			t.Errorf("Escape brings back %q, want %q", got, good)
		}
		if why := w.reason("scatter.spacing"); why != "" {
			t.Errorf("after Escape the control still says %q", why)
		}
	}
}

// Story 3, the other half: a project that cannot be planned at all opens, says
// why, and is put right on the page.
func TestProjectThatCannotBePlanned(t *testing.T) {
	m := newMaker(t, "")
	m.write(strings.Replace(m.read(), "width     = 6 ", "width     = 90 ", 1))
	p := m.page(m.project)
	w := p.window(laptop)
	w.visit(p.address)
	w.until("the width is refused", `() => document.getElementsByName('motif.0.width')[0]?.getAttribute('aria-invalid') === 'true'`)
	if why := w.reason("motif.0.width"); why == "" {
		t.Error("no reason stands at the width")
	}
	w.shot("cannot")
	w.enter("motif.0.width", "6 cm")
	w.waitDone()
	if w.marks() == 0 {
		t.Error("no marks after the width was put right")
	}
}
