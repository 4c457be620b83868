package browsertest

import (
	"strconv"
	"testing"
)

// under reads what stands under a number of the tape: cutouts, and sheets to buy.
const under = `number => {
	const texts = [...document.querySelectorAll('.tape svg text')], at = texts.find(t => t.textContent === number && !t.classList.contains('give'))?.getAttribute('x');
	const gives = texts.filter(t => t.classList.contains('give') && t.getAttribute('x') === at).map(t => t.textContent);
	return gives.length === 2 ? gives : null;
}`

// What stands under a mark of the tape is what comes when she takes it. At 12 cm a
// quick lay takes a sheet more than the one that stands in the end.
func TestTapeSaysWhatComes(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	w.hit("scatter.spacing", w.at("scatter.spacing"))
	w.until("12 cm is worked out", under, "12")
	said := ask[[]string](w, under, "12")
	w.shot("tape")
	w.enter("scatter.spacing", "12 cm")
	w.waitDone()
	plan := w.plan()
	if cutouts := plan.sum("counts", "placed"); said[0] != strconv.Itoa(cutouts) {
		t.Errorf("the tape says %s cutouts, and %d came", said[0], cutouts)
	}
	if sheets := plan.sum("order", "buy"); said[1] != strconv.Itoa(sheets) {
		t.Errorf("the tape says %s sheets, and %d came", said[1], sheets)
	}
}
