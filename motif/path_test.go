package motif

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

// Odd path data and plain path data that draw the same.
func TestPathGrammar(t *testing.T) {
	for _, c := range []struct{ odd, same, source string }{
		{"M 20 120 H 40.5.6", "M 20 120 H 40.5 H 0.6", "W3C SVG 1.1 test suite paths-data-18-f"},
		{"M 20 140 h 10-20", "M 20 140 h 10 h -20", "W3C paths-data-18-f"},
		{"M 20 160 H 40#90", "M 20 160 H 40", "W3C paths-data-18-f (error: stop)"},
		{"M       20,80          H    40", "M 20 80 H 40", "W3C paths-data-18-f"},
		{"M20 20 H40 60", "M20 20 H40 H60", "W3C paths-data-19-f"},
		{"M20 40 h20 20", "M20 40 h20 h20", "W3C paths-data-19-f"},
		{"M120 20 V40 60", "M120 20 V40 V60", "W3C paths-data-19-f"},
		{"M140 20 v20 20", "M140 20 v20 v20", "W3C paths-data-19-f"},
		{"M220 20 L 240 20 260 20 ", "M220 20 L 240 20 L260 20", "W3C paths-data-19-f"},
		{"M220 40 l 20 0 20 0", "M220 40 l 20 0 l 20 0", "W3C paths-data-19-f"},
		{"M50 150 C50 50 200 50 200 150 200 50 350 50 350 150", "M50 150 C50 50 200 50 200 150 C200 50 350 50 350 150", "W3C paths-data-19-f"},
		{"M50, 200 c0,-100 150,-100 150,0 0,-100 150,-100 150,0", "M50, 200 c0,-100 150,-100 150,0 c0,-100 150,-100 150,0", "W3C paths-data-19-f"},
		{"M50 250 S125 200 200 250 275, 200 350 250", "M50 250 S125 200 200 250 S275, 200 350 250", "W3C paths-data-19-f"},
		{"M50 275 s75 -50 150 0 75, -50 150 0", "M50 275 s75 -50 150 0 s75, -50 150 0", "W3C paths-data-19-f"},
		{"M50 300 Q 125 275 200 300 275 325 350 300", "M50 300 Q 125 275 200 300 Q 275 325 350 300", "W3C paths-data-19-f"},
		{"M50 325 q 75 -25 150 0 75 25 150 0", "M50 325 q 75 -25 150 0 q 75 25 150 0", "W3C paths-data-19-f"},
		{"M425 25 T 425 75 425 125", "M425 25 T 425 75 T 425 125", "W3C paths-data-19-f"},
		{"M450 25 t 0 50 0 50", "M450 25 t 0 50 t 0 50", "W3C paths-data-19-f"},
		{"M400,200 A25 25 0 0 0 425 150 25 25 0 0 0 400 200", "M400,200 A25 25 0 0 0 425 150 A25 25 0 0 0 400 200", "W3C paths-data-19-f"},
		{"M400,300 a25 25 0 0 0 25 -50 25 25 0 0 0 -25 50", "M400,300 a25 25 0 0 0 25 -50 a25 25 0 0 0 -25 50", "W3C paths-data-19-f"},
		{"M120,120 h25 a25,25 0 10 -25,25z", "M120,120 h25 a25,25 0 1,0 -25,25 z", "W3C paths-data-20-f"},
		{"M200,120 h-25 a25,25 0 1125,25 z", "M200,120 h-25 a25,25 0 1,1 25,25 z", "W3C paths-data-20-f"},
		{"M120,200 h25 a25,25 0 1 1-25,-25 z", "M120,200 h25 a25,25 0 1,1 -25,-25 z", "W3C paths-data-20-f"},
		{"M280,120 h25 a25,25 0 6 0 -25,25 z", "M280,120 h25", "W3C paths-data-20-f (flag out of range: error)"},
		{"M360,120 h-25 a25,25 0 1 -1 25,25 z", "M360,120 h-25", "W3C paths-data-20-f (error)"},
		{"M200,200 h-25 a25,2501 025,-25 z", "M200,200 h-25", "W3C paths-data-20-f (error)"},
		{"M280,200 h25 a25 25 0 1 7 -25 -25 z", "M280,200 h25", "W3C paths-data-20-f (error)"},
		{"M360,200 h-25 a25,25 0 -1 0 25,-25 z", "M360,200 h-25", "W3C paths-data-20-f (error)"},
		{"M10-20A5.5.3-4 010-.1", "M 10 -20 A 5.5 0.3 -4 0 1 0 -0.1", "resvg test M-A-trimmed"},
		{"M 30 40 L 110 160 L 150#80", "M 30 40 L 110 160", "resvg test invalid-data-in-L"},
		{"M 30 40 L 110 160 L 150", "M 30 40 L 110 160", "resvg test missing-coordinate-in-L"},
		{"A 5 5 0 0 1 50 50", "", "resvg test A (a path starts with a moveto)"},
		{"M 10,10 L 20,20,30", "M 10 10 L 20 20", "SVG 2 paths chapter, error handling"},
		{"M 100-200", "M 100 -200", "SVG 2 paths chapter, grammar"},
		{"M 0.6.5", "M 0.6 0.5", "SVG 2 paths chapter, grammar"},
		{"m 0 0 l 3 -4 z # ignored suffix v 123", "m 0 0 l 3 -4 z", "web-platform-tests svg/path/error-handling"},
		{"m 0 0 l -9 11 -123 z # ignore last l parameter", "m 0 0 l -9 11", "web-platform-tests svg/path/error-handling"},
		{"# invalid", "", "web-platform-tests svg/path/error-handling"},
		{"M1e1 2E+1L3.e0 40e-1", "M10 20 L3 4", "SVG 2 paths chapter, grammar: exponents"},
		{"M10 10 20 10 20 20zm5 5 1 0 0 1z", "M10 10 L20 10 L20 20 Z M15 15 L16 15 L16 16 Z", "SVG 2 9.3.3: relative moveto after closepath, implicit lineto"},
		{"M10 10 h5 z l1 1", "M10 10 h5 z M10 10 l1 1", "SVG 2 9.3.4: a command after closepath starts at its point"},
	} {
		got, _, _ := parsePath(c.odd)
		want, _, ok := parsePath(c.same)
		if !ok && c.same != "" {
			t.Fatalf("%q: plain form refused", c.same)
		}
		if !samePath(got, want) {
			t.Errorf("%q draws %v, %q draws %v (%s)", c.odd, got, c.same, want, c.source)
		}
	}
}

