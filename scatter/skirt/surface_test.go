package skirt_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

func dist(s skirt.Surface, p, q skirt.Place) float64 { return s.Dist(s.Spot(p), s.Spot(q)) }

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*(1+math.Abs(b)) }

// Radius, hem, area and sewn angle of ring sectors whose waist seam is as long
// as the waist. Geometry identities: radius = waist/(2π·share), hem =
// waist + 2π·share·drop, area = drop·(waist + hem)/2.
func TestCircleDraft(t *testing.T) {
	for _, c := range []struct{ waist, drop, share, inner, hem, area, angle float64 }{
		{70, 60, 2, 5.570423008, 823.982236862, 26819.4671058, 720},
		{70, 60, 1.5, 7.427230678, 635.486677646, 21164.6003294, 540},
		{70, 60, 1, 11.140846016, 446.991118431, 15509.7335529, 360},
		{70, 60, 0.75, 14.854461355, 352.743338823, 12682.3001647, 270},
		{70, 60, 0.5, 22.281692033, 258.495559215, 9854.8667765, 180},
		{70, 60, 0.25, 44.563384066, 164.247779608, 7027.4333882, 90},
		{60, 40, 2, 4.774648293, 562.654824574, 12453.0964915, 720},
		{60, 40, 1.5, 6.366197724, 436.991118431, 9939.8223686, 540},
		{60, 40, 1, 9.549296586, 311.327412287, 7426.5482457, 360},
		{60, 40, 0.75, 12.732395447, 248.495559215, 6169.9111843, 270},
		{60, 40, 0.5, 19.098593171, 185.663706144, 4913.2741229, 180},
		{60, 40, 0.25, 38.197186342, 122.831853072, 3656.6370614, 90},
	} {
		s := skirt.NewCircle(c.waist, c.drop, c.share, 3)
		if !near(s.Inner, c.inner, 1e-8) {
			t.Errorf("waist %g share %g: radius %g, want %g", c.waist, c.share, s.Inner, c.inner)
		}
		if !near(s.Girth(c.drop), c.hem, 1e-8) || !near(s.Girth(0), c.waist, 1e-12) {
			t.Errorf("waist %g share %g: hem %g, want %g", c.waist, c.share, s.Girth(c.drop), c.hem)
		}
		if got := (s.Girth(0) + s.Girth(c.drop)) / 2 * c.drop; !near(got, c.area, 1e-8) {
			t.Errorf("waist %g share %g: area %g, want %g", c.waist, c.share, got, c.area)
		}
		if got := s.Angle * 3 * 180 / math.Pi; !near(got, c.angle, 1e-12) {
			t.Errorf("waist %g share %g: sewn angle %g, want %g", c.waist, c.share, got, c.angle)
		}
	}
}

// Published drafting pages: 110 cm / 6.28 = 17.52 cm; 44 in gives 7 in.
func TestDraftingPages(t *testing.T) {
	if got := skirt.NewCircle(1100, 600, 1, 1).Inner; math.Abs(got-175.2) > 0.2 {
		t.Errorf("110 cm round: radius %.2f mm, want 175.2", got)
	}
	if got := skirt.NewCircle(44*25.4, 600, 1, 1).Inner / 25.4; math.Abs(got-7) > 0.01 {
		t.Errorf("44 in round: radius %.3f in, want 7", got)
	}
}

