//go:build measure

package sheet

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"strew/motif/geom"
	"strew/sheet/shapetest"
)

// TestStops stops large jobs at random moments and reports how long Pack then takes to
// return, the worst of each job. No lay may lose a piece.
//
//	[STREW_STOPS=30] [STREW_ONLY=name] go test -tags measure -run Stops -v -timeout 1h ./sheet
func TestStops(t *testing.T) {
	n := 30
	if s := os.Getenv("STREW_STOPS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	a4 := Stock{Name: "A4", Width: 210, Height: 297, Margin: 4}
	roll := Stock{Name: "roll", Width: 900, Roll: true}
	many := func(g geom.Region, n int) []Item {
		return []Item{{Name: "piece", Shape: g, Colour: "#111111", Count: n}}
	}
	var kinds []Item
	rng := rand.New(rand.NewPCG(1, 1))
	for range 64 {
		var r geom.Ring
		for k := range 60 {
			a := 2 * math.Pi * float64(k) / 60
			q := 25 * (0.4 + 0.6*rng.Float64())
			r = append(r, geom.Vec{X: q * math.Cos(a), Y: q * math.Sin(a)})
		}
		kinds = append(kinds, Item{Name: "kind", Shape: geom.Region{Outer: r}, Colour: "#111111", Count: 3})
	}
	saw := many(geom.Region{Outer: shapetest.Ngon(2500, 60, 55)}, 40)
	wave := many(petals(40, 50, 0.1), 60)
	for k := range saw[0].Shape.Outer { // no two teeth alike
		saw[0].Shape.Outer[k] = saw[0].Shape.Outer[k].Mul(1 + 0.1*rng.Float64())
	}
	mixed := append(append(many(bean(18), 3000), many(crescent(30), 3000)...), many(petals(5, 28, 0.25), 4000)...)
	grain := func(st Stock, nap Nap) Stock { st.Nap = nap; return st }
	for _, j := range []struct {
		name  string
		items []Item
		stock []Stock
		gap   float64
	}{
		{"10000 beans", many(bean(18), 10000), []Stock{a4}, 3},
		{"10000 crescents", many(crescent(30), 10000), []Stock{a4}, 3},
		{"10000 of three kinds", mixed, []Stock{a4}, 3},
		{"10000 of three kinds, touching", mixed, []Stock{a4}, 0},
		{"10000 of three kinds, two stocks", mixed, []Stock{a4, {Name: "large", Width: 900, Height: 900, Price: 6}}, 3},
		{"10000 beans on a roll", many(bean(18), 10000), []Stock{roll}, 3},
		{"2000 of three kinds on a roll", append(append(many(bean(18), 700), many(crescent(30), 700)...), many(petals(5, 28, 0.25), 600)...), []Stock{roll}, 3},
		{"64 kinds", kinds, []Stock{a4}, 3},
		{"64 kinds, four-way", kinds, []Stock{grain(a4, FourWay)}, 3},
		{"64 kinds, touching", kinds, []Stock{a4}, 0},
		{"64 kinds on a roll", kinds, []Stock{roll}, 3},
		{"64 kinds on a roll, four-way", kinds, []Stock{grain(roll, FourWay)}, 3},
		{"5000 points", saw, []Stock{a4}, 3},
		{"5000 points on a roll", saw, []Stock{grain(roll, TwoWay)}, 3},
		{"40 waves", wave, []Stock{a4}, 1},
	} {
		if !strings.HasPrefix(j.name, os.Getenv("STREW_ONLY")) {
			continue
		}
		worst, at, whole := time.Duration(0), time.Duration(0), time.Duration(0)
		for i := range n {
			// Up to 10 s, half of them in the first second.
			wait := time.Duration(float64(10*time.Second) * math.Pow(float64(i)/float64(n), 3.3))
			ctx, cancel := context.WithCancel(context.Background())
			var told time.Time
			timer := time.AfterFunc(wait, func() { told = time.Now(); cancel() })
			start := time.Now()
			lay, err := Pack(ctx, j.items, j.stock, Options{Gap: j.gap, Effort: 3, Seed: 1})
			took := time.Since(start)
			timer.Stop()
			if err != nil {
				t.Fatal(err)
			}
			if !lay.Stopped {
				whole = took
				cancel()
				break // it is done sooner
			}
			if late := time.Since(told); late > worst {
				worst, at = late, wait
			}
		}
		fmt.Printf("%-36s worst %5.0f ms, stopped after %6.0f ms; done after %6.0f ms\n", j.name, ms(worst), ms(at), ms(whole))
	}
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