func samePath(a, b []subpath) bool {
	near := func(p, q geom.Vec) bool { return p.Dist(q) < 1e-9 }
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].closed != b[i].closed || !near(a[i].start, b[i].start) || len(a[i].curves) != len(b[i].curves) {
			return false
		}
		for j, c := range a[i].curves {
			d := b[i].curves[j]
			if c.kind != d.kind || !near(c.end, d.end) || math.Abs(c.from-d.from) > 1e-9 || math.Abs(c.turn-d.turn) > 1e-9 {
				return false
			}
			for k := range c.p {
				if !near(c.p[k], d.p[k]) {
					return false
				}
			}
		}
	}
	return true
}

// Arcs against values computed from SVG 2 appendix B.2.4 (SVG 1.1 F.6):
// radii after scaling up, centre, angles, box, length and the middle point.
func TestArcs(t *testing.T) {
	for _, c := range []struct {
		data                   string
		rx, ry, cx, cy         float64
		theta, turn            float64
		minX, minY, maxX, maxY float64
		length, midX, midY     float64
	}{
		{"M 30 40 A 40 30 20 1 1 150 100", 67.42218241175466, 50.56663680881599, 90.00000033804633, 69.99999944971695, -171.27613582571848, 180.00000145061048, 30.0, 17.183087596916295, 155.6742666959746, 100.0, 186.28321134116322, 116.70410604582295, 26.530168789056276},
		{"M 0 0 A 25 25 0 0 1 100 0", 50, 50, 50, 0, 180, 180, 0, -50, 100, 0, 157.07963267948966, 50, -50},
		{"M 0 0 A 25 50 -30 0 1 50 -25", 27.913197219451185, 55.82639443890237, 25, -12.5, -178.28098098910368, 180, -11.925689069683742, -62.821231918435046, 50, 0, 135.21778296529408, -2.1754763209582393, -61.243988160479084},
		{"M 0 0 A 25 100 -30 0 1 50 -25", 27.903776156014654, 111.61510462405862, 25, -12.5, -179.14029702860861, 180, -35.8148702036239, -110.16321654605126, 50, 0, 239.37036098585818, -30.43869080239559, -109.35997040119773},
		{"M 125 75 A 100 50 0 0 0 225 125", 100, 50, 225, 75, 180, -90, 125, 75, 225, 125, 121.10560275684595, 154.28932188134524, 110.35533905932738},
		{"M 125 75 A 100 50 0 1 1 225 125", 100, 50, 225, 75, 180, 270, 125, 25, 325, 125, 363.3168082705378, 295.71067811865476, 39.644660940672615},
		{"M 40 30 A 20 40 -45 0 1 60 80", 20, 40, 33.107715823315004, 50.55466205876711, -13.976210391777407, 109.15501007356377, 40, 30, 64.7304924249988, 80, 59.942371123962644, 62.252385399515084, 58.22431194724081},
		{"M 50 20 A 50 50 0 0 0 150 20", 50, 50, 100, 20, 180, -180, 50, 20, 150, 70, 157.07963267948966, 100, 70},
		{"M 0 0 A -60 30 375 1 0 40 10", 60, 30, 14.542722891633867, 32.68700194295987, -112.03174032713908, -319.7904553621437, -43.930641088121845, -0.18952014942405526, 73.01608687138958, 65.56352403534379, 249.20435916529067, 8.731332328522667, 62.17056647837535},
		{"M 10 -20 A 5.5 0.3 -4 0 1 0 -0.1", 175.66987758955855, 9.581993323066829, 5, -10.05, -88.14649204356078, 180, 0, -25.59126992132807, 180.24322930603114, -0.1, 353.32511195171867, 180.17188535152042, -21.988533024102107},
	} {
		path, _, ok := parsePath(c.data)
		if !ok || len(path) != 1 || len(path[0].curves) != 1 || path[0].curves[0].kind != arc {
			t.Fatalf("%q is not read as one arc: %v", c.data, path)
		}
		a := path[0].curves[0]
		check := func(what string, got, want, tol float64) {
			if !(math.Abs(got-want) <= tol) {
				t.Errorf("%q: %s is %.9f, want %.9f", c.data, what, got, want)
			}
		}
		// Half turns are ill-conditioned: the centre moves by √ of the rounding.
		const tol = 1e-5
		check("rx", a.p[1].Len(), c.rx, tol)
		check("ry", a.p[2].Len(), c.ry, tol)
		check("cx", a.p[0].X, c.cx, tol)
		check("cy", a.p[0].Y, c.cy, tol)
		check("turn", a.turn*180/math.Pi, c.turn, tol)
		check("first angle", math.Remainder(a.from*180/math.Pi-c.theta, 360), 0, tol)
		mid := a.from + a.turn/2
		p := a.p[0].Add(a.p[1].Mul(math.Cos(mid))).Add(a.p[2].Mul(math.Sin(mid)))
		check("middle x", p.X, c.midX, tol)
		check("middle y", p.Y, c.midY, tol)
		ring, _ := path[0].flatten(1e-6, nil)
		box := ring.Box()
		check("left", box.Min.X, c.minX, tol)
		check("top", box.Min.Y, c.minY, tol)
		check("right", box.Max.X, c.maxX, tol)
		check("bottom", box.Max.Y, c.maxY, tol)
		check("length", ring.Length()-ring[0].Dist(ring[len(ring)-1]), c.length, 1e-3)
	}
}

