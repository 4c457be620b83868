package search

import (
	"slices"
	"testing"

	"strew/sheet/nfp"
	"strew/sheet/shape"
)

// Many kinds take fewer turns, so that their fields stay in memory; few kinds, and
// felt with a nap, take those they would alone.
func TestStepsStayInMemory(t *testing.T) {
	for _, c := range []struct {
		nap           shape.Nap
		kinds, parts  int
		least, atMost int
	}{
		{shape.AnyTurn, 1, 5, freeSteps, freeSteps},
		{shape.AnyTurn, 3, 14, fewSteps, fewSteps},
		{shape.AnyTurn, 2, 40, leastSteps, leastSteps},
		{shape.AnyTurn, 12, 14, fewestSteps, fewSteps / 2},
		{shape.AnyTurn, 60, 30, fewestSteps, fewestSteps},
		{shape.FourWay, 60, 30, 4, 4},
	} {
		got := napSteps(c.nap, slices.Repeat([]int{c.parts}, c.kinds))
		if got < c.least || got > c.atMost {
			t.Errorf("%d kinds of %d parts at nap %v take %d turns, not %d to %d", c.kinds, c.parts, c.nap, got, c.least, c.atMost)
		}
		if all := c.kinds * (c.kinds + 1) / 2 * c.parts * c.parts * got; c.nap == shape.AnyTurn && all > mostKept && got >= 2*fewestSteps {
			t.Errorf("%d polygons are kept of %d kinds, and %d turns", all, c.kinds, got)
		}
	}
}

// Bodies of few turns follow their forms most closely, unless they are so many that
// their fields would fill the memory; those turned freely never do.
func TestDetailStaysInMemory(t *testing.T) {
	for _, c := range []struct {
		kinds, parts, steps int
		want                nfp.Detail
	}{
		{5, 40, 4, nfp.Finest}, {5, 40, 1, nfp.Finest}, {5, 40, leastSteps, nfp.Fine}, {1, 3, freeSteps, nfp.Fine},
		{60, 5, 4, nfp.Finest}, {60, 30, 4, nfp.Fine}, {60, 30, 1, nfp.Fine},
	} {
		if got := detailFor(slices.Repeat([]int{c.parts}, c.kinds), c.steps); got != c.want {
			t.Errorf("%d kinds of %d parts at %d turns have %d points, not %d", c.kinds, c.parts, c.steps, got.Points(), c.want.Points())
		}
	}
}
