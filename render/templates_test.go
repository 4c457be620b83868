package render

import (
	"math"
	"testing"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// strokesIn returns the closed lines of the operations, those in clips too.
func strokesIn(ops []scene.Op) []geom.Ring {
	var out []geom.Ring
	for _, op := range ops {
		switch o := op.(type) {
		case scene.Stroke:
			for _, l := range o.Lines {
				if l.Closed {
					out = append(out, l.Points)
				}
			}
		case scene.Clip:
			out = append(out, strokesIn(o.Inside)...)
		}
	}
	return out
}

func sampleTemplates() []Template {
	return []Template{
		{Name: "ginkgo", Motif: ginkgoLeaf(), Size: 1, Cut: 63}, {Name: "ginkgo", Motif: ginkgoLeaf(), Size: 0.7, Cut: 30, Twin: true},
		{Name: "acorn with a long name that does not end", Motif: acorn(), Size: 0.3, Cut: 20, Nap: true}, {Name: "starfish", Motif: starfish(), Size: 1.5, Twin: true},
		{Name: "great leaf", Motif: ginkgoLeaf(), Size: 6, Cut: 2}, {Name: "leaf", Motif: ginkgoLeaf(), Size: 2.2, Cut: 2},
	}
}

// Every piece is drawn true to size: rings of just its area and length are on
// the pages. The first page has a square of 50 mm.
func TestTemplatesAreTrueToSize(t *testing.T) {
	for _, paper := range append(papers(), Paper{}, Paper{Name: Large}) {
		pages := Templates("Ginkgo walk", sampleTemplates(), say.Printer{Unit: geom.Centimetre}, paper)
		squares := 0
		for _, r := range strokesIn(pages[0].Ops) {
			if b := r.Box(); len(r) == 4 && math.Abs(b.Width()-50) < 1e-9 && math.Abs(b.Height()-50) < 1e-9 {
				squares++
			}
		}
		if squares != 1 {
			t.Errorf("%s: %d test squares of 50 mm on the first page", paper.Name, squares)
		}
		for _, p := range pages {
			inside(t, paper.Name, p)
		}
		if paper.Name == Large && len(pages) != 1 {
			t.Errorf("large paper: %d pages", len(pages))
		}
		for _, tm := range sampleTemplates() {
			for i, piece := range tm.Motif.Pieces {
				want := piece.Region.Outer
				found := false
				for _, p := range pages {
					for _, r := range strokesIn(p.Ops) {
						found = found || len(r) == len(want) && math.Abs(r.Area()-want.Area()*tm.Size*tm.Size) < 1e-6 && math.Abs(r.Length()-want.Length()*tm.Size) < 1e-6
					}
				}
				if !found {
					t.Errorf("%s: %s at size %g, piece %d, is on no page at its size", paper.Name, tm.Name, tm.Size, i+1)
				}
			}
		}
	}
}