func TestArcsWithoutCurve(t *testing.T) {
	// SVG 2 B.2.5: a zero radius is a straight line, equal ends are no arc.
	path, _, _ := parsePath("M 100 100 A 0 30 0 0 1 150 120")
	if c := path[0].curves; len(c) != 1 || c[0].kind != line || c[0].end != (geom.Vec{X: 150, Y: 120}) {
		t.Errorf("a zero radius draws %v, want a line", c)
	}
	path, _, _ = parsePath("M 5 5 A 30 30 0 1 1 5 5")
	if len(path[0].curves) != 0 {
		t.Errorf("equal ends draw %v, want nothing", path[0].curves)
	}
}

// No point of a curve lies farther from its steps than the tolerance: curves
// evaluated by their defining formulas at many parameters.
func TestFlattenStaysWithinTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-80, 80)
		vec := func(name string) geom.Vec { return geom.Vec{X: coord.Draw(t, name), Y: coord.Draw(t, name)} }
		s := subpath{start: vec("start")}
		var at func(u float64) geom.Vec
		if rapid.Bool().Draw(t, "arc") {
			radius := rapid.Float64Range(0.5, 80)
			s.arcTo(ellipticalArc{radius.Draw(t, "rx"), radius.Draw(t, "ry"), 4 * coord.Draw(t, "rotation"),
				rapid.Bool().Draw(t, "large"), rapid.Bool().Draw(t, "sweep")}, vec("end"))
			if len(s.curves) == 0 || s.curves[0].kind != arc {
				return
			}
			c := s.curves[0]
			at = func(u float64) geom.Vec {
				sin, cos := math.Sincos(c.from + u*c.turn)
				return c.p[0].Add(c.p[1].Mul(cos)).Add(c.p[2].Mul(sin))
			}
			if at(0).Dist(s.start) > 1e-6*(1+c.p[1].Len()+c.p[2].Len()) || at(1).Dist(c.end) > 1e-6*(1+c.p[1].Len()+c.p[2].Len()) {
				t.Fatalf("the arc runs %v to %v, not %v to %v", at(0), at(1), s.start, c.end)
			}
		} else {
			a, b, c, d := s.start, vec("a"), vec("b"), vec("end")
			s.cubicTo(b, c, d)
			at = func(u float64) geom.Vec {
				v := 1 - u
				return a.Mul(v * v * v).Add(b.Mul(3 * v * v * u)).Add(c.Mul(3 * v * u * u)).Add(d.Mul(u * u * u))
			}
		}
		ring, ok := s.flatten(geom.FlattenTol, nil)
		if !ok {
			t.Fatal("too many points")
		}
		for i := range 150 {
			p, best := at(float64(i)/150), math.Inf(1)
			for j := 1; j < len(ring); j++ {
				best = math.Min(best, geom.PointSegment(p, ring[j-1], ring[j]))
			}
			if best > geom.FlattenTol+1e-6 {
				t.Fatalf("%v lies %.4f mm off the steps", p, best)
			}
		}
	})
}

// FuzzPath: whatever the data, reading ends, every number is finite, and what
// was read of a broken path is what its sound beginning draws.
func FuzzPath(f *testing.F) {
	for _, s := range []string{"M10-20A5.5.3-4 010-.1", "M0 0c1,1 2 2 3-3z m1e3.5", "m 0 0 l -9 11 -123 z #", "M1 1T2 2 3 3S4 4 5 5", "M0 0A1e400 1 0 0 0 1 1", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data string) {
		path, at, ok := parsePath(data)
		if at < 0 || at > len(data) || ok && at != len(data) {
			t.Fatalf("stopped at %d of %d, ok %v", at, len(data), ok)
		}
		if ok {
			again, _, still := parsePath(data + " ")
			if !still || len(again) != len(path) {
				t.Fatalf("a space behind changes %v to %v", path, again)
			}
		}
		for _, s := range path {
			if len(data) < 1000 {
				if _, fits := s.flatten(1, nil); !fits && len(s.curves) < maxPoints>>maxHalvings {
					t.Fatal("a short path makes too many points")
				}
			}
		}
	})
}
