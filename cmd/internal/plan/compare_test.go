package plan

import (
	"strings"
	"testing"
)

// A choice without a spacing of its own tells the one that was found.
func TestChoiceTellsTheSpacingFound(t *testing.T) {
	p := built(t, "tide-exactly-sixty")
	asked := Choice{Asked: "9 cm", Pattern: "grid", Project: p.Project}
	asked.Project.Scatter.Spacing = 90
	found := Choice{Pattern: "polka", Project: p.Project, Plan: p}
	docs := choiceDocs([]Choice{found})
	if p.Layout.Spacing <= 0 || docs[0].Spacing != num(p.Layout.Spacing) || docs[0].Placed != 60 {
		t.Errorf("%g mm found, %v told", p.Layout.Spacing, docs[0])
	}
	if got := asked.name(); got != "9 cm, grid" {
		t.Errorf("asked: %s", got)
	}
	if got := found.name(); !strings.HasSuffix(got, " as found, polka") {
		t.Errorf("found: %s", got)
	}
}
