package words

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
)

// The list to tick off holds every line of shopping.csv at the same cost, each
// with an id of its own that does not hang on the amount, and its sums add up.
func TestListHoldsTheShopping(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		text := Of(p, printed)
		ids := map[string]bool{}
		var costs []string
		for _, section := range text.List() {
			for _, l := range section.Lines {
				if ids[l.ID] || l.ID == "" || l.Item == "" || !l.Sum && l.Quantity == "" {
					t.Errorf("%s: %+v", section.Title, l)
				}
				ids[l.ID] = true
				if !l.Sum {
					costs = append(costs, l.Cost)
				}
			}
		}
		var want []string
		for _, l := range shopping(text) {
			cost := ""
			if l.cost >= 0 {
				cost = text.money(l.cost)
			}
			want = append(want, cost)
		}
		if !slices.Equal(costs, want) {
			t.Errorf("costs %q, want %q", costs, want)
		}
		twice := p
		twice.Counts = slices.Clone(p.Counts)
		for i := range twice.Counts {
			twice.Counts[i].Placed *= 2
		}
		for _, section := range Of(twice, printed).List() {
			for _, l := range section.Lines {
				if !ids[l.ID] {
					t.Errorf("twice the cutouts: a line %q that was not there", l.ID)
				}
			}
		}
	})
}

func TestListInWords(t *testing.T) {
	p := stagetest.BuiltIn(t)
	p.Laid.Lay.Needs = slices.Clone(p.Laid.Lay.Needs)
	p.Laid.Lay.Needs[0].Drawer, p.Laid.Lay.Needs[0].Buy = p.Laid.Lay.Needs[0].Sheets, 0
	p.Project.Skirt.FabricPrice.Set = false
	var out strings.Builder
	for _, section := range Of(p, printed).List() {
		fmt.Fprintf(&out, "%s\n", section.Title)
		for _, l := range section.Lines {
			fmt.Fprintf(&out, "  %s | %s | %s | %s | %s | %t\n", l.ID, l.Item, l.Quantity, l.Cost, l.Note, l.Sum)
		}
	}
	for _, want := range []string{
		"Felt\n  felt/craft felt A4/#d9a521 | craft felt A4, #d9a521 | none to buy | ", "21 cm × 29.7 cm; ", " of them in the drawer",
		"Cloth\n  cloth/net/#2d4a3e | net, #2d4a3e | ", " m |  | 150 cm wide: 3 layers",
		"fixing/hot glue stick/ | hot glue, 11 mm × 200 mm | ", " sticks | ",
		"paper/to print all files/ | paper to print on, A4 | 35 sheets | ", " | marking guide 21, where to cut 14 | ",
		"In all\n  total | Everything |  | ", " EUR | net without a price | true\n",
	} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the list lacks %q:\n%s", want, out.String())
		}
	}
}

// The cost in numbers is the cost in words, part by part.
func TestCostInNumbers(t *testing.T) {
	text := Of(stagetest.BuiltIn(t), printed)
	c := text.Cost()
	if c.Currency != "EUR" || c.Felt == nil || c.Cloth == nil || c.Fixing == nil || c.Paper == nil || c.Total == nil {
		t.Fatalf("%+v", c)
	}
	if sum := *c.Felt + *c.Cloth + *c.Fixing + *c.Paper; math.Abs(sum-*c.Total) > 1e-6 {
		t.Errorf("%g in all, and the parts are %g", *c.Total, sum)
	}
	said := cost(text)
	for _, sum := range []float64{*c.Felt, *c.Paper, *c.Total} {
		if !strings.Contains(said, text.money(sum)) {
			t.Errorf("%q does not say %s", said, text.money(sum))
		}
	}
	text.Project.Supplies.PaperPrice = nil
	for i := range text.Project.Sheets {
		text.Project.Sheets[i].PriceSet = false
	}
	if c := text.Cost(); c.Felt != nil || c.Paper != nil || c.Cloth == nil || c.Total == nil {
		t.Errorf("without prices of felt and paper: %+v", c)
	}
	if data, err := json.Marshal(text.Cost()); err != nil || strings.Contains(string(data), "felt") {
		t.Errorf("%s, %v", data, err)
	}
	text.Project = project.Project{Sheets: text.Project.Sheets, Lining: &project.Lining{}}
	if c := text.Cost(); c.Total != nil {
		t.Errorf("without any price: %+v", c)
	}
}

