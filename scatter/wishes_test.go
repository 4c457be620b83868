package scatter_test

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// What cannot be is refused with what is wrong and what to do.
func TestImpossibleWishes(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	base := scatter.Options{Pattern: scatter.Polka, Spacing: 90, Repeat: 2, Jitter: 0.5, Clearance: scatter.Clearance{Between: 5, Waist: 20, Hem: 15}}
	bare := func(panel int, down, around [2]float64) scatter.Bare {
		return scatter.Bare{Panel: panel, Down: down, Around: around}
	}
	all := [2]float64{0, 5000}
	for name, c := range map[string]struct {
		change func(o *scatter.Options, kinds []scatter.Kind)
		says   []string
	}{
		"bare all over": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Bare = []scatter.Bare{bare(0, all, all), bare(1, all, all)}
		}, []string{"bare", "no room"}},
		"bare on no panel": {func(o *scatter.Options, _ []scatter.Kind) { o.Bare = []scatter.Bare{bare(2, all, all)} }, []string{"bare patch 1", "panel 3"}},
		"empty patch":      {func(o *scatter.Options, _ []scatter.Kind) { o.Bare = []scatter.Bare{bare(0, [2]float64{9, 3}, all)} }, []string{"bare patch 1", "empty"}},
		"fixed off the cloth": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Fixed = []scatter.Fixed{{Panel: 0, Down: 600, Around: 50}}
		}, []string{"dot", "panel 1", "off the cloth"}},
		"fixed past the side": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Fixed = []scatter.Fixed{{Panel: 0, Down: 100, Around: 5000}}
		}, []string{"off the cloth"}},
		"fixed at the waist": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Fixed = []scatter.Fixed{{Panel: 0, Down: 22, Around: 50}}
		}, []string{"dot", "waist"}},
		"fixed and too tall": {func(o *scatter.Options, kinds []scatter.Kind) {
			kinds[0].Share = 0
			kinds[0].Outline = []geom.Ring{disc(300)}
			o.Fixed = []scatter.Fixed{{Down: 280, Around: 400}}
			o.Spacing = 90
		}, []string{"65 mm too tall", "make the motif smaller"}},
		"two of a kind too near": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Spacing, o.Cutouts, o.Pattern, o.Jitter, o.Clearance.Between = 0, 650, scatter.Grid, 0, 15
		}, []string{"two cutouts of dot would be"}},
		"fixed on each other": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Fixed = []scatter.Fixed{{Down: 200, Around: 50}, {Down: 210, Around: 50}}
		}, []string{"200 mm down", "210 mm down", "overlap"}},
		"fixed a hair too near": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Fixed = []scatter.Fixed{{Down: 200, Around: 50}, {Down: 233, Around: 50}}
		}, []string{"apart instead of 5 mm"}},
		"fixed on a patch": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Bare = []scatter.Bare{bare(0, [2]float64{100, 300}, [2]float64{0, 200})}
			o.Fixed = []scatter.Fixed{{Down: 200, Around: 50}}
		}, []string{"bare patch 1"}},
		"repeat against a patch": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Bare, o.RepeatSet = []scatter.Bare{bare(0, [2]float64{100, 300}, [2]float64{0, 200})}, true
		}, []string{"repeat", "2 times"}},
		"no shares":          {func(_ *scatter.Options, k []scatter.Kind) { k[0].Share = 0 }, []string{"shares", "add up to 0"}},
		"clearance too wide": {func(o *scatter.Options, _ []scatter.Kind) { o.Clearance.Waist, o.Clearance.Hem = 400, 200 }, []string{"waist", "hem", "570 mm"}},
		"too many":           {func(o *scatter.Options, _ []scatter.Kind) { o.Spacing, o.Cutouts = 0, 5000 }, []string{"5000 cutouts do not fit", "the most found to fit"}},
		"fewer than fixed": {func(o *scatter.Options, _ []scatter.Kind) {
			o.Spacing, o.Cutouts = 0, 1
			o.Fixed = []scatter.Fixed{{Down: 200, Around: 50}, {Down: 300, Around: 50}}
		}, []string{"1 cutout ", "2 placed by hand"}},
	} {
		opt, kinds := base, []scatter.Kind{dot[0]}
		c.change(&opt, kinds)
		_, err := scatter.Run(context.Background(), s, kinds, opt)
		var no *scatter.Impossible
		if !errors.As(err, &no) {
			t.Errorf("%s: got %v", name, err)
			continue
		}
		for _, word := range c.says {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: %q does not say %q", name, err, word)
			}
		}
	}
	gores := gores(t, 6, true)
	_, err := scatter.Run(context.Background(), gores, dot, scatter.Options{Pattern: scatter.Grid, Spacing: 90, Repeat: 4, RepeatSet: true})
	if err == nil || !strings.Contains(err.Error(), "seams of 6 panels") {
		t.Errorf("four copies on six straight gores: %v", err)
	}
}

