package browsertest

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// shortPlay is how long the monkey plays where nothing is asked for.
const shortPlay = 20 * time.Second

// burst is how many acts the monkey does between two looks at its damage.
const burst = 10

// How much memory may grow, in megabytes. The program keeps memos of its stages
// and of the lay (some 256 MB at most); the tab keeps nothing but what it shows.
const (
	mostProgram = 600
	mostTab     = 40
)

// A monkey clicks, types, slides and undoes at random. No console error, no
// fault in the program's log, memory stays bounded; at the end undo leads all
// the way back to the first state. 30 minutes:
//
//	STREW_MONKEY=30m STREW_SEED=2 go test -run Monkey -timeout 40m -v ./cmd/internal/page/browsertest
func TestMonkey(t *testing.T) {
	m := newMaker(t, "")
	p := m.page(m.project)
	w := p.open(laptop)
	first := w.fields()
	k := &monkey{w: w, dice: newDice(t)}
	heap := w.heap()

	for end := time.Now().Add(playTime(t)); time.Now().Before(end); {
		acts := make([]string, burst)
		for i := range acts {
			acts[i] = k.act()
		}
		if w.complain() || !p.alive() || p.log.faults() != "" {
			t.Fatalf("after %d acts, the last of which were\n\t%s\n%s", k.acts, strings.Join(acts, "\n\t"), p.log.faults())
		}
	}
	w.shot("after")
	t.Logf("%d acts; program %.0f MB; tab %.1f MB at first, %.1f MB now", k.acts, p.memory(), heap, w.heap())
	if now := p.memory(); now > mostProgram {
		t.Errorf("the program holds %.0f MB", now)
	}
	if now := w.heap(); now > heap+mostTab {
		t.Errorf("the tab holds %.0f MB, at first %.0f MB", now, heap)
	}
	k.undoAll()
	w.waitDone()
	for _, d := range differ("field", loose(w.fields()), loose(first), 10) {
		t.Error(d)
	}
}

// loose makes fields comparable by differ.
func loose(fields map[string]string) map[string]any {
	all := map[string]any{}
	for k, v := range fields {
		all[k] = v
	}
	return all
}

