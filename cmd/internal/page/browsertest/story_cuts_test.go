package browsertest

import (
	"strings"
	"testing"
)

// She tries every cut and every pattern: what belongs to another one is not left
// behind in the file, where the prompt would warn of it, and comes back with it.
func TestCutsLeaveNothingBehind(t *testing.T) {
	m := newMaker(t, "")
	w := m.page(m.project).open(laptop)
	w.enter("skirt.circle", "0.75")
	w.waitDone()
	w.enter("scatter.jitter", "0.3")
	w.waitDone()
	for _, step := range [][2]string{
		{"skirt.cut", "rectangle"}, {"scatter.pattern", "grid"}, {"skirt.cut", "gores"}, {"scatter.pattern", "hemband"},
		{"skirt.cut", "circle"}, {"scatter.pattern", "polka"},
	} {
		w.choose(step[0], step[1])
		w.waitDone()
		notes, _ := w.plan()["notes"].([]any)
		for _, n := range notes {
			if text, _ := n.(map[string]any)["text"].(string); strings.Contains(text, "only used with") {
				t.Errorf("%s %s: %s", step[0], step[1], text)
			}
		}
	}
	w.shows("skirt.circle", "0.75")
	w.shows("scatter.jitter", "0.3")
	w.shot("back")
}
