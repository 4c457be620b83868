//go:build measure && unix

package scatter_test

import (
	"context"
	"fmt"
	"math"
	"syscall"
	"testing"
	"time"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// rosette is an outline of 60 points.
func rosette(r float64) geom.Ring {
	var out geom.Ring
	for i := range 60 {
		a := 2 * math.Pi * float64(i) / 60
		out = append(out, geom.Vec{X: r * (0.8 + 0.2*math.Cos(5*a))}.Rotate(a))
	}
	return out
}

// TestSpeed prints how long polka takes with tossed outlines of 60 points, on the
// wall and in processor time.
func TestSpeed(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	fmt.Printf("%8s %9s %12s %14s\n", "marks", "wall, s", "processor, s", "µs per mark")
	for _, n := range []int{200, 2000, 10_000, 30_000, 100_000} {
		spacing := math.Sqrt(s.Girth(s.Drop/2) * s.Drop / float64(n) * 2 / math.Sqrt(3))
		kinds := []scatter.Kind{{Name: "rosette", Outline: []geom.Ring{rosette(spacing / 4)}, Share: 1, Direction: scatter.Tossed}}
		var before, after syscall.Rusage
		_ = syscall.Getrusage(syscall.RUSAGE_SELF, &before)
		start := time.Now()
		l, err := scatter.Run(context.Background(), s, kinds, scatter.Options{
			Pattern: scatter.Polka, Cutouts: n, Jitter: 0.5, Repeat: 1, RepeatSet: true, Seed: 1,
			Clearance: scatter.Clearance{Between: spacing / 20, Waist: 20, Hem: 15}})
		if err != nil {
			t.Fatal(err)
		}
		wall := time.Since(start).Seconds()
		_ = syscall.Getrusage(syscall.RUSAGE_SELF, &after)
		used := float64(after.Utime.Nano()-before.Utime.Nano()) / 1e9
		fmt.Printf("%8d %9.3f %12.3f %14.0f\n", len(l.Placements), wall, used, used/float64(n)*1e6)
	}
}