func playTime(t *testing.T) time.Duration {
	asked := os.Getenv("STREW_MONKEY")
	if asked == "" {
		return shortPlay
	}
	d, err := time.ParseDuration(asked)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func newDice(t *testing.T) *rand.Rand {
	seed := uint64(1)
	if asked := os.Getenv("STREW_SEED"); asked != "" {
		var err error
		if seed, err = strconv.ParseUint(asked, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("STREW_SEED=%d", seed)
	return rand.New(rand.NewPCG(seed, 0))
}

// monkey acts at random.
type monkey struct {
	w    *window
	dice *rand.Rand
	acts int
}

// The texts a monkey types: good values, and every kind of bad one.
var typed = []string{
	"68 cm", "6", "11", "9,5 cm", "65mm", "2 3/4 in", "4½in", "0", "1", "2", "0.5", "5%", "7 cm, 3 cm",
	"-1", "1e9", "99999 m", "NaN", "", " ", "elf", "½½", "1,500 mm", "3 furlongs", "\"quoted\"", "<b>bold</b>", "# no", "leaf.svg", "#d9a521", "🍂🍂",
	strings.Repeat("long ", 60),
}

// untouched are the names of what a monkey must not press: what leaves the page
// or begins a new history, from which undo cannot lead back.
const untouched = `^(Close|Open|Print|Restore|Download|Save|Take)`

// touchables lists what can be touched now: the dialog's things where one is
// open.
const touchables = `untouched => {
	const root = document.querySelector('dialog[open]') ?? document;
	const bar = new RegExp(untouched, 'i');
	return [...root.querySelectorAll('` + touchable + `')].filter(el => !el.disabled && el.type !== 'file' && !el.href && el.checkVisibility({ visibilityProperty: true })
		&& el.getClientRects().length && !bar.test(el.ariaLabel || el.innerText || ''));
}`

// act does one thing and says what.
func (k *monkey) act() string {
	k.acts++
	w := k.w
	switch n := k.dice.IntN(20); {
	case n < 6:
		return k.onAny("click", `el => { el.focus({ preventScroll: true }); el.click(); }`, "")
	case n < 10:
		text := typed[k.dice.IntN(len(typed))]
		return k.onAny("type "+strconv.Quote(text[:min(len(text), 20)]), `(el, text) => {
			if (el.matches('input:not([type=range], [type=color], [type=checkbox], [type=radio])')) { el.focus(); el.value = text; } else return 'no text';
			el.dispatchEvent(new Event('input', { bubbles: true }));
			if (text.length % 3) el.dispatchEvent(new Event('change', { bubbles: true }));
		}`, text)
	case n < 12:
		return k.onAny("choose", `(el, text, dice) => {
			if (!el.matches('select')) return 'no list';
			el.focus();
			el.selectedIndex = Math.floor(dice * el.options.length);
			for (const kind of ['input', 'change']) el.dispatchEvent(new Event(kind, { bubbles: true }));
		}`, "")
	case n < 14:
		return k.onAny("slide", `async (el, text, dice) => {
			if (!el.matches('input[type=range]')) return 'no tape';
			for (let i = 0; i < 8; i++) {
				el.value = Number(el.min) + (el.max - el.min) * ((dice * 8 + i / 16) % 1);
				el.dispatchEvent(new Event('input', { bubbles: true }));
				await new Promise(done => setTimeout(done, 16));
			}
			el.dispatchEvent(new Event('change', { bubbles: true }));
		}`, "")
	case n < 17:
		pressed := []string{kb.Tab, kb.Enter, kb.Escape, kb.ArrowUp, kb.ArrowDown, kb.ArrowRight, kb.ArrowLeft, " ", "n", "+", "-", "0"}
		key := pressed[k.dice.IntN(len(pressed))]
		if on := ask[string](w, `() => document.activeElement?.closest('[role=tab]') ? '' : document.activeElement?.innerText ?? ''`); key == kb.Enter || key == " " {
			if barred(on) {
				key = kb.Tab
			}
		}
		w.keys(key)
		return fmt.Sprintf("key %q", key)
	case n < 19:
		key := []string{"z", "z", "y"}[k.dice.IntN(3)]
		w.keys(key, chromedp.ModifierCtrl)
		return "Ctrl+" + key
	default:
		time.Sleep(time.Duration(k.dice.IntN(400)) * time.Millisecond)
		return "wait"
	}
}

// barred reports whether a name begins like one of those the monkey leaves
// alone.
func barred(name string) bool {
	for _, start := range strings.Split(strings.Trim(untouched, "^()"), "|") {
		if strings.HasPrefix(strings.ToLower(name), strings.ToLower(start)) {
			return true
		}
	}
	return false
}

// onAny does something to a random thing that can be touched, and says what.
func (k *monkey) onAny(what, act, text string) string {
	k.w.t.Helper()
	on := ask[string](k.w, `async (untouched, dice, text) => {
		const all = (`+touchables+`)(untouched);
		if (!all.length) return 'nothing to touch';
		const el = all[Math.floor(dice * all.length)];
		const said = (el.name || el.ariaLabel || el.innerText || el.outerHTML).slice(0, 40);
		return said + ((await (`+act+`)(el, text, (dice * 997) % 1)) ?? '');
	}`, untouched, k.dice.Float64(), text)
	return what + " on " + on
}

// undoLimit is how many steps back a monkey's play may need.
const undoLimit = 100_000

// undoAll undoes until there is nothing left to undo.
func (k *monkey) undoAll() {
	k.w.t.Helper()
	k.w.keys(kb.Escape + kb.Escape)
	steps := 0
	for last := undoAtOnce; last == undoAtOnce; steps += last {
		if last = k.undo(undoAtOnce); steps > undoLimit {
			k.w.t.Fatalf("undo does not come to an end in %d steps", undoLimit)
		}
	}
	k.w.t.Logf("%d steps back", steps)
}

// undoAtOnce is how many steps are undone in one call of the page: some seconds'
// worth, so that the call does not run out of time.
const undoAtOnce = 200

// undo presses Undo until it is disabled, at most limit times, and returns how often.
func (k *monkey) undo(limit int) int {
	k.w.t.Helper()
	return ask[int](k.w, `async limit => {
		const find = () => [...document.querySelectorAll('button')].find(b => /^Undo/.test(b.ariaLabel || b.innerText));
		for (let n = 0; n < limit; n++) {
			let patience = 40;
			while (find().disabled && patience-- > 0) await new Promise(done => setTimeout(done, 10));
			if (find().disabled) return n;
			find().click();
			await new Promise(done => setTimeout(done, 10));
		}
		return limit;
	}`, limit)
}
