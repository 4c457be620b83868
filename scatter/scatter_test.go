package scatter_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

func disc(r float64) geom.Ring {
	var out geom.Ring
	for i := range 48 {
		out = append(out, geom.Vec{X: r}.Rotate(2*math.Pi*float64(i)/48))
	}
	return out
}

// leaf is a long pointed outline, its anchor off the middle.
func leaf(length, width float64) geom.Ring {
	var out geom.Ring
	for i := range 12 {
		t := float64(i) / 12
		out = append(out, geom.Vec{X: width / 2 * math.Sin(math.Pi*t), Y: length * (t - 0.6)})
	}
	for i := range 12 {
		t := 1 - float64(i)/12
		out = append(out, geom.Vec{X: -width / 2 * math.Sin(math.Pi*t), Y: length * (t - 0.6)})
	}
	return out
}

func star(r float64) geom.Ring {
	var out geom.Ring
	for i := range 10 {
		rad := r
		if i%2 == 1 {
			rad = r * 0.45
		}
		out = append(out, geom.Vec{Y: -rad}.Rotate(math.Pi*float64(i)/5))
	}
	return out
}

// placed is a mark with its outline in its panel's frame; angle is its anchor's
// from the panel's left edge, on a circle.
type placed struct {
	panel   int
	angle   float64
	outline geom.Ring
}

func outlines(s skirt.Surface, l scatter.Layout, kinds []scatter.Kind) []placed {
	var out []placed
	for _, p := range l.Placements {
		for _, r := range kinds[p.Kind].Outline {
			out = append(out, placed{p.Point.Panel, p.Around / (s.Inner + p.Down), r.Transform(geom.Placing(p.Point.At, p.Turn, 1, false))})
		}
	}
	return out
}

// check measures a layout the slow obvious way: every outline point against
// waist, hem and seams, and every pair of outlines after carrying one of them,
// panel by panel, over the seams between them.
func check(s skirt.Surface, kinds []scatter.Kind, c scatter.Clearance, l scatter.Layout) error {
	const tol = 1e-3
	all := outlines(s, l, kinds)
	for i, a := range all {
		for k, v := range a.outline {
			w := a.outline.At(k + 1)
			down, low := s.Down(v), s.Down(v)
			if s.Cut == skirt.Circle {
				low = geom.PointSegment(geom.Vec{}, v, w) - s.Inner
			}
			if low < c.Waist-tol || s.Drop-down < c.Hem-tol {
				return fmt.Errorf("mark %d: a point lies %.3f below the waist and %.3f above the hem", i+1, low, s.Drop-down)
			}
			if c.Seam == 0 {
				continue
			}
			for _, side := range [2]float64{-1, 1} {
				d := s.Width/2 + side*v.X
				if s.Cut == skirt.Circle {
					sin, cos := math.Sincos(s.Angle / 2)
					d = geom.PointSegment(v, geom.Vec{}, geom.Vec{X: -side * sin, Y: cos}.Mul(2*(s.Inner+s.Drop)))
				}
				if d < c.Seam-tol {
					return fmt.Errorf("mark %d: a point lies %.3f from a seam", i+1, d)
				}
			}
		}
	}
	for i, a := range all {
		for k, b := range all[:i+1] {
			for turns := -2 * s.Panels; turns <= 2*s.Panels; turns++ {
				steps := b.panel - a.panel + turns*s.Panels
				if i == k && steps == 0 {
					continue
				}
				if s.Cut == skirt.Circle {
					// Beyond half a turn about the apex no straight line joins the two.
					if math.Abs(b.angle+float64(steps)*s.Angle-a.angle) > math.Pi {
						continue
					}
				}
				m := geom.Rotation(-float64(steps) * s.Angle)
				if s.Cut == skirt.Rectangle {
					m = geom.Translation(geom.Vec{X: float64(steps) * s.Width})
				}
				if g := a.outline.Gap(b.outline.Transform(m), c.Between+1); g < c.Between-tol {
					return fmt.Errorf("marks %d and %d lie %.4f apart, asked %.4f", k+1, i+1, g, c.Between)
				}
			}
		}
	}
	return nil
}

