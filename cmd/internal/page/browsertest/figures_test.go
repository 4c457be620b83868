//go:build measure

package browsertest

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// changes is how many changes of the slider are timed.
const changes = 50

// longLimit is for steps that do hundreds of changes.
const longLimit = 10 * time.Minute

// The time from a slider's input event to the new picture on the screen:
//
//	go test -tags measure -run MeasureSlider -v ./cmd/internal/page/browsertest
//
// Aims, on two idle cores: 150 marks 100 ms in the median and 200 ms at worst,
// 400 marks 150 ms in the median. The clock starts in the page as the event is
// sent and stops at the start of the frame after the one that shows the moved
// marks. "Settled": each change after the last plan was done; "dragged": as soon as the last picture
// showed, while the felt is still being laid.
func TestMeasureSlider(t *testing.T) {
	for _, length := range []string{"60", "100"} { // some 150 and 400 marks
		m := newMaker(t, "")
		m.write(strings.Replace(m.read(), "length    = 60 ", "length    = "+length+" ", 1))
		w := m.page(m.project).open(laptop)
		w.hit("scatter.spacing", w.at("scatter.spacing"))
		w.until("the tape", `() => document.querySelector('input[type=range]')`)
		for _, way := range []string{"settled", "dragged"} {
			w.limit = longLimit
			marks := w.marks()
			times := ask[[]float64](w, timeSlider, changes, way == "settled")
			slices.Sort(times)
			t.Logf("%d marks, %s: median %.0f ms, worst %.0f ms of %d changes", marks, way, times[len(times)/2], times[len(times)-1], len(times))
		}
	}
}

// timeSlider moves the tape's cursor to and fro by one step and times each
// picture.
const timeSlider = `async (changes, settled) => {
	const tape = document.querySelector('input[type=range]'), picture = document.querySelector('#picture'), answer = document.querySelector('#answer');
	const step = Number(tape.step) || 1, middle = Number(tape.value);
	const done = () => new Promise(found => {
		const look = () => answer.dataset.state === 'done' ? found() : setTimeout(look, 5);
		look();
	});
	const times = [];
	for (let i = 0; i < changes; i++) {
		if (settled) await done();
		const drawn = new Promise((found, lost) => {
			setTimeout(() => lost(new Error('no mark moved at change ' + i + ', to ' + tape.value)), 10000);
			const moved = list => list.some(m => [m.target, ...m.addedNodes, ...m.removedNodes].some(n => n.dataset?.mark));
			const watch = new MutationObserver(list => {
				if (!moved(list)) return;
				watch.disconnect();
				requestAnimationFrame(() => requestAnimationFrame(() => found(performance.now())));
			});
			watch.observe(picture, { subtree: true, childList: true, attributes: true });
		});
		const start = performance.now();
		tape.value = middle + step * ((i % 4 < 2 ? 1 : -1) * (1 + i % 2));
		tape.dispatchEvent(new Event('input', { bubbles: true }));
		times.push(await drawn - start);
	}
	tape.value = middle;
	tape.dispatchEvent(new Event('input', { bubbles: true }));
	await done();
	return times;
}`

// From the start of the program to the first picture on the screen (aim: under
// 1 s, with the browser running), to the first lay (the example's: under 0.5 s
// after the picture's marks are asked for), and to the end of the plan:
//
//	go test -tags measure -run MeasureStart -v ./cmd/internal/page/browsertest
func TestMeasureStart(t *testing.T) {
	m := newMaker(t, "")
	m.run("plan", "--quiet") // builds the program and warms the disk's cache
	start := time.Now()
	p := m.page()
	listening := time.Since(start)
	w := p.window(laptop)
	opened := time.Since(start)
	w.visit(p.address)
	w.until("the first picture", `() => document.querySelector('#picture [data-mark]')`)
	picture := time.Since(start)
	w.until("the first lay", `() => /sheet/.test(document.querySelector('#answer').innerText)`)
	lay := time.Since(start)
	w.waitDone()
	t.Logf("listening %v, window open %v, first picture %v, first lay %v, done %v", listening, opened, picture, lay, time.Since(start))
}

// The program's memory after 500 changes (aim: under 300 MB):
//
//	go test -tags measure -run MeasureMemory -v ./cmd/internal/page/browsertest
func TestMeasureMemory(t *testing.T) {
	m := newMaker(t, "")
	p := m.page(m.project)
	w := p.open(laptop)
	w.hit("scatter.spacing", w.at("scatter.spacing"))
	w.until("the tape", `() => document.querySelector('input[type=range]')`)
	first, heap := p.memory(), w.heap()
	const many = 500
	w.limit = longLimit
	ask[[]float64](w, timeSlider, many, false)
	t.Logf("program %.0f MB at first, %.0f MB after %d changes; tab %.1f and %.1f MB", first, p.memory(), many, heap, w.heap())
}
