package plan

import (
	"math"
	"strings"
	"testing"
)

// By hand: felt is its area in g/m², the net the area of its panels, and work
// goes by the stated rules.
func TestEstimateGoesByItsRules(t *testing.T) {
	p := exampleBuilt(t)
	e := p.Estimate()
	grams, pieces := 0.0, 0
	for _, m := range p.Layout.Placements {
		k := p.Kinds[m.Kind]
		for _, pc := range p.Motifs[k.Motif].Pieces {
			grams += pc.Region.Area() * k.Size * k.Size * 180e-6
			pieces++
		}
	}
	if math.Abs(e.Felt-grams) > 1e-6 || e.Pieces != pieces {
		t.Errorf("%g g of felt in %d pieces, want %g in %d", e.Felt, e.Pieces, grams, pieces)
	}
	// A full circle is a ring.
	in, out := p.Surface.Inner, p.Surface.Inner+p.Surface.Drop
	if want := math.Pi * (out*out - in*in) * 20e-6; math.Abs(e.Net-want) > 0.001*want {
		t.Errorf("%g g of net, want %g", e.Net, want)
	}
	if want := float64(pieces) * 40 / 3600; math.Abs(e.Fixing-want) > 1e-9 {
		t.Errorf("%g hours of gluing, want %g", e.Fixing, want)
	}
	if e.Cutting <= 0 {
		t.Errorf("%g hours of cutting", e.Cutting)
	}
	if p.heavyWords() != "" {
		t.Errorf("%g g on %g g: %s", e.Felt, e.Net, p.heavyWords())
	}
	heavy := *p
	heavy.Counts = append([]Count(nil), p.Counts...)
	heavy.Counts[0].Placed *= 20
	if text := heavy.heavyWords(); !strings.Contains(text, "pulls the net down") || !strings.Contains(text, "an estimate") {
		t.Errorf("twenty times the felt: %q", text)
	}
}

func TestShoppingSaysWhatIsGuessed(t *testing.T) {
	p := exampleBuilt(t)
	md := string(p.shoppingMarkdown())
	for _, w := range []string{"hot glue stick", "estimate: 0.25 cm³ of glue a piece", "## Paper", "sheets of A4: placement.pdf", "## Weight and work, estimates",
		"cutting out: about ", "gluing on: about ", " g of felt on the top layer", "our own guess, without a source", "## How the felt shows", "on the net: clear, ΔE"} {
		if !strings.Contains(md, w) {
			t.Errorf("shopping.md does not say %q", w)
		}
	}
	if table := string(p.shoppingCSV()); !strings.Contains(table, "\npaper,to print all files,") {
		t.Errorf("shopping.csv names no paper: %s", table)
	}
}

// By hand: each thing on the list at its price, and what has none named.
func TestCostAddsUp(t *testing.T) {
	p := *exampleBuilt(t)
	sum := 0.0
	for _, n := range p.Lay.Needs {
		sum += float64(n.Buy) * p.Project.Sheets[n.Stock].Price
	}
	if want := "felt " + p.money(sum) + ", net"; !strings.HasPrefix(p.costWords(), want) {
		t.Errorf("%q does not begin with %q", p.costWords(), want)
	}
	for _, f := range p.Fabric {
		price := p.Project.Skirt.FabricPrice.Price
		if f.Part == "lining" {
			price = p.Project.Lining.FabricPrice.Price
		}
		sum += f.Length / 1000 * price
	}
	glue, paper := 0.0, 0.0
	for _, l := range p.shopping() {
		switch l.part {
		case "fixing":
			glue += l.buy
		case "paper":
			paper += l.buy
		}
	}
	sum += glue**p.Project.Supplies.FixingPrice + paper**p.Project.Supplies.PaperPrice
	if want := ": " + p.money(sum) + " in all"; !strings.HasSuffix(p.costWords(), want) {
		t.Errorf("%q does not end with %q", p.costWords(), want)
	}
	p.Project.Skirt.FabricPrice.Price, p.Project.Skirt.FabricPrice.Per = 3, 500
	for _, l := range p.shopping() {
		if l.item == "net" && math.Abs(l.cost-6*l.buy) > 1e-9 {
			t.Errorf("%g m of net at 3 for half a metre cost %g", l.buy, l.cost)
		}
	}
	p.Project.Skirt.FabricPrice.Set, p.Project.Supplies.PaperPrice = false, nil
	if !strings.HasSuffix(p.costWords(), "; net and paper without a price") {
		t.Errorf("without the prices of net and paper: %q", p.costWords())
	}
}

// The project's own rules stand above the plan's: twice the weight and twice
// the time are twice as much, twice the speed saves half of the way.
func TestEstimateTakesTheProjectsRules(t *testing.T) {
	p := *exampleBuilt(t)
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
	for i, k := range p.Kinds {
		for _, pc := range p.Measures[k.Motif].Pieces {
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
	if md := string(p.shoppingMarkdown()); !strings.Contains(md, "100 cm of thread a piece, 10 m a reel") || !strings.Contains(md, "at 360 g/m² of felt and 40 of net") {
		t.Errorf("shopping.md does not tell the project's rules:\n%s", md)
	}
}

func TestHours(t *testing.T) {
	for h, want := range map[float64]string{0.01: "15 minutes", 0.5: "30 minutes", 1.05: "1 hour", 2.6: "2.5 hours", 33.4: "33 hours"} {
		if got := hours(h); got != want {
			t.Errorf("%g h: %s, want %s", h, got, want)
		}
	}
}
