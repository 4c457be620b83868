package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"reflect"
	"testing"
)

// entry is a file in the answer of measure as a reader outside sees it.
type entry struct {
	File     string         `json:"file"`
	Motif    map[string]any `json:"motif"`
	Error    *string        `json:"error"`
	Warnings []string       `json:"warnings"`
}

func measured(t *testing.T, code int, args ...string) []entry {
	t.Helper()
	var out, errs bytes.Buffer
	if got := run(context.Background(), append([]string{"measure", "--json"}, args...), nil, &out, &errs); got != code {
		t.Fatalf("exit status %d, want %d: %s", got, code, errs.String())
	}
	var list []entry
	if err := json.Unmarshal(out.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	return list
}

// A file that cannot be read is an entry with its error, in the order asked,
// and the exit status is 2; where all are read it is 0.
func TestMeasureStatus(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "leaf.svg", goodOutline)
	list := measured(t, exitWrong, "nowhere.svg", "leaf.svg", "nowhere.svg")
	if len(list) != 3 || list[0].File != "nowhere.svg" || list[1].File != "leaf.svg" {
		t.Fatalf("%+v", list)
	}
	for i, e := range list {
		if bad := i != 1; bad != (e.Error != nil) || bad != (e.Motif == nil) || e.Warnings == nil {
			t.Errorf("entry %d: %+v", i, e)
		}
	}
	if list := measured(t, exitDone, "leaf.svg"); len(list) != 1 || list[0].Error != nil {
		t.Errorf("%+v", list)
	}
}

// measure says of a motif what plan.json says of it.
func TestMeasureAgreesWithPlan(t *testing.T) {
	t.Chdir(t.TempDir())
	write(t, "project.toml", goodProject)
	write(t, "leaf.svg", goodOutline)
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"plan", "project.toml", "--json", "--effort", "0"}, nil, &out, &errs); code != exitDone {
		t.Fatal(errs.String())
	}
	var doc struct{ Motifs []map[string]any }
	if err := json.Unmarshal(out.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	got := measured(t, exitDone, "leaf.svg", "--width", "6")[0].Motif
	piece := got["pieces"].([]any)[0].(map[string]any)
	more := piece["measured"].(map[string]any)
	delete(piece, "measured")
	if !reflect.DeepEqual(got, doc.Motifs[0]) {
		t.Errorf("measure says %v, plan.json %v", got, doc.Motifs[0])
	}
	// Its one piece is the whole motif.
	for _, c := range [][2]string{{"width_mm", "width_mm"}, {"height_mm", "height_mm"}, {"area_mm2", "area_mm2"}, {"edge_mm", "edge_mm"}} {
		if more[c[0]] != got[c[1]] {
			t.Errorf("%s of the piece is %v, of the motif %v", c[0], more[c[0]], got[c[1]])
		}
	}
	if w := more["weight_g"].(float64); math.Abs(w-got["area_mm2"].(float64)*180e-6) > 1e-5 {
		t.Errorf("weight %g g", w)
	}
}