// Random projects over all cuts, shares, panels, mixes and patterns keep every
// clearance, seams included, or are refused with a reason.
func TestRandomLayoutsKeepClearances(t *testing.T) {
	laid, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		panels := rapid.IntRange(1, 8).Draw(t, "panels")
		girth := rapid.Float64Range(500, 1500).Draw(t, "girth")
		drop := rapid.Float64Range(150, 500).Draw(t, "drop")
		s := skirt.NewRectangle(girth, drop, panels)
		if !rapid.Bool().Draw(t, "rectangle") {
			share := rapid.Float64Range(0.25, math.Min(4, float64(panels))).Draw(t, "share")
			s = skirt.NewCircle(girth, drop, share, panels)
		}
		var kinds []scatter.Kind
		for m := range rapid.IntRange(1, 4).Draw(t, "motifs") {
			size := rapid.Float64Range(8, 25).Draw(t, "size")
			k := scatter.Kind{
				Name: fmt.Sprint("m", m), Motif: m, Share: rapid.Float64Range(0.1, 3).Draw(t, "share"),
				Direction: rapid.SampledFrom([]scatter.Direction{scatter.OneWay, scatter.TwoWay, scatter.Tossed}).Draw(t, "direction"),
				Tilt:      rapid.Float64Range(-3, 3).Draw(t, "tilt"),
				Outline:   []geom.Ring{rapid.SampledFrom([]geom.Ring{disc(size), leaf(3*size, size), star(size)}).Draw(t, "outline")},
			}
			kinds = append(kinds, k)
		}
		opt := scatter.Options{
			Pattern: rapid.SampledFrom([]scatter.Pattern{scatter.Grid, scatter.HemBand, scatter.Polka}).Draw(t, "pattern"),
			Spacing: rapid.Float64Range(50, 200).Draw(t, "spacing"),
			Stagger: rapid.Bool().Draw(t, "stagger"),
			Rows:    rapid.IntRange(1, 3).Draw(t, "rows"),
			Jitter:  rapid.SampledFrom([]float64{0, 0.2, 0.5, 0.8, 1}).Draw(t, "jitter"),
			Repeat:  rapid.SampledFrom([]int{1, panels}).Draw(t, "repeat"),
			Clearance: scatter.Clearance{
				Between: rapid.Float64Range(0, 20).Draw(t, "between"), Waist: rapid.Float64Range(0, 20).Draw(t, "waist"),
				Hem: rapid.Float64Range(0, 20).Draw(t, "hem"), Seam: rapid.SampledFrom([]float64{0, 0, 5}).Draw(t, "seam"),
			},
			Seed: rapid.Uint64Range(1, 1000).Draw(t, "seed"),
		}
		l, err := scatter.Run(context.Background(), s, kinds, opt)
		var no *scatter.Impossible
		if errors.As(err, &no) {
			refused++
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		laid++
		if len(l.Placements) == 0 {
			t.Fatal("nothing was placed")
		}
		if err := check(s, kinds, opt.Clearance, l); err != nil {
			t.Fatal(err)
		}
	})
	if laid < 4*refused {
		t.Errorf("only %d of %d random projects were laid", laid, laid+refused)
	}
}

// measured is a layout and how even it is.
type measured struct {
	scatter.Layout
	Evenness scatter.Evenness
}

// strew lays cutouts out and measures them.
func strew(ctx context.Context, s skirt.Surface, kinds []scatter.Kind, opt scatter.Options) (measured, error) {
	l, err := scatter.Run(ctx, s, kinds, opt)
	if err != nil {
		return measured{}, err
	}
	e, err := scatter.Measure(ctx, s, kinds, opt, l)
	return measured{l, e}, err
}

