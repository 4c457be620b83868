package sheet

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"
	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// On any pattern of taken cells the skyline finds as large a rectangle as
// trying them all does.
func TestLargestFreeRectangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newCells(geom.Box{Max: geom.Vec{X: float64(rapid.IntRange(1, 9).Draw(t, "cols")), Y: float64(rapid.IntRange(1, 9).Draw(t, "rows"))}}, 1)
		thin := rapid.IntRange(1, 9).Draw(t, "one taken in")
		for i := range g.taken {
			g.taken[i] = rapid.IntRange(0, thin).Draw(t, "taken") == 0
		}
		side := rapid.IntRange(1, 3).Draw(t, "side")
		most := 0
		for y0 := range g.rows {
			for x0 := range g.cols {
				for y1 := y0 + side; y1 <= g.rows; y1++ {
					for x1 := x0 + side; x1 <= g.cols; x1++ {
						if n := (y1 - y0) * (x1 - x0); n > most && g.isFree(block{x0, y0, x1, y1}) {
							most = n
						}
					}
				}
			}
		}
		r, ok := g.largest(side)
		if ok != (most > 0) || ok && (!g.isFree(r) || r.x1-r.x0 < side || r.y1-r.y0 < side || (r.x1-r.x0)*(r.y1-r.y0) != most) {
			t.Fatalf("got %v, %v; the largest has %d cells", r, ok, most)
		}
	})
}

func (g *cells) isFree(r block) bool {
	for y := r.y0; y < r.y1; y++ {
		for x := r.x0; x < r.x1; x++ {
			if g.taken[y*g.cols+x] {
				return false
			}
		}
	}
	return true
}

// What is left over lies on the sheet, holds no felt of any piece, and its
// rectangles do not overlap; and no point of a fine grid starts a free square
// much larger than the largest.
func TestLeftOverIsFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		st := Stock{Name: "s", Width: rapid.Float64Range(30, 160).Draw(t, "width")}
		s := Sheet{Height: rapid.Float64Range(30, 160).Draw(t, "height")}
		var items []Item
		for i := range rapid.IntRange(0, 5).Draw(t, "pieces") {
			items = append(items, Item{Shape: shapetest.Draw(t, "shape")})
			s.Pieces = append(s.Pieces, Placed{Item: i, Turn: rapid.Float64Range(-4, 4).Draw(t, "turn"), At: geom.Vec{
				X: rapid.Float64Range(0, st.Width).Draw(t, "x"), Y: rapid.Float64Range(0, s.Height).Draw(t, "y")}})
		}
		least := rapid.Float64Range(1, 40).Draw(t, "least")
		got := LeftOver(items, st, s, least)
		sheet := geom.Box{Max: geom.Vec{X: st.Width, Y: s.Height}}
		for i, b := range got {
			if math.Min(b.Width(), b.Height()) < least-1e-9 || !sheet.Grow(1e-9).Contains(b.Min) || !sheet.Grow(1e-9).Contains(b.Max) {
				t.Fatalf("%v is too small, or leaves the sheet %v", b, sheet)
			}
			if i > 0 && area(b) > area(got[i-1])+1e-9 {
				t.Fatalf("%v comes after the smaller %v", b, got[i-1])
			}
			for _, c := range got[:i] {
				if b.Grow(-1e-9).Meets(c) {
					t.Fatalf("%v overlaps %v", b, c)
				}
			}
			if k := coveredBy(items, s, b); k >= 0 {
				t.Fatalf("piece %d lies in %v", k, b)
			}
		}
		// A free square that starts anywhere and is larger by three cells.
		side := least + 3
		if len(got) > 0 {
			side = math.Max(side, math.Sqrt(area(got[0]))+3)
		}
		for x := 0.0; x+side < st.Width; x += 7 {
			for y := 0.0; y+side < s.Height; y += 7 {
				b := geom.Box{Min: geom.Vec{X: x, Y: y}, Max: geom.Vec{X: x + side, Y: y + side}}
				if coveredBy(items, s, b) < 0 {
					t.Fatalf("%v is free, and the largest found is %v", b, got)
				}
			}
		}
	})
}

func area(b geom.Box) float64 { return b.Width() * b.Height() }

// coveredBy returns a piece that has felt within the box, -1 for none: an
// outline that comes inside, or felt all over its middle.
func coveredBy(items []Item, s Sheet, b geom.Box) int {
	in := b.Grow(-1e-6)
	ring := geom.Ring{in.Min, {X: in.Max.X, Y: in.Min.Y}, in.Max, {X: in.Min.X, Y: in.Max.Y}}
	for k, p := range s.Pieces {
		r := placedRegion(items, p)
		if r.Contains(in.Centre()) {
			return k
		}
		for _, o := range r.Rings() {
			for i, a := range o {
				c := o.At(i + 1)
				if in.Contains(a) {
					return k
				}
				for j, d := range ring {
					if geom.SegmentGap(a, c, d, ring.At(j+1)) == 0 {
						return k
					}
				}
			}
		}
	}
	return -1
}

