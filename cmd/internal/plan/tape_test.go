package plan

import (
	"math"
	"strconv"
	"testing"

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
	eachExample(t, func(t *testing.T, p *Plan) {
		if len(p.Layout.Rows) > 0 {
			return
		}
		without := 0
		for i, tp := range p.tapes() {
			m := p.Layout.Placements[i]
			if tp.from[0].name == "" {
				without++
				continue
			}
			for k, f := range tp.from {
				if n, err := strconv.Atoi(f.name); err == nil && (n > i || p.Layout.Placements[n-1].Point.Panel != m.Point.Panel) {
					t.Errorf("mark %d is measured from mark %d", i+1, n)
				}
				if d := f.at.Dist(m.Point.At); math.Abs(d-tp.length[k]) > 1e-9 || d < tapeLeast {
					t.Errorf("mark %d: %g mm from %s, said %g", i+1, d, f.name, tp.length[k])
				}
			}
			a, b := tp.from[0].at, tp.from[1].at
			if got := crossing(a, b, tp.length[0], tp.length[1]); got.Dist(m.Point.At) > 1e-6 {
				t.Errorf("mark %d lies at %v, its tapes find %v", i+1, m.Point.At, got)
			}
			if got := crossing(a, b, math.Round(tp.length[0]), math.Round(tp.length[1])); got.Dist(m.Point.At) > 2 {
				t.Errorf("mark %d: tapes read to the millimetre are %.1f mm off", i+1, got.Dist(m.Point.At))
			}
		}
		if n := len(p.Layout.Placements); without*20 > n {
			t.Errorf("%d of %d marks have no tapes", without, n)
		}
	})
}

// The card and the table count every mark of the panels that it shows.
func TestCardListsEveryMark(t *testing.T) {
	eachExample(t, func(t *testing.T, p *Plan) {
		cloth, marks := p.cloth(), p.marks()
		parts := cloth.Parts(marks)
		card := p.card(parts)
		listed, want := 0, 0
		for _, part := range parts {
			for _, m := range marks {
				if m.Point.Panel == part.Panels[0] {
					want++
				}
			}
		}
		for _, table := range card.Tables {
			for _, r := range table.Rows {
				if len(p.Layout.Rows) == 0 {
					listed++
					continue
				}
				n, err := strconv.Atoi(r[2])
				if err != nil {
					t.Fatal(err)
				}
				listed += n
			}
		}
		if listed != want {
			t.Errorf("the card lists %d marks, want %d", listed, want)
		}
		if len(p.paperWords()) == 0 || len(card.Pages()) == 0 {
			t.Error("nothing to print")
		}
	})
}