func run(t *testing.T, s skirt.Surface, kinds []scatter.Kind, opt scatter.Options) measured {
	t.Helper()
	l, err := strew(context.Background(), s, kinds, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(s, kinds, opt.Clearance, l.Layout); err != nil {
		t.Fatal(err)
	}
	return l
}

var dot = []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(15)}, Share: 1, Direction: scatter.OneWay}}

// Along every row all steps are equal, the seam included, and all rows are
// equally far apart.
func TestGridRowsAreEven(t *testing.T) {
	for name, s := range map[string]skirt.Surface{
		"full circle":  skirt.NewCircle(680, 570, 1, 2),
		"half circle":  skirt.NewCircle(680, 570, 0.5, 1),
		"double":       skirt.NewCircle(1360, 570, 2, 3),
		"rectangle":    skirt.NewRectangle(1360, 570, 2),
		"eight panels": skirt.NewCircle(680, 570, 1, 8),
	} {
		for _, stagger := range []bool{false, true} {
			for _, seam := range []float64{0, 4} {
				opt := scatter.Options{Pattern: scatter.Grid, Spacing: 90, Stagger: stagger, Repeat: s.Panels, Seed: 1,
					Clearance: scatter.Clearance{Between: 5, Waist: 30, Hem: 20, Seam: seam}}
				l := run(t, s, dot, opt)
				round := map[int][]float64{} // row → ways round the whole row
				down := map[int]float64{}
				for _, p := range l.Placements {
					round[p.Row] = append(round[p.Row], float64(p.Point.Panel)*s.PanelGirth(p.Down)+p.Around)
					down[p.Row] = p.Down
				}
				for row, at := range round {
					girth := s.Girth(down[row])
					step := girth / float64(len(at))
					for i := range at {
						next := at[(i+1)%len(at)]
						if i == len(at)-1 {
							next += girth
						}
						if math.Abs(next-at[i]-step) > 0.1 {
							t.Errorf("%s, stagger %v, seam %g: row %d has a step of %.3f, want %.3f", name, stagger, seam, row, next-at[i], step)
						}
					}
				}
				for row := 2; row < len(down); row++ {
					if a, b := down[row]-down[row-1], down[row+1]-down[row]; math.Abs(a-b) > 0.1 {
						t.Errorf("%s: rows %d to %d lie %.3f and %.3f apart", name, row-1, row+1, a, b)
					}
				}
				if first := down[1] - 15 - 30; math.Abs(first) > 0.5 {
					t.Errorf("%s: the first row misses the waist clearance by %.2f", name, first)
				}
			}
		}
	}
}

// cutouts = N places exactly N.
func TestExactCount(t *testing.T) {
	small := []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(8)}, Share: 1, Direction: scatter.OneWay}}
	for name, s := range map[string]skirt.Surface{
		"full circle": skirt.NewCircle(680, 570, 1, 2),
		"half circle": skirt.NewCircle(680, 570, 0.5, 1),
		"double":      skirt.NewCircle(1360, 570, 2, 3),
		"rectangle":   skirt.NewRectangle(1360, 570, 2),
	} {
		for _, pattern := range []scatter.Pattern{scatter.Grid, scatter.HemBand, scatter.Polka} {
			for _, n := range []int{7, 13, 61, 150, 300} {
				if pattern == scatter.HemBand && n > 60 {
					continue
				}
				l := run(t, s, small, scatter.Options{Pattern: pattern, Cutouts: n, Rows: 2, Jitter: 0.5, Repeat: s.Panels, Seed: 3,
					Clearance: scatter.Clearance{Between: 2, Waist: 10, Hem: 10}})
				if len(l.Placements) != n {
					t.Errorf("%s, %s: %d placed, asked %d", name, pattern, len(l.Placements), n)
				}
			}
		}
	}
}

