package skirt_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

func box(x, y, w, h float64) geom.Ring {
	return geom.Ring{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
}

func open(name string, p ...geom.Vec) skirt.Line { return skirt.Line{Name: name, Points: p} }

// two is two panels of 300 × 400 drawn 100 apart, the left one with a neck hole.
func two() skirt.Drawing {
	hole := box(100, 100, 50, 50).Reversed()
	return skirt.Drawing{
		Panels: []geom.Region{{Outer: box(10, 20, 300, 400), Holes: []geom.Ring{hole}}, {Outer: box(410, 20, 300, 400)}},
		Lines: []skirt.Line{
			open("right of the first", geom.Vec{X: 310.2, Y: 20}, geom.Vec{X: 310, Y: 420}),
			open("left of the second", geom.Vec{X: 410, Y: 20}, geom.Vec{X: 409.9, Y: 420}),
			open("left of the second, upward", geom.Vec{X: 410, Y: 420}, geom.Vec{X: 410, Y: 20}),
			open("half", geom.Vec{X: 410, Y: 20}, geom.Vec{X: 410, Y: 220}),
			open("top of the second", geom.Vec{X: 410, Y: 20}, geom.Vec{X: 710, Y: 20}),
			open("astray", geom.Vec{X: 350, Y: 20}, geom.Vec{X: 350, Y: 420}),
			{Name: "neck", Points: hole, Closed: true},
		},
	}
}

func place(s skirt.Surface, x, y float64) skirt.Place {
	return s.PlaceOf(skirt.Point{At: geom.Vec{X: x, Y: y}})
}

// Panels are far apart however near they are drawn, until a seam joins them:
// then as if they lay edge to edge.
func TestOutlineDistances(t *testing.T) {
	apart, err := skirt.NewOutline(two(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	sewn, err := skirt.NewOutline(two(), [][2]string{{"right of the first", "left of the second"}}, []string{"neck"})
	if err != nil {
		t.Fatal(err)
	}
	p, q := place(sewn, 290, 100), place(sewn, 425, 130)
	if d := dist(apart, p, q); !math.IsInf(d, 1) {
		t.Errorf("on panels that no seam joins, %g", d)
	}
	// 20 mm to the seam and 15 mm beyond, 30 mm lower; the lines stray by 0.1 mm.
	if d := dist(sewn, p, q); math.Abs(d-math.Hypot(35, 30)) > 0.2 {
		t.Errorf("over the seam %g, want %g", d, math.Hypot(35, 30))
	}
	if a, b := dist(sewn, p, q), dist(sewn, q, p); math.Abs(a-b) > 1e-9 {
		t.Errorf("%g there, %g back", a, b)
	}
	if got := sewn.Point(q).Panel; got != 1 {
		t.Errorf("panel %d, want 1", got)
	}
	if sewn.Closed() || sewn.Banded() {
		t.Error("an outline is open and has no bands")
	}
	if sewn.Inside(skirt.Point{At: geom.Vec{X: 120, Y: 120}}) || !sewn.Inside(skirt.Point{At: geom.Vec{X: 90, Y: 120}}) {
		t.Error("the neck hole is cloth, or the cloth beside it is not")
	}
}

// A wedge of one panel whose sides are sewn together is a cone: the same
// distances as a circle of that share.
func TestOutlineConeIsACircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0.1, 0.5).Draw(t, "share")
		c := skirt.NewCircle(600, 400, share, 1)
		shift := geom.Vec{X: 1000, Y: 1000}
		g := c.PanelOutline(0)
		g.Outer = geom.Ring(g.Outer).Transform(geom.Translation(shift))
		edges := c.Edges(0)
		right, left := edges[1].Line, edges[3].Line
		s, err := skirt.NewOutline(skirt.Drawing{Panels: []geom.Region{g}, Lines: []skirt.Line{
			open("right", right[0].Add(shift), right[1].Add(shift)),
			open("left", left[1].Add(shift), left[0].Add(shift)),
		}}, [][2]string{{"right", "left"}}, nil)
		if err != nil {
			t.Fatal(err)
		}
		p, q := places(c).Draw(t, "p"), places(c).Draw(t, "q")
		a, b := c.Point(p).At.Add(shift), c.Point(q).At.Add(shift)
		// Where the straight line leaves the cloth at the waist, a drawn panel's
		// distance lies between that line and the way round.
		line, way := math.Inf(1), dist(c, p, q)
		c.Seen(p, q, func(off geom.Vec, _ float64) { line = math.Min(line, off.Len()) })
		if got := dist(s, place(s, a.X, a.Y), place(s, b.X, b.Y)); got > way+1e-6 || got < line-1e-6 {
			t.Fatalf("%g on the drawn cone, from %g to %g on the circle", got, line, way)
		}
	})
}

