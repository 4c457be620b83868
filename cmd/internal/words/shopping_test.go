package words

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/say"
)

// Felt of the ground's own colour cannot be seen; the advice leads away from it.
func TestContrastInWords(t *testing.T) {
	p := stagetest.BuiltIn(t)
	for _, c := range p.Contrasts() {
		if !c.Lighter {
			t.Errorf("%s on %s, which is dark: darker felt is advised", c.Colour, c.Ground)
		}
	}
	if words := Contrast(say.Printer{}, p.Contrasts()[0]); !strings.HasPrefix(words, "#d9a521 on the net: clear, ΔE ") {
		t.Errorf("gold on dark green: %s", words)
	}
	if words := Contrast(say.Printer{}, stage.Contrast{Colour: "#263e34", Ground: "#263e34", Lighter: true}); words != "#263e34 on the net: hardly shows, ΔE 0; a lighter felt would show more" {
		t.Error(words)
	}
}

// printed is what a plan's drawings have to tell, made up.
var printed = Drawn{Paper: []Pages{{"placement.pdf", 21}, {"lay.pdf", 14}}, Hangs: true, InFront: 7}

func TestShoppingSaysWhatIsGuessed(t *testing.T) {
	p := stagetest.BuiltIn(t)
	text := Of(p, printed)
	md := string(text.ShoppingMarkdown())
	for _, w := range []string{"hot glue stick", "estimate: 0.25 cm³ of glue a piece", "## Paper", "pages of A4: 21 for placement.pdf", "## Weight and work (estimates)",
		"cutting out: about ", "gluing on: about ", " g of felt on the top layer", "our own guess, without a source", "## How the felt shows", "on the net: clear, ΔE"} {
		if !strings.Contains(md, w) {
			t.Errorf("shopping.md does not say %q", w)
		}
	}
	if table := string(text.ShoppingCSV()); !strings.Contains(table, "\npaper,to print all files,") {
		t.Errorf("shopping.csv names no paper: %s", table)
	}
}

// By hand: each thing on the list at its price, and what has none named.
func TestCostAddsUp(t *testing.T) {
	p := stagetest.BuiltIn(t)
	sum := 0.0
	for _, n := range p.Laid.Lay.Needs {
		sum += float64(n.Buy) * p.Project.Sheets[n.Stock].Price
	}
	if want := "felt " + Of(p, printed).money(sum) + ", net"; !strings.HasPrefix(cost(Of(p, printed)), want) {
		t.Errorf("%q does not begin with %q", cost(Of(p, printed)), want)
	}
	for _, f := range p.Cloth.Fabric {
		price := p.Project.Skirt.FabricPrice.Price
		if f.Part == stage.Lining {
			price = p.Project.Lining.FabricPrice.Price
		}
		sum += f.Length / 1000 * price
	}
	glue, paper := 0.0, 0.0
	for _, l := range shopping(Of(p, printed)) {
		switch l.part {
		case "fixing":
			glue += l.buy
		case "paper":
			paper += l.buy
		}
	}
	sum += glue**p.Project.Supplies.FixingPrice + paper**p.Project.Supplies.PaperPrice
	if want := ": " + Of(p, printed).money(sum) + " in all"; !strings.HasSuffix(cost(Of(p, printed)), want) {
		t.Errorf("%q does not end with %q", cost(Of(p, printed)), want)
	}
	p.Project.Skirt.FabricPrice.Price, p.Project.Skirt.FabricPrice.Per = 3, 500
	for _, l := range shopping(Of(p, printed)) {
		if l.item == "net" && math.Abs(l.cost-6*l.buy) > 1e-9 {
			t.Errorf("%g m of net at 3 for half a metre cost %g", l.buy, l.cost)
		}
	}
	p.Project.Skirt.FabricPrice.Set, p.Project.Supplies.PaperPrice = false, nil
	if !strings.HasSuffix(cost(Of(p, printed)), "; net and paper without a price") {
		t.Errorf("without the prices of net and paper: %q", cost(Of(p, printed)))
	}
}

// The project's own rules stand above the plan's, and are told.
func TestShoppingTellsTheProjectsRules(t *testing.T) {
	p := stagetest.BuiltIn(t)
	s := &p.Project.Supplies
	s.FeltWeight, s.NetWeight, s.Fixing, s.ThreadPerPiece, s.ThreadReel = 360, 40, "sew", 1000, 10_000
	md := string(Of(p, printed).ShoppingMarkdown())
	for _, want := range []string{"100 cm of thread a piece, 10 m a reel", "at 360 g/m² of felt and 40 of net", "sewing on: about ", "reels of sewing thread, #d9a521"} {
		if !strings.Contains(md, want) {
			t.Errorf("shopping.md does not say %q:\n%s", want, md)
		}
	}
}

func TestHeavyFeltIsWarnedOf(t *testing.T) {
	p := stagetest.BuiltIn(t)
	if text := heavy(Of(p, Drawn{})); text != "" {
		t.Errorf("as it is: %q", text)
	}
	p.Counts = append([]stage.Count(nil), p.Counts...)
	p.Counts[0].Placed *= 20
	if text := heavy(Of(p, Drawn{})); !strings.Contains(text, "pulls the net down") || !strings.Contains(text, "an estimate") {
		t.Errorf("twenty times the felt: %q", text)
	}
}

func TestHours(t *testing.T) {
	for h, want := range map[float64]string{0.01: "15 minutes", 0.5: "30 minutes", 1.05: "1 hour", 2.6: "2.5 hours", 33.4: "33 hours"} {
		if got := hours(h).String(); got != want {
			t.Errorf("%g h: %s, want %s", h, got, want)
		}
	}
}

func TestShoppingLists(t *testing.T) {
	p := stagetest.Built(t, "quarter-inches")
	rows, err := csv.NewReader(bytes.NewReader(Of(p, printed).ShoppingCSV())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	felt := 0
	for _, r := range rows[1:] {
		if r[0] == "felt" {
			felt++
			if r[8] != "0.49" || r[10] != "USD" {
				t.Errorf("felt line %q", r)
			}
		}
	}
	if felt != len(p.Laid.Lay.Needs) {
		t.Errorf("%d felt lines, %d needs", felt, len(p.Laid.Lay.Needs))
	}
	md := string(Of(p, printed).ShoppingMarkdown())
	for _, w := range []string{"# Snail meadow, quarter circle", "craft felt 9 x 12", "yd net", "sewing thread", "under three"} {
		if !strings.Contains(md, w) {
			t.Errorf("shopping.md does not say %q", w)
		}
	}
}
