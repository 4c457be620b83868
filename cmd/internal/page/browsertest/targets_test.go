package browsertest

import "testing"

// How high a thing to touch must be, in CSS pixels. 44: the size asked for here
// and WCAG 2.2, 2.5.5 (level AAA). 24: WCAG 2.2, 2.5.8 (level AA), which
// exempts words in a sentence; here they keep it all the same.
const (
	targetHeight = 44
	wordHeight   = 24
)

// Whatever can be touched on a touch screen is high enough for a finger. The
// height is that of the area that answers, found by trying points above and
// below the middle.
func TestTargetsSuitFingers(t *testing.T) {
	m := newMaker(t, "")
	p := m.page(m.project)
	for _, s := range []screen{tablet, phone} {
		t.Run(s.name, func(t *testing.T) {
			w := p.in(t).open(s)
			w.fields() // unfolds what is rare
			w.suitsFingers("the words")
			for _, view := range views {
				w.press("tab", view)
				w.settle()
				w.suitsFingers(view)
			}
			w.press("tab", "Flat")
			w.settle()
			w.press("button", "Compare side by side")
			w.settle()
			w.suitsFingers("the board")
			if n := ask[int](w, `() => document.querySelectorAll('`+touchable+`').length`); n < 20 {
				t.Errorf("only %d things to touch were found", n)
			}
		})
	}
}

// suitsFingers fails the test for each thing that is too low to touch.
func (w *window) suitsFingers(where string) {
	w.t.Helper()
	type low struct {
		What       string
		High, Want int
	}
	for _, f := range ask[[]low](w, tooLow, targetHeight, wordHeight) {
		w.t.Errorf("%s: %s is %d px high, want %d", where, f.What, f.High, f.Want)
	}
}

const touchable = `button, a[href], input, select, textarea, summary, [role=tab], [role=button]`

const tooLow = `(most, word) => {
	const found = [], fine = 0.5; // px from try to try
	for (const el of document.querySelectorAll('` + touchable + `')) {
		if (el.disabled || el.classList.contains('vh') || !el.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
		el.scrollIntoView({ block: 'center', behavior: 'instant' });
		const r = el.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2;
		if (r.width < 2 || r.height < 2) continue;
		const own = dy => { const top = document.elementFromPoint(x, y + dy); return top && (el.contains(top) || [...(el.labels ?? [])].some(l => l.contains(top))); };
		if (!own(0)) continue; // lies under something: not to be touched now
		let up = 0, down = 0;
		while (up < most && own(-up - fine)) up += fine;
		while (down < most && own(down + fine)) down += fine;
		const inline = !!el.closest('p, li') && el.closest('p, li').innerText.trim().length > el.innerText?.trim().length + 12;
		const want = inline ? word : most, high = Math.round(up + down);
		if (high < want) found.push({ What: (el.name || el.innerText || el.ariaLabel || el.outerHTML).slice(0, 60), High: high, Want: want });
	}
	return found;
}`