// Distances on cones of 90° to 720°, without a waist hole and with one of
// radius 15. Geometry identities: unrolling, law of cosines; round the hole
// two tangents and the arc between them.
func TestConeDistances(t *testing.T) {
	for _, c := range []struct{ theta, r1, r2, between, cone, hole float64 }{
		{90, 30, 50, 10, 21.108688755, 21.108688755},
		{90, 30, 50, 80, 21.108688755, 21.108688755},
		{180, 30, 50, 10, 21.108688755, 21.108688755},
		{180, 30, 50, 80, 53.656830572, 53.656830572},
		{180, 30, 50, 170, 21.108688755, 21.108688755},
		{270, 30, 50, 10, 21.108688755, 21.108688755},
		{270, 30, 50, 80, 53.656830572, 53.656830572},
		{270, 30, 50, 170, 62.617445916, 62.617445916},
		{270, 40, 40, 260, 6.972459420, 6.972459420},
		{270, 20, 20, 180, 28.284271247, 28.337430578},
		{360, 30, 50, 10, 21.108688755, 21.108688755},
		{360, 30, 50, 80, 53.656830572, 53.656830572},
		{360, 30, 50, 170, 79.714636417, 83.484099751},
		{360, 40, 40, 260, 61.283555450, 61.283555450},
		{360, 25, 70, 350, 45.586981305, 45.586981305},
		{360, 20, 20, 180, 40.000000000, 51.899375480},
		{540, 30, 50, 10, 21.108688755, 21.108688755},
		{540, 30, 50, 80, 53.656830572, 53.656830572},
		{540, 30, 50, 170, 79.714636417, 83.484099751},
		{540, 40, 40, 260, 80.000000000, 106.637839130},
		{540, 25, 70, 350, 95.000000000, 103.883889646},
		{540, 20, 20, 180, 40.000000000, 51.899375480},
		{720, 30, 50, 10, 21.108688755, 21.108688755},
		{720, 30, 50, 80, 53.656830572, 53.656830572},
		{720, 30, 50, 170, 79.714636417, 83.484099751},
		{720, 40, 40, 260, 80.000000000, 106.637839130},
		{720, 25, 70, 350, 95.000000000, 145.771791694},
		{720, 20, 20, 180, 40.000000000, 51.899375480},
	} {
		for _, panels := range []int{1, 2, 5} {
			for _, w := range []struct{ inner, want float64 }{{0, c.cone}, {15, c.hole}} {
				share := c.theta / 360
				s := skirt.NewCircle(w.inner*2*math.Pi*share, 100, share, panels)
				p := skirt.Place{Round: 0.9, Down: c.r1 - w.inner}
				q := skirt.Place{Round: math.Mod(0.9+c.between/c.theta, 1), Down: c.r2 - w.inner}
				if got := dist(s, p, q); !near(got, w.want, 1e-7) {
					t.Errorf("%g° cone, hole %g, %d panels, r %g and %g, %g° apart: %.7f, want %.7f", c.theta, w.inner, panels, c.r1, c.r2, c.between, got, w.want)
				}
			}
		}
	}
}

// surfaces draws a surface of any cut, share and number of panels.
func surfaces() *rapid.Generator[skirt.Surface] {
	return rapid.Custom(func(t *rapid.T) skirt.Surface {
		panels := rapid.IntRange(1, 8).Draw(t, "panels")
		girth := rapid.Float64Range(300, 4000).Draw(t, "girth")
		drop := rapid.Float64Range(100, 1200).Draw(t, "drop")
		switch rapid.IntRange(0, 3).Draw(t, "cut") {
		case 0:
			return skirt.NewRectangle(girth, drop, panels)
		case 1:
			s, err := skirt.NewGores(girth, girth+rapid.Float64Range(1, 6).Draw(t, "flare")*drop, drop, panels, rapid.Bool().Draw(t, "straight"))
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		return skirt.NewCircle(girth, drop, rapid.Float64Range(0.25, 4).Draw(t, "share"), panels)
	})
}

func places(s skirt.Surface) *rapid.Generator[skirt.Place] {
	return rapid.Custom(func(t *rapid.T) skirt.Place {
		return skirt.Place{Round: rapid.Float64Range(0, 0.9999999).Draw(t, "round"), Down: rapid.Float64Range(0, s.Drop).Draw(t, "down")}
	})
}

// A step along the cloth is seen again as that very step.
func TestStepIsSeen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := surfaces().Draw(t, "surface")
		p := places(s).Draw(t, "p")
		step := geom.Vec{X: rapid.Float64Range(-60, 60).Draw(t, "dx"), Y: rapid.Float64Range(-30, 30).Draw(t, "dy")}
		if s.Wedges() && s.Inner+p.Down < 61 {
			t.Skip("the step ends beyond the apex")
		}
		at := s.Spot(p)
		q := s.Step(at, step.Rotate(at.Upright)).Place
		found := false
		s.Seen(p, q, func(off geom.Vec, turn float64) {
			found = found || off.Dist(step) < 1e-6
		})
		if !found {
			t.Fatalf("step %v from %v to %v is not seen", step, p, q)
		}
	})
}