func TestCountThatCannotBe(t *testing.T) {
	s := skirt.NewCircle(680, 300, 1, 2)
	for name, opt := range map[string]scatter.Options{
		"too many":               {Pattern: scatter.Grid, Cutouts: 5000, Repeat: 1, Clearance: scatter.Clearance{Between: 5}},
		"more rows than cutouts": {Pattern: scatter.HemBand, Cutouts: 3, Rows: 5, Repeat: 1},
		"rows above the waist":   {Pattern: scatter.HemBand, Cutouts: 300, Rows: 5, RowSpacing: 100, Repeat: 1},
		"odd repeat":             {Pattern: scatter.Polka, Cutouts: 61, Repeat: 2, RepeatSet: true},
	} {
		_, err := scatter.Run(context.Background(), s, dot, opt)
		var no *scatter.Impossible
		if !errors.As(err, &no) || no.Try.IsZero() {
			t.Errorf("%s: got %v", name, err)
		}
	}
}

func TestMixMeetsItsShares(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	kinds := []scatter.Kind{
		{Name: "a", Motif: 0, Share: 3, Outline: []geom.Ring{disc(12)}},
		{Name: "a small", Motif: 0, Share: 3, Outline: []geom.Ring{disc(8)}},
		{Name: "b", Motif: 1, Share: 1, Outline: []geom.Ring{star(14)}},
	}
	l := run(t, s, kinds, scatter.Options{Pattern: scatter.Polka, Spacing: 90, Jitter: 0.5, Repeat: 2, Seed: 5, Clearance: scatter.Clearance{Between: 4}})
	perPanel := map[[2]int]int{}
	for _, p := range l.Placements {
		perPanel[[2]int{p.Point.Panel, p.Kind}]++
	}
	for panel := range 2 {
		n := perPanel[[2]int{panel, 0}] + perPanel[[2]int{panel, 1}] + perPanel[[2]int{panel, 2}]
		for kind, part := range []float64{3.0 / 8, 3.0 / 8, 1.0 / 4} {
			if got := perPanel[[2]int{panel, kind}]; math.Abs(float64(got)-part*float64(n)) > 1 {
				t.Errorf("panel %d: %d of %s among %d, want %.1f", panel+1, got, kinds[kind].Name, n, part*float64(n))
			}
		}
	}
	if e := l.Evenness; float64(e.Alike) >= e.AlikeByChance {
		t.Errorf("%d alike neighbours of %d, chance makes %.1f", e.Alike, e.Neighbours, e.AlikeByChance)
	}
}

func TestDirections(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	turns := func(d scatter.Direction, tilt float64) []float64 {
		kinds := []scatter.Kind{{Name: "leaf", Share: 1, Outline: []geom.Ring{leaf(40, 15)}, Direction: d, Tilt: tilt}}
		l := run(t, s, kinds, scatter.Options{Pattern: scatter.Grid, Spacing: 100, Repeat: 2, Seed: 2, Clearance: scatter.Clearance{Between: 4}})
		var out []float64
		for _, p := range l.Placements {
			out = append(out, math.Remainder(p.Turn-s.Upright(p.Point.At), 2*math.Pi))
		}
		return out
	}
	for _, a := range turns(scatter.OneWay, 0.3) {
		if math.Abs(a-0.3) > 1e-9 {
			t.Fatalf("one-way: turned %g from upright, want 0.3", a)
		}
	}
	ups := 0
	two := turns(scatter.TwoWay, 0)
	for _, a := range two {
		if up := math.Abs(a) < 1e-9; up {
			ups++
		} else if math.Abs(math.Abs(a)-math.Pi) > 1e-9 {
			t.Fatalf("two-way: turned %g", a)
		}
	}
	if ups < len(two)/3 || ups > 2*len(two)/3 {
		t.Errorf("two-way: %d of %d upright", ups, len(two))
	}
	quarter := [4]int{}
	tossed := turns(scatter.Tossed, 0)
	for _, a := range tossed {
		quarter[int((a+math.Pi)/(math.Pi/2))%4]++
	}
	for i, n := range quarter {
		if n < len(tossed)/8 {
			t.Errorf("tossed: only %d of %d in quarter %d", n, len(tossed), i)
		}
	}
}

