//go:build measure

package scatter_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// TestCancelled stops large layouts at random moments and prints the longest time
// that Run or Measure then took to end, and the one after how long.
func TestCancelled(t *testing.T) {
	const n = 100_000
	r := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		name string
		opt  scatter.Options
		cut  skirt.Surface
	}{
		{"polka", scatter.Options{Pattern: scatter.Polka, Jitter: 1}, skirt.NewCircle(680, 570, 1, 2)},
		{"polka round a patch", scatter.Options{Pattern: scatter.Polka, Jitter: 0.5, Bare: []scatter.Bare{{Down: [2]float64{100, 300}, Around: [2]float64{0, 200}}}}, skirt.NewCircle(680, 570, 1, 2)},
		{"grid", scatter.Options{Pattern: scatter.Grid}, skirt.NewCircle(680, 570, 1, 2)},
		{"cape", scatter.Options{Pattern: scatter.Polka, Jitter: 0.5}, cape(t)},
	} {
		t.Run(c.name, func(t *testing.T) {
			area, _ := c.cut.Cloth()
			spacing := math.Sqrt(area / n * 2 / math.Sqrt(3))
			kinds := []scatter.Kind{
				{Name: "leaf", Outline: []geom.Ring{leaf(spacing/2, spacing/5)}, Share: 2, Direction: scatter.Tossed},
				{Name: "star", Motif: 1, Outline: []geom.Ring{star(spacing / 5)}, Share: 1, Direction: scatter.TwoWay},
			}
			c.opt.Repeat, c.opt.RepeatSet, c.opt.Seed, c.opt.Spacing = 1, true, 1, spacing
			c.opt.Clearance = scatter.Clearance{Between: spacing / 20, Waist: 2, Hem: 2}
			start := time.Now()
			l, err := scatter.Run(context.Background(), c.cut, kinds, c.opt)
			if err != nil {
				t.Fatal(err)
			}
			ran := time.Since(start)
			start = time.Now()
			if _, err := scatter.Measure(context.Background(), c.cut, kinds, c.opt, l); err != nil {
				t.Fatal(err)
			}
			measured := time.Since(start)
			worst := func(whole time.Duration, do func(ctx context.Context) error) (longest, after time.Duration) {
				for range 4 {
					wait := time.Duration(r.Float64() * float64(whole))
					ctx, cancel := context.WithTimeout(context.Background(), wait)
					start := time.Now()
					err := do(ctx)
					cancel()
					if took := time.Since(start) - wait; errors.Is(err, context.DeadlineExceeded) && took > longest {
						longest, after = took, wait
					}
				}
				return longest, after
			}
			late, at := worst(ran, func(ctx context.Context) error {
				_, err := scatter.Run(ctx, c.cut, kinds, c.opt)
				return err
			})
			fmt.Printf("%-20s %6d marks: run %6.2f s, ends at most %4d ms after it is told (at %.2f s)\n", c.name, len(l.Placements), ran.Seconds(), late.Milliseconds(), at.Seconds())
			late, at = worst(measured, func(ctx context.Context) error {
				_, err := scatter.Measure(ctx, c.cut, kinds, c.opt, l)
				return err
			})
			fmt.Printf("%-20s %6s        measure %6.2f s, %4d ms (at %.2f s)\n", "", "", measured.Seconds(), late.Milliseconds(), at.Seconds())
		})
	}
}
