package browsertest

import (
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Story 6: with the keyboard only, from the start to the print. Every stop on
// the way can be seen and has a name.
func TestKeyboardOnly(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	w.tabTo("skirt.waist")
	w.shot("focus")
	w.keys("a", chromedp.ModifierCtrl)
	w.keys("70 cm" + kb.Enter)
	w.waitDone()
	if got := w.field("skirt.waist"); got != "70 cm" {
		t.Errorf("70 cm was typed, and the waist shows %q", got)
	}
	w.tabTo("scatter.spacing")
	before := w.field("scatter.spacing")
	w.keys(kb.ArrowUp + kb.ArrowUp)
	w.waitDone()
	if got := w.field("scatter.spacing"); got == before {
		t.Errorf("two steps up, and the spacing stays %s", got)
	}
	w.keys("z", chromedp.ModifierCtrl)
	w.keys(kb.Escape)
	w.tabTo("Flat")
	for range 4 {
		w.keys(kb.ArrowRight)
	}
	w.until("the pages", `() => document.querySelector('[role=tab][aria-selected=true]').textContent.trim() === 'Pages'`)
	w.shot("pages")
	w.tabTo("Print")
	opened := w.opensPDF(func() { w.keys(kb.Enter) })
	if !strings.Contains(opened, ".pdf") {
		t.Errorf("Print opens %q", opened)
	}
}

// tabStops is how many presses of Tab reach everything on the page.
const tabStops = 250

// tabTo presses Tab until the focus is on what is named: a control by its key,
// anything else by the start of its words. Each stop on the way must be
// visible, have a name and show that it has the focus.
func (w *window) tabTo(name string) {
	w.t.Helper()
	for range tabStops {
		w.keys(kb.Tab)
		at, role := w.focused()
		if fault := ask[string](w, focusFault); fault != "" {
			w.t.Errorf("Tab stops at %s %q, which %s", role, at, fault)
		}
		if strings.HasPrefix(at, name) {
			return
		}
	}
	w.t.Fatalf("Tab never comes to %q", name)
}

// focusFault says what is wrong with where the focus is. That it is there must
// be seen: an outline or a shadow of the element or of what holds it
// (WCAG 2.2, 2.4.7).
const focusFault = `() => {
	const el = document.activeElement;
	if (!el || el === document.body) return '';
	const r = el.getBoundingClientRect();
	if (!el.checkVisibility({ visibilityProperty: true }) || r.width === 0) return 'cannot be seen';
	if (r.bottom <= 0 || r.top >= innerHeight || r.right <= 0 || r.left >= innerWidth) return 'lies outside the window';
	const marked = e => { const s = getComputedStyle(e); return (s.outlineStyle !== 'none' && s.outlineWidth !== '0px') || s.boxShadow !== 'none'; };
	return [el, el.parentElement].some(marked) ? '' : 'does not show that it has the focus';
}`

// opensPDF returns the address that an act opens in a new tab, once it is
// known to answer with a PDF.
func (w *window) opensPDF(act func()) string {
	w.t.Helper()
	var mu sync.Mutex
	address := ""
	opened := chromedp.WaitNewTarget(w.ctx, func(i *target.Info) bool {
		mu.Lock()
		defer mu.Unlock()
		if strings.HasPrefix(i.URL, w.origin) {
			address = i.URL
		}
		return address != ""
	})
	act()
	select {
	case <-opened:
	case <-time.After(stepLimit):
		w.t.Fatal("no new tab opens")
	}
	const start = `async address => { const bytes = new Uint8Array(await (await fetch(address)).arrayBuffer()); return String.fromCharCode(...bytes.slice(0, 5)); }`
	if got := ask[string](w, start, address); got != "%PDF-" {
		w.t.Errorf("%s begins with %q and is no PDF", address, got)
	}
	return address
}
