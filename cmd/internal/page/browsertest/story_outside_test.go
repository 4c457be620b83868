package browsertest

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Another program changes the project file while it is open. She is told, and
// her choice holds: hers, or the changed one.
func TestFileChangedByAnotherProgram(t *testing.T) {
	for _, choice := range []struct{ button, waist, hip string }{
		{"Keep mine, and save it", "75 cm", "94 cm"},
		{"Use the file on disk", "68 cm", "99 cm"},
	} {
		t.Run(choice.button, func(t *testing.T) {
			m := newMaker(t, "")
			w := m.page(m.project).open(laptop)
			w.enter("skirt.waist", "75 cm")
			w.waitDone()
			m.write(strings.Replace(m.read(), "hip       = 94", "hip       = 99", 1))
			w.until("she is told", `() => document.querySelector('dialog[open]')?.innerText.includes('changed by another program')`)
			w.shot("told")
			w.press("button", choice.button)
			w.until("the slip closes", `() => !document.querySelector('dialog[open]')`)
			w.shows("skirt.waist", choice.waist)
			w.shows("skirt.hip", choice.hip)
			if choice.waist == "75 cm" {
				w.untilSaved(m, "75")
			}
			for _, d := range differ("plan", w.plan(), m.planOfFile(), 10) {
				t.Error(d)
			}
		})
	}
}

// A drawing is untrusted: what it carries besides shapes neither runs nor is
// asked for. What is no drawing is refused with what would do.
func TestDrawingsFromElsewhere(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	w.bring(m, "snail.svg", `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="50mm" height="50mm" viewBox="0 0 50 50"
		onload="window.ran = 1"><script>window.ran = 1</script><style>@import url("http://elsewhere.invalid/a.css");</style>
		<path fill="#7d2a34" onclick="window.ran = 1" d="M5 5H45V45H5Z"/></svg>`)
	w.until("the snail is a cutout", `() => document.getElementsByName('motif.2.outline').length > 0`)
	w.waitDone()
	if ran := ask[any](w, `() => window.ran`); ran != nil {
		t.Error("the drawing's script ran")
	}
	if foreign := ask[int](w, `() => document.querySelectorAll('#app script, #app style, #app foreignObject, #app [onload], #app [onclick]').length`); foreign > 0 {
		t.Errorf("%d elements of the drawing's own are in the page", foreign)
	}
	w.shot("snail")
	for name, says := range map[string]string{"leaf.pdf": "SVG or PNG", "leaf.heic": "JPEG", "leaf.txt": "SVG, PNG", "torn.svg": "breaks off"} {
		w.bring(m, name, "<svg><path")
		w.until("the refusal of "+name, `(name, says) => document.body.innerText.includes(name) && document.body.innerText.includes(says)`, name, says)
	}
	w.shot("refused")
	if n := ask[int](w, `() => document.getElementsByName('motif.3.outline').length`); n > 0 {
		t.Error("what was refused became a cutout")
	}
}

// bring gives a file to the page as another cutout's drawing, in place of the
// system's file picker.
func (w *window) bring(m *maker, name, text string) {
	w.t.Helper()
	path := filepath.Join(m.home, name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		w.t.Fatal(err)
	}
	w.do("bring "+name, func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		var none chromedp.Void
		if _, err := cdp.Call(ctx, t, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true}); err != nil {
			return none, err
		}
		press := chromedp.Func(func(context.Context, *chromedp.Target) error {
			w.press("button", "bring a drawing")
			return nil
		})
		picker, err := chromedp.WaitEvent(page.FileChooserOpened, nil, press)(ctx, t)
		if err != nil {
			return none, err
		}
		_, err = cdp.Call(ctx, t, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{path}, BackendNodeID: picker.BackendNodeID})
		return none, err
	})
}

// The program is gone: the page says so on any screen instead of doing nothing.
func TestProgramGone(t *testing.T) {
	for _, s := range []screen{laptop, phone} {
		t.Run(s.name, func(t *testing.T) {
			m := newMaker(t, "")
			p := m.page(m.project)
			w := p.open(s)
			w.gone = true
			p.crash()
			w.until("the page tells", `() => document.body.innerText.includes('does not answer')`)
			w.shot("gone")
		})
	}
}