// Where every motif has share 0, the cutouts placed by hand are the layout, as many
// as are asked for.
func TestFixedAlone(t *testing.T) {
	none := []scatter.Kind{{Name: "dot", Outline: dot[0].Outline}}
	for _, c := range cuts(t) {
		for _, pattern := range patterns {
			opt := pattern
			opt.Repeat, opt.Clearance = c.surface.Panels, scatter.Clearance{Between: 5, Waist: 20, Hem: 15}
			opt.Fixed = []scatter.Fixed{{Down: 300, Around: 150}, {Down: 350, Around: 150, Turn: 1}}
			for _, n := range []int{0, 2} {
				if opt.Cutouts = n; n > 0 {
					opt.Spacing = 0
				}
				l, err := strew(context.Background(), c.surface, none, opt)
				if err != nil {
					t.Errorf("%s, %s: %v", c.name, opt.Pattern, err)
					continue
				}
				downs := 0.0
				for _, p := range l.Placements {
					downs += p.Down
					if !p.Fixed || math.Abs(p.Around-150) > 1e-6 {
						t.Errorf("%s, %s: %+v", c.name, opt.Pattern, p)
					}
				}
				if len(l.Placements) != 2 || math.Abs(downs-650) > 1e-6 {
					t.Errorf("%s, %s: %+v", c.name, opt.Pattern, l.Placements)
				}
				if c.surface.Closed() && math.Abs(l.Evenness.NearestMin-50) > 5 {
					t.Errorf("%s: two cutouts 50 mm apart lie %.1f mm apart", c.name, l.Evenness.NearestMin)
				}
			}
			for _, n := range []int{1, 3} {
				opt.Cutouts = n
				var no *scatter.Impossible
				if _, err := scatter.Run(context.Background(), c.surface, none, opt); !errors.As(err, &no) || no.Key != "scatter.cutouts" {
					t.Errorf("%s, %s: %d of 2 fixed cutouts: %v", c.name, opt.Pattern, n, err)
				}
			}
		}
	}
}

// A bare patch that repeats with the layout lets it repeat.
func TestRepeatedPatch(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	opt := scatter.Options{Pattern: scatter.Polka, Spacing: 90, Repeat: 2, RepeatSet: true, Jitter: 0.5, Seed: 1, Clearance: scatter.Clearance{Between: 5, Waist: 20, Hem: 15}}
	for panel := range 2 {
		opt.Bare = append(opt.Bare, scatter.Bare{Panel: panel, Down: [2]float64{100, 300}, Around: [2]float64{0, 200}})
		opt.Fixed = append(opt.Fixed, scatter.Fixed{Panel: panel, Down: 400, Around: 200})
	}
	l, err := scatter.Run(context.Background(), s, dot, opt)
	if err != nil {
		t.Fatal(err)
	}
	if l.Repeat != 2 || len(l.Placements)%2 != 0 {
		t.Errorf("repeat %d, %d marks", l.Repeat, len(l.Placements))
	}
	if err := offEdges(s, dot, opt, l); err != nil {
		t.Error(err)
	}
}

// The same bytes come from one worker and from eight.
func TestWorkers(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	kinds := []scatter.Kind{
		{Name: "leaf", Outline: []geom.Ring{leaf(40, 14)}, Share: 2, Direction: scatter.Tossed},
		{Name: "star", Motif: 1, Outline: []geom.Ring{star(12)}, Share: 1},
	}
	opt := scatter.Options{Pattern: scatter.Polka, Spacing: 60, Jitter: 0.8, Repeat: 1, Seed: 4, Clearance: scatter.Clearance{Between: 5, Waist: 20, Hem: 15},
		Bare: []scatter.Bare{{Down: [2]float64{100, 300}, Around: [2]float64{0, 200}}}}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := scatter.Run(context.Background(), s, kinds, opt)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GOMAXPROCS(8)
	eight, err := scatter.Run(context.Background(), s, kinds, opt)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(one, eight) {
		t.Error("one worker and eight make different layouts")
	}
}

