package scatter_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// Round a big cutout placed by hand a loose pattern holds what the rest of the
// cloth does: no less than nine tenths of the count without it, in proportion to
// the area left.
func TestBigFixedTakesNoMoreThanItsRoom(t *testing.T) {
	kinds := []scatter.Kind{
		{Name: "big"},
		{Name: "leaf", Motif: 1, Outline: []geom.Ring{leaf(42, 16)}, Share: 2, Direction: scatter.Tossed},
		{Name: "moon", Motif: 2, Outline: []geom.Ring{crescent(14)}, Share: 1},
	}
	laid, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom([]skirt.Surface{
			skirt.NewCircle(680, 570, 1, 2), skirt.NewRectangle(2400, 570, 2),
		}).Draw(t, "surface")
		size := rapid.Float64Range(60, 200).Draw(t, "size")
		kinds[0].Outline = []geom.Ring{rapid.SampledFrom([]geom.Ring{
			disc(size), star(size), crescent(size), leaf(1.6*size, size),
		}).Draw(t, "big")}
		opt := scatter.Options{
			Pattern: scatter.Polka, Repeat: 1,
			Spacing:   rapid.Float64Range(70, 110).Draw(t, "spacing"),
			Jitter:    rapid.SampledFrom([]float64{0, 0.3, 0.5, 0.8, 1}).Draw(t, "jitter"),
			Seed:      rapid.Uint64Range(1, 1000).Draw(t, "seed"),
			Clearance: scatter.Clearance{Between: 12, Waist: 15, Hem: 12},
		}
		without, err := scatter.Run(context.Background(), s, kinds, opt)
		if err != nil {
			t.Fatal(err)
		}
		down := rapid.Float64Range(230, 330).Draw(t, "down")
		opt.Fixed = []scatter.Fixed{{Down: down, Around: rapid.Float64Range(0.01, 0.99).Draw(t, "around") * s.PanelGirth(down), Turn: rapid.Float64Range(0, 6).Draw(t, "turn")}}
		with, err := scatter.Run(context.Background(), s, kinds, opt)
		var no *scatter.Impossible
		if errors.As(err, &no) && strings.HasPrefix(no.Key, "fixed.0.") {
			refused++ // it reaches over the waist or the hem
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		laid++
		if err := offEdges(s, kinds, opt, with); err != nil {
			t.Fatal(err)
		}
		cloth, _ := s.Cloth()
		free := 1 - math.Abs(kinds[0].Outline[0].Area())/cloth
		if got, want := float64(len(with.Placements)), 0.9*float64(len(without.Placements))*free; got < want {
			t.Fatalf("%g marks round the big cutout, which leaves %.2f of the cloth; %d without it: %v", got, free, len(without.Placements), with.Notes)
		}
	})
	if laid < 2*refused {
		t.Errorf("only %d of %d big cutouts lay on the cloth", laid, laid+refused)
	}
}
