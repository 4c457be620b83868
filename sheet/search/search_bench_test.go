//go:build measure

package search

import (
	"context"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"strew/sheet/shape"
	"strew/sheet/shapetest/instance"
)

// BenchmarkSearch moves one piece after another of rolls crowded to 78 %, so that the
// times of a move and of a unit of work can be compared:
//
//	STREW_LAYS=DIR [STREW_ONLY=name] go test -tags measure -run '^$' -bench Search ./sheet/search
func BenchmarkSearch(b *testing.B) {
	for _, in := range instance.Read(b, os.DirFS(os.Getenv("STREW_LAYS"))) {
		if !in.Bed.IsOpen() || !strings.HasPrefix(in.Name, os.Getenv("STREW_ONLY")) {
			continue
		}
		b.Run(in.Name, func(b *testing.B) {
			c := crowded(in, 0.78)
			start, i := c.work, 0
			for b.Loop() {
				c.move(i)
				if i++; i == len(c.pieces) {
					c.updateWeights()
					i = 0
				}
			}
			work := float64(c.work - start)
			b.ReportMetric(work/float64(b.N), "work/op")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/work, "ns/work")
		})
	}
}

// crowded returns a state of the instance's pieces on a bed of which they would fill the
// share, after some rounds of separating them.
func crowded(in instance.Instance, share float64) *separator {
	var fs []*shape.Form
	area := 0.0
	for i, g := range in.Shapes {
		fs = append(fs, shape.NewForm(i, g, in.Gap, 0))
		area += float64(in.Counts[i]) * fs[i].Area
	}
	bs := bodiesOf(in.Bed, fs...)
	b := newSeparator(context.Background(), in.Bed.CutAt(area/in.Bed.Width()/share), 1, bs, rand.New(rand.NewPCG(1, 2)))
	b.raise = gentle
	for i := range in.Shapes {
		for range in.Counts[i] {
			b.addAtRandom(bs.all[i])
		}
	}
	for range 20 {
		b.round(context.Background(), math.MaxInt)
		b.updateWeights()
	}
	return b
}
