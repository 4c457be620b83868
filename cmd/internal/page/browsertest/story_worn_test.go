package browsertest

import (
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// Turned by half, the skirt shows its back, and another picture than from the
// front; turned on by as much again it shows the same front.
func TestWornTurns(t *testing.T) {
	w := newMaker(t, "").page().open(laptop)
	w.press("tab", "Worn")
	w.until("the skirt hangs", `() => document.querySelector('#picture canvas')`)
	front := w.painted()
	w.run(`document.querySelector('#picture canvas').focus()`)
	const press, half = 5, 180 // degrees of an arrow key, and to the back
	for range half / press {
		w.keys(kb.ArrowRight)
	}
	if side := ask[string](w, `() => document.querySelector('#picture .side').textContent`); side != "back" {
		t.Errorf("turned by half, it shows the %s", side)
	}
	if back := w.painted(); back == front {
		t.Error("the back looks like the front")
	}
	w.shot("back")
	for range half / press {
		w.keys(kb.ArrowRight)
	}
	if again := w.painted(); again != front {
		t.Error("turned all the way round, the front looks otherwise")
	}
}

// painted is the picture on the canvas once it rests, as a number.
func (w *window) painted() float64 {
	w.t.Helper()
	w.until("the skirt rests", `async () => {
		const canvas = document.querySelector('#picture canvas'), was = canvas.toDataURL();
		await new Promise(done => setTimeout(done, 300));
		return canvas.width > 0 && canvas.toDataURL() === was;
	}`)
	return ask[float64](w, `() => {
		const canvas = document.querySelector('#picture canvas');
		const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
		return data.reduce((sum, v, i) => (sum * 31 + v + i % 7) % 1000003, 0);
	}`)
}

// What is ticked on the list stays ticked while other views are looked at.
func TestListKeepsItsTicks(t *testing.T) {
	w := newMaker(t, "").page().open(laptop)
	w.press("tab", "List")
	w.until("the list", `() => document.querySelectorAll('#picture [type=checkbox]').length >= 5`)
	w.run(`document.querySelectorAll('#picture [type=checkbox]')[1].click()`)
	w.press("tab", "Flat")
	w.until("the skirt", `() => document.querySelector('#picture [data-mark]')`)
	w.press("tab", "List")
	w.until("the list again", `() => document.querySelectorAll('#picture [type=checkbox]').length >= 5`)
	if got := ask[string](w, `() => [...document.querySelectorAll('#picture [type=checkbox]')].map(c => Number(c.checked)).join('').replace(/0+$/, '')`); got != "01" {
		t.Errorf("the second line was ticked, and what is ticked now is %q", got)
	}
}