func TestSameSeedSameLayout(t *testing.T) {
	s := skirt.NewCircle(680, 570, 1, 2)
	opt := scatter.Options{Pattern: scatter.Polka, Spacing: 80, Jitter: 0.7, Repeat: 1, Seed: 9, Clearance: scatter.Clearance{Between: 4}}
	a, b := run(t, s, dot, opt), run(t, s, dot, opt)
	if !reflect.DeepEqual(a, b) {
		t.Error("two runs differ")
	}
	opt.Seed++
	if reflect.DeepEqual(a.Placements, run(t, s, dot, opt).Placements) {
		t.Error("another seed makes the same layout")
	}
}

func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := scatter.Run(ctx, skirt.NewCircle(680, 570, 1, 2), dot, scatter.Options{Pattern: scatter.Polka, Spacing: 80, Jitter: 0.5, Repeat: 1})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// Evenness figures of known lattices: R = 2 for a square one, 2.1491 for a
// triangular one (Clark & Evans 1954), on a wide rectangle where edges hardly
// count; Oler's spacing of a triangular patch of k(k+1)/2 points in a
// triangle of side k-1 is exactly 1 (Oler 1961: equality).
func TestEvennessOfLattices(t *testing.T) {
	s := skirt.NewRectangle(8000, 8000, 1)
	tiny := []scatter.Kind{{Name: "dot", Share: 1, Outline: []geom.Ring{disc(1)}}}
	lattice := func(opt scatter.Options) measured {
		l, err := strew(context.Background(), s, tiny, opt)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	square := lattice(scatter.Options{Pattern: scatter.Grid, Spacing: 200, Repeat: 1})
	if got := square.Evenness.ClarkEvans; math.Abs(got-2) > 0.06 {
		t.Errorf("square lattice: R = %.4f, want 2", got)
	}
	if got := square.Evenness.EmptyRadius; math.Abs(got-square.Spacing*math.Sqrt2/2) > 1 {
		t.Errorf("square lattice: largest empty circle %.2f, want step/√2 = %.2f", got, square.Spacing*math.Sqrt2/2)
	}
	triangle := lattice(scatter.Options{Pattern: scatter.Grid, Spacing: 200, Stagger: true, Repeat: 1})
	if got := triangle.Evenness.ClarkEvans; math.Abs(got-2.1491) > 0.06 {
		t.Errorf("triangular lattice: R = %.4f, want 2.1491", got)
	}
	for k := 2; k < 20; k++ {
		side := float64(k - 1)
		if got := scatter.OlerSpacing(k*(k+1)/2, math.Sqrt(3)/4*side*side, 3*side, 1); math.Abs(got-1) > 1e-9 {
			t.Errorf("triangle of %d rows: spacing %.9f, want 1", k, got)
		}
	}
}

func TestMotifTooLargeForTheSkirt(t *testing.T) {
	big := []scatter.Kind{{Name: "kelp", Share: 1, Outline: []geom.Ring{leaf(400, 60)}}}
	_, err := scatter.Run(context.Background(), skirt.NewCircle(680, 300, 1, 1), big, scatter.Options{Pattern: scatter.Grid, Spacing: 100, Repeat: 1})
	var no *scatter.Impossible
	if !errors.As(err, &no) {
		t.Fatalf("got %v", err)
	}
}

func TestTooManyMarks(t *testing.T) {
	tiny := []scatter.Kind{{Name: "dot", Share: 1, Outline: []geom.Ring{disc(0.2)}}}
	_, err := scatter.Run(context.Background(), skirt.NewCircle(680, 570, 1, 1), tiny, scatter.Options{Pattern: scatter.Polka, Spacing: 1, Repeat: 1})
	var no *scatter.Impossible
	if !errors.As(err, &no) {
		t.Fatalf("got %v", err)
	}
}
