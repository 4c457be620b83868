package browsertest

import (
	"context"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// Story 5: on a phone, with fingers only: she types a measure on the screen's
// keyboard, draws the tape, looks at every view, and enlarges the picture with
// two fingers.
func TestPhoneByTouch(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(phone)
	w.shot("start")
	w.staysInside()

	w.enter("skirt.waist", "72 cm")
	w.waitDone()
	before := w.field("scatter.spacing")
	w.slide("scatter.spacing", 0.7)
	w.waitDone()
	if now := w.field("scatter.spacing"); now == before {
		t.Errorf("the tape was drawn, and the spacing stays %s", now)
	}
	w.shot("tape")
	for _, view := range views {
		w.press("tab", view)
		w.until("the view "+view, `view => [...document.querySelectorAll('[role=tab][aria-selected=true]')].some(t => t.textContent.trim() === view)`, view)
		w.staysInside()
		w.shot(view)
	}
	w.press("tab", "Flat")
	w.settle()
	small := w.markWidth()
	w.spread()
	w.settle()
	if large := w.markWidth(); large < 1.3*small {
		t.Errorf("two fingers spread to double, and a mark grows from %.0f to %.0f px", small, large)
	}
	w.shot("enlarged")
}

// views are the tabs of the picture.
var views = []string{"Flat", "Worn", "Sheets", "Cloth", "Pages", "List"}

// staysInside fails the test if the page is wider than the screen.
func (w *window) staysInside() {
	w.t.Helper()
	if wide := ask[int](w, "() => document.documentElement.scrollWidth"); int64(wide) > w.screen.width {
		w.t.Errorf("the page is %d px wide on a screen of %d", wide, w.screen.width)
	}
}

// markWidth is the width of the first mark on the screen.
func (w *window) markWidth() float64 {
	w.t.Helper()
	return ask[float64](w, "() => document.querySelector('#picture [data-mark]').getBoundingClientRect().width")
}

// spread moves two fingers apart on the picture, to twice their distance.
func (w *window) spread() {
	w.t.Helper()
	s := ask[spot](w, "() => ("+spotOf+")(document.querySelector('#picture'))")
	const apart = 60 // px from the middle to each finger at first
	w.do("spread two fingers", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		for i := range slideSteps + 1 {
			kind := input.DispatchTouchEventTypeTouchMove
			if i == 0 {
				kind = input.DispatchTouchEventTypeTouchStart
			}
			from := apart * (1 + float64(i)/slideSteps)
			if err := touch(ctx, t, kind, s.X-from, s.X+from, s.Y); err != nil {
				return err
			}
			time.Sleep(slideMove)
		}
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{
			Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{},
		})
		return err
	}))
}

func touch(ctx context.Context, t *chromedp.Target, kind input.DispatchTouchEventType, left, right, y float64) error {
	first, second := 0.0, 1.0
	_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{
		Type:        kind,
		TouchPoints: []*input.TouchPoint{{X: left, Y: y, ID: &first}, {X: right, Y: y, ID: &second}},
	})
	return err
}