// Of rectangles the largest free one is known: its sides lie on theirs. (Every
// free rectangle grows until each side meets an obstacle.)
func TestLeftOverBesideRectangles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		st, s := Stock{Name: "s", Width: 100}, Sheet{Height: 80}
		var items []Item
		xs, ys := []float64{0, 100}, []float64{0, 80}
		for i := range rapid.IntRange(0, 5).Draw(t, "pieces") {
			w, h := rapid.Float64Range(3, 50).Draw(t, "w"), rapid.Float64Range(3, 50).Draw(t, "h")
			at := geom.Vec{X: rapid.Float64Range(0, 100-w).Draw(t, "x"), Y: rapid.Float64Range(0, 80-h).Draw(t, "y")}
			items = append(items, Item{Shape: shapetest.Rect(w, h)})
			s.Pieces = append(s.Pieces, Placed{Item: i, At: at})
			xs, ys = append(xs, at.X, at.X+w), append(ys, at.Y, at.Y+h)
		}
		most := geom.Box{}
		for _, x0 := range xs {
			for _, x1 := range xs {
				for _, y0 := range ys {
					for _, y1 := range ys {
						b := geom.Box{Min: geom.Vec{X: x0, Y: y0}, Max: geom.Vec{X: x1, Y: y1}}
						if x1-x0 > 10 && y1-y0 > 10 && area(b) > area(most) && coveredBy(items, s, b) < 0 {
							most = b
						}
					}
				}
			}
		}
		got := LeftOver(items, st, s, 5)
		within := (most.Width() - 2) * (most.Height() - 2)
		if area(most) > 0 && (len(got) == 0 || area(got[0]) < within-1e-9) {
			t.Fatalf("got %v, want nearly %v", got, most)
		}
		if len(got) > 0 && math.Min(got[0].Width(), got[0].Height()) > 10 && area(got[0]) > area(most)+1e-6 {
			t.Fatalf("got %v, which is larger than the largest, %v", got, most)
		}
	})
}

func TestLeftOverOfNothing(t *testing.T) {
	st := Stock{Name: "s", Width: 210}
	got := LeftOver(nil, st, Sheet{Height: 297}, 50)
	if len(got) != 1 || got[0] != (geom.Box{Max: geom.Vec{X: 210, Y: 297}}) {
		t.Errorf("an empty sheet leaves %v", got)
	}
	if got := LeftOver(nil, Stock{Width: 40}, Sheet{Height: 400}, 50); len(got) != 0 {
		t.Errorf("a strip narrower than wanted leaves %v", got)
	}
	// A roll of 1.5 m by 20 m has larger cells, and is still found whole.
	if got := LeftOver(nil, Stock{Width: 1500, Roll: true}, Sheet{Height: 20000}, 50); len(got) != 1 || area(got[0]) < 0.99*1500*20000 {
		t.Errorf("an empty roll leaves %v", got)
	}
}

// A sheet that is not full leaves at least as much felt in one strip as the
// quick lay does below its pieces.
func TestLastSheetLeavesAStrip(t *testing.T) {
	st := Stock{Name: "s", Width: 210, Height: 297, Margin: 4}
	w, h := st.bed().Width(), st.bed().Height()
	// strips returns the felt inside the margins below the pieces and beside them.
	strips := func(items []Item, effort int) (below, beside float64, sheets int) {
		lay, err := Pack(context.Background(), items, []Stock{st}, Options{Gap: 2, Effort: effort})
		if err != nil {
			return 0, 0, 0 // too large for the sheet
		}
		box := geom.EmptyBox()
		for _, q := range lay.Sheets[0].Pieces {
			box = box.Union(placedRegion(items, q).Box())
		}
		return (st.Margin + h - box.Max.Y) * w, (st.Margin + w - box.Max.X) * h, len(lay.Sheets)
	}
	tried, compared := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		items := []Item{{Name: "piece", Shape: shapetest.Draw(t, "shape"), Colour: "#111111", Count: rapid.IntRange(1, 12).Draw(t, "count")}}
		tried++
		quick, _, sheets := strips(items, 0)
		if sheets != 1 {
			return
		}
		compared++
		if below, beside, sheets := strips(items, 3); sheets != 1 || max(below, beside) < quick-geom.Touch*w {
			t.Fatalf("%d sheets, strips of %.0f and %.0f mm², and %.0f where laid quickly", sheets, below, beside, quick)
		}
	})
	if 2*compared < tried {
		t.Errorf("only %d of %d lays were compared", compared, tried)
	}
	// Half-turned triangles lie in rows of parallelograms: by far less felt.
	triangle := geom.Region{Outer: geom.Ring{{}, {X: 40}, {X: 13, Y: 36}}}
	items := []Item{{Name: "triangle", Shape: triangle, Colour: "#111111", Count: 40}}
	quick, _, _ := strips(items, 0)
	if below, beside, _ := strips(items, 3); max(below, beside) <= quick {
		t.Errorf("strips of %.0f and %.0f mm², and %.0f where laid quickly", below, beside, quick)
	}
}
