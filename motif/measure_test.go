package motif

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"strew/motif/geom"
)

func mustRead(t testing.TB, svg string, opt Options) Motif {
	t.Helper()
	m, _, err := ReadSVG([]byte(svg), opt)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range m.Pieces {
		if why := unsound(p.Region); why != "" {
			t.Fatalf("piece %d: %s", i, why)
		}
	}
	return m
}

func mmSVG(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">` + body + `</svg>`
}

// Shapes whose narrowest place is obvious.
func TestNarrowest(t *testing.T) {
	for _, c := range []struct {
		name, body string
		want, tol  float64
	}{
		{"strip", `<rect x="10" y="10" width="60" height="4"/>`, 4, 0.001},
		{"turned strip", `<rect x="10" y="10" width="60" height="4" transform="rotate(33)"/>`, 4, 0.001},
		{"disc", `<circle cx="50" cy="50" r="15"/>`, 30, 0.15},
		{"square", `<rect x="10" y="10" width="20" height="20"/>`, 20, 0.02},
		{"stout oval", `<ellipse cx="50" cy="50" rx="30" ry="20"/>`, 40, 0.15},
		// a twelfth of the span of 80 mm from its tip: 2·4·√(1-(5/6)²)
		{"long oval", `<ellipse cx="50" cy="50" rx="40" ry="4"/>`, 8 * math.Sqrt(1-25.0/36), 0.1},
		// a stalk that tapers from 6 mm to 3 mm over 40 mm: 3 mm and 7.7/40 of the taper
		{"tapering stalk", `<circle cx="50" cy="50" r="20"/><path d="M47 60h6l-1.5 40h-3z"/>`, 3.58, 0.1},
		// O=O
		{"dumbbell", `<circle cx="20" cy="50" r="12"/><circle cx="60" cy="50" r="12"/><rect x="20" y="48.5" width="40" height="3"/>`, 3, 0.001},
		// two discs that overlap in a lens: the neck is the lens's height, 2·√(12²-11.5²);
		// the edges lie up to 0.05 mm inside and meet there at a slant of 73°
		{"waist", `<circle cx="20" cy="50" r="12"/><circle cx="43" cy="50" r="12"/>`, 2 * math.Sqrt(144-11.5*11.5), 2 * geom.FlattenTol * 12 / math.Sqrt(144-11.5*11.5)},
		{"ring", `<path fill-rule="evenodd" d="M10 50a40 40 0 0 0 80 0a40 40 0 0 0-80 0zM15 50a35 35 0 0 0 70 0a35 35 0 0 0-70 0z"/>`, 5, 0.1},
		{"hole near the rim", `<path fill-rule="evenodd" d="M10 10h60v60h-60z M20 12.5h20v20h-20z"/>`, 2.5, 0.001},
		{"leaf with a stalk", `<circle cx="50" cy="50" r="20"/><rect x="48" y="60" width="4" height="30"/>`, 4, 0.001},
		// a comb's teeth are narrower than the gaps between them, which do not count
		{"comb", `<path d="M0 0h60v40h-6v-30h-2v30h-6v-30h-2v30h-6v-30h-2v30H0z"/>`, 6, 0.001},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := mustRead(t, mmSVG(c.body), Options{})
			if got := m.Measure().Narrowest; math.Abs(got-c.want) > c.tol {
				t.Errorf("narrowest %.4f mm, want %.4f", got, c.want)
			}
			m = mustRead(t, mmSVG(c.body), Options{Width: m.Box().Width() * 3})
			if got := m.Measure().Narrowest / 3; math.Abs(got-c.want) > c.tol {
				t.Errorf("at three times the size: %.4f mm / 3, want %.4f", got, c.want)
			}
		})
	}
}

