package scatter_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// sewnPanels is two drawn panels, one with a neck hole, joined at a seam.
func sewnPanels(t testing.TB) skirt.Surface {
	t.Helper()
	box := func(x, y, w, h float64) geom.Ring {
		return geom.Ring{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
	}
	s, err := skirt.NewOutline(skirt.Drawing{
		Panels: []geom.Region{{Outer: box(10, 20, 300, 500), Holes: []geom.Ring{box(110, 100, 60, 50).Reversed()}}, {Outer: box(410, 20, 300, 500)}},
		Lines: []skirt.Line{
			{Name: "right", Points: []geom.Vec{{X: 310, Y: 20}, {X: 310, Y: 520}}},
			{Name: "left", Points: []geom.Vec{{X: 410, Y: 20}, {X: 410, Y: 520}}},
		},
	}, [][2]string{{"right", "left"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// checkedCuts are layouts on every cut, narrow ones on which a mark meets itself
// among them.
func checkedCuts(t testing.TB) []checkedCut {
	t.Helper()
	kinds := []scatter.Kind{
		{Name: "leaf", Outline: []geom.Ring{leaf(42, 16)}, Share: 2, Direction: scatter.Tossed},
		{Name: "moon", Motif: 1, Outline: []geom.Ring{crescent(14)}, Share: 1},
		{Name: "pair", Motif: 2, Outline: []geom.Ring{disc(6), disc(5).Transform(geom.Translation(geom.Vec{X: 20}))}, Share: 1, Direction: scatter.TwoWay},
	}
	var out []checkedCut
	for _, c := range append(cuts(t), cut{"sewn panels", sewnPanels(t)}, cut{"narrow tube", skirt.NewRectangle(90, 400, 1)}, cut{"narrow cone", skirt.NewCircle(60, 400, 0.1, 1)}) {
		opt := scatter.Options{
			Pattern: scatter.Polka, Spacing: 110, Jitter: 0.5, Repeat: 1, Seed: 3,
			Clearance: scatter.Clearance{Between: 5, Waist: 15, Hem: 12},
			Bare:      []scatter.Bare{{Panel: 0, Down: [2]float64{200, 300}, Around: [2]float64{20, 70}}},
		}
		if c.surface.Panels == 1 && c.surface.Girth(300) < 200 {
			opt.Bare = nil
		}
		l, err := scatter.Run(context.Background(), c.surface, kinds, opt)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		out = append(out, checkedCut{c, kinds, opt, l})
	}
	return out
}

type checkedCut struct {
	cut
	kinds  []scatter.Kind
	opt    scatter.Options
	layout scatter.Layout
}

// slowGaps measures, the slow obvious way, how far mark i put at a point is from
// every mark, or that it is farther than the nearest: all pairs, by every way in which Seen shows one beside the other.
func (c checkedCut) slowGaps(marks []scatter.Placement, i int, at skirt.Point, turn float64) []float64 {
	s := c.surface
	upright := func(kind int, at skirt.Point, turn float64) []geom.Ring {
		var out []geom.Ring
		for _, r := range c.kinds[kind].Outline {
			out = append(out, r.Transform(geom.Rotation(turn-s.Upright(at.At))))
		}
		return out
	}
	me := upright(marks[i].Kind, at, turn)
	far := math.Inf(1) // what is farther than the nearest so far is of no interest
	out := make([]float64, len(marks))
	for k, q := range marks {
		out[k] = math.Inf(1)
		if k == i {
			q.Point, q.Turn = at, turn
		}
		other := upright(q.Kind, q.Point, q.Turn)
		s.Seen(s.PlaceOf(at), s.PlaceOf(q.Point), func(off geom.Vec, turn float64) {
			if k == i && off.Len() < 1e-3 {
				return
			}
			for _, a := range me {
				for _, b := range other {
					out[k] = math.Min(out[k], a.Gap(b.Transform(geom.Placing(off, turn, 1, false)), far))
				}
			}
		})
		far = math.Max(math.Min(far, out[k]), c.opt.Clearance.Between+1)
	}
	return out
}

// anywhere draws a point of the cloth.
func (c checkedCut) anywhere(r *rand.Rand) skirt.Point {
	for {
		p := c.surface.Point(skirt.Place{Round: r.Float64(), Down: r.Float64() * c.surface.Drop})
		if c.surface.Inside(p) {
			return p
		}
	}
}

// The slow obvious way, on every cut: marks are put anywhere and moved.
func TestCheckerMeasuresAllPairs(t *testing.T) {
	for _, c := range checkedCuts(t) {
		t.Run(c.name, func(t *testing.T) {
			for seed := range uint64(5) {
				r := rand.New(rand.NewPCG(seed, 1))
				marks := append([]scatter.Placement(nil), c.layout.Placements...)
				check := scatter.NewChecker(c.surface, c.kinds, c.opt, c.layout)
				for range 3 {
					i := r.IntN(len(marks))
					at, turn := c.anywhere(r), r.Float64()*7
					if r.IntN(2) == 0 { // a small step, as while it is dragged
						at = marks[i].Point
						at.At = at.At.Add(geom.Vec{X: r.NormFloat64() * 5, Y: r.NormFloat64() * 5})
						if at = c.surface.Point(c.surface.PlaceOf(at)); !c.surface.Inside(at) {
							continue
						}
					}
					mm, with := check.Gap(i, at, turn)
					slow := c.slowGaps(marks, i, at, turn)
					if err := agree(mm, with, slow, c.opt.Clearance.Between); err != nil {
						t.Fatalf("mark %d at %v, turned %g: %v", i, at, turn, err)
					}
					if r.IntN(2) == 0 {
						check.Move(i, at, turn)
						marks[i].Point, marks[i].Turn = at, turn
					}
				}
			}
		})
	}
}

// agree compares an answer of Gap with the gaps to all marks.
func agree(mm float64, with []int, slow []float64, between float64) error {
	least := math.Inf(1)
	for _, g := range slow {
		least = math.Min(least, g)
	}
	if math.IsInf(least, 1) {
		if !math.IsInf(mm, 1) || len(with) > 0 {
			return fmt.Errorf("%g from %v, want nothing in sight", mm, with)
		}
		return nil
	}
	if math.Abs(mm-least) > 1e-6 || len(with) == 0 || math.Abs(slow[with[0]]-least) > 1e-6 {
		return fmt.Errorf("%g from %v, want %g", mm, with, least)
	}
	named := map[int]bool{}
	for _, k := range with {
		if named[k] {
			return fmt.Errorf("mark %d is named twice", k)
		}
		if named[k] = true; slow[k] > math.Max(between, least)+1e-6 {
			return fmt.Errorf("mark %d is named and lies %g off", k, slow[k])
		}
	}
	for k, g := range slow {
		if g < between-1e-6 && !named[k] {
			return fmt.Errorf("mark %d lies %g off and is not named", k, g)
		}
	}
	return nil
}

// What Run laid may lie where it lies, and keeps its clearance.
func TestCheckerAgreesWithRun(t *testing.T) {
	for _, c := range checkedCuts(t) {
		check := scatter.NewChecker(c.surface, c.kinds, c.opt, c.layout)
		for i, p := range c.layout.Placements {
			if f := check.Fault(i, p.Point, p.Turn); f != scatter.None {
				t.Errorf("%s: mark %d may not lie where it lies: %s", c.name, i, f)
			}
			if mm, with := check.Gap(i, p.Point, p.Turn); mm < c.opt.Clearance.Between {
				t.Errorf("%s: mark %d lies %g from %v", c.name, i, mm, with)
			}
		}
	}
}

// The slow obvious way: points close together along the outline, their distance
// down on closed cuts, their distance from drawn edges on others, and whether
// they lie on the bare patch. What is within a tenth of a millimetre of either
// answer is left open.
func TestCheckerFindsFaults(t *testing.T) {
	const open = 0.1
	for _, c := range checkedCuts(t) {
		t.Run(c.name, func(t *testing.T) {
			s, cl := c.surface, c.opt.Clearance
			check := scatter.NewChecker(s, c.kinds, c.opt, c.layout)
			faults := 0
			for seed := range uint64(60) {
				r := rand.New(rand.NewPCG(seed, 2))
				i := r.IntN(len(c.layout.Placements))
				at, turn := c.anywhere(r), r.Float64()*7
				var points []geom.Vec
				for _, ring := range c.kinds[c.layout.Placements[i].Kind].Outline {
					ring = ring.Transform(geom.Placing(at.At, turn, 1, false))
					for k, p := range ring {
						for n := range 8 {
							points = append(points, p.Lerp(ring.At(k+1), float64(n)/8))
						}
					}
				}
				margin := math.Inf(1) // of what is kept clear; below 0: broken
				for _, p := range points {
					if s.Banded() {
						margin = math.Min(margin, math.Min(s.Down(p)-cl.Waist, s.Drop-s.Down(p)-cl.Hem))
						continue
					}
					for _, e := range s.Edges(at.Panel) {
						if e.Kind == skirt.SeamEdge && s.Closed() {
							continue
						}
						clear := map[skirt.EdgeKind]float64{skirt.WaistEdge: cl.Waist, skirt.HemEdge: cl.Hem, skirt.OpenEdge: cl.Hem}[e.Kind]
						for k := 1; k < len(e.Line); k++ {
							margin = math.Min(margin, geom.PointSegment(p, e.Line[k-1], e.Line[k])-clear)
						}
					}
					if !s.Closed() && !s.Inside(skirt.Point{Panel: at.Panel, At: p}) {
						margin = math.Min(margin, -1)
					}
				}
				for _, b := range c.opt.Bare {
					margin = math.Min(margin, offPatch(s, b, at.Panel, points))
				}
				if s.Straight && crossesSeam(s, at, points) {
					continue // its rows bend there, and the next panel's edges lie askew
				}
				f := check.Fault(i, at, turn)
				if f != scatter.None {
					faults++
				}
				if margin > open && f != scatter.None || margin < -open && f == scatter.None {
					t.Fatalf("mark %d at %v, turned %g: %q, with %.3f to spare", i, at, turn, f, margin)
				}
			}
			if faults == 0 {
				t.Error("no fault was ever found")
			}
		})
	}
}

// offPatch returns how far points of a panel are from a bare patch, about, below 0
// on it.
func offPatch(s skirt.Surface, b scatter.Bare, panel int, points []geom.Vec) float64 {
	least := math.Inf(1)
	for _, p := range points {
		q := s.Point(s.PlaceOf(skirt.Point{Panel: panel, At: p}))
		if q.Panel != b.Panel {
			continue
		}
		d, a := s.Down(q.At), s.Around(q)
		out := math.Max(math.Max(b.Down[0]-d, d-b.Down[1]), math.Max(b.Around[0]-a, a-b.Around[1]))
		least = math.Min(least, out)
	}
	return least
}

// crossesSeam reports whether points come near a side of their panel.
func crossesSeam(s skirt.Surface, at skirt.Point, points []geom.Vec) bool {
	for _, p := range points {
		q := skirt.Point{Panel: at.Panel, At: p}
		if a := s.Around(q); a < 20 || a > s.PanelGirth(s.Down(p))-20 {
			return true
		}
	}
	return false
}

func TestCheckerAtTheEnds(t *testing.T) {
	s, kinds, opt := skirt.NewRectangle(400, 300, 2), dot, scatter.Options{Clearance: scatter.Clearance{Between: 5}}
	alone := scatter.Layout{Placements: []scatter.Placement{{Point: skirt.Point{At: geom.Vec{Y: 100}}}}}
	check := scatter.NewChecker(s, kinds, opt, alone)
	// Round a tube of 400 mm a disc of radius 15 meets itself 370 mm off.
	if mm, with := check.Gap(0, skirt.Point{At: geom.Vec{Y: 100}}, 0); math.Abs(mm-370) > 1e-9 || len(with) != 1 || with[0] != 0 {
		t.Errorf("%g from %v", mm, with)
	}
	if f := check.Fault(0, skirt.Point{Panel: 2, At: geom.Vec{Y: 100}}, 0); f != scatter.OffCloth {
		t.Errorf("on a panel that is not there: %q", f)
	}
	if f := check.Fault(0, skirt.Point{At: geom.Vec{X: 101, Y: 100}}, 0); f != scatter.OffCloth {
		t.Errorf("past the side of its panel: %q", f)
	}
	if f := check.Fault(0, skirt.Point{At: geom.Vec{Y: 14.9}}, 0); f != scatter.AtWaist {
		t.Errorf("over the waist: %q", f)
	}
	if f := check.Fault(0, skirt.Point{At: geom.Vec{Y: 285.1}}, 0); f != scatter.AtHem {
		t.Errorf("over the hem: %q", f)
	}
	opt.Clearance.Seam = 10
	if f := scatter.NewChecker(s, kinds, opt, alone).Fault(0, skirt.Point{At: geom.Vec{X: 76, Y: 100}}, 0); f != scatter.AtSeam {
		t.Errorf("at a seam: %q", f)
	}
}

// BenchmarkChecker measures a moved mark: its gap, whether it may lie there, and
// the move itself, among 150 marks of the built-in example and among 10,000.
func BenchmarkChecker(b *testing.B) {
	for name, of := range map[string]func() (skirt.Surface, []scatter.Kind, scatter.Options){
		"150":   func() (skirt.Surface, []scatter.Kind, scatter.Options) { return example(b) },
		"10000": func() (skirt.Surface, []scatter.Kind, scatter.Options) { return grown(b, 8.2) },
	} {
		s, kinds, opt := of()
		l, err := scatter.Run(context.Background(), s, kinds, opt)
		if err != nil {
			b.Fatal(err)
		}
		check := scatter.NewChecker(s, kinds, opt, l)
		r := rand.New(rand.NewPCG(1, 1))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				i := r.IntN(len(l.Placements))
				p := l.Placements[i]
				at := p.Point
				at.At = at.At.Add(geom.Vec{X: r.NormFloat64() * 5, Y: r.NormFloat64() * 5})
				check.Gap(i, at, p.Turn)
				check.Fault(i, at, p.Turn)
				check.Move(i, p.Point, p.Turn)
			}
			b.ReportMetric(float64(len(l.Placements)), "marks")
		})
	}
}

// grown is the built-in example on a skirt so many times as large, with the same
// cutouts.
func grown(b *testing.B, times float64) (skirt.Surface, []scatter.Kind, scatter.Options) {
	_, kinds, opt := example(b)
	return skirt.NewCircle(1360*times, 560*times, 1, 2), kinds, opt
}
