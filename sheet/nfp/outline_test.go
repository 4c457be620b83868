package nfp

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// insideAny reports whether p lies in one of the rings, on the edge included
// up to slack.
func insideAny(rings []geom.Ring, p geom.Vec, slack float64) bool {
	for _, r := range rings {
		if r.Contains(p) || r.EdgeDist(p) <= slack {
			return true
		}
	}
	return false
}

// The search outline holds the true one, and its parts hold it but for the
// inset of the outline.
func TestPartsCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := shapetest.Draw(t, "shape")
		o, _ := NewOutline(context.Background(), g, rapid.SampledFrom([]Detail{Simple, Fine, Finest}).Draw(t, "detail"))
		fine, parts := o.Felt, o.Parts
		if fine.Area() < g.Area()-geom.Touch {
			t.Fatalf("simple outline has %v mm², the true one %v", fine.Area(), g.Area())
		}
		for _, p := range g.Outer {
			if !fine.Contains(p) && fine.EdgeDist(p) > geom.SamePoint {
				t.Fatalf("%v is lost by %v", p, fine.EdgeDist(p))
			}
		}
		for _, p := range parts {
			if len(geom.Hull(p)) != len(p) {
				t.Fatalf("%v is not convex", p)
			}
		}
		b := g.Box()
		for range 50 {
			p := geom.Vec{
				X: rapid.Float64Range(b.Min.X, b.Max.X).Draw(t, "x"),
				Y: rapid.Float64Range(b.Min.Y, b.Max.Y).Draw(t, "y"),
			}
			if g.Contains(p) && g.EdgeDist(p) > geom.Press && !insideAny(parts, p, 0) {
				t.Fatalf("%v lies in the shape, %v from its edge, and in no part", p, g.EdgeDist(p))
			}
		}
	})
}

// Bays of a smooth outline keep few bends, each of which makes a part, and the
// outline still holds little more than the true one. The bounds are our own.
func TestBaysTakeFewParts(t *testing.T) {
	for _, waves := range []float64{3, 5} {
		var r geom.Ring
		for k := range 160 {
			a := 2 * math.Pi * float64(k) / 160
			q := 28 * (1 + 0.25*math.Cos(waves*a))
			r = append(r, geom.Vec{X: q * math.Cos(a), Y: q * math.Sin(a)})
		}
		o, _ := NewOutline(context.Background(), geom.Region{Outer: r}, Fine)
		fine, parts := o.Felt, o.Parts
		if wider := fine.Area()/r.Area() - 1; len(parts) > int(2*waves)+1 || wider < 0 || wider > 0.005 {
			t.Errorf("%v bays: %d parts, %.2f %% wider", waves, len(parts), 100*wider)
		}
	}
}

// A context that is done ends the work on an outline of many points at once, and says so.
func TestOutlineStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if o, ok := NewOutline(ctx, geom.Region{Outer: shapetest.Ngon(5000, 50, 40)}, Fine); ok || o != nil {
		t.Error("an outline all the same")
	}
}
