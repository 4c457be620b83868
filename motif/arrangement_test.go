package motif

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"strew/motif/geom"
)

// drawLoops draws polygons on a coarse lattice, so that corners on edges,
// edges on edges and runs through one point are common, or on a fine one.
func drawLoops(t *rapid.T, label string) []loop {
	span := rapid.SampledFrom([]int64{4, 9, 40, 300_000}).Draw(t, label+" span")
	coord := rapid.Int64Range(0, span)
	step := rapid.SampledFrom([]int64{1, 3, 8192}).Draw(t, label+" step")
	if span > 1000 {
		step = 1
	}
	var out []loop
	for range rapid.IntRange(1, 4).Draw(t, label+" loops") {
		l := make(loop, rapid.IntRange(1, 12).Draw(t, label+" corners"))
		for i := range l {
			l[i] = spot{coord.Draw(t, "x") * step, coord.Draw(t, "y") * step}
		}
		out = append(out, l)
	}
	return out
}

func rings(loops []loop) []geom.Ring {
	out := make([]geom.Ring, len(loops))
	for i, l := range loops {
		out[i] = l.ring()
	}
	return out
}

func windingOf(rings []geom.Ring, p geom.Vec) int {
	w := 0
	for _, r := range rings {
		w += winding(r, p)
	}
	return w
}

// Every region is sound, and a point lies in a region where the fill rule
// fills it: each rule against winding numbers counted point by point
// (SVG 2, 13.4.2, fill-rule).
func TestResolveFollowsFillRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawLoops(t, "first"), drawLoops(t, "second")
		rule := rapid.SampledFrom([]struct {
			name   string
			groups [2][]loop
			inside func([2]int) bool
		}{
			{"nonzero", [2][]loop{a}, nonZero},
			{"evenodd", [2][]loop{a}, evenOdd},
			{"intersection", [2][]loop{a, b}, intersect},
			{"union", [2][]loop{a, b}, union},
		}).Draw(t, "rule")
		faces, err := resolve(rule.groups, rule.inside)
		if err != nil {
			t.Fatal(err)
		}
		var regions []geom.Region
		for _, f := range faces {
			r := geom.Region{Outer: f.outer.ring(), Holes: rings(f.holes)}
			if why := unsound(r); why != "" {
				t.Fatalf("%s: %s: %v", rule.name, why, r)
			}
			regions = append(regions, r)
		}
		ra, rb := rings(rule.groups[0]), rings(rule.groups[1])
		box := geom.EmptyBox()
		for _, r := range append(ra, rb...) {
			box = box.Union(r.Box())
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		for range 60 {
			p := geom.Vec{X: box.Min.X + rng.Float64()*box.Width(), Y: box.Min.Y + rng.Float64()*box.Height()}
			// Pinches are cut back and rounding moves edges: near edges either answer holds.
			if edgeDist(append(ra, rb...), p) < 20*geom.Touch {
				continue
			}
			want := rule.inside([2]int{windingOf(ra, p), windingOf(rb, p)})
			in := 0
			for _, r := range regions {
				if r.Contains(p) {
					in++
				}
			}
			if want && in != 1 || !want && in != 0 {
				t.Fatalf("%s: %v lies in %d regions, the rule says %v", rule.name, p, in, want)
			}
		}
	})
}

// Union and intersection of star-shaped polygons against simplefeatures'
// overlay: areas and centroids.
func TestResolveAgreesWithOverlay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		star := func() loop {
			n := 3 + rng.IntN(40)
			cx, cy := 40*rng.Float64(), 40*rng.Float64()
			l := make(loop, n)
			for i := range l {
				a, r := 2*math.Pi*float64(i)/float64(n), 5+30*rng.Float64()
				l[i] = spot{int64((cx + r*math.Cos(a)) * perMM), int64((cy + r*math.Sin(a)) * perMM)}
			}
			return l
		}
		a, b := star(), star()
		for _, op := range []struct {
			name    string
			inside  func([2]int) bool
			overlay func(a, b sf.Geometry) (sf.Geometry, error)
		}{{"union", union, sf.Union}, {"intersection", intersect, sf.Intersection}} {
			faces, err := resolve([2][]loop{{a}, {b}}, op.inside)
			if err != nil {
				t.Fatal(err)
			}
			want, err := op.overlay(toSF(t, a), toSF(t, b))
			if err != nil {
				t.Skipf("the reference library refuses this draw: %v", err)
			}
			area, moment := 0.0, geom.Vec{}
			for _, f := range faces {
				for _, l := range f.loops() {
					r := l.ring()
					area += r.Area()
					moment = moment.Add(r.Centroid().Mul(r.Area()))
				}
			}
			// An edge bent at a rounded crossing moves by half a grid step at most.
			tol := 400.0 / perMM
			if math.Abs(area-want.Area()) > tol {
				t.Fatalf("%s: area %.6f, overlay has %.6f", op.name, area, want.Area())
			}
			if c, ok := want.Centroid().XY(); ok && area > 1 {
				if got := moment.Mul(1 / area); got.Dist(geom.Vec{X: c.X, Y: c.Y})*area > 60*tol {
					t.Fatalf("%s: centroid %v, overlay has %v", op.name, got, c)
				}
			}
		}
	})
}

