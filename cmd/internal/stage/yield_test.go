package stage_test

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
)

// The felt asked for is not exceeded, and one cutout more would exceed it.
func TestFeltDecides(t *testing.T) {
	const name = "tide-three-sheets"
	quick := 0
	for _, sheets := range []int{2, 3} {
		p, err := stagetest.With(name, project.Overrides{Sheets: &sheets, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		n := len(p.Strewn.Layout.Placements)
		if laid := len(p.Laid.Lay.Sheets); laid > sheets || n == 0 {
			t.Errorf("%d cutouts on %d sheets, asked %d", n, laid, sheets)
		}
		n++
		more, err := stagetest.With(name, project.Overrides{Cutouts: &n, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		if laid := len(more.Laid.Lay.Sheets); laid <= sheets {
			t.Errorf("%d cutouts take only %d sheets, asked %d", n, laid, sheets)
		}
	}
	money := 4.0
	p, err := stagetest.With(name, project.Overrides{Budget: &money, Effort: &quick})
	if err != nil {
		t.Fatal(err)
	}
	cost, _ := p.FeltCost()
	n := len(p.Strewn.Layout.Placements) + 1
	more, err := stagetest.With(name, project.Overrides{Cutouts: &n, Effort: &quick})
	if err != nil {
		t.Fatal(err)
	}
	if dearer, _ := more.FeltCost(); cost > money || dearer <= money {
		t.Errorf("felt for %.2f costs %.2f, and for one cutout more %.2f", money, cost, dearer)
	}
}

// With felt in two sizes, a number of sheets yields at least as many cutouts as the
// same number of the larger size alone: a lay of fewer, dearer sheets is allowed.
// More sheets yield more.
func TestSheetsOfTwoSizes(t *testing.T) {
	const name = "ginkgo-three-loose"
	before, quick := 0, 0
	for _, sheets := range []int{3, 4} {
		p, err := stagetest.With(name, project.Overrides{Sheets: &sheets, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		o, err := project.Load(filepath.Join(stagetest.Examples, name, "project.toml"), project.Overrides{Sheets: &sheets, Effort: &quick})
		if err != nil {
			t.Fatal(err)
		}
		o.Sheets = o.Sheets[1:] // the large one
		large, err := stage.NewPlanner(stagetest.Files(o.Dir)).Plan(context.Background(), o, nil)
		if err != nil {
			t.Fatal(err)
		}
		n := len(p.Strewn.Layout.Placements)
		if len(p.Laid.Lay.Sheets) > sheets || n <= before || n < len(large.Strewn.Layout.Placements) {
			t.Errorf("%d sheets asked, %d laid: %d cutouts; %d on sheets of the larger size, %d on fewer sheets", sheets, len(p.Laid.Lay.Sheets), n, len(large.Strewn.Layout.Placements), before)
		}
		before = n
	}
}

func TestTooLittleFelt(t *testing.T) {
	one, cent := 1, 0.01
	for _, c := range []struct {
		name string
		o    project.Overrides
		says func(e *stage.TooLittleFelt) bool
	}{
		{"ginkgo-three-loose", project.Overrides{Sheets: &one}, func(e *stage.TooLittleFelt) bool { return e.Sheets > one && e.Least > 1 }},
		{"tide-three-sheets", project.Overrides{Budget: &cent}, func(e *stage.TooLittleFelt) bool { return e.Sheets == 0 && e.Cost > cent && e.Least > 1 }},
	} {
		_, err := stagetest.With(c.name, c.o)
		var little *stage.TooLittleFelt
		if !errors.As(err, &little) || !c.says(little) {
			t.Errorf("%s: got %v", c.name, err)
		}
	}
}