func TestMeasureRing(t *testing.T) {
	// Area and edge of a ring of radii 40 and 35: π(R²-r²), 2π(R+r).
	m := mustRead(t, mmSVG(`<path fill-rule="evenodd" d="M10 50a40 40 0 0 0 80 0a40 40 0 0 0-80 0zM15 50a35 35 0 0 0 70 0a35 35 0 0 0-70 0z"/>`), Options{})
	got := m.Measure()
	near := func(name string, got, want, tol float64) {
		if math.Abs(got-want) > tol {
			t.Errorf("%s %.3f, want %.3f", name, got, want)
		}
	}
	near("width", got.Width, 80, 0.001)
	near("height", got.Height, 80, 0.001)
	near("area", got.Area, math.Pi*(1600-1225), geom.FlattenTol*2*math.Pi*40)
	near("edge", got.Edge, 2*math.Pi*75, 1)
	near("round backing", got.BackingRound, 5, 2*geom.FlattenTol+2*geom.PoleTol)
	near("square backing", got.BackingSquare, 5/math.Sqrt2, 2*geom.FlattenTol+2*geom.PoleTol)
}

// Curves are flattened for the size asked for, not the size drawn: the edge of a
// disc of a thousandth of a millimetre or of a metre stays within the tolerance.
func TestToleranceHoldsAtTheSizeAsked(t *testing.T) {
	for _, width := range []float64{20, 60, 600} {
		for _, shape := range []string{
			`<circle r="0.001"/>`, `<circle r="500"/>`,
			// a circle of four arcs
			`<path d="M1 0A1 1 0 0 1 0 1 1 1 0 0 1-1 0 1 1 0 0 1 0-1 1 1 0 0 1 1 0z"/>`,
		} {
			m := mustRead(t, `<svg>`+shape+`</svg>`, Options{Width: width})
			ring := m.Pieces[0].Region.Outer
			c := m.Box().Centre()
			for i, p := range ring {
				for _, q := range []geom.Vec{p, p.Lerp(ring.At(i+1), 0.5)} {
					if off := math.Abs(q.Dist(c) - width/2); off > geom.FlattenTol*(1+geom.SizeSlack) {
						t.Fatalf("%s at %g mm: an edge %.4f mm off the circle", shape, width, off)
					}
				}
			}
			// Nor are its steps much finer than necessary: 2·acos(1-tol/r) each.
			if most := 1.5*2*math.Pi/(2*math.Acos(1-geom.FlattenTol/(width/2))) + 8; float64(len(ring)) > most {
				t.Errorf("%s at %g mm: %d corners, more than %.0f", shape, width, len(ring), most)
			}
		}
	}
}

// The demo drawings can be cut: felt of 4 mm at their own size, holes of 6 mm in
// the example's.
func TestDemoDrawings(t *testing.T) {
	for _, c := range []struct {
		file          string
		pieces, holes int
		narrowest     float64
	}{
		{"../cmd/internal/project/example/ginkgo.svg", 1, 1, 4},
		{"../cmd/internal/project/example/acorn.svg", 2, 0, 4},
		{"../testdata/drawings/starfish.svg", 1, 0, 4},
		{"../testdata/drawings/kelp.svg", 1, 0, 4},
		{"../testdata/drawings/snail.svg", 2, 1, 4},
		{"../testdata/drawings/snailshell.svg", 1, 1, 4},
		{"../testdata/drawings/moonsnail.svg", 1, 0, 4},
	} {
		t.Run(filepath.Base(c.file), func(t *testing.T) {
			data, err := os.ReadFile(c.file)
			if err != nil {
				t.Fatal(err)
			}
			m, warnings, err := ReadSVG(data, Options{})
			if err != nil || len(warnings) > 0 {
				t.Fatal(err, warnings)
			}
			holes := 0
			for _, p := range m.Pieces {
				if why := unsound(p.Region); why != "" {
					t.Error(why)
				}
				holes += len(p.Region.Holes)
			}
			got := m.Measure()
			if len(m.Pieces) != c.pieces || holes != c.holes || got.Narrowest < c.narrowest {
				t.Errorf("%d pieces, %d holes, %.2f mm at the narrowest; want %d, %d, %g or more", len(m.Pieces), holes, got.Narrowest, c.pieces, c.holes, c.narrowest)
			}
			t.Logf("%.1f x %.1f mm, %+v", got.Width, got.Height, got)
		})
	}
}
