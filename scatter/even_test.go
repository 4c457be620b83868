package scatter_test

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

func disc(r float64) geom.Ring {
	var out geom.Ring
	for i := range 48 {
		out = append(out, geom.Vec{X: r}.Rotate(2*math.Pi*float64(i)/48))
	}
	return out
}

func TestTry(t *testing.T) {
	surfaces := map[string]skirt.Surface{
		"full2": skirt.NewCircle(680*1, 570, 1, 2), "half1": skirt.NewCircle(680, 570, .5, 1),
		"double3": skirt.NewCircle(680*2, 570, 2, 3), "rect": skirt.NewRectangle(1360, 570, 2),
	}
	for name, s := range surfaces {
		for _, rep := range []int{1, s.Panels} {
		for _, sp := range []float64{110, 75} {
			for _, jit := range []float64{0, .25, .5, .75, 1} {
				start := time.Now()
				l, err := scatter.Run(context.Background(), s, []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(15)}, Share: 1, Direction: scatter.OneWay}},
					scatter.Options{Pattern: scatter.Polka, Spacing: sp, Jitter: jit, Repeat: rep, RepeatSet: true, Seed: 7, Clearance: scatter.Clearance{Between: 5, Waist: 20, Hem: 15}})
				if err != nil {
					t.Error(name, err)
					continue
				}
				e := l.Evenness
				d := e.NearestMin / e.RelativeRadius
				fmt.Printf("%-8s rep %d sp %3.0f jit %.2f n %4d min/d %.3f bald/d %.3f R %.3f  %v\n", name, rep, sp, jit, len(l.Placements), e.RelativeRadius, e.BaldRadius/d, e.ClarkEvans, time.Since(start).Round(time.Millisecond))
			}
		}
		}
	}
}
