package browsertest

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// screen is a device the page must suit.
type screen struct {
	name          string
	width, height int64
	touch         bool
}

var (
	laptop = screen{name: "laptop", width: 1280, height: 800}
	tablet = screen{name: "tablet", width: 1024, height: 768, touch: true}
	phone  = screen{name: "phone", width: 390, height: 844, touch: true}
)

// window is a browser window with the page in it.
type window struct {
	t      *testing.T
	ctx    context.Context
	screen screen
	origin string
	limit  time.Duration // of one step
	gone   bool          // the story killed the program: what the page says of that is no fault

	mu     sync.Mutex
	faults []string // console errors, failed and foreign requests
}

// stepLimit bounds one step of a story: one that takes longer hangs.
const stepLimit = 30 * time.Second

// open opens the program's page in a window of its own, that shares no cookie
// with others, and waits until the first plan is done.
func (p *program) open(s screen) *window {
	p.m.t.Helper()
	w := p.window(s, chromedp.WithNewBrowserContext())
	w.visit(p.address)
	w.waitDone()
	return w
}

// beside opens the page in another window of the same browser.
func (w *window) beside(p *program) *window {
	w.t.Helper()
	other := newWindow(w.t, w.ctx, w.screen, w.origin)
	other.visit(w.origin)
	other.waitDone()
	return other
}

// window opens an empty window.
func (p *program) window(s screen, options ...chromedp.ContextOption) *window {
	p.m.t.Helper()
	browser, err := shared.browse()
	if err != nil {
		p.m.t.Fatalf("the browser does not start: %v", err)
	}
	return newWindow(p.m.t, browser, s, p.origin(), options...)
}

func newWindow(t *testing.T, browser context.Context, s screen, origin string, options ...chromedp.ContextOption) *window {
	t.Helper()
	w := &window{t: t, screen: s, origin: origin, limit: stepLimit}
	ctx, cancel := chromedp.NewContext(browser, append(options, chromedp.WithListener(w.hear))...)
	w.ctx = ctx
	emulate := []chromedp.EmulateViewportOption{}
	if s.touch {
		emulate = append(emulate, chromedp.EmulateTouch, chromedp.EmulateMobile)
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(s.width, s.height, emulate...), focus); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if t.Failed() {
			w.shot("failed")
		}
		cancel()
		w.complain()
	})
	return w
}

// focus lets a window keep the focus while another one is used: a window that
// loses it takes what is being typed, which is right, but not what is played.
func focus(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
	_, err := cdp.Call(ctx, t, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	return chromedp.Void{}, err
}

// hear gathers what goes wrong in the page.
func (w *window) hear(event any) {
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		w.fault("exception: %s", exception(e.ExceptionDetails))
	case *runtime.EventConsoleAPICalled:
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeWarning {
			w.fault("console: %s", consoleText(e.Args))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError && !answeredNo(e.Entry) {
			w.fault("%s: %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL)
		}
	case *network.EventRequestWillBeSent:
		if !w.own(e.Request.URL) {
			w.fault("asks elsewhere: %s", e.Request.URL)
		}
	}
}

// answeredNo reports whether the browser only noted that the program refused
// what was asked: 409 and 422 are answers that the page tells the maker.
func answeredNo(e *log.Entry) bool {
	return e.Source == log.EntrySourceNetwork &&
		(strings.Contains(e.Text, "status of 409") || strings.Contains(e.Text, "status of 422"))
}

// own reports whether an address is the page's own.
func (w *window) own(address string) bool {
	return slices.ContainsFunc([]string{w.origin + "/", "data:", "blob:" + w.origin, "about:", "chrome"}, func(start string) bool {
		return strings.HasPrefix(address, start)
	})
}

func exception(d *runtime.ExceptionDetails) string {
	if d.Exception != nil && d.Exception.Description != "" {
		return d.Exception.Description
	}
	return d.Text
}

func consoleText(args []*runtime.RemoteObject) string {
	var texts []string
	for _, a := range args {
		text := a.Description
		if text == "" {
			text = string(a.Value)
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, " ")
}

func (w *window) fault(format string, values ...any) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.faults = append(w.faults, fmt.Sprintf(format, values...))
}

// broken returns the first exception that the page threw; "" if there is none.
func (w *window) broken() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, f := range w.faults {
		if strings.HasPrefix(f, "exception: ") {
			return f
		}
	}
	return ""
}

// complain fails the test with the faults gathered since the last call, and
// reports whether there were any.
func (w *window) complain() bool {
	w.t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, f := range w.faults {
		if w.gone && strings.Contains(f, "net::ERR_") {
			continue
		}
		w.t.Errorf("%s: %s", w.screen.name, f)
	}
	any := len(w.faults) > 0
	w.faults = nil
	return any
}

// forgive drops the faults that contain a text: those a story causes itself.
func (w *window) forgive(text string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.faults = slices.DeleteFunc(w.faults, func(f string) bool { return strings.Contains(f, text) })
}

// do runs steps and fails the test with what they were for.
func (w *window) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	w.t.Helper()
	ctx, cancel := context.WithTimeout(w.ctx, stepLimit)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		w.t.Fatalf("%s: %v", what, err)
	}
}

