package scatter_test

import (
	"os"
	"testing"

	"strew/motif"
	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// example returns what the built-in example scatters: some 150 marks of three
// kinds on a full circle in two panels.
func example(t testing.TB) (skirt.Surface, []scatter.Kind, scatter.Options) {
	t.Helper()
	var kinds []scatter.Kind
	for m, drawn := range []struct {
		name  string
		width float64
		kind  scatter.Kind
		sizes []float64
	}{
		{"ginkgo", 60, scatter.Kind{Share: 3, Direction: scatter.OneWay}, []float64{1, 0.7}},
		{"acorn", 35, scatter.Kind{Share: 1, Direction: scatter.Tossed}, []float64{1}},
	} {
		data, err := os.ReadFile("../cmd/internal/project/example/" + drawn.name + ".svg")
		if err != nil {
			t.Fatal(err)
		}
		read, _, err := motif.ReadSVG(data, motif.Options{Name: drawn.name, Width: drawn.width})
		if err != nil {
			t.Fatal(err)
		}
		for _, size := range drawn.sizes {
			k := drawn.kind
			k.Name, k.Motif = drawn.name, m
			for _, r := range read.Outers() {
				k.Outline = append(k.Outline, r.Transform(geom.Scaling(size, size)))
			}
			kinds = append(kinds, k)
		}
	}
	return skirt.NewCircle(1360, 560, 1, 2), kinds, scatter.Options{
		Pattern: scatter.Polka, Spacing: 110, Jitter: 0.5, Repeat: 2, Seed: 7,
		Clearance: scatter.Clearance{Between: 15, Waist: 60, Hem: 15},
	}
}