// Steps along a row and from row to row follow the spacing, which changes evenly
// from waist to hem, and the crowding, which stretches rows only.
func TestDensity(t *testing.T) {
	tiny := []scatter.Kind{{Name: "dot", Share: 1, Outline: []geom.Ring{disc(2)}}}
	for name, s := range map[string]skirt.Surface{"rectangle": skirt.NewRectangle(6000, 600, 1), "circle": skirt.NewCircle(2000, 600, 0.5, 1)} {
		for _, c := range []struct{ waist, crowding float64 }{{20, 1}, {80, 1}, {0, 2}, {20, 2}} {
			l, err := strew(context.Background(), s, tiny, scatter.Options{Pattern: scatter.Grid, Spacing: 40, SpacingWaist: c.waist, Crowding: c.crowding, Repeat: 1})
			if err != nil {
				t.Fatal(err)
			}
			at := func(down float64) (along, across float64) {
				up := 1 - down/s.Drop
				across = 40
				if c.waist > 0 {
					across += (c.waist - 40) * up
				}
				return across * (1 + (c.crowding-1)*up), across
			}
			// A row closes on a whole number of steps; rows, on a whole number of pitches.
			rows := len(l.Rows)
			for i, r := range l.Rows {
				along, _ := at(r.Down)
				if math.Abs(r.Step-along) > along*along/s.Girth(r.Down) {
					t.Errorf("%s, waist %g, crowding %g: a step of %.2f at %.0f down, want %.2f", name, c.waist, c.crowding, r.Step, r.Down, along)
				}
				if i == 0 {
					continue
				}
				_, across := at((r.Down + l.Rows[i-1].Down) / 2)
				if pitch := r.Down - l.Rows[i-1].Down; math.Abs(pitch/across-1) > 0.6/float64(rows-1)+0.01 {
					t.Errorf("%s, waist %g, crowding %g: a pitch of %.2f at %.0f down, want %.2f", name, c.waist, c.crowding, pitch, r.Down, across)
				}
			}
		}
	}
	// A loose pattern is as dense as rows are: half the marks of a rectangle whose
	// spacing falls to half lie where half of 1/spacing² does.
	s := skirt.NewRectangle(2400, 600, 1)
	l, err := strew(context.Background(), s, tiny, scatter.Options{Pattern: scatter.Polka, Jitter: 0.5, Spacing: 60, SpacingWaist: 30, Repeat: 1, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	upper := 0
	for _, p := range l.Placements {
		if p.Down < 200 { // ∫ 1/(30+30x)² from 0 to 1/3 is half of that from 0 to 1
			upper++
		}
	}
	if share := float64(upper) / float64(len(l.Placements)); math.Abs(share-0.5) > 0.04 {
		t.Errorf("%.3f of the marks lie in the upper third, want half", share)
	}
	if e := l.Evenness; e.RelativeRadius < 0.7 || e.ClarkEvans < 1.7 {
		t.Errorf("by its own lengths it is not even: closest %.3f d, R %.3f", e.RelativeRadius, e.ClarkEvans)
	}
	// Cutouts near to one another at the hem do not make a wide spacing at the waist
	// seem too close.
	l, err = strew(context.Background(), s, []scatter.Kind{{Name: "dot", Share: 1, Outline: []geom.Ring{disc(10)}}},
		scatter.Options{Pattern: scatter.Grid, Spacing: 23, SpacingWaist: 60, Crowding: 2, Repeat: 1, Clearance: scatter.Clearance{Between: 1}})
	if err != nil || math.Abs(l.Spacing-23) > 0.5 || len(l.Notes) > 0 {
		t.Errorf("spacing %.1f, %q, %v", l.Spacing, l.Notes, err)
	}
	// With a count, the spacing at the hem is found.
	l, err = strew(context.Background(), s, tiny, scatter.Options{Pattern: scatter.Polka, Jitter: 0.5, Cutouts: 200, SpacingWaist: 50, Repeat: 1, Seed: 1})
	if err != nil || len(l.Placements) != 200 || l.Spacing < 50 {
		t.Errorf("%d placed, spacing %.1f, %v", len(l.Placements), l.Spacing, err)
	}
}

// Smaller sizes go to the waist where the spacing falls toward it.
func TestSizesFollowDensity(t *testing.T) {
	kinds := []scatter.Kind{
		{Name: "large", Share: 1, Outline: []geom.Ring{disc(14)}},
		{Name: "small", Share: 1, Outline: []geom.Ring{disc(8)}},
	}
	l, err := scatter.Run(context.Background(), skirt.NewCircle(680, 570, 1, 2), kinds, scatter.Options{
		Pattern: scatter.Polka, Jitter: 0.5, Spacing: 90, SpacingWaist: 45, Repeat: 2, Seed: 1, Clearance: scatter.Clearance{Between: 4}})
	if err != nil {
		t.Fatal(err)
	}
	var down, n [2]float64
	for _, p := range l.Placements {
		down[p.Kind] += p.Down
		n[p.Kind]++
	}
	if large, small := down[0]/n[0], down[1]/n[1]; small > large-80 || math.Abs(n[0]-n[1]) > 2 {
		t.Errorf("%.0f large ones lie %.0f down, %.0f small ones %.0f", n[0], large, n[1], small)
	}
}

// Every panel has its share of every motif within one, and fewer alike neighbours
// than chance makes, also where nothing repeats.
func TestMixOnEveryPanel(t *testing.T) {
	kinds := []scatter.Kind{
		{Name: "a", Motif: 0, Share: 3, Outline: []geom.Ring{disc(12)}},
		{Name: "b", Motif: 1, Share: 2, Outline: []geom.Ring{star(14)}},
		{Name: "c", Motif: 2, Share: 2, Outline: []geom.Ring{leaf(30, 12)}, Direction: scatter.Tossed},
	}
	for _, c := range cuts(t) {
		l, err := strew(context.Background(), c.surface, kinds, scatter.Options{
			Pattern: scatter.Polka, Jitter: 0.5, Spacing: 80, Repeat: 1, Seed: 1, Clearance: scatter.Clearance{Between: 4}})
		if err != nil {
			t.Fatal(err)
		}
		count := map[int][3]float64{}
		for _, p := range l.Placements {
			k := count[p.Point.Panel]
			k[p.Kind]++
			count[p.Point.Panel] = k
		}
		for panel, k := range count {
			n := k[0] + k[1] + k[2]
			for i, share := range [3]float64{3. / 7, 2. / 7, 2. / 7} {
				if math.Abs(k[i]-share*n) > 1 {
					t.Errorf("%s, panel %d: %g of %g are %s", c.name, panel+1, k[i], n, kinds[i].Name)
				}
			}
		}
		if e := l.Evenness; float64(e.Alike) > 0.55*e.AlikeByChance {
			t.Errorf("%s: %d alike neighbours, chance makes %.0f", c.name, e.Alike, e.AlikeByChance)
		}
	}
}

// Tossed neighbours are clearly turned against each other.
func TestTossedNeighboursDiffer(t *testing.T) {
	kinds := []scatter.Kind{{Name: "leaf", Share: 1, Outline: []geom.Ring{{{Y: -20}, {X: 8, Y: 10}, {X: -8, Y: 10}}}, Direction: scatter.Tossed}}
	s := skirt.NewRectangle(1600, 570, 1)
	l, err := scatter.Run(context.Background(), s, kinds, scatter.Options{Pattern: scatter.Polka, Jitter: 0.5, Spacing: 80, Repeat: 1, Seed: 1, Clearance: scatter.Clearance{Between: 4}})
	if err != nil {
		t.Fatal(err)
	}
	near, alike := 0, 0
	for i, p := range l.Placements {
		for _, q := range l.Placements[:i] {
			if s.Dist(s.Spot(p.Place), s.Spot(q.Place)) > 1.5*80 {
				continue
			}
			near++
			if math.Abs(math.Remainder(p.Turn-q.Turn, 2*math.Pi)) < math.Pi/9 {
				alike++
			}
		}
	}
	if chance := float64(near) / 9; float64(alike) > chance/3 { // 20° either way of 180°
		t.Errorf("%d of %d neighbours are turned within 20° of each other, chance makes %.0f", alike, near, chance)
	}
}

// The count that a refusal names can be laid, and one that is proven too large by
// area is refused too.
func TestRefusalNamesACountThatFits(t *testing.T) {
	kinds := []scatter.Kind{
		{Name: "leaf", Outline: []geom.Ring{leaf(80, 30)}, Share: 2, Direction: scatter.Tossed},
		{Name: "moon", Motif: 1, Outline: []geom.Ring{crescent(25)}, Share: 1},
	}
	for _, c := range []cut{cuts(t)[0], cuts(t)[3], cuts(t)[6]} {
		for _, p := range []scatter.Options{{Pattern: scatter.Grid}, {Pattern: scatter.Polka, Jitter: 0.5}, {Pattern: scatter.HemBand, Rows: 2}} {
			opt := p
			opt.Repeat, opt.Seed, opt.Clearance = c.surface.Panels, 3, scatter.Clearance{Between: 8, Waist: 40, Hem: 15}
			opt.Cutouts = scatter.MostByArea(c.surface, kinds, opt) * 3 / 4
			_, err := scatter.Run(context.Background(), c.surface, kinds, opt)
			var no *scatter.Impossible
			if !errors.As(err, &no) {
				t.Errorf("%s, %s: %d cutouts: %v", c.name, p.Pattern, opt.Cutouts, err)
				continue
			}
			if !strings.Contains(err.Error(), "most found to fit") {
				t.Logf("%s, %s: %v", c.name, p.Pattern, err)
				continue
			}
			most, ok := no.Try.Args[0].(int)
			if !ok || most < 2 || most >= opt.Cutouts {
				t.Errorf("%s, %s: %v", c.name, p.Pattern, err)
				continue
			}
			opt.Cutouts = most
			l, err := scatter.Run(context.Background(), c.surface, kinds, opt)
			if err != nil || len(l.Placements) != most {
				t.Errorf("%s, %s: %d is called the most found to fit: %d, %v", c.name, p.Pattern, most, len(l.Placements), err)
			}
		}
	}
}
