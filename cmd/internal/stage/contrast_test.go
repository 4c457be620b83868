package stage

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"pgregory.net/rapid"

	"strew/cmd/internal/project"
)

// G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference formula:
// implementation notes, supplementary test data, and mathematical
// observations", Color Research & Application 30(1), 2005, table 1.
var sharmaPairs = []struct {
	a, b [3]float64 // L*, a*, b*
	want float64
}{
	{[3]float64{50.0000, 2.6772, -79.7751}, [3]float64{50.0000, 0.0000, -82.7485}, 2.0425},
	{[3]float64{50.0000, 3.1571, -77.2803}, [3]float64{50.0000, 0.0000, -82.7485}, 2.8615},
	{[3]float64{50.0000, 2.8361, -74.0200}, [3]float64{50.0000, 0.0000, -82.7485}, 3.4412},
	{[3]float64{50.0000, -1.3802, -84.2814}, [3]float64{50.0000, 0.0000, -82.7485}, 1.0000},
	{[3]float64{50.0000, -1.1848, -84.8006}, [3]float64{50.0000, 0.0000, -82.7485}, 1.0000},
	{[3]float64{50.0000, -0.9009, -85.5211}, [3]float64{50.0000, 0.0000, -82.7485}, 1.0000},
	{[3]float64{50.0000, 0.0000, 0.0000}, [3]float64{50.0000, -1.0000, 2.0000}, 2.3669},
	{[3]float64{50.0000, -1.0000, 2.0000}, [3]float64{50.0000, 0.0000, 0.0000}, 2.3669},
	{[3]float64{50.0000, 2.4900, -0.0010}, [3]float64{50.0000, -2.4900, 0.0009}, 7.1792},
	{[3]float64{50.0000, 2.4900, -0.0010}, [3]float64{50.0000, -2.4900, 0.0010}, 7.1792},
	{[3]float64{50.0000, 2.4900, -0.0010}, [3]float64{50.0000, -2.4900, 0.0011}, 7.2195},
	{[3]float64{50.0000, 2.4900, -0.0010}, [3]float64{50.0000, -2.4900, 0.0012}, 7.2195},
	{[3]float64{50.0000, -0.0010, 2.4900}, [3]float64{50.0000, 0.0009, -2.4900}, 4.8045},
	{[3]float64{50.0000, -0.0010, 2.4900}, [3]float64{50.0000, 0.0010, -2.4900}, 4.8045},
	{[3]float64{50.0000, -0.0010, 2.4900}, [3]float64{50.0000, 0.0011, -2.4900}, 4.7461},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{50.0000, 0.0000, -2.5000}, 4.3065},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{73.0000, 25.0000, -18.0000}, 27.1492},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{61.0000, -5.0000, 29.0000}, 22.8977},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{56.0000, -27.0000, -3.0000}, 31.9030},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{58.0000, 24.0000, 15.0000}, 19.4535},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{50.0000, 3.1736, 0.5854}, 1.0000},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{50.0000, 3.2972, 0.0000}, 1.0000},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{50.0000, 1.8634, 0.5757}, 1.0000},
	{[3]float64{50.0000, 2.5000, 0.0000}, [3]float64{50.0000, 3.2592, 0.3350}, 1.0000},
	{[3]float64{60.2574, -34.0099, 36.2677}, [3]float64{60.4626, -34.1751, 39.4387}, 1.2644},
	{[3]float64{63.0109, -31.0961, -5.8663}, [3]float64{62.8187, -29.7946, -4.0864}, 1.2630},
	{[3]float64{61.2901, 3.7196, -5.3901}, [3]float64{61.4292, 2.2480, -4.9620}, 1.8731},
	{[3]float64{35.0831, -44.1164, 3.7933}, [3]float64{35.0232, -40.0716, 1.5901}, 1.8645},
	{[3]float64{22.7233, 20.0904, -46.6940}, [3]float64{23.0331, 14.9730, -42.5619}, 2.0373},
	{[3]float64{36.4612, 47.8580, 18.3852}, [3]float64{36.2715, 50.5065, 21.2231}, 1.4146},
	{[3]float64{90.8027, -2.0831, 1.4410}, [3]float64{91.1528, -1.6435, 0.0447}, 1.4441},
	{[3]float64{90.9257, -0.5406, -0.9208}, [3]float64{88.6381, -0.8985, -0.7239}, 1.5381},
	{[3]float64{6.7747, -0.2908, -2.4247}, [3]float64{5.8714, -0.0985, -2.2286}, 0.6377},
	{[3]float64{2.0776, 0.0795, -1.1350}, [3]float64{0.9033, -0.0636, -0.5514}, 0.9082},
}

func TestDifferenceIsCIEDE2000(t *testing.T) {
	lab := func(v [3]float64) colorful.Color { return colorful.Lab(v[0]/100, v[1]/100, v[2]/100) }
	for i, p := range sharmaPairs {
		got, back := difference(lab(p.a), lab(p.b)), difference(lab(p.b), lab(p.a))
		want := []float64{p.want}
		switch i + 1 {
		// Hues half a turn apart: rounding decides from which side the mean is
		// taken, so these may come out as the pairs after them.
		case 10, 14:
			want = append(want, sharmaPairs[i+1].want)
		}
		ok := false
		for _, w := range want {
			// Four digits are printed.
			ok = ok || math.Abs(got-w) <= 1e-4 && math.Abs(back-w) <= 1e-4
		}
		if !ok {
			t.Errorf("pair %d: %.4f and %.4f, want %v", i+1, got, back, want)
		}
	}
}

// W3C Compositing and Blending Level 1, source-over: white at 0.35 over
// rgb(200, 30, 90).
func TestOver(t *testing.T) {
	got := over(colorful.Color{R: 1, G: 1, B: 1}, 0.35, colorful.Color{R: 200 / 255.0, G: 30 / 255.0, B: 90 / 255.0})
	for i, w := range []float64{219.25, 108.75, 147.75} {
		if g := []float64{got.R, got.G, got.B}[i] * 255; math.Abs(g-w) > 1e-9 {
			t.Errorf("channel %d: %g, want %g", i, g, w)
		}
	}
}

// n layers laid one by one are one layer of 1-(1-α)ⁿ (Porter & Duff 1984).
func TestGroundIsLaidLayerByLayer(t *testing.T) {
	p := Plan{Project: project.Project{Skirt: project.Skirt{Colour: "#2d4a3e"}, Lining: &project.Lining{Colour: "#1f2f28"}}}
	rapid.Check(t, func(t *rapid.T) {
		q := p
		q.Project.Skirt.Opacity = rapid.Float64Range(0, 1).Draw(t, "opacity")
		q.Project.Skirt.Layers = rapid.IntRange(1, 8).Draw(t, "layers")
		want, _ := colorful.Hex(q.Project.Lining.Colour)
		net, _ := colorful.Hex(q.Project.Skirt.Colour)
		for range q.Project.Skirt.Layers {
			want = over(net, q.Project.Skirt.Opacity, want)
		}
		got := q.ground()
		if d := math.Abs(got.R-want.R) + math.Abs(got.G-want.G) + math.Abs(got.B-want.B); d > 1e-9 {
			t.Fatalf("%v, layer by layer %v", got, want)
		}
	})
}
