package project

import "testing"

func TestExampleLoads(t *testing.T) {
	p, _ := Example()
	if p.Title != "Ginkgo walk" || p.Skirt.Drop != 560 || p.Motifs[1].Direction != "tossed" || p.Scatter.Spacing != 110 {
		t.Errorf("%+v", p)
	}
	if len(p.Notes) != 0 {
		t.Errorf("notes %q", p.Notes)
	}
}
