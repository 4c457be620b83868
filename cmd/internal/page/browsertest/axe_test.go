package browsertest

import (
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// state is something the page can show: a view, a dialog, an unfolded tape.
type state struct {
	name         string
	reach, leave func(*window)
}

// axeRules are the rules checked: WCAG 2.2 to level AA, and axe-core's best
// practices.
const axeRules = `{ resultTypes: ['violations'], runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }`

// axe-core finds nothing to complain of in any view and dialog, on three
// screens, in light and dark.
func TestAxe(t *testing.T) {
	source := axeSource(t)
	m := newMaker(t, "")
	p := m.page(m.project)
	for _, s := range []screen{laptop, tablet, phone} {
		t.Run(s.name, func(t *testing.T) {
			w := p.in(t).open(s)
			for _, dark := range []bool{false, true} {
				w.dark(dark)
				w.run(source)
				for _, st := range states() {
					st.reach(w)
					name := st.name
					if dark {
						name += "-dark"
					}
					w.settle()
					w.shot(name)
					w.axe(name)
					st.leave(w)
				}
			}
		})
	}
}

// axeSource returns axe-core.
func axeSource(t *testing.T) string {
	t.Helper()
	path := os.Getenv("STREW_AXE")
	if path == "" {
		needs(t, errors.New("STREW_AXE does not name axe.min.js"), "npm pack axe-core")
	}
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(source)
}

// run runs a script in the page.
func (w *window) run(source string) {
	w.t.Helper()
	w.do("run a script", chromedp.Evaluate[chromedp.Void](source))
}

// axe fails the test with every violation that axe-core finds.
func (w *window) axe(state string) {
	w.t.Helper()
	type violation struct {
		ID, Help string
		Nodes    []string
	}
	found := ask[[]violation](w, `async () => (await axe.run(document, `+axeRules+`)).violations.map(v => (
		{ ID: v.id, Help: v.help, Nodes: v.nodes.map(n => n.target.join(' ') + ': ' + n.failureSummary.split('\n').slice(1).join(';').trim()) }))`)
	for _, v := range found {
		w.t.Errorf("%s, %s: %s (%s), %d places:\n\t%s", w.screen.name, state, v.Help, v.ID, len(v.Nodes), strings.Join(v.Nodes[:min(len(v.Nodes), 4)], "\n\t"))
	}
}

// settle waits until what moves has come to rest.
func (w *window) settle() {
	w.t.Helper()
	w.until("nothing moves", `async () => {
		await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
		if ([...document.images].some(i => !i.complete && i.getBoundingClientRect().top < innerHeight && i.checkVisibility())) return false;
		return document.getAnimations().every(a => a.playState !== 'running' || a.effect.getComputedTiming().iterations === Infinity);
	}`)
}

// states lists every view and dialog.
func states() []state {
	var all []state
	stay := func(*window) {}
	for _, view := range views {
		all = append(all, state{view, func(w *window) { w.press("tab", view) }, stay})
	}
	flat := func(w *window) {
		w.press("tab", "Flat")
		w.until("the words", `() => document.querySelector('#words').checkVisibility()`)
		w.settle()
	}
	all = append(all,
		// On a phone the list, the last view, has hidden the words already.
		state{"words hidden", func(w *window) { flat(w); w.press("button", "Hide the words") }, func(w *window) { w.press("button", "Show the words") }},
		state{"more", func(w *window) { flat(w); w.fields() }, stay},
		state{"tape", func(w *window) { w.hit("scatter.spacing", w.at("scatter.spacing")) }, escape},
		state{"refused", func(w *window) {
			w.typeText("scatter.spacing", "0 cm")
			w.until("the refusal", `() => document.querySelector('[aria-invalid=true]')`)
		}, escape},
		state{"board", func(w *window) { w.press("button", "Compare side by side") }, flat},
	)
	for _, name := range []string{"Open", "Save everything", "Begin your own", "Keep this one", "Keys", "Close strew"} {
		all = append(all, state{name, func(w *window) {
			w.press("button", name)
			w.until("the dialog "+name, `() => document.querySelector('dialog[open]')`)
		}, escape})
	}
	return all
}

func escape(w *window) {
	w.keys(kb.Escape)
	w.until("Escape closes", `() => !document.querySelector('dialog[open]')`)
}
