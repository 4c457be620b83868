package shown_test

import (
	"math"
	"slices"
	"testing"

	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
	"strew/render"
	"strew/scatter"
)

// A patch kept bare is shown at its own size and place on every cut: its points lie as
// far down and around as it says, on the panel that it is of, and it covers what it
// covers on the cloth.
func TestPatches(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		s := p.Cloth.Surface
		panel := s.Panels - 1
		down := [2]float64{s.Drop * 0.3, s.Drop * 0.6}
		wide := s.PanelGirth(down[0])
		around := [2]float64{wide * 0.2, wide * 0.5}
		flat := render.FlatOf(results.Cloth(p), 0)
		area := 0.0
		for _, r := range flat.Patch(panel, down, around) {
			area += math.Abs(r.Area())
		}
		if s.Closed() {
			// Rows are as long as they are on the cloth: between two of them lies as
			// much as a trapezium has.
			want := (around[1] - around[0]) * (down[1] - down[0])
			if math.Abs(area-want) > 0.01*want {
				t.Errorf("a patch of %.0f mm² is shown as %.0f", want, area)
			}
		}
		p.Strewn.Options.Bare = []scatter.Bare{{Panel: panel, Down: down, Around: around}}
		m := shown.MarksOf(p)
		if len(m.Flat.Patches) != 1 {
			t.Fatalf("%d patches", len(m.Flat.Patches))
		}
		rings := linesOf(t, m.Flat.Patches[0])
		for i, mark := range p.Strewn.Layout.Placements {
			pt := mark.Point
			d, a := s.Down(pt.At), s.Around(pt)
			in := pt.Panel == panel && d > down[0] && d < down[1] && a > around[0] && a < around[1]
			if shows := covers(rings, at(m.Marks[i])); in != shows && dist(closed(rings), at(m.Marks[i])) > arcs {
				t.Errorf("mark %d, %.1f mm down and %.1f around panel %d: in the patch %t, shown so %t", i+1, d, a, pt.Panel+1, in, shows)
			}
		}
	})
}

// closed returns rings as lines that end where they begin.
func closed(rings []geom.Ring) []geom.Ring {
	out := make([]geom.Ring, len(rings))
	for i, r := range rings {
		out[i] = append(r[:len(r):len(r)], r[0])
	}
	return out
}

// Cutouts placed by hand are shown as such, and no others.
func TestPlacedByHand(t *testing.T) {
	p := stagetest.BuiltIn(t)
	p.Strewn.Layout.Placements = slices.Clone(p.Strewn.Layout.Placements)
	p.Strewn.Layout.Placements[4].Fixed = true
	for i, m := range shown.MarksOf(p).Marks {
		if m.Hand != (i == 4) {
			t.Errorf("mark %d placed by hand: %t", m.N, m.Hand)
		}
	}
}
