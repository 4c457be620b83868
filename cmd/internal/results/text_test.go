package results

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"testing"

	"strew/cmd/internal/stage/stagetest"
)

// plan.json counts the pages of the files that are written, its cost is that of
// the list, and its hours those of the estimate.
func TestPlanSaysWhatThePaperTakes(t *testing.T) {
	r := Of(stagetest.BuiltIn(t))
	data, err := r.PlanJSON(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Cost struct {
			Currency                                 string
			Felt, Cloth, Fixing, Paper, Other, Total *float64
		}
		Hours    struct{ Marking, Cutting, Fixing float64 }
		Estimate struct {
			Cutting float64 `json:"cutting_h"`
			Fixing  float64 `json:"fixing_h"`
		}
		Pages    map[string]int
		Order    []struct{ Cost float64 }
		Notes    []struct{ Text string }
		Warnings []string
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	printed := map[string]int{}
	sheets := 0
	for _, f := range r.paper(t.Context()) {
		printed[f.name] = len(f.pages)
		sheets += len(f.pages)
	}
	if !maps.Equal(doc.Pages, printed) || sheets == 0 {
		t.Errorf("pages %v, printed %v", doc.Pages, printed)
	}
	felt := 0.0
	for _, n := range doc.Order {
		felt += n.Cost
	}
	c := doc.Cost
	if c.Felt == nil || math.Abs(*c.Felt-felt) > 1e-6 {
		t.Errorf("felt %v, ordered for %g", c.Felt, felt)
	}
	if want := float64(sheets) * *r.plan.Project.Supplies.PaperPrice; c.Paper == nil || math.Abs(*c.Paper-want) > 1e-6 {
		t.Errorf("paper %v, want %g", c.Paper, want)
	}
	if c.Other != nil || c.Total == nil || math.Abs(*c.Total-*c.Felt-*c.Cloth-*c.Fixing-*c.Paper) > 1e-6 {
		t.Errorf("in all %v", c.Total)
	}
	if doc.Hours.Cutting != doc.Estimate.Cutting || doc.Hours.Fixing != doc.Estimate.Fixing || doc.Hours.Marking <= 0 {
		t.Errorf("hours %+v, estimate %+v", doc.Hours, doc.Estimate)
	}
	if len(doc.Notes) != len(doc.Warnings) || len(doc.Notes) == 0 || doc.Notes[0].Text != doc.Warnings[0] {
		t.Errorf("notes %v, warnings %v", doc.Notes, doc.Warnings)
	}
}

// A plan that is replaced meanwhile has no texts, and what was drawn of its paper
// is not kept.
func TestTextIsCancelled(t *testing.T) {
	r := Of(stagetest.Built(t, "tide-half-grid"))
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := r.Text(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("texts: %v", err)
	}
	if data, err := r.PlanJSON(ctx); !errors.Is(err, context.Canceled) || data != nil {
		t.Errorf("%d bytes of plan.json, %v", len(data), err)
	}
	text, err := r.Text(context.Background())
	if err != nil || len(text.Drawn.Paper) == 0 {
		t.Errorf("%d files, %v", len(text.Drawn.Paper), err)
	}
}