// The sum says what the plan holds, and what less felt might do.
func TestSum(t *testing.T) {
	p := stagetest.BuiltIn(t)
	p.Laid.Lay.Needs = slices.Clone(p.Laid.Lay.Needs)
	need := &p.Laid.Lay.Needs[0]
	need.Sheets, need.Drawer, need.Buy, need.AtLeast = 4, 1, 3, 3
	text := Of(p, printed)
	sum := text.Sum()
	placed, cut := p.Totals()
	if sum.Placed != fmt.Sprintf("%d cutouts", placed) || sum.Cut != fmt.Sprintf("%d to cut", cut) || len(sum.Counts) != len(p.Counts) {
		t.Errorf("%+v", sum)
	}
	if f := sum.Felt[0]; f.Need != "4 sheets" || f.Stock != "1 in the drawer" || f.Buy != "3 sheets" || f.AtLeast != "3 might do" {
		t.Errorf("felt %+v", f)
	}
	buy := 0
	for _, n := range p.Laid.Lay.Needs {
		buy += n.Buy
	}
	if want := fmt.Sprintf("%d sheets of felt to buy", buy); sum.Buy != want {
		t.Errorf("%q, want %q", sum.Buy, want)
	}
	if sum.Cost.Total != text.money(*text.Cost().Total) || len(sum.Cost.Parts) != 5 || sum.Cost.Missing != "" {
		t.Errorf("cost %+v", sum.Cost)
	}
	// 150 marks at 25 s, some two hours of cutting and of gluing each.
	if sum.Hours.Total != "about 5.25 hours" || len(sum.Hours.Parts) != 3 || sum.Hours.Parts[0] != "marking 1 hour" {
		t.Errorf("hours %+v", sum.Hours)
	}
	if pages := text.Pages(); len(pages) != 2 || pages["placement.pdf"] != 21 {
		t.Errorf("pages %v", pages)
	}
	need.AtLeast = 4
	if f := Of(p, printed).Sum().Felt[0]; f.AtLeast != "" {
		t.Errorf("proven: %+v", f)
	}
	p.Project.Sheets = slices.Clone(p.Project.Sheets)
	for i := range p.Laid.Lay.Needs {
		n := &p.Laid.Lay.Needs[i]
		p.Project.Sheets[n.Stock].Roll = true
		n.Length, n.AtLeast = 0, 0
	}
	need.Length, need.AtLeast = 1200, 800
	roll := Of(p, printed).Sum()
	if roll.Buy != "1.2 m of felt to buy" || roll.Felt[0].Need != "1.2 m" || roll.Felt[0].AtLeast != "80 cm might do" {
		t.Errorf("a roll: %q, %+v", roll.Buy, roll.Felt[0])
	}
}

// Without a skirt there is nothing placed, marked or fixed.
func TestSumOfALay(t *testing.T) {
	p, err := laid(t, motifsOf("leaf", 3), map[string][2]float64{"leaf": {40, 30}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	text := Of(p, Drawn{})
	sum := text.Sum()
	if sum.Placed != "" || sum.Cut != "3 to cut" || sum.Buy != "1 sheet of felt to buy" || sum.Cost.Total != "" || len(sum.Hours.Parts) != 1 {
		t.Errorf("%+v", sum)
	}
	if list := text.List(); len(list) != 2 || list[0].Title != "Felt" || list[1].Lines[0].Note != "felt without a price" {
		t.Errorf("%+v", list)
	}
}
