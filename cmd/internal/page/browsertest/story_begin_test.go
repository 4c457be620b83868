package browsertest

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// asked waits for a question of "Begin your own" and answers it with Enter.
func (w *window) asked(question, text string) {
	w.t.Helper()
	w.until(question, `(question) => document.querySelector('dialog h3')?.innerText.includes(question) && document.activeElement?.id === 'begin-answer'`, question)
	w.keys(text + kb.Enter)
}

// She begins a skirt of her own in inches. What cannot be is refused at its question;
// what she was not asked is in inches too, and the skirt goes on over the hips. The
// next day it is one press away.
func TestBeginYourOwn(t *testing.T) {
	m := newMaker(t, "")
	p := m.page()
	w := p.open(laptop)
	w.waitDone()
	w.press("button", "Begin your own")
	const waist, length = "waist measurement", "How long"
	refused := `(says) => document.querySelector('dialog [role=alert]')?.innerText.includes(says)`
	w.asked(waist, "twenty")
	w.until("the waist is refused", refused, "is not a length")
	w.keys("a", chromedp.ModifierCtrl)
	w.asked(waist, "27 1/2 in")
	w.asked("hip measurement", "38 in")
	w.asked(length, "-3 in")
	w.until("the length is refused", refused, "negative")
	w.keys("a", chromedp.ModifierCtrl)
	w.asked(length, "22 in")
	w.shot("asked")
	for _, next := range [][2]string{{"How is it cut", "Next"}, {"What lies on it", "Next"}, {"Which felt", "Done"}} {
		w.until(next[0], `(question) => document.querySelector('dialog h3')?.innerText.includes(question)`, next[0])
		w.press("button", next[1])
	}
	w.until("the slip closes", `() => !document.querySelector('dialog[open]')`)
	w.waitDone()
	for key, text := range map[string]string{
		"unit": "in", "skirt.waist": "27 1/2 in", "skirt.hip": "38 in", "skirt.length": "22 in", "skirt.waistband": "1 1/2 in", "scatter.spacing": "4 1/2 in",
	} {
		w.shows(key, text)
	}
	fullness, err := strconv.ParseFloat(w.field("skirt.fullness"), 64)
	if err != nil || fullness*27.5 < 38 {
		t.Errorf("a top edge of %g times the waist does not go over the hips (%v)", fullness, err)
	}
	if _, decimals, _ := strings.Cut(w.field("motif.0.width"), "."); decimals != "" {
		t.Errorf("the ginkgo leaf is %s wide", w.field("motif.0.width"))
	}
	w.press("button", "Save project")
	w.until("where to save", `() => document.querySelector('dialog .path')?.innerText`)
	w.press("button", "Save project here")
	w.until("it is saved", `() => document.querySelector('dialog')?.innerText.includes('Saved in')`)
	w.shot("saved")
	w.gone = true
	p.end()

	w = m.page().open(laptop)
	w.until("the last project is offered", `() => [...document.querySelectorAll('header button')].some(b => b.innerText.startsWith('Go on with'))`)
	w.shot("next day")
	w.press("button", "Go on with")
	w.until("it is open", `() => document.querySelector('header input')?.value === 'My skirt'`)
	w.waitDone()
	w.shows("skirt.waist", "27 1/2 in")
}
