package browsertest

import (
	"context"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// spot is a place on the screen where a finger or the mouse can touch a thing,
// in CSS pixels.
type spot struct {
	X, Y          float64
	Width, Height float64
	Over          string // what lies over the thing there, if anything
}

// spotOf scrolls an element into view and says where to touch it.
const spotOf = `function (el) {
	el.scrollIntoView({ block: 'center', inline: 'nearest', behavior: 'instant' });
	const r = el.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2;
	const top = document.elementFromPoint(x, y);
	const own = !top || el.contains(top) || top.contains(el) || [...(el.labels ?? [])].some(l => l.contains(top));
	return { X: x, Y: y, Width: r.width, Height: r.height, Over: own ? '' : top.outerHTML.slice(0, 160) };
}`

// control finds the control of a project key, unfolding what is rare until it
// shows.
const control = `async function (key) {
	const shows = () => [...document.getElementsByName(key)].find(el => el.checkVisibility({ visibilityProperty: true }) && el.getClientRects().length);
	const frame = () => new Promise(done => setTimeout(done, 50));
	for (let round = 0; round < 3 && !shows(); round++) {
		for (const more of document.querySelectorAll('button[aria-expanded="false"]')) if (/^more/i.test(more.textContent.trim())) more.click();
		await frame();
	}
	const el = shows();
	if (!el) throw new Error('no control for ' + key + ' can be seen');
	return el;
}`

// at returns where the control of a key is.
func (w *window) at(key string) spot {
	w.t.Helper()
	return ask[spot](w, "async key => ("+spotOf+")(await ("+control+")(key))", key)
}

// hit touches a place: with a finger on a touch screen, else with the mouse.
func (w *window) hit(what string, s spot) {
	w.t.Helper()
	if s.Over != "" {
		w.t.Errorf("%s is covered by %s", what, s.Over)
	}
	if w.screen.touch {
		w.do("tap "+what, chromedp.TapXY(s.X, s.Y))
	} else {
		w.do("click "+what, chromedp.MouseClickXY(s.X, s.Y))
	}
}

// enter types a text into the control of a key in place of what stands there,
// and takes it with Enter.
func (w *window) enter(key, text string) {
	w.t.Helper()
	w.typeText(key, text)
	w.keys(kb.Enter)
}

// typeText types a text into the control of a key and leaves it at that.
func (w *window) typeText(key, text string) {
	w.t.Helper()
	w.settle() // what the last field unfolded folds up again, and the words move
	w.hit(key, w.at(key))
	w.until(key+" has the focus", "key => document.activeElement?.name === key", key)
	ask[any](w, "() => document.activeElement.select()")
	if w.screen.touch {
		// A keyboard on the screen inserts text and presses no keys.
		w.do("type "+text, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
			return err
		}))
		return
	}
	w.keys(text)
}

// keys presses keys one after the other.
func (w *window) keys(keys string, with ...chromedp.Modifier) {
	w.t.Helper()
	w.do("press keys", chromedp.KeyEvent(keys, chromedp.KeyModifiers(with...)))
}

// choose takes a word of a key's list. The list itself is drawn by the system
// outside the page, so what it tells the page is told here.
func (w *window) choose(key, word string) {
	w.t.Helper()
	w.hit(key, w.at(key))
	ask[any](w, `async (key, word) => {
		const list = await (`+control+`)(key);
		if (![...list.options].some(o => o.value === word)) throw new Error('no ' + word + ' among ' + [...list.options].map(o => o.value));
		list.value = word;
		list.dispatchEvent(new Event('input', { bubbles: true }));
		list.dispatchEvent(new Event('change', { bubbles: true }));
	}`, key, word)
	w.keys(kb.Escape)
}

// press presses what has a role ("button", "tab", "link") and a name that
// begins with start, as a screen reader would say them.
func (w *window) press(role, start string) {
	w.t.Helper()
	found := w.named(role, start)
	if len(found) == 0 {
		w.t.Fatalf("no %s is called %q; there are %q", role, start, names(w.named(role, "")))
	}
	w.hit(role+" "+start, w.spotOf(found[0]))
}

// spotOf returns where a part of the page is.
func (w *window) spotOf(n node) spot {
	w.t.Helper()
	ctx, cancel := context.WithTimeout(w.ctx, stepLimit)
	defer cancel()
	got, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (spot, error) {
		found, err := cdp.Call(ctx, t, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: n.id})
		if err != nil {
			return spot{}, err
		}
		on := func(p *runtime.CallFunctionOnParams) { p.ObjectID = found.Object.ObjectID }
		return chromedp.CallFunctionOn[spot]("function () { return ("+spotOf+")(this); }", on)(ctx, t)
	})
	if err != nil {
		w.t.Fatalf("%s %s: %v", n.role, n.name, err)
	}
	return got
}

// slideSteps is how many moves a hand makes along the tape; slideMove is the
// time of each, one frame.
const (
	slideSteps = 10
	slideMove  = 16 * time.Millisecond
)

// slide unfolds the tape of a key and drags its cursor to a share of its
// length, from 0 at its left end to 1 at its right.
func (w *window) slide(key string, to float64) {
	w.t.Helper()
	w.hit(key, w.at(key))
	const tape = `() => document.querySelector('input[type=range]')`
	w.until("the tape of "+key, tape)
	w.settle()
	s := ask[spot](w, "() => ("+spotOf+")(("+tape+")())")
	left := s.X - s.Width/2
	var path []spot
	for i := range slideSteps + 1 {
		share := 0.5 + (to-0.5)*float64(i)/slideSteps
		path = append(path, spot{X: left + share*s.Width, Y: s.Y})
	}
	w.drag("the tape of "+key, path)
}

// drag moves a finger or the pressed mouse along a path.
func (w *window) drag(what string, path []spot) {
	w.t.Helper()
	w.do("drag "+what, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		for i, s := range path {
			if err := w.moveTo(ctx, t, s, i == 0); err != nil {
				return err
			}
			time.Sleep(slideMove)
		}
		return w.lift(ctx, t, path[len(path)-1])
	}))
}

func (w *window) moveTo(ctx context.Context, t *chromedp.Target, s spot, first bool) error {
	if w.screen.touch {
		kind := input.DispatchTouchEventTypeTouchMove
		if first {
			kind = input.DispatchTouchEventTypeTouchStart
		}
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{
			Type: kind, TouchPoints: []*input.TouchPoint{{X: s.X, Y: s.Y}},
		})
		return err
	}
	kind := input.DispatchMouseEventTypeMouseMoved
	if first {
		kind = input.DispatchMouseEventTypeMousePressed
	}
	_, err := chromedp.MouseEvent(kind, s.X, s.Y, chromedp.ButtonLeft, chromedp.ClickCount(1))(ctx, t)
	return err
}

func (w *window) lift(ctx context.Context, t *chromedp.Target, s spot) error {
	if w.screen.touch {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{
			Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{},
		})
		return err
	}
	_, err := chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, s.X, s.Y, chromedp.ButtonLeft, chromedp.ClickCount(1))(ctx, t)
	return err
}
