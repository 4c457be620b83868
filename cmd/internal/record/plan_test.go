package record

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
)

// planJSON is plan.json with nothing said.
func planJSON(p stage.Plan) []byte {
	return said(p, Said{})
}

// said is plan.json with what is said, but for contrasts.
func said(p stage.Plan, s Said) []byte {
	s.Contrast = func(stage.Contrast) string { return "" }
	return Plan(p, s)
}

// plan.json holds what the interface asks for, and the same twice.
func TestJSONHoldsTheInterface(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		one := 1.1
		all := Said{
			Cost:  Cost{Currency: "EUR", Felt: &one, Paper: &one, Total: &one},
			Pages: map[string]int{"placement.pdf": 12, "lay.pdf": 7},
			Notes: []Note{{Text: "narrow", Key: "motif.0.width", Motif: "leaf", At: []geom.Vec{{X: 1, Y: 2}, {X: 3, Y: 4.5}}, Marks: []int{12}}, {Text: "plain"}},
		}
		data := said(p, all)
		if again := said(p, all); !bytes.Equal(data, again) {
			t.Error("two writings differ")
		}
		var doc map[string]json.RawMessage
		if err := json.Unmarshal(data, &doc); err != nil {
			t.Fatal(err)
		}
		for part, keys := range map[string]string{
			"surface":   "cut closed panels panel_angle_deg inner_radius_mm drop_mm panel_width_mm boundary_mm",
			"clearance": "between_mm waist_mm hem_mm seam_mm",
			"evenness":  "nearest_min_mm nearest_mean_mm relative_radius clark_evans bald_radius_mm alike_neighbours area_mm2 rows",
			"cutting":   "gap_mm",
			"cost":      "currency felt paper total",
			"hours":     "marking cutting fixing",
			"pages":     "lay.pdf",
		} {
			has(t, part, doc[part], keys)
		}
		for part, keys := range map[string]string{
			"motifs":     "name backs anchor_mm width_mm height_mm area_mm2 edge_mm narrowest_mm backing_mm pieces",
			"placements": "mark motif size panel row x_mm y_mm turn_deg down_mm around_mm",
			"counts":     "motif size placed spare cut",
			"sheets":     "sheet number colour width_mm height_mm margin_mm nap used pieces",
			"order":      "sheet colour need stock buy at_least cost",
			"fabric":     "part cutting_length_mm pieces layers length_mm seamed",
			"notes":      "text key motif at_mm marks",
		} {
			var list []json.RawMessage
			if err := json.Unmarshal(doc[part], &list); err != nil || len(list) == 0 {
				t.Errorf("%s: %d entries, %v", part, len(list), err)
				continue
			}
			has(t, part, list[0], keys)
		}
		if string(doc["format"]) != `"strew-plan/1"` || doc["title"] == nil || doc["seed"] == nil || doc["warnings"] == nil {
			t.Error("the head is not complete")
		}
		for _, want := range []string{
			`"at_mm": [
    [1, 2],
    [3, 4.5]
   ]`, `"warnings": [
  "narrow",
  "plain"
 ]`, `{
   "text": "plain"
  }`, `"cost": {
  "currency": "EUR",
  "felt": 1.1,
  "paper": 1.1,
  "total": 1.1
 }`,
		} {
			if !bytes.Contains(data, []byte(want)) {
				t.Errorf("plan.json lacks %s", want)
			}
		}
	})
}

func has(t *testing.T, part string, data json.RawMessage, keys string) {
	t.Helper()
	var m map[string]json.RawMessage
	if err := json.Unmarshal(data, &m); err != nil {
		t.Errorf("%s: %v", part, err)
	}
	for _, k := range strings.Fields(keys) {
		if m[k] == nil {
			t.Errorf("%s has no key %s", part, k)
		}
	}
}
