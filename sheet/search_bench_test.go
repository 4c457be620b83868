//go:build measure

package sheet

import (
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// BenchmarkSearch moves one piece after another of rolls crowded to 78 %, so that what
// a move and a unit of work take can be compared:
//
//	STREW_LAYS=DIR [STREW_ONLY=name] go test -tags measure -run '^$' -bench Search ./sheet
func BenchmarkSearch(b *testing.B) {
	for _, in := range instances(b) {
		if !in.stock.Roll || !strings.HasPrefix(in.name, os.Getenv("STREW_ONLY")) {
			continue
		}
		b.Run(in.name, func(b *testing.B) {
			c := in.crowded(0.78)
			start, i := c.work, 0
			for b.Loop() {
				c.move(i)
				if i++; i == len(c.pieces) {
					c.weigh()
					i = 0
				}
			}
			work := float64(c.work - start)
			b.ReportMetric(work/float64(b.N), "work/op")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/work, "ns/work")
		})
	}
}

// crowded returns a board of the instance's pieces so long that they would fill such a
// share of it, after some rounds of separating them.
func (in instance) crowded(share float64) *board {
	var fs []*form
	area := 0.0
	for i, it := range in.items {
		f := newForm(i, it, in.gap)
		fs = append(fs, f)
		area += float64(it.Count) * f.area
	}
	w, _ := in.stock.inner()
	bs := newBodies(fs, in.stock.Nap, w, math.Inf(1), tables{})
	b := newBoard(w, area/w/share, bs, rand.New(rand.NewPCG(1, 2)))
	b.ways = gentle()
	for i, it := range in.items {
		for range it.Count {
			b.throwIn(bs.all[i])
		}
	}
	for range 20 {
		b.round(math.MaxInt)
		b.weigh()
	}
	return b
}
