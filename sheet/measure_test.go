//go:build measure

package sheet

import (
	"context"
	"fmt"
	"math"
	"os"
	"runtime"
	"testing"
	"time"

	"strew/motif/geom"
)

// petals is a smooth outline of n waves, r·(1 + wave·cos nφ).
func petals(n int, r, wave float64) geom.Region {
	var out geom.Ring
	for k := range 160 {
		a := 2 * math.Pi * float64(k) / 160
		q := r * (1 + wave*math.Cos(float64(n)*a))
		out = append(out, geom.Vec{X: q * math.Cos(a), Y: q * math.Sin(a)})
	}
	return geom.Region{Outer: out}
}

// bean is a smooth outline with one bay.
func bean(r float64) geom.Region {
	var out geom.Ring
	for k := range 120 {
		a := 2 * math.Pi * float64(k) / 120
		q := r * (1 - 0.45*math.Exp(-4*(a-math.Pi)*(a-math.Pi)))
		out = append(out, geom.Vec{X: 1.5 * q * math.Cos(a), Y: q * math.Sin(a)})
	}
	return geom.Region{Outer: out}
}

// packomania is the largest radius of n equal discs in the unit square, from
// E. Specht's tables at packomania.com.
var packomania = map[int]float64{10: 0.148204322565, 20: 0.111382347512, 30: 0.091671057986, 39: 0.081367527047}

// TestMeasures lays large and home-size jobs and equal discs in a square and
// prints sheets, bound and time; STREW_MEASURE=home leaves the large ones out:
//
//	go test -tags measure -run Measures -v ./sheet
func TestMeasures(t *testing.T) {
	a4 := []Stock{{Name: "A4", Width: 210, Height: 297, Margin: 4}}
	three := func(n int) []Item {
		return []Item{
			{Name: "petals", Shape: petals(5, 28, 0.25), Colour: "#111111", Count: n},
			{Name: "bean", Shape: bean(18), Colour: "#111111", Count: n},
			{Name: "star", Shape: geom.Region{Outer: ngon(5, 20, 9)}, Colour: "#111111", Count: n},
		}
	}
	run := func(name string, items []Item, stock []Stock, gap float64, effort int) {
		start, cpu := time.Now(), cpuTime()
		lay, err := Pack(context.Background(), items, stock, Options{Gap: gap, Effort: effort, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		fmt.Printf("%-28s %4d sheets, at least %4d, %6.2f s, %6.2f cpu s, %d MB\n", name, len(lay.Sheets), lay.Needs[0].AtLeast, time.Since(start).Seconds(), (cpuTime() - cpu).Seconds(), m.Sys>>20)
	}
	if only := os.Getenv("STREW_MEASURE"); only == "home" {
		for _, e := range []int{3, 6, 10} {
			run(fmt.Sprintf("150 of three kinds, effort %d", e), three(50), a4, 3, e)
			run(fmt.Sprintf("90 of three kinds, effort %d", e), three(30), a4, 3, e)
		}
		return
	}
	run("2001 of three kinds", three(667), a4, 3, 3)
	run("10000 of one kind", []Item{{Name: "bean", Shape: bean(18), Colour: "#111111", Count: 10000}}, a4, 3, 3)
	run("150 of three kinds", three(50), a4, 3, 3)
	run("90 of three kinds", three(30), a4, 3, 3)
	run("60 petals", three(60)[:1], a4, 3, 3)
	run("60 beans", three(60)[1:2], a4, 3, 3)
	for _, n := range []int{10, 20, 30, 39} {
		for _, e := range []int{3, 10} {
			r := 0.985 * packomania[n]
			d := geom.Region{Outer: ngon(96, 100*r, 0)}
			run(fmt.Sprintf("%d discs, effort %d", n, e), []Item{{Name: "disc", Shape: d, Colour: "#111111", Count: n}}, []Stock{{Name: "square", Width: 100, Height: 100}}, 0, e)
		}
	}
}
