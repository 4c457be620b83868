package stage_test

import (
	"math"
	"testing"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
)

// crossing returns where two circles meet to the right of the way from a to b,
// y down: the law of cosines in the triangle of the two places and the mark.
func crossing(a, b geom.Vec, ra, rb float64) geom.Vec {
	d := a.Dist(b)
	x := (ra*ra - rb*rb + d*d) / (2 * d)
	h := math.Sqrt(math.Max(0, ra*ra-x*x))
	e := b.Sub(a).Mul(1 / d)
	return a.Add(e.Mul(x)).Add(geom.Vec{X: -e.Y, Y: e.X}.Mul(h))
}

// Two tapes find every mark: where the circles cross to the right is the mark,
// and read to the whole millimetre still within 2 mm of it. They run from
// places that are known before, lie on the panel, and cross at 20° or more.
func TestTapesFindTheMarks(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		if len(p.Strewn.Layout.Rows) > 0 {
			return
		}
		without := 0
		for i, tp := range stage.TapesFor(p.Cloth.Surface, p.Strewn.Layout.Placements) {
			m := p.Strewn.Layout.Placements[i]
			if !tp.Finds() {
				without++
				continue
			}
			for k, f := range tp.From {
				if n := f.Mark; n > 0 && (n > i || p.Strewn.Layout.Placements[n-1].Point.Panel != m.Point.Panel) {
					t.Errorf("mark %d is measured from mark %d", i+1, n)
				}
				if d := f.At.Dist(m.Point.At); math.Abs(d-tp.Length[k]) > 1e-9 || d < 25 {
					t.Errorf("mark %d: %g mm from %+v, said %g", i+1, d, f, tp.Length[k])
				}
			}
			a, b := tp.From[0].At, tp.From[1].At
			if got := crossing(a, b, tp.Length[0], tp.Length[1]); got.Dist(m.Point.At) > 1e-6 {
				t.Errorf("mark %d lies at %v, its tapes find %v", i+1, m.Point.At, got)
			}
			if got := crossing(a, b, math.Round(tp.Length[0]), math.Round(tp.Length[1])); got.Dist(m.Point.At) > 2 {
				t.Errorf("mark %d: tapes read to the millimetre are %.1f mm off", i+1, got.Dist(m.Point.At))
			}
		}
		if n := len(p.Strewn.Layout.Placements); without*20 > n {
			t.Errorf("%d of %d marks have no tapes", without, n)
		}
	})
}
