package sheet

import (
	"cmp"
	"context"
	"math"
	"slices"
	"testing"

	"strew/motif/geom"
	"strew/sheet/bound"
	"strew/sheet/shapetest"
)

// Densest double lattices: the regular pentagon 0.92131…, the regular heptagon
// 0.89269… (G. Kuperberg and W. Kuperberg 1990); a disc's lattice π/√12; what
// tiles the plane fills it.
func TestLatticeDensity(t *testing.T) {
	for _, c := range []struct {
		name  string
		shape geom.Region
		want  float64
	}{
		{"pentagon", geom.Region{Outer: shapetest.Ngon(5, 500, 0)}, 0.9213},
		{"heptagon", geom.Region{Outer: shapetest.Ngon(7, 500, 0)}, 0.8927},
		{"hexagon", geom.Region{Outer: shapetest.Ngon(6, 500, 0)}, 1},
		{"triangle", geom.Region{Outer: geom.Ring{{}, {X: 700}, {X: 100, Y: 400}}}, 1},
		{"L", geom.Region{Outer: geom.Ring{{}, {X: 600}, {X: 600, Y: 300}, {X: 300, Y: 300}, {X: 300, Y: 600}, {Y: 600}}}, 1},
		{"40-gon", geom.Region{Outer: shapetest.Ngon(40, 500, 0)}, 40 * math.Sin(math.Pi/20) / 2 / math.Sqrt(12)},
	} {
		f := newForm(0, c.shape, 0, 0)
		if got := f.Form.Area / densest(newRower(f.Form, false)).cell(); math.Abs(got-c.want) > 5e-4 && !(c.name == "40-gon" && got > c.want) {
			t.Errorf("%s: density %.5f, want %.4f", c.name, got, c.want)
		}
	}
}

// densest returns the lattice of the least cell over all turns.
func densest(w rower) lattice {
	at := func(t float64) lattice {
		l := w.doubles(context.Background(), t)
		if s := w.singles(context.Background(), t); s.cell() < l.cell() {
			return s
		}
		return l
	}
	var all []lattice
	for k := range latticeTurns {
		all = append(all, at(math.Pi*float64(k)/latticeTurns))
	}
	slices.SortStableFunc(all, func(a, b lattice) int { return cmp.Compare(a.cell(), b.cell()) })
	best := all[0]
	for _, l := range all[:8] {
		t := descend(l.turn, math.Pi/latticeTurns/2, func(t float64) float64 { return at(t).cell() })
		if m := at(t); m.cell() < best.cell() {
			best = m
		}
	}
	return best
}

// cell returns the area that one piece takes in the plane.
func (l lattice) cell() float64 {
	if l.pairs {
		return l.period * l.next.Y / 2
	}
	return l.period * l.next.Y
}

// No lattice is denser than hexagons allow.
func TestNoLatticeBeatsHexagons(t *testing.T) {
	for _, r := range []geom.Ring{shapetest.Ngon(5, 30, 0), shapetest.Ngon(7, 30, 0), shapetest.Ngon(8, 30, 0), shapetest.Ngon(11, 30, 0), {{}, {X: 50, Y: 3}, {X: 61, Y: 25}, {X: 40, Y: 44}, {X: 9, Y: 38}, {X: -6, Y: 18}, {X: -5, Y: 8}}} {
		f := newForm(0, geom.Region{Outer: r}, 0, 0)
		// So many pieces that the last sheet matters little.
		const n, side = 100_000_000_000, 1e5
		sheets := bound.Sheets(context.Background(), []bound.Want{{Shape: f.Shape, N: n}}, geom.Box{Max: geom.Vec{X: side, Y: side}}, 0)
		least := float64(sheets-1) * side * side / n
		if least < f.Form.Area*(1-1e-3) {
			t.Errorf("%d sides: hexagons take %v a piece, it has %v", len(r), least, f.Form.Area)
		}
		if cell := densest(newRower(f.Form, false)).cell(); cell < least {
			t.Errorf("%d sides: a lattice takes %v a piece, hexagons %v", len(r), cell, least)
		}
	}
}