// visit goes to an address.
func (w *window) visit(address string) {
	w.t.Helper()
	w.do("open "+address, chromedp.Navigate(address))
}

// ask calls a JavaScript function in the page, waits for what it promises, and
// returns it.
func ask[T any](w *window, function string, args ...any) T {
	w.t.Helper()
	got, err := tryAsk[T](w, function, args...)
	if err != nil {
		w.t.Fatalf("%.200s: %v", function, err)
	}
	return got
}

func tryAsk[T any](w *window, function string, args ...any) (T, error) {
	ctx, cancel := context.WithTimeout(w.ctx, w.limit)
	defer cancel()
	given, err := json.Marshal(append([]any{}, args...))
	if err != nil {
		return *new(T), err
	}
	// The answer comes as text, so that null and undefined are answers too.
	call := fmt.Sprintf("(async () => JSON.stringify(await (%s)(...%s)) ?? 'null')()", function, given)
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](call, chromedp.EvalAwaitPromise))
	if err != nil {
		return *new(T), err
	}
	var got T
	return got, json.Unmarshal([]byte(text), &got)
}

// pollEvery is how often a story looks again while it waits.
const pollEvery = 25 * time.Millisecond

// until waits until a JavaScript function returns something true.
func (w *window) until(what, function string, args ...any) {
	w.t.Helper()
	deadline := time.Now().Add(stepLimit)
	for {
		// While a page loads there is nobody to ask; only the deadline counts.
		ok, err := tryAsk[bool](w, "async (...a) => !!(await ("+function+")(...a))", args...)
		if err == nil && ok {
			return
		}
		if broken := w.broken(); broken != "" {
			w.t.Fatalf("%s: the page broke: %s", what, broken)
		}
		if time.Now().After(deadline) {
			w.t.Fatalf("waited %v in vain: %s (%v)", stepLimit, what, err)
		}
		time.Sleep(pollEvery)
	}
}

// dark makes the system's colours dark or light.
func (w *window) dark(on bool) {
	w.t.Helper()
	scheme := "light"
	if on {
		scheme = "dark"
	}
	w.do("turn "+scheme, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
		})
		return err
	}))
}

// shot takes a screenshot of what is on the screen.
func (w *window) shot(name string) {
	w.t.Helper()
	ctx, cancel := context.WithTimeout(w.ctx, stepLimit)
	defer cancel()
	picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		w.t.Logf("no screenshot %s: %v", name, err)
		return
	}
	folder := os.Getenv("STREW_SHOTS")
	if folder == "" {
		folder = w.t.TempDir()
	}
	story := strings.ReplaceAll(strings.TrimPrefix(w.t.Name(), "Test"), "/", "-")
	path := filepath.Join(folder, fmt.Sprintf("%s-%s-%s.png", story, name, w.screen.name))
	if err := os.WriteFile(path, picture, 0o644); err != nil {
		w.t.Fatal(err)
	}
}
