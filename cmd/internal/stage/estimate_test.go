package stage_test

import (
	"math"
	"testing"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
)

// By hand: felt is its area in g/m², the net the area of its panels, and work
// goes by the stated rules.
func TestEstimateGoesByItsRules(t *testing.T) {
	p := stagetest.BuiltIn(t)
	e := p.Estimate()
	grams, pieces := 0.0, 0
	for _, m := range p.Strewn.Layout.Placements {
		k := p.Mix.Kinds[m.Kind]
		for _, pc := range p.Mix.Motifs[k.Motif].Pieces {
			grams += pc.Region.Area() * k.Size * k.Size * 180e-6
			pieces++
		}
	}
	if math.Abs(e.Felt-grams) > 1e-6 || e.Pieces != pieces {
		t.Errorf("%g g of felt in %d pieces, want %g in %d", e.Felt, e.Pieces, grams, pieces)
	}
	// A full circle is a ring.
	in, out := p.Cloth.Surface.Inner, p.Cloth.Surface.Inner+p.Cloth.Surface.Drop
	if want := math.Pi * (out*out - in*in) * 20e-6; math.Abs(e.Net-want) > 0.001*want {
		t.Errorf("%g g of net, want %g", e.Net, want)
	}
	if want := float64(pieces) * 40 / 3600; math.Abs(e.Fixing-want) > 1e-9 {
		t.Errorf("%g hours of gluing, want %g", e.Fixing, want)
	}
	if want := float64(len(p.Strewn.Layout.Placements)) * 25 / 3600; math.Abs(e.Marking-want) > 1e-9 {
		t.Errorf("%g hours of marking, want %g", e.Marking, want)
	}
	if e.Cutting <= 0 {
		t.Errorf("%g hours of cutting", e.Cutting)
	}
	if e.IsHeavy() {
		t.Errorf("%g g on %g g are heavy", e.Felt, e.Net)
	}
	p.Counts = append([]stage.Count(nil), p.Counts...)
	p.Counts[0].Placed *= 20
	if e := p.Estimate(); !e.IsHeavy() {
		t.Errorf("%g g on %g g are not heavy", e.Felt, e.Net)
	}
}

// The project's own rules stand above the plan's: twice the weight and twice
// the time are twice as much, twice the speed saves half of the way.
func TestEstimateTakesTheProjectsRules(t *testing.T) {
	p := stagetest.BuiltIn(t)
	was := p.Estimate()
	s := &p.Project.Supplies
	s.FeltWeight, s.NetWeight, s.FixingTime, s.GluePerPiece = 360, 40, 80, 2*s.GluePerPiece
	e := p.Estimate()
	for _, x := range []struct {
		what     string
		was, now float64
	}{{"felt", was.Felt, e.Felt}, {"net", was.Net, e.Net}, {"fixing", was.Fixing, e.Fixing}} {
		if math.Abs(x.now-2*x.was) > 1e-9*x.was {
			t.Errorf("%s: %g, want twice %g", x.what, x.now, x.was)
		}
	}
	edges := 0.0 // what scissors go along, in hours at 6 mm/s
	for i, k := range p.Mix.Kinds {
		for _, pc := range p.Mix.Measures[k.Motif].Pieces {
			edges += float64(p.Counts[i].Cut()) * pc.Edge * k.Size / 6 / 3600
		}
	}
	s.CuttingSpeed = 12
	if got := p.Estimate().Cutting; math.Abs(was.Cutting-edges/2-got) > 1e-9 {
		t.Errorf("%g hours of cutting at twice the speed, want %g", got, was.Cutting-edges/2)
	}
	s.Fixing, s.FixingTime, s.ThreadPerPiece, s.ThreadReel = "sew", 0, 1000, 10_000
	if got, want := p.Estimate().Fixing, float64(e.Pieces)*150/3600; math.Abs(got-want) > 1e-9 {
		t.Errorf("%g hours of sewing, want %g", got, want)
	}
}
