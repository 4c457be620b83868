//go:build measure

package sheet

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"strew/motif/geom"
)

// TestInstances lays the instances in the folder STREW_LAYS, JSON files with
// outlines, counts and a roll's width or a sheet's size, and prints a line for
// each: what strew reaches, the best known, their ratio, and the time.
//
//	STREW_LAYS=DIR [STREW_EFFORT=10] [STREW_SEED=7] [STREW_ONLY=name] go test -tags measure -run Instances -v -timeout 1h ./sheet
//
// A roll is scaled to a width of 1000 mm, x and y swapped so that its length
// runs down.
func TestInstances(t *testing.T) {
	dir := os.Getenv("STREW_LAYS")
	if dir == "" {
		t.Fatal("STREW_LAYS names no folder of instances")
	}
	effort := 3
	if e := os.Getenv("STREW_EFFORT"); e != "" {
		n, err := strconv.Atoi(e)
		if err != nil {
			t.Fatal(err)
		}
		effort = n
	}
	seed := uint64(1)
	if s := os.Getenv("STREW_SEED"); s != "" {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		seed = n
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no instances in %s: %v", dir, err)
	}
	fmt.Printf("%-12s %6s %8s %10s %10s %7s %7s %7s\n", "instance", "effort", "pieces", "strew", "best known", "ratio", "s", "cpu s")
	for _, f := range files {
		if only := os.Getenv("STREW_ONLY"); only != "" && filepath.Base(f) != only+".json" {
			continue
		}
		in := readInstance(t, f)
		{
			start, cpu := time.Now(), cpuTime()
			lay, err := Pack(context.Background(), in.items, []Stock{in.stock}, Options{Gap: in.gap, Effort: effort, Seed: seed})
			if err != nil {
				t.Fatal(err)
			}
			got, ratio, unit := 0.0, math.NaN(), "sheets"
			if in.stock.Roll {
				got, unit = 100*lay.Sheets[0].Used, "%"
				ratio = got / in.best
			} else {
				got = float64(len(lay.Sheets))
				for _, s := range lay.Sheets {
					unit += fmt.Sprintf(" %d", len(s.Pieces))
				}
			}
			fmt.Printf("%-12s %6d %8d %10.2f %10.2f %7.4f %7.2f %7.2f  %s\n", in.name, effort, in.pieces, got, in.best, ratio, time.Since(start).Seconds(), (cpuTime() - cpu).Seconds(), unit)
		}
	}
}

type instance struct {
	name   string
	items  []Item
	stock  Stock
	gap    float64
	best   float64 // density in %, 0: not known
	pieces int
}

func readInstance(t testing.TB, file string) instance {
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var j struct {
		Name      string     `json:"name"`
		RollWidth float64    `json:"roll_width"`
		Sheet     [2]float64 `json:"sheet"`
		Gap       float64    `json:"gap"`
		Best      float64    `json:"best_density"`
		Items     []struct {
			Demand    int            `json:"demand"`
			Rotations []float64      `json:"rotations"`
			Outline   [][2]float64   `json:"outline"`
			Holes     [][][2]float64 `json:"holes"`
		} `json:"items"`
	}
	if err := json.Unmarshal(data, &j); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	in := instance{name: j.Name, gap: j.Gap, best: j.Best}
	roll, scale := j.RollWidth > 0, 1.0
	if roll {
		scale = 1000 / j.RollWidth
	}
	ring := func(ps [][2]float64) geom.Ring {
		var r geom.Ring
		for _, p := range ps {
			if roll {
				p[0], p[1] = p[1], p[0]
			}
			r = append(r, geom.Vec{X: p[0] * scale, Y: p[1] * scale})
		}
		return r
	}
	nap := AnyTurn
	for i, it := range j.Items {
		switch len(it.Rotations) {
		case 0:
		case 1:
			nap = OneWay
		case 2:
			nap = TwoWay
		default:
			nap = FourWay
		}
		item := Item{Name: fmt.Sprintf("piece %d", i+1), Shape: geom.Region{Outer: ring(it.Outline)}, Colour: "#808080", Count: it.Demand}
		for _, h := range it.Holes {
			item.Shape.Holes = append(item.Shape.Holes, ring(h))
		}
		in.pieces += it.Demand
		in.items = append(in.items, item)
	}
	in.stock = Stock{Name: "sheet", Width: j.Sheet[0], Height: j.Sheet[1], Nap: nap}
	if roll {
		in.stock = Stock{Name: "roll", Roll: true, Width: 1000, Nap: nap}
	}
	return in
}

// cpuTime returns the processor time used so far, which a busy machine does
// not stretch as it does the time on the clock; 0 where it cannot be told.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
