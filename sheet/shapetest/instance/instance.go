//go:build measure

// Package instance reads jobs of packing from the literature, for measuring.
package instance

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"strew/motif/geom"
	"strew/sheet/shape"
)

// Instances reads the files in the folder STREW_LAYS, a path that counts from the folder of the test;
// none where it is not set.
func Instances(t testing.TB) []Instance {
	dir := os.Getenv("STREW_LAYS")
	if dir == "" {
		return nil
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no instances in %s (a path counts from the package's folder): %v", dir, err)
	}
	var out []Instance
	for _, f := range files {
		out = append(out, readInstance(t, f))
	}
	return out
}

// Instance is a job of packing from the literature.
type Instance struct {
	Name   string
	Shapes []geom.Region
	Counts []int // of each shape
	Bed    shape.Bed
	Gap    float64
	Best   float64 // density in %, 0: not known
}

func readInstance(t testing.TB, file string) Instance {
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
	in := Instance{Name: j.Name, Gap: j.Gap, Best: j.Best}
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
	nap := shape.AnyTurn
	for _, it := range j.Items {
		switch len(it.Rotations) {
		case 0:
		case 1:
			nap = shape.OneWay
		case 2:
			nap = shape.TwoWay
		default:
			nap = shape.FourWay
		}
		g := geom.Region{Outer: ring(it.Outline)}
		for _, h := range it.Holes {
			g.Holes = append(g.Holes, ring(h))
		}
		in.Shapes, in.Counts = append(in.Shapes, g), append(in.Counts, it.Demand)
	}
	in.Bed = shape.NewBed(j.Sheet[0], j.Sheet[1], nap)
	if roll {
		in.Bed = shape.NewBed(1000, 0, nap).Open()
	}
	return in
}
