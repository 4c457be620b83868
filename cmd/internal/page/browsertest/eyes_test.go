package browsertest

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// waitDone waits until the answer is that of the controls.
func (w *window) waitDone() {
	w.t.Helper()
	w.until("the plan ends", `() => ['done', 'refused'].includes(document.querySelector('#answer')?.dataset.state)`)
	if why := ask[string](w, `() => [...document.querySelectorAll('[aria-invalid=true]')].map(el => el.name + ' ' + el.value).join()`); why != "" {
		w.t.Fatalf("the plan is refused: %s", why)
	}
}

// answer is what the answer says.
func (w *window) answer() string {
	w.t.Helper()
	return ask[string](w, `() => document.querySelector('#answer').innerText`)
}

// saysNumbers fails the test unless each text stands in the answer as a whole
// number of its own, not as a part of a longer one.
func (w *window) saysNumbers(numbers ...string) {
	w.t.Helper()
	says := w.answer()
	for _, n := range numbers {
		if !regexp.MustCompile(`(^|[^\d.,])` + regexp.QuoteMeta(n) + `($|[^\d.,]|[.,]\D|[.,]$)`).MatchString(says) {
			w.t.Errorf("the answer does not say %s:\n%s", n, says)
		}
	}
}

// plan is plan.json of what is shown.
func (w *window) plan() plan {
	w.t.Helper()
	got := ask[json.RawMessage](w, `async () => { const plan = await window.strew.plan(); return typeof plan === 'string' ? JSON.parse(plan) : plan; }`)
	return readPlan(w.t, got)
}

// marks is how many marks the flat picture shows.
func (w *window) marks() int {
	w.t.Helper()
	return ask[int](w, `() => new Set([...document.querySelectorAll('#picture [data-mark]')].map(m => m.dataset.mark)).size`)
}

// field is what the control of a key shows.
func (w *window) field(key string) string {
	w.t.Helper()
	return ask[string](w, "async key => (await ("+control+")(key)).value", key)
}

// fields is what the control of every project key shows, rare ones too.
func (w *window) fields() map[string]string {
	w.t.Helper()
	return ask[map[string]string](w, `async () => {
		try { await (`+control+`)('no such key'); } catch { /* all that was folded is open now */ }
		const key = /^(title|unit|seed|[a-z]+(\.\d+)?\.[a-z_]+)$/;
		return Object.fromEntries([...document.querySelectorAll('input, select, textarea')].filter(el => key.test(el.name)).map(el => [el.name, el.type === 'checkbox' ? String(el.checked) : el.value]));
	}`)
}

// reason is the text that a screen reader adds to a control: why its value is
// refused. It is empty where nothing is.
func (w *window) reason(key string) string {
	w.t.Helper()
	return strings.TrimSpace(ask[string](w, reason, key))
}

const reason = `async key => {
	const el = await (` + control + `)(key);
	if (el.getAttribute('aria-invalid') !== 'true') return '';
	return (el.getAttribute('aria-describedby') ?? '').split(/\s+/).map(id => document.getElementById(id)?.innerText ?? '').join(' ');
}`

// node is a part of the page as a screen reader meets it.
type node struct {
	role, name string
	id         cdp.BackendNodeID
}

// named lists the parts of the page that have a role and a name that begins
// with start, in the page's order.
func (w *window) named(role, start string) []node {
	w.t.Helper()
	ctx, cancel := context.WithTimeout(w.ctx, stepLimit)
	defer cancel()
	tree, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (accessibility.GetFullAXTreeResult, error) {
		return cdp.Call(ctx, t, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	})
	if err != nil {
		w.t.Fatal(err)
	}
	var found []node
	for _, n := range tree.Nodes {
		got := node{role: axText(n.Role), name: axText(n.Name), id: n.BackendDOMNodeID}
		if !n.Ignored && got.role == role && strings.HasPrefix(got.name, start) {
			found = append(found, got)
		}
	}
	return found
}

func axText(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	var text string
	if err := json.Unmarshal(v.Value, &text); err != nil {
		return string(v.Value)
	}
	return text
}

func names(nodes []node) []string {
	var all []string
	for _, n := range nodes {
		all = append(all, n.name)
	}
	return all
}

// focused is the name and role of what has the focus.
func (w *window) focused() (name, role string) {
	w.t.Helper()
	got := ask[[2]string](w, `() => {
		const el = document.activeElement;
		return [el?.getAttribute('name') || el?.getAttribute('aria-label') || el?.innerText?.trim() || '', el?.getAttribute('role') || el?.tagName.toLowerCase() || ''];
	}`)
	return got[0], got[1]
}

// differ lists where two values decoded from JSON differ, at most so many
// places.
func differ(path string, got, want any, most int) []string {
	if reflect.DeepEqual(got, want) || most <= 0 {
		return nil
	}
	switch want := want.(type) {
	case plan:
		return differ(path, map[string]any(got.(plan)), map[string]any(want), most)
	case map[string]any:
		if got, ok := got.(map[string]any); ok {
			return differMaps(path, got, want, most)
		}
	case []any:
		if got, ok := got.([]any); ok && len(got) == len(want) {
			var all []string
			for i := range want {
				all = append(all, differ(fmt.Sprintf("%s[%d]", path, i), got[i], want[i], most-len(all))...)
			}
			return all
		}
	}
	return []string{fmt.Sprintf("%s is %.80v, want %.80v", path, got, want)}
}

func differMaps(path string, got, want map[string]any, most int) []string {
	keys := map[string]bool{}
	for k := range got {
		keys[k] = true
	}
	for k := range want {
		keys[k] = true
	}
	sorted := make([]string, 0, len(keys))
	for k := range keys {
		sorted = append(sorted, k)
	}
	slices.Sort(sorted)
	var all []string
	for _, k := range sorted {
		all = append(all, differ(path+"."+k, got[k], want[k], most-len(all))...)
	}
	return all
}

// sum adds a number of each element of a list of a plan.
func (p plan) sum(list, number string) int {
	total := 0.0
	rows, _ := p[list].([]any)
	for _, row := range rows {
		n, _ := row.(map[string]any)[number].(float64)
		total += n
	}
	return int(math.Round(total))
}

// number is a number of an object of a plan.
func (p plan) number(object, key string) float64 {
	o, _ := p[object].(map[string]any)
	n, _ := o[key].(float64)
	return n
}
