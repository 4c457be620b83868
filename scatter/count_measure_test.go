//go:build measure

package scatter_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
)

// TestEveryCount asks for 7 to 300 cutouts of every pattern on every cut, and
// prints how many of these counts were met and which were refused.
func TestEveryCount(t *testing.T) {
	small := []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(8)}, Share: 1}}
	for _, c := range cuts(t) {
		for _, p := range []struct {
			pattern scatter.Pattern
			jitter  float64
		}{{scatter.Grid, 0}, {scatter.HemBand, 0}, {scatter.Polka, 0}, {scatter.Polka, 0.5}} {
			t.Run(fmt.Sprintf("%s/%s %g", c.name, p.pattern, p.jitter), func(t *testing.T) {
				met, refused, why := 0, []int(nil), error(nil)
				for n := 7; n <= 300; n++ {
					l, err := scatter.Run(context.Background(), c.surface, small, scatter.Options{
						Pattern: p.pattern, Cutouts: n, Jitter: p.jitter, Rows: 2, Repeat: c.surface.Panels, Seed: 3,
						Clearance: scatter.Clearance{Between: 2, Waist: 10, Hem: 10}})
					var no *scatter.Impossible
					switch {
					case errors.As(err, &no):
						if why == nil {
							why = err
						}
						refused = append(refused, n)
					case err != nil:
						t.Fatal(err)
					case len(l.Placements) != n:
						t.Errorf("%d placed, asked %d", len(l.Placements), n)
					default:
						met++
					}
				}
				fmt.Printf("%-28s %-8s %3g: %d met", c.name, p.pattern, p.jitter, met)
				if len(refused) > 0 {
					fmt.Printf(", refused %d from %d to %d (%v)", len(refused), refused[0], refused[len(refused)-1], why)
				}
				fmt.Println()
			})
		}
	}
}
