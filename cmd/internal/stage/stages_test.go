package stage_test

import (
	"math"
	"slices"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
)

// Nothing is lost between the stages: what is placed is counted, what is
// counted and spare is cut, and what is cut lies on the sheets.
func TestNothingIsLost(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		placed := 0
		for _, c := range p.Counts {
			if !p.Mix.IsPatch(c.Kind) {
				placed += c.Placed
			} else if of := p.Counts[p.Mix.CutoutOf(c.Kind)]; c.Placed != of.Placed || c.Spare != of.Spare {
				t.Errorf("%s: %+v, and what it backs %+v", p.Mix.Name(c.Kind), c, of)
			}
			want := p.Project.Cutting.SpareCount
			if share := p.Project.Cutting.SpareShare; share > 0 {
				want = int(math.Ceil(share*float64(c.Placed) - 1e-9))
			}
			if c.Placed > 0 && c.Spare != want {
				t.Errorf("%s: %d spare of %d placed, want %d", p.Mix.Name(c.Kind), c.Spare, c.Placed, want)
			}
		}
		if placed != len(p.Strewn.Layout.Placements) || placed == 0 {
			t.Errorf("%d counted, %d placed", placed, len(p.Strewn.Layout.Placements))
		}
		on := make([]int, len(p.Laid.Items))
		used := map[[2]any]int{}
		for _, s := range p.Laid.Lay.Sheets {
			used[[2]any{s.Stock, s.Colour}]++
			for _, pc := range s.Pieces {
				on[pc.Item]++
			}
		}
		for i, it := range p.Laid.Items {
			if on[i] != p.Counts[it.Kind].Cut() {
				t.Errorf("%s: %d on the sheets, %d to cut", p.Mix.Name(it.Kind), on[i], p.Counts[it.Kind].Cut())
			}
		}
		for _, n := range p.Laid.Lay.Needs {
			long := 0.0 // cut off a roll
			for _, sh := range p.Laid.Lay.Sheets {
				if sh.Stock == n.Stock && sh.Colour == n.Colour && p.Project.Sheets[n.Stock].Roll {
					long += sh.Height
				}
			}
			most := n.Sheets
			if long > 0 {
				most = int(long)
			}
			if n.Sheets != used[[2]any{n.Stock, n.Colour}] || n.Buy != n.Sheets-n.Drawer || n.AtLeast > most || n.Length != long || n.Drawer > p.Project.Sheets[n.Stock].Stock {
				t.Errorf("order %+v, but %d sheets, %g mm of a roll, are laid", n, used[[2]any{n.Stock, n.Colour}], long)
			}
		}
	})
}

// radius = girth / (2π · share), cutting length = radius + drop (common
// practice, no source); a rectangle's cutting length is the drop and an allowance.
func TestClothIsDrafted(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		s := p.Project.Skirt
		want := s.Drop + s.SeamAllowance
		if s.Cut == "outline" {
			return // the drawing says
		}
		if s.Cut == "circle" {
			want = s.Waist*s.Fullness/(2*math.Pi*s.Circle) + s.Drop
		}
		net := p.Cloth.Fabric[0]
		if net.Part != stage.Net || math.Abs(net.CuttingLength-want) > 1e-6 || net.Layers != s.Layers || net.Pieces%s.Panels != 0 {
			t.Errorf("net %+v, want a cutting length of %g", net, want)
		}
		step := 100.0
		if p.Project.Unit == geom.Inch {
			step = 914.4 / 8
		}
		for _, f := range p.Cloth.Fabric {
			if n := f.Length / step; math.Abs(n-math.Round(n)) > 1e-9 || n < 1 {
				t.Errorf("%s: %g mm is no whole number of the shop's steps", f.Part, f.Length)
			}
		}
		if (len(p.Cloth.Fabric) == 2) != (p.Project.Lining != nil) {
			t.Errorf("%d parts of cloth", len(p.Cloth.Fabric))
		}
	})
}

func TestExactlySixty(t *testing.T) {
	if n := len(stagetest.Built(t, "tide-exactly-sixty").Strewn.Layout.Placements); n != 60 {
		t.Errorf("%d placed, asked 60", n)
	}
}

// Cutouts placed by hand are enough for a plan: no motif need have a share.
func TestPlacedByHandAlone(t *testing.T) {
	p, files := project.Example()
	p.Motifs = slices.Clone(p.Motifs)
	for i := range p.Motifs {
		p.Motifs[i].Share = 0
	}
	p.Fixed = []project.Fixed{{Motif: 0, Size: 1, Panel: 1, Down: 280, Around: 520}, {Motif: 1, Size: 1, Panel: 2, Down: 400, Around: 200}}
	p.Cutting.Effort = 0
	made, err := stage.NewPlanner(files).Plan(t.Context(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	if placed, _ := made.Totals(); placed != 2 || len(made.Laid.Lay.Sheets) == 0 {
		t.Errorf("%d placed, %d sheets laid", placed, len(made.Laid.Lay.Sheets))
	}
}