// The slow obvious way, on an outline.
func TestSpotsSeeOverDrawnSeams(t *testing.T) {
	s, err := skirt.NewOutline(two(), [][2]string{{"right of the first", "left of the second"}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		x := skirt.NewSpots(s, 0, s.Drop, rapid.Float64Range(10, 200).Draw(t, "cell"))
		draw := func(name string) skirt.Spot {
			left := 10 + 400*float64(rapid.IntRange(0, 1).Draw(t, name+" panel"))
			return s.Spot(place(s, left+rapid.Float64Range(1, 299).Draw(t, name+" x"), rapid.Float64Range(21, 419).Draw(t, name+" y")))
		}
		for range 20 {
			x.Add(draw("spot"))
		}
		p, reach := draw("p"), rapid.Float64Range(1, 300).Draw(t, "reach")
		got := 0
		x.Near(p, reach, func(id int, off geom.Vec, over int) { got++ })
		want := 0
		for id := range x.Len() {
			s.Seen(p.Place, x.At(id).Place, func(off geom.Vec, _ float64) {
				if off.Len() <= reach {
					want++
				}
			})
		}
		if got != want {
			t.Fatalf("%d sights, want %d", got, want)
		}
	})
}

// Edges tell what each part of the edge is, and leave nothing out.
func TestOutlineEdges(t *testing.T) {
	s, err := skirt.NewOutline(two(), [][2]string{{"right of the first", "left of the second"}}, []string{"neck"})
	if err != nil {
		t.Fatal(err)
	}
	length := map[skirt.EdgeKind]float64{}
	for k := range s.Panels {
		for _, e := range s.Edges(k) {
			for i := 1; i < len(e.Line); i++ {
				length[e.Kind] += e.Line[i].Dist(e.Line[i-1])
			}
		}
	}
	for kind, want := range map[skirt.EdgeKind]float64{skirt.WaistEdge: 200, skirt.SeamEdge: 800, skirt.OpenEdge: 2000} {
		if math.Abs(length[kind]-want) > 1e-6 {
			t.Errorf("%s edges %g mm, want %g", kind, length[kind], want)
		}
	}
}

func TestOutlineRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		seams [][2]string
		waist []string
		want  string
	}{
		{"unknown seam", [][2]string{{"right of the first", "left of nothing"}}, nil, `a line "left of nothing", which is not in the drawing; its named lines are "right of the first"`},
		{"unknown waist", nil, []string{"collar"}, `waist_edge names a line "collar"`},
		{"one longer", [][2]string{{"right of the first", "half"}}, nil, "400.0 mm long and \"half\" 200.0 mm"},
		{"wrong way", [][2]string{{"right of the first", "left of the second, upward"}}, nil, "draw one of the two lines from its other end"},
		{"astray", [][2]string{{"right of the first", "astray"}}, nil, "strays 40.0 mm from the edge"},
		{"shared edge", [][2]string{{"right of the first", "left of the second"}}, []string{"half"}, "share a stretch of edge"},
		{"whole edge", [][2]string{{"neck", "half"}}, nil, "a seam has a start and an end"},
	} {
		_, err := skirt.NewOutline(two(), c.seams, c.waist)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q in it", c.name, err, c.want)
		}
	}
}

// Flare and radius of gores: hem = top + angle·drop per gore for arcs (the
// ring sector's own identity); for straight edges the trapezoid's sides lie
// (hem - top)/2n off square over the drop.
func TestGoresDraft(t *testing.T) {
	for _, n := range []int{4, 6, 8} {
		for _, straight := range []bool{false, true} {
			s, err := skirt.NewGores(720, 2400, 560, n, straight)
			if err != nil {
				t.Fatal(err)
			}
			if !near(s.Girth(0), 720, 1e-12) || !near(s.Girth(s.Drop), 2400, 1e-12) {
				t.Errorf("%d gores: %g at the top and %g at the hem", n, s.Girth(0), s.Girth(s.Drop))
			}
			area := s.PanelOutline(0).Area() * float64(n)
			if want := (720.0 + 2400) / 2 * 560; math.Abs(area-want) > want*2e-4 {
				t.Errorf("%d gores: %g mm², want %g", n, area, want)
			}
		}
	}
	if _, err := skirt.NewGores(900, 900, 500, 6, false); err != skirt.ErrNoFlare {
		t.Errorf("no flare: %v", err)
	}
	if _, err := skirt.NewGores(500, 4000, 500, 1, false); err != skirt.ErrTooFlared {
		t.Errorf("wider than a full turn: %v", err)
	}
}

// Gores with arcs are the circle of their angle and radius.
func TestCurvedGoresAreACircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share, n := rapid.Float64Range(0.25, 2.9).Draw(t, "share"), rapid.IntRange(3, 8).Draw(t, "n")
		c := skirt.NewCircle(700, 500, share, n)
		g, err := skirt.NewGores(700, c.Girth(500), 500, n, false)
		if err != nil {
			t.Fatal(err)
		}
		p, q := places(c).Draw(t, "p"), places(c).Draw(t, "q")
		if a, b := dist(c, p, q), dist(g, p, q); !near(a, b, 1e-9) {
			t.Fatalf("%g on the circle, %g on the gores", a, b)
		}
		if a, b := c.Point(p), g.Point(p); a.Panel != b.Panel || a.At.Dist(b.At) > 1e-6 {
			t.Fatalf("%v on the circle, %v on the gores", a, b)
		}
	})
}
