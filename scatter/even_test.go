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

// evenSurfaces are the cuts on which evenness is held to its figures.
var evenSurfaces = []struct {
	name    string
	surface skirt.Surface
	repeats []int
}{
	{"full circle, two panels", skirt.NewCircle(680, 570, 1, 2), []int{1, 2}},
	{"half circle, one panel", skirt.NewCircle(680, 570, 0.5, 1), []int{1}},
	{"double circle, three panels", skirt.NewCircle(1360, 570, 2, 3), []int{1, 3}},
	{"gathered rectangle", skirt.NewRectangle(2400, 570, 2), []int{1, 2}},
}

// Polka at jitter 0.5 is even everywhere: against d, the widest spacing that so
// many points can have (Oler 1961), the closest pair is at least 0.80 d, no bald
// spot is wider than 0.76 d, and Clark & Evans' R (1954) is at least 1.90.
func TestPolkaIsEven(t *testing.T) {
	for _, c := range evenSurfaces {
		for _, repeat := range c.repeats {
			for seed := range uint64(2) {
				l, err := scatter.Run(context.Background(), c.surface, dot, scatter.Options{
					Pattern: scatter.Polka, Spacing: 95, Jitter: 0.5, Repeat: repeat, RepeatSet: true, Seed: seed,
					Clearance: scatter.Clearance{Between: 5, Waist: 20, Hem: 15}})
				if err != nil {
					t.Fatal(err)
				}
				e := l.Evenness
				d := e.NearestMin / e.RelativeRadius
				if e.RelativeRadius < 0.80 || e.BaldRadius > 0.76*d || e.ClarkEvans < 1.90 {
					t.Errorf("%s, repeat %d, seed %d, %d marks: closest %.3f d, bald %.3f d, R %.3f",
						c.name, repeat, seed, len(l.Placements), e.RelativeRadius, e.BaldRadius/d, e.ClarkEvans)
				}
			}
		}
	}
}
