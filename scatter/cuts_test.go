package scatter_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// crescent is a moon whose anchor, the middle of its widest disc, is the origin.
func crescent(r float64) geom.Ring {
	var out geom.Ring
	const n = 16
	for i := range n {
		a := math.Pi * (0.5 + float64(i)/n)
		out = append(out, geom.Vec{X: 0.65*r + r*math.Cos(a), Y: -r * math.Sin(a)})
	}
	for i := range n {
		a := math.Pi * (1.5 - float64(i)/n)
		out = append(out, geom.Vec{X: 0.65*r + 0.3*r*math.Cos(a), Y: -r * math.Sin(a)})
	}
	return out
}

// cape is half a ring of cloth with a slanting front, drawn flat, in a bay of
// which lies the neck.
func cape(t testing.TB) skirt.Surface {
	t.Helper()
	var ring geom.Ring
	for i := range 61 { // hem, from left to right under the neck
		a := math.Pi * float64(i) / 60
		ring = append(ring, geom.Vec{X: 600 - 600*math.Cos(a), Y: 40 + 560*math.Sin(a)})
	}
	for i := range 25 { // neck, back from right to left
		a := math.Pi * float64(i) / 24
		ring = append(ring, geom.Vec{X: 600 + 110*math.Cos(a), Y: 40 + 110*math.Sin(a)})
	}
	if ring.Area() < 0 {
		ring = ring.Reversed()
	}
	s, err := skirt.NewOutline(skirt.Drawing{Panels: []geom.Region{{Outer: ring}}}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func gores(t testing.TB, n int, straight bool) skirt.Surface {
	t.Helper()
	s, err := skirt.NewGores(800, 2400, 570, n, straight)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// cuts are the surfaces on which everything is tried.
func cuts(t testing.TB) []cut {
	return []cut{
		{"full circle, two panels", skirt.NewCircle(680, 570, 1, 2)},
		{"half circle, one panel", skirt.NewCircle(680, 570, 0.5, 1)},
		{"double circle, three panels", skirt.NewCircle(1360, 570, 2, 3)},
		{"gathered rectangle", skirt.NewRectangle(2400, 570, 2)},
		{"six gores", gores(t, 6, false)},
		{"six straight gores", gores(t, 6, true)},
		{"cape", cape(t)},
	}
}

type cut struct {
	name    string
	surface skirt.Surface
}

// offEdges measures a layout the slow obvious way on any cut: every outline
// point against every edge of its panel, and every pair of outlines after carrying
// one beside the other as the cloth is sewn.
func offEdges(s skirt.Surface, kinds []scatter.Kind, opt scatter.Options, l scatter.Layout) error {
	const tol = 1e-3
	c := opt.Clearance
	clear := map[skirt.EdgeKind]float64{skirt.WaistEdge: c.Waist, skirt.HemEdge: c.Hem, skirt.SeamEdge: c.Seam, skirt.OpenEdge: c.Hem}
	ring := func(p scatter.Placement) geom.Ring {
		return kinds[p.Kind].Outline[0].Transform(geom.Placing(p.Point.At, p.Turn, 1, false))
	}
	for i, p := range l.Placements {
		outline := ring(p)
		// A mark on a seam belongs to either panel.
		if beyond := math.Max(-p.Around, p.Around-s.PanelGirth(p.Down)); s.Closed() && beyond > 1e-6 || !s.Closed() && !s.Inside(p.Point) {
			return fmt.Errorf("mark %d lies off the cloth", i+1)
		}
		for _, e := range s.Edges(p.Point.Panel) {
			if e.Kind == skirt.SeamEdge && c.Seam == 0 && s.Closed() {
				continue
			}
			want := clear[e.Kind]
			if s.Wedges() {
				want -= geom.FlattenTol // arcs are drawn in steps
			}
			for k := 1; k < len(e.Line); k++ {
				if geom.PointSegment(p.Point.At, e.Line[k-1], e.Line[k]) > want+outline.Reach(p.Point.At) {
					continue
				}
				for q := range outline {
					if g := geom.SegmentGap(outline[q], outline.At(q+1), e.Line[k-1], e.Line[k]); g < want-tol {
						return fmt.Errorf("mark %d lies %.4f from a %s edge, asked %.4f", i+1, g, e.Kind, clear[e.Kind])
					}
				}
			}
		}
		for b, patch := range opt.Bare {
			for _, q := range outline {
				// A point past a seam lies on the next panel, seen from its own.
				at := s.Point(s.PlaceOf(skirt.Point{Panel: p.Point.Panel, At: q}))
				if at.Panel != patch.Panel {
					continue
				}
				if d, a := s.Down(at.At), s.Around(at); d > patch.Down[0] && d < patch.Down[1] && a > patch.Around[0] && a < patch.Around[1] {
					return fmt.Errorf("mark %d lies on bare patch %d: %.2f down, %.2f around", i+1, b+1, d, a)
				}
			}
		}
	}
	for i, p := range l.Placements {
		a := kinds[p.Kind].Outline[0].Transform(geom.Rotation(p.Turn - s.Upright(p.Point.At)))
		for k, q := range l.Placements[:i+1] {
			b := kinds[q.Kind].Outline[0].Transform(geom.Rotation(q.Turn - s.Upright(q.Point.At)))
			var err error
			s.Seen(s.PlaceOf(p.Point), s.PlaceOf(q.Point), func(off geom.Vec, turn float64) {
				if i == k && off.Len() < 1e-6 || err != nil {
					return
				}
				if g := a.Gap(b.Transform(geom.Placing(off, turn, 1, false)), c.Between+1); g < c.Between-tol {
					err = fmt.Errorf("marks %d and %d lie %.4f apart, asked %.4f", k+1, i+1, g, c.Between)
				}
			})
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// Every pattern keeps its clearances on every cut, round a bare patch and a
// cutout placed by hand, which stays where it was put.
func TestCutsBareAndFixed(t *testing.T) {
	kinds := []scatter.Kind{
		{Name: "leaf", Outline: []geom.Ring{leaf(42, 16)}, Share: 2, Direction: scatter.Tossed},
		{Name: "moon", Motif: 1, Outline: []geom.Ring{crescent(14)}, Share: 1},
	}
	for _, c := range cuts(t) {
		for _, pattern := range []scatter.Pattern{scatter.Grid, scatter.HemBand, scatter.Polka} {
			for _, jitter := range []float64{0, 0.5, 1} {
				if jitter > 0 && pattern != scatter.Polka || jitter == 1 && c.surface.Banded() {
					continue
				}
				t.Run(fmt.Sprintf("%s/%s %g", c.name, pattern, jitter), func(t *testing.T) {
					opt := scatter.Options{
						Pattern: pattern, Spacing: 85, Jitter: jitter, Rows: 2, Rise: 80, Repeat: c.surface.Panels, Seed: 3,
						Clearance: scatter.Clearance{Between: 5, Waist: 15, Hem: 12},
						Bare:      []scatter.Bare{{Panel: 0, Down: [2]float64{200, 420}, Around: [2]float64{100, 190}}},
						Fixed:     []scatter.Fixed{{Kind: 1, Panel: 0, Down: 480, Around: 160, Turn: 0.4}},
					}
					l, err := scatter.Run(context.Background(), c.surface, kinds, opt)
					if err != nil {
						t.Fatal(err)
					}
					if err := offEdges(c.surface, kinds, opt, l); err != nil {
						t.Error(err)
					}
					hands := 0
					for _, p := range l.Placements {
						if p.Fixed {
							hands++
							if math.Abs(p.Down-480) > 1e-6 || math.Abs(p.Around-160) > 1e-6 || p.Kind != 1 || p.Point.Panel != 0 {
								t.Errorf("the fixed cutout went to %+v", p)
							}
						}
					}
					if hands != 1 {
						t.Errorf("%d fixed cutouts", hands)
					}
					if len(l.Placements) < 10 {
						t.Errorf("only %d placed", len(l.Placements))
					}
				})
			}
		}
	}
}

// Exact counts hold on every cut, and where something lies in the way.
func TestExactCountAmongObstacles(t *testing.T) {
	for _, c := range cuts(t) {
		for _, pattern := range []scatter.Pattern{scatter.Grid, scatter.Polka} {
			for _, n := range []int{7, 31, 90} {
				for _, jitter := range []float64{0, 0.5} {
					if pattern == scatter.Grid && jitter > 0 {
						continue
					}
					opt := scatter.Options{
						Pattern: pattern, Cutouts: n, Jitter: jitter, Repeat: c.surface.Panels, Seed: 3,
						Clearance: scatter.Clearance{Between: 2, Waist: 10, Hem: 10},
						Bare:      []scatter.Bare{{Panel: 0, Down: [2]float64{200, 400}, Around: [2]float64{100, 190}}},
					}
					small := []scatter.Kind{{Name: "dot", Outline: []geom.Ring{disc(8)}, Share: 1}}
					l, err := scatter.Run(context.Background(), c.surface, small, opt)
					var no *scatter.Impossible
					switch {
					case errors.As(err, &no) && jitter == 0:
						t.Logf("%s, %s %g: %d: %v", c.name, pattern, jitter, n, err)
					case err != nil:
						t.Errorf("%s, %s %g: %d: %v", c.name, pattern, jitter, n, err)
					case len(l.Placements) != n:
						t.Errorf("%s, %s %g: %d placed, asked %d", c.name, pattern, jitter, len(l.Placements), n)
					default:
						if err := offEdges(c.surface, small, opt, l); err != nil {
							t.Errorf("%s, %s %g, %d: %v", c.name, pattern, jitter, n, err)
						}
					}
				}
			}
		}
	}
}

// A piece that lies apart from a motif's anchor may not come to lie wholly on a
// bare patch, or beyond an edge, either.
func TestPieceApartKeepsOffPatches(t *testing.T) {
	pair := []scatter.Kind{{Name: "pair", Outline: []geom.Ring{disc(6), disc(5).Transform(geom.Translation(geom.Vec{X: 45}))}, Share: 1}}
	for _, c := range []cut{cuts(t)[0], cuts(t)[5], cuts(t)[6]} {
		for _, p := range []scatter.Options{{Pattern: scatter.Grid, Spacing: 80, RowSpacing: 30}, {Pattern: scatter.Polka, Jitter: 0.5, Spacing: 70}} {
			opt := p
			opt.Repeat, opt.Seed, opt.Clearance = 1, 3, scatter.Clearance{Between: 5, Waist: 15, Hem: 12}
			opt.Bare = []scatter.Bare{{Panel: 0, Down: [2]float64{150, 450}, Around: [2]float64{100, 140}}}
			l, err := scatter.Run(context.Background(), c.surface, pair, opt)
			if err != nil {
				t.Errorf("%s, %s: %v", c.name, p.Pattern, err)
				continue
			}
			if len(l.Placements) < 10 {
				t.Errorf("%s, %s: only %d placed", c.name, p.Pattern, len(l.Placements))
			}
			for i, m := range l.Placements {
				for _, ring := range pair[0].Outline {
					ring = ring.Transform(geom.Placing(m.Point.At, m.Turn, 1, false))
					if d := offPatch(c.surface, opt.Bare[0], m.Point.Panel, ring); d < -1e-3 {
						t.Errorf("%s, %s: mark %d reaches %.2f over the bare patch", c.name, p.Pattern, i+1, -d)
					}
					if in := c.surface.Inside(skirt.Point{Panel: m.Point.Panel, At: ring[0]}); !in && !c.surface.Closed() {
						t.Errorf("%s, %s: a piece of mark %d lies off the cloth", c.name, p.Pattern, i+1)
					}
				}
			}
		}
	}
}
