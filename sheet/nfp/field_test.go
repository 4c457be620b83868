package nfp

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// partsOf returns the parts of a shape, grown by 1 mm and turned.
func partsOf(g geom.Region, turn float64) (out []geom.Ring) {
	o, _ := NewOutline(context.Background(), g, Fine)
	for _, p := range o.Parts {
		out = append(out, Offset(p, 1).Transform(geom.Rotation(turn)))
	}
	return out
}

// Cut into cells a field covers the same places and gives the same depths: exactly
// except where all of a cell is covered, there to less than a cell's size. All planes
// of all polygons, asked one by one, are the check.
func TestCellsAgreeWithPlanes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := partsOf(shapetest.Draw(t, "a"), 0), partsOf(shapetest.Draw(t, "b"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn"))
		c := NewField(a, b, rapid.SampledFrom([]int{1, 360}).Draw(t, "turns"))
		work := 0
		k := NewLocal(NewLedger(c), &work)
		k.Bind(c)
		f := k.Face(0, 1, 1)
		for range 50 {
			x := rapid.Float64Range(c.box.Min.X-1, c.box.Max.X+1).Draw(t, "x")
			y := rapid.Float64Range(c.box.Min.Y-1, c.box.Max.Y+1).Draw(t, "y")
			want := c.slowly(x, y)
			got, off := f.Depth(geom.Vec{X: x, Y: y}), 2*grain
			if at, _, _ := f.Find(geom.Vec{X: x, Y: y}); at != nil && at.Covered() {
				off = math.Hypot(1/c.scale.X, 1/c.scale.Y)
				if c.patches != nil {
					off *= float64(c.side / patchSide)
				}
			}
			if math.Abs(got-want) > off || want > 2*grain && got <= 0 || want == 0 && got > 0 {
				t.Fatalf("%v, %v lies %v deep by its cell and %v without", x, y, got, want)
			}
		}
	})
}

// slowly returns how deep a point lies, by all planes of all polygons.
func (f *Field) slowly(x, y float64) float64 {
	deep := 0.0
	for _, r := range f.polygons {
		least := math.Inf(1)
		for _, p := range f.planes[r.from:r.to] {
			least = min(least, p.depth(x, y))
		}
		deep = max(deep, least)
	}
	return deep
}

// Work counts by the ledger: a cell that its lay has not asked for counts, whatever the
// field knows; one learned of does not.
func TestLedgerCountsWork(t *testing.T) {
	star := geom.Region{Outer: shapetest.Ngon(5, 30, 12)}
	c := NewField(partsOf(star, 0), partsOf(star, 0.3), 360)
	ask := func(l *Ledger) int {
		work := 0
		k := NewLocal(l, &work)
		k.Bind(c)
		k.Learn()
		f := k.Face(0, 1, 1)
		for x := c.box.Min.X; x < c.box.Max.X; x += 3 {
			f.Depth(geom.Vec{X: x, Y: 1})
		}
		return work
	}
	first := NewLedger(c)
	if a, again, b := ask(first), ask(first), ask(NewLedger(c)); a == 0 || again != 0 || b != a {
		t.Errorf("the first worker counts %d, the next of the same lay %d, one of another lay %d", a, again, b)
	}
}