func toSF(t *rapid.T, l loop) sf.Geometry {
	var flat []float64
	r := l.ring()
	for i := range len(r) + 1 {
		flat = append(flat, r.At(i).X, r.At(i).Y)
	}
	p := sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(flat, sf.DimXY))})
	if err := p.Validate(); err != nil {
		t.Skipf("not a valid ring to compare with: %v", err)
	}
	return p.AsGeometry()
}

func TestResolvePinches(t *testing.T) {
	const u = perMM
	square := func(x, y, side int64) loop {
		return loop{{x * u, y * u}, {(x + side) * u, y * u}, {(x + side) * u, (y + side) * u}, {x * u, (y + side) * u}}
	}
	for _, c := range []struct {
		name         string
		loops        []loop
		rule         func([2]int) bool
		faces, holes int
		area         float64
	}{
		// >< : two lobes that meet in a point hang by a thread and are two faces
		{"bow tie", []loop{{{0, 0}, {40 * u, 40 * u}, {40 * u, 0}, {0, 40 * u}}}, nonZero, 2, 0, 800},
		// a hole whose corner touches the rim opens it
		{"hole on the rim", []loop{square(0, 0, 40), {{20 * u, 0}, {30 * u, 10 * u}, {10 * u, 10 * u}}}, evenOdd, 1, 0, 1500},
		// two holes that meet corner to corner become one
		{"two holes", []loop{square(0, 0, 40), square(10, 10, 10), square(20, 20, 10)}, evenOdd, 1, 1, 1400},
		// an island in a hole is a face of its own
		{"island", []loop{square(0, 0, 40), square(10, 10, 20), square(15, 15, 5)}, evenOdd, 2, 1, 1225},
		// an island that touches its hole's rim stays one of its own
		{"island on the rim", []loop{square(0, 0, 40), square(10, 10, 20), {{10 * u, 20 * u}, {20 * u, 15 * u}, {20 * u, 25 * u}}}, evenOdd, 2, 1, 1250},
		// a ring of four squares that meet at corners falls apart at them
		{"ring of lobes", []loop{square(10, 0, 10), square(20, 10, 10), square(10, 20, 10), square(0, 10, 10)}, nonZero, 4, 0, 400},
		// the same square twice, once each way, is nothing
		{"undone", []loop{square(0, 0, 10), {{0, 0}, {0, 10 * u}, {10 * u, 10 * u}, {10 * u, 0}}}, nonZero, 0, 0, 0},
		// squares that share a side are one, without corners on it
		{"side by side", []loop{square(0, 0, 10), square(10, 0, 10)}, nonZero, 1, 0, 200},
	} {
		t.Run(c.name, func(t *testing.T) {
			faces, err := resolve([2][]loop{c.loops}, c.rule)
			if err != nil {
				t.Fatal(err)
			}
			area, holes := 0.0, 0
			for _, f := range faces {
				r := geom.Region{Outer: f.outer.ring(), Holes: rings(f.holes)}
				if why := unsound(r); why != "" {
					t.Error(why)
				}
				area += r.Area()
				holes += len(r.Holes)
			}
			if len(faces) != c.faces || holes != c.holes || math.Abs(area-c.area) > 0.01 {
				t.Errorf("%d faces, %d holes, area %.4f; want %d, %d, %.4f", len(faces), holes, area, c.faces, c.holes, c.area)
			}
			if c.name == "side by side" && len(faces[0].outer) != 4 {
				t.Errorf("corners %v", faces[0].outer)
			}
		})
	}
}

// A scribble of long strokes is refused with its place, instead of hours of work.
func TestResolveRefusesTangles(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	rng := rand.New(rand.NewPCG(1, 1))
	l := make(loop, 200_000)
	for i := range l {
		l[i] = spot{rng.Int64N(100 * perMM), rng.Int64N(100 * perMM)}
	}
	_, err := resolve([2][]loop{{l}}, nonZero)
	var f *Fault
	if !errors.As(err, &f) || f.Rule != "tangled" {
		t.Fatalf("got %v, want a tangled outline", err)
	}
}
