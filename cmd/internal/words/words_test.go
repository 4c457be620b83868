package words

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/scatter"
)

// The answer is one screen, and says what matters.
func TestAnswer(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		answer := Of(p, printed).Answer("results", 100)
		text := answer.Result + answer.Cautions
		lines := strings.Split(text, "\n")
		if len(lines) > 45 {
			t.Errorf("%d lines are more than a screen:\n%s", len(lines), text)
		}
		for _, l := range lines {
			if len([]rune(l)) > 100 {
				t.Errorf("a line of %d columns: %s", len([]rune(l)), l)
			}
		}
		want := []string{p.Project.Title, "Cut ", "Buy felt", "Marking", "Cloth", "results", "under three", "net and felt burn", "local"}
		if p.Project.Supplies.Fixing == "glue" {
			want = append(want, "melt nylon net")
		}
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("the answer does not say %q", w)
			}
		}
		if warnings := Of(p, printed).Warnings(); len(warnings) > 0 != (answer.Warnings != "") {
			t.Errorf("%d warnings, but notes say %q", len(warnings), answer.Warnings)
		}
	})
}

func TestMarkingTable(t *testing.T) {
	p := stagetest.Built(t, "quarter-inches")
	rows, err := csv.NewReader(bytes.NewReader(Of(p, Drawn{}).MarkingCSV())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], " "); got != "mark panel row motif size down_in around_in step_in turn_deg from_upright_deg first_place first_in second_place second_in" {
		t.Errorf("head %q", got)
	}
	if len(rows) != len(p.Strewn.Layout.Placements)+1 {
		t.Errorf("%d lines for %d marks", len(rows)-1, len(p.Strewn.Layout.Placements))
	}
	for i, m := range p.Strewn.Layout.Placements {
		for k, want := range map[int]float64{5: m.Down, 6: m.Around} {
			got, err := strconv.ParseFloat(rows[i+1][k], 64)
			if err != nil || got*8 != math.Round(got*8) || math.Abs(got*25.4-want) > 25.4/16+1e-9 {
				t.Errorf("mark %d: %s is not %g mm in eighths of an inch, %v", i+1, rows[i+1][k], want, err)
			}
		}
		if first := i == 0 || p.Strewn.Layout.Placements[i-1].Row != m.Row; first != (rows[i+1][7] == "") {
			t.Errorf("mark %d: step %q", i+1, rows[i+1][7])
		}
	}
}

// The card counts every mark of the panels that it shows.
func TestCardListsEveryMark(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		var panels []int
		for k := range p.Cloth.Surface.Panels {
			panels = append(panels, k)
		}
		card := Of(p, Drawn{}).Card(panels)
		listed := 0
		for _, table := range card.Tables {
			for _, r := range table.Rows {
				if len(p.Strewn.Layout.Rows) == 0 {
					listed++
					continue
				}
				n, err := strconv.Atoi(r[2])
				if err != nil {
					t.Fatal(err)
				}
				listed += n
			}
		}
		if want := len(p.Strewn.Layout.Placements); listed != want {
			t.Errorf("the card lists %d marks, want %d", listed, want)
		}
		if len(card.Steps) == 0 {
			t.Error("the card does not say how it is used")
		}
	})
}

// A choice without a spacing of its own tells the one that was found.
func TestChoiceTellsTheSpacingFound(t *testing.T) {
	p := stagetest.Built(t, "tide-exactly-sixty")
	asked := stage.Choice{Asked: "9 cm", Pattern: "grid", Project: p.Project}
	asked.Project.Scatter.Spacing = 90
	found := stage.Choice{Pattern: "polka", Project: p.Project, Plan: p}
	if got := ChoiceOf(found).Notes(); len(got) < 2 || !strings.HasPrefix(got[0], "60 cutouts placed, ") {
		t.Errorf("notes %q", got)
	}
	if got := ChoiceOf(asked).Name(); got != "9 cm, grid" {
		t.Errorf("asked: %s", got)
	}
	if got := ChoiceOf(found).Name(); !strings.HasSuffix(got, " as found, polka") {
		t.Errorf("found: %s", got)
	}
}

// A spacing that was too close is named with the one that was taken.
func TestWidenedSpacingIsNamed(t *testing.T) {
	p := stagetest.Built(t, "tide-exactly-sixty")
	c := stage.Choice{Asked: "2 cm", Pattern: "grid", Project: p.Project, Plan: p}
	c.Project.Scatter.Spacing = 20
	c.Plan.Strewn.Layout.Notes = []scatter.Note{{Key: "scatter.spacing"}}
	c.Plan.Strewn.Layout.Spacing = 82
	if got := ChoiceOf(c).Name(); got != "2 cm widened to 8.2 cm, grid" {
		t.Errorf("got %q", got)
	}
	if rows := string(CompareCSV([]stage.Choice{c})); !strings.Contains(rows, "\n20,grid,60,") || !strings.HasSuffix(rows, ",82\n") {
		t.Errorf("the table says\n%s", rows)
	}
}
