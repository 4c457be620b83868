package scatter_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// patterns are the patterns as they are tried on every cut.
var patterns = []scatter.Options{
	{Pattern: scatter.Grid, Spacing: 85},
	{Pattern: scatter.Grid, Spacing: 85, Stagger: true},
	{Pattern: scatter.HemBand, Spacing: 85, Rows: 2},
	{Pattern: scatter.Polka, Spacing: 85},
	{Pattern: scatter.Polka, Spacing: 85, Jitter: 0.5},
	{Pattern: scatter.Polka, Spacing: 85, Jitter: 1},
}

// A kind whose share is 0 and that is not placed by hand changes nothing, first
// or last among the kinds, however large it is.
func TestUnstrewnKindChangesNothing(t *testing.T) {
	leaf := scatter.Kind{Name: "leaf", Outline: []geom.Ring{leaf(42, 16)}, Share: 2, Direction: scatter.Tossed}
	moon := scatter.Kind{Name: "moon", Outline: []geom.Ring{crescent(14)}, Share: 1}
	huge := scatter.Kind{Name: "huge", Outline: []geom.Ring{leaf.Outline[0].Transform(geom.Scaling(30, 30))}}
	for _, c := range []cut{cuts(t)[0], cuts(t)[3], cuts(t)[5], cuts(t)[6]} {
		for i, opt := range patterns {
			opt.Repeat, opt.Seed = c.surface.Panels, 3
			opt.Clearance = scatter.Clearance{Between: 5, Waist: 15, Hem: 12}
			lay := func(kinds ...scatter.Kind) measured {
				t.Helper()
				for m := range kinds {
					kinds[m].Motif = m
				}
				l, err := strew(context.Background(), c.surface, kinds, opt)
				if err != nil {
					t.Fatalf("%s, pattern %d: %v", c.name, i, err)
				}
				return l
			}
			want, last, first := lay(leaf, moon), lay(leaf, moon, huge), lay(huge, leaf, moon)
			for k := range first.Placements {
				first.Placements[k].Kind--
			}
			if !slices.Equal(want.Placements, last.Placements) || want.Evenness != last.Evenness {
				t.Errorf("%s, pattern %d: a last kind of share 0 changes the layout: %d marks, %d without it", c.name, i, len(last.Placements), len(want.Placements))
			}
			if !slices.Equal(want.Placements, first.Placements) || want.Evenness != first.Evenness {
				t.Errorf("%s, pattern %d: a first kind of share 0 changes the layout: %d marks, %d without it", c.name, i, len(first.Placements), len(want.Placements))
			}
		}
	}
}

// A large kind of share 0 that is placed by hand stays where it was put, all
// others keep clear of it, and away from it marks still come as near to waist and
// hem as without it.
func TestUnstrewnKindPlacedByHand(t *testing.T) {
	kinds := []scatter.Kind{
		{Name: "big leaf", Outline: []geom.Ring{leaf(150, 60)}, Direction: scatter.Tossed},
		{Name: "leaf", Motif: 1, Outline: []geom.Ring{leaf(42, 16)}, Share: 2, Direction: scatter.Tossed},
		{Name: "moon", Motif: 2, Outline: []geom.Ring{crescent(14)}, Share: 1},
	}
	for _, c := range []cut{cuts(t)[0], cuts(t)[3], cuts(t)[5], cuts(t)[6]} {
		for i, opt := range patterns {
			opt.Repeat, opt.Seed = 1, 3
			opt.Clearance = scatter.Clearance{Between: 5, Waist: 15, Hem: 12}
			around := c.surface.PanelGirth(300) / 2
			opt.Fixed = []scatter.Fixed{{Kind: 0, Panel: 0, Down: 300, Around: around, Turn: 0.4}}
			l, err := scatter.Run(context.Background(), c.surface, kinds, opt)
			if err != nil {
				t.Errorf("%s, pattern %d: %v", c.name, i, err)
				continue
			}
			if err := offEdges(c.surface, kinds, opt, l); err != nil {
				t.Errorf("%s, pattern %d: %v", c.name, i, err)
			}
			big := 0
			for _, p := range l.Placements {
				if p.Kind == 0 {
					big++
					if !p.Fixed || math.Abs(p.Down-300) > 1e-6 || math.Abs(p.Around-around) > 1e-6 {
						t.Errorf("%s, pattern %d: the big leaf lies at %+v", c.name, i, p)
					}
				}
			}
			if big != 1 {
				t.Errorf("%s, pattern %d: %d big leaves", c.name, i, big)
			}
			opt.Fixed = nil
			without, err := scatter.Run(context.Background(), c.surface, kinds, opt)
			if err != nil {
				t.Fatal(err)
			}
			// Its outline, grown by the clearance and a mark's own reach, covers so many
			// cells of the pattern at most.
			covered := int(math.Ceil((150+2*30)*(60+2*30)/(85*85*0.8))) + 2
			if opt.Pattern == scatter.HemBand {
				covered = 4
			}
			if got, want := len(l.Placements), len(without.Placements)-covered; got < want {
				t.Errorf("%s, pattern %d: %d marks round the big leaf, %d without it", c.name, i, got, len(without.Placements))
			}
		}
	}
}

// What is placed by hand is no reason to call a count too large for the cloth:
// of 40 discs 30 small ones lie there by hand, so that all need less than a mix
// by shares would.
func TestAreaCountsWhatIsPlacedByHand(t *testing.T) {
	s := skirt.NewRectangle(1000, 100, 1)
	kinds := []scatter.Kind{
		{Name: "large", Outline: []geom.Ring{disc(35)}, Share: 1},
		{Name: "small", Motif: 1, Outline: []geom.Ring{disc(3)}},
	}
	opt := scatter.Options{Pattern: scatter.Grid, Cutouts: 40, Repeat: 1}
	for i := range 30 {
		opt.Fixed = append(opt.Fixed, scatter.Fixed{Kind: 1, Down: 4, Around: 10 + 32*float64(i)})
	}
	if most := scatter.MostByArea(s, kinds, opt); most < 40 {
		t.Errorf("%d are called the most by area, yet 10 large and 30 small discs cover %.0f of 100000 mm²", most, 10*math.Pi*35*35+30*math.Pi*9)
	}
	if most := scatter.MostByArea(s, kinds, scatter.Options{}); most != int(100_000/(math.Abs(disc(35).Area()))) {
		t.Errorf("%d large discs are called the most by area", most)
	}
}
