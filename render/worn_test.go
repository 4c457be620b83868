package render

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/render/raster"
	"strew/scatter/skirt"
)

// hanging draws a skirt of any cut but an outline, and its waist.
func hanging(t *rapid.T) (skirt.Surface, float64) {
	waist := rapid.Float64Range(450, 1300).Draw(t, "waist")
	fullness := rapid.Float64Range(1, 3.5).Draw(t, "fullness")
	drop := rapid.Float64Range(200, 1000).Draw(t, "drop")
	panels := rapid.IntRange(1, 8).Draw(t, "panels")
	switch rapid.IntRange(0, 2).Draw(t, "cut") {
	case 0:
		return skirt.NewCircle(waist*fullness, drop, rapid.Float64Range(0.25, float64(min(panels, 4))).Draw(t, "share"), panels), waist
	case 1:
		return skirt.NewRectangle(waist*fullness, drop, panels), waist
	}
	n := max(2, panels)
	s, err := skirt.NewGores(waist*fullness, waist*fullness+rapid.Float64Range(0.3, 2).Draw(t, "flare")*drop, drop, n, rapid.Bool().Draw(t, "straight"))
	if err != nil {
		t.Skip(err)
	}
	return s, waist
}

// drawnLength measures the cloth along the corners of the cells of a row.
func drawnLength(w worn, row int) float64 {
	length := 0.0
	for j := range w.columns {
		a, b := w.nodes[j][row], w.nodes[(j+1)%w.columns][row]
		length += math.Hypot(b.x-a.x, b.toward-a.toward)
	}
	return length
}

// Gathers and folds use up cloth, they do not make or lose any: at every height
// the cloth is as long as it was cut, and so is the hem as it is drawn. The
// band is as long as the waist.
func TestFoldsTakeUpTheGirth(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		s, waist := hanging(t)
		w := newWorn(Cloth{Surface: s, Waist: waist}, nil, printDetail)
		for i := range 11 {
			down := s.Drop * float64(i) / 10
			r := w.hang.row(down)
			got, want := geom.Ring(r.nodes).Length(), s.Girth(down)
			if math.Abs(got-want) > 0.005*want {
				t.Fatalf("%g mm below the waist the cloth hangs %g mm long and was cut %g", down, got, want)
			}
		}
		for i, r := range w.hang.rows {
			got, want := drawnLength(w, i), s.Girth(r.down)
			off := math.Abs(got/want - 1)
			worst = math.Max(worst, off)
			if off > 0.005 {
				t.Fatalf("%g mm below the waist the cloth is drawn %g mm long and was cut %g", r.down, got, want)
			}
		}
		if got := geom.Ring(w.hang.outline).Length() * waist; math.Abs(got-waist) > 0.005*waist {
			t.Fatalf("the band is drawn %g mm long, the waist is %g", got, waist)
		}
	})
	t.Logf("the cloth as drawn is off by %.2g at most", worst)
}

// Down the cloth nothing is longer than it was cut: a line down the envelope
// is foreshortened by its flare and falls no farther than its own length.
func TestClothHangsDown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, waist := hanging(t)
		h := newHang(s, waist, printDetail)
		for i := 1; i < len(h.rows); i++ {
			a, b := h.rows[i-1], h.rows[i]
			if fall := b.drop - a.drop; !(fall > 0) || fall > (b.down-a.down)*(1+1e-9) {
				t.Fatalf("from %g to %g along the cloth it falls from %g to %g", a.down, b.down, a.drop, b.drop)
			}
		}
	})
}

// A plane tube as wide as the waist has no folds, so that half of what is
// strewn evenly round it faces the front.
func TestATubeShowsHalf(t *testing.T) {
	s := skirt.NewRectangle(700, 500, 1)
	c := Cloth{Surface: s, Colour: "#888888", Opacity: 0.3, Waist: 700}
	var marks []Mark
	for i := range 100 {
		at := s.PointAt(0, 250, 700*(float64(i)+0.5)/100)
		marks = append(marks, Mark{Number: i + 1, Motif: starfish(), MotifName: "starfish", Size: 0.1, Point: at})
	}
	w := newWorn(c, marks, printDetail)
	front, back := w.look(1).showing(), w.look(-1).showing()
	// Cells are whole, so two of a hundred may fall either way.
	if front < 48 || front > 52 || back < 48 || back > 52 || front != ShowInFront(c, marks) {
		t.Errorf("%d of 100 show in front and %d behind, want 50 and 50", front, back)
	}
}

// What is placed in the middle of panel 1 shows in front and not behind.
func TestPanelOneIsInFront(t *testing.T) {
	for _, panels := range []int{1, 2, 3, 6} {
		s := skirt.NewCircle(700, 500, 0.5, panels)
		c := Cloth{Surface: s, Colour: "#888888", Opacity: 0.3, Waist: 700}
		m := Mark{Number: 1, Motif: starfish(), MotifName: "starfish", Size: 0.1, Point: s.PointAt(0, 100, s.PanelGirth(100)/2)}
		w := newWorn(c, []Mark{m}, printDetail)
		if w.look(1).showing() != 1 || w.look(-1).showing() != 0 {
			t.Errorf("%d panels: the middle of panel 1 is not in front", panels)
		}
	}
}

func TestWornIsDrawn(t *testing.T) {
	for _, e := range examples() {
		if e.cloth.Surface.Cut == skirt.Outline {
			continue
		}
		e.cloth.Waist, e.cloth.Waistband = 680, 30
		sc := Worn(t.Context(), e.cloth, e.marks)
		if !sc.IsFinite() || sc.Width <= 0 || sc.Height <= 0 || len(sc.Ops) < 500 {
			t.Errorf("%s: the picture is %g × %g with %d operations", e.name, sc.Width, sc.Height, len(sc.Ops))
		}
	}
}

func BenchmarkWorn(b *testing.B) {
	c := circleCloth(1, 1360, 560, 2)
	c.Waist, c.Waistband = 680, 40
	marks := strewn(c.Surface, 150, 1, ginkgoLeaf(), acorn())
	for b.Loop() {
		if _, err := raster.Image(b.Context(), Worn(b.Context(), c, marks), ScreenDPI); err != nil {
			b.Fatal(err)
		}
	}
}
