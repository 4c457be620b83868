package scatter_test

import (
	"context"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

func BenchmarkPolka(b *testing.B) {
	for _, c := range []struct {
		name    string
		spacing float64
	}{{"200", 92}, {"2000", 28}} {
		b.Run(c.name, func(b *testing.B) {
			s := skirt.NewCircle(680, 570, 1, 2)
			for b.Loop() {
				l, err := scatter.Run(context.Background(), s, []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(8)}, Share: 1}},
					scatter.Options{Pattern: scatter.Polka, Spacing: c.spacing, Jitter: 0.5, Repeat: 1, RepeatSet: true, Seed: 1,
						Clearance: scatter.Clearance{Between: 1, Waist: 20, Hem: 15}})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(l.Placements)), "marks")
				b.ReportMetric(l.Evenness.RelativeRadius, "closest/d")
				b.ReportMetric(l.Evenness.BaldRadius*l.Evenness.RelativeRadius/l.Evenness.NearestMin, "bald/d")
			}
		})
	}
}
