//go:build measure

package sheet

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"strew/motif/geom"
)

// instances reads the files in the folder STREW_LAYS, a path that counts from this package;
// none where it is not set.
func instances(t testing.TB) []instance {
	dir := os.Getenv("STREW_LAYS")
	if dir == "" {
		return nil
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no instances in %s (a path counts from the package's folder): %v", dir, err)
	}
	var out []instance
	for _, f := range files {
		out = append(out, readInstance(t, f))
	}
	return out
}

// instance is a job of packing from the literature.
type instance struct {
	name  string
	items []Item
	stock Stock
	gap   float64
	best  float64 // density in %, 0: not known
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
