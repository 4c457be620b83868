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

func TestHours(t *testing.T) {
	for h, want := range map[float64]string{0.01: "15 minutes", 0.5: "30 minutes", 1.05: "1 hour", 2.6: "2.5 hours", 33.4: "33 hours"} {
		if got := hours(h); got != want {
			t.Errorf("%g h: %s, want %s", h, got, want)
		}
	}
}