// Whatever is seen nearest is no nearer than the way along the cloth, and as
// near where the straight line stays on it.
func TestSeenAgreesWithDist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := surfaces().Draw(t, "surface")
		p, q := places(s).Draw(t, "p"), places(s).Draw(t, "q")
		best := math.Inf(1)
		s.Seen(p, q, func(off geom.Vec, _ float64) { best = math.Min(best, off.Len()) })
		d := dist(s, p, q)
		if best > d+1e-6 && !math.IsInf(best, 1) {
			t.Fatalf("seen at %g, but the cloth's way is %g", best, d)
		}
		if best < s.Inner && best < d-1e-6 && s.Cut == skirt.Rectangle {
			t.Fatalf("seen at %g, but the cloth's way is %g", best, d)
		}
		if back := dist(s, q, p); !near(back, d, 1e-9) {
			t.Fatalf("%g there, %g back", d, back)
		}
	})
}

// A place's point in its panel's frame gives back its row and its way round.
func TestPointInItsPanel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := surfaces().Draw(t, "surface")
		if s.Wedges() && s.Angle >= 2*math.Pi {
			t.Skip("such a panel does not lie flat")
		}
		p := places(s).Draw(t, "p")
		if k := p.Round * float64(s.Panels); math.Abs(k-math.Round(k)) < 1e-9 {
			t.Skip("on a seam it may be either panel's")
		}
		pt := s.Point(p)
		if !near(s.Down(pt.At), p.Down, 1e-9) {
			t.Fatalf("down %g came back as %g", p.Down, s.Down(pt.At))
		}
		round := (float64(pt.Panel)*s.PanelGirth(p.Down) + s.Around(pt)) / s.Girth(p.Down)
		if math.Abs(round-p.Round) > 1e-9 {
			t.Fatalf("round %g came back as %g", p.Round, round)
		}
		// Upright points to the waist: a step up lies nearer to it by its length.
		if got := s.Point(s.PlaceOf(pt)); got.Panel != pt.Panel || got.At.Dist(pt.At) > 1e-6 {
			t.Fatalf("%v came back as %v", pt, got)
		}
		if got := s.PointAt(pt.Panel, s.Down(pt.At), s.Around(pt)); got.At.Dist(pt.At) > 1e-6 {
			t.Fatalf("measured at %v, found at %v", pt, got)
		}
		up := geom.Vec{Y: -1}.Rotate(s.Upright(pt.At))
		if got := s.Down(pt.At.Add(up)); !near(got, p.Down-1, 1e-6) && s.Inner+p.Down > 1 {
			t.Fatalf("a step up from %g leads to %g", p.Down, got)
		}
	})
}

// Copies of a fold's places lie as far apart on the whole as on the fold.
func TestFoldKeepsDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := surfaces().Draw(t, "surface")
		n := rapid.IntRange(1, 6).Draw(t, "n")
		if !s.Folds(n) {
			t.Skip("the copies would differ")
		}
		f := s.Fold(n)
		p, q := places(s).Draw(t, "p"), places(s).Draw(t, "q")
		want := dist(f, p, q)
		got := math.Inf(1)
		for k := range n {
			got = math.Min(got, dist(s, p.Repeated(0, n), q.Repeated(k, n)))
		}
		if !near(got, want, 1e-6) {
			t.Fatalf("%g on the fold, %g on the whole", want, got)
		}
	})
}
