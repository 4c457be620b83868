package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"strings"
	"testing"
)

// A picture of a drawing in the project file is traced at its asked width: a
// dark disc with a light hole, 60 mm across, is a motif of one piece with a hole
// and of the disc's area.
func TestPlanFromAPicture(t *testing.T) {
	t.Chdir(t.TempDir())
	const size, outer, inner = 400, 150.0, 60.0
	im := image.NewGray(image.Rect(0, 0, size, size))
	for y := range size {
		for x := range size {
			d := math.Hypot(float64(x)+0.5-size/2, float64(y)+0.5-size/2)
			// Felt is the share of the pixel inside, by the distance to the edges.
			felt := min(1, max(0, outer-d+0.5)) - min(1, max(0, inner-d+0.5))
			im.SetGray(x, y, color.Gray{Y: uint8(245 - 215*felt)})
		}
	}
	var pic bytes.Buffer
	if err := png.Encode(&pic, im); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("leaf.png", pic.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	write(t, "project.toml", strings.Replace(goodProject, "leaf.svg", "leaf.png", 1))
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"plan", "project.toml", "--json", "--effort", "0"}, nil, &out, &errs); code != exitDone {
		t.Fatalf("exit status %d: %s", code, errs.String())
	}
	var plan struct {
		Motifs []struct {
			Width  float64 `json:"width_mm"`
			Area   float64 `json:"area_mm2"`
			Pieces []struct {
				Holes [][][2]float64 `json:"holes_mm"`
			} `json:"pieces"`
		} `json:"motifs"`
	}
	if err := json.Unmarshal(out.Bytes(), &plan); err != nil {
		t.Fatal(err)
	}
	m := plan.Motifs[0]
	want := math.Pi * (30*30 - 12*12)
	if len(m.Pieces) != 1 || len(m.Pieces[0].Holes) != 1 || math.Abs(m.Width-60) > 0.05 || math.Abs(m.Area-want) > 0.005*want {
		t.Errorf("%d pieces, %.2f mm wide, %.1f mm², want one ring of 60 mm and %.1f mm²", len(m.Pieces), m.Width, m.Area, want)
	}
}
