package render

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// gauges measures the pieces of a motif drawn for the tests; ginkgoLeaf's
// rings and the others' run either way, so they are put right first.
func gauges(m *motif.Motif, unit geom.Unit) []Gauge {
	var out []Gauge
	sound := motif.Motif{Name: m.Name}
	for _, p := range m.Pieces {
		r := p.Region
		if r.Outer.Area() < 0 {
			r.Outer = r.Outer.Reversed()
		}
		for i, h := range r.Holes {
			if h.Area() > 0 {
				r.Holes[i] = h.Reversed()
			}
		}
		sound.Pieces = append(sound.Pieces, motif.Piece{Colour: p.Colour, Region: r})
	}
	for i, d := range sound.Measure().Pieces {
		out = append(out, Gauge{
			Name: m.Name, Piece: sound.Pieces[i], Measures: d, Printer: say.Printer{Unit: unit},
			Facts: []Fact{{"felt", sound.Pieces[i].Colour}, {"   at", ""}, {"weight", "0.31 g of a felt whose name is long enough to be broken over lines"}},
		})
	}
	return out
}

// Every text stays on the page and none lies on another; the outline, the
// widest circle and the size arrows are drawn to one scale.
func TestMeasuredPicture(t *testing.T) {
	for _, m := range []*motif.Motif{ginkgoLeaf(), acorn(), starfish()} {
		for _, unit := range []geom.Unit{geom.Millimetre, geom.Centimetre, geom.Inch} {
			list := gauges(m, unit)
			s := Measured(m.Name+" with a title that does not end soon", "and a line below it", list, 3)
			inside(t, m.Name, s)
			all := texts(s.Ops)
			seen := map[string]int{}
			for i, a := range all {
				seen[a.Text]++
				for _, b := range all[i+1:] {
					if a.Turn == 0 && b.Turn == 0 && overlap(tight(a), tight(b), 0) {
						t.Errorf("%s: %q and %q overlap", m.Name, a.Text, b.Text)
					}
				}
			}
			for _, g := range list {
				d := g.Measures
				for _, want := range []string{
					geom.Length(d.Width).Fine(unit), geom.Length(d.Height).Fine(unit),
					"circle " + geom.Length(2*d.Widest.Radius).Fine(unit), "felt " + geom.Length(d.Felt.Width()).Fine(unit),
				} {
					if seen[want] == 0 {
						t.Errorf("%s: nothing says %q", m.Name, want)
					}
				}
				// The outline and the circle, found by the ratio of their areas.
				found := false
				for _, a := range strokesIn(s.Ops) {
					for _, b := range strokesIn(s.Ops) {
						k := math.Sqrt(math.Abs(a.Area() / g.Piece.Region.Outer.Area()))
						r := math.Sqrt(math.Abs(b.Area()) / math.Pi)
						if len(a) == len(g.Piece.Region.Outer) && len(b) > 8 && math.Abs(r-k*d.Widest.Radius) < 0.02 && math.Abs(a.Length()-k*g.Piece.Region.Outer.Length()) < 1e-6 {
							found = true
						}
					}
				}
				if !found {
					t.Errorf("%s: no outline with a circle to its scale", m.Name)
				}
			}
		}
	}
}

// Whatever the shape's proportions, the picture is finite and keeps to the page.
func TestMeasuredPictureOfAnyPiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.Float64Range(0.4, 900).Draw(t, "width"), rapid.Float64Range(0.4, 900).Draw(t, "height")
		n := rapid.IntRange(3, 12).Draw(t, "corners")
		var r geom.Ring
		for i := range n {
			s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			k := rapid.Float64Range(0.3, 1).Draw(t, "reach")
			r = append(r, geom.Vec{X: w * k * c, Y: h * k * s})
		}
		m := &motif.Motif{Name: "shape", Pieces: []motif.Piece{{Region: geom.Region{Outer: r}}}}
		s := Measured("shape", "", gauges(m, geom.Centimetre), 0)
		if !s.IsFinite() {
			t.Fatal("a number is not finite")
		}
		inside(t, "shape", s)
		page := geom.Box{Max: geom.Vec{X: s.Width, Y: s.Height}}
		for _, op := range s.Ops {
			if o, ok := op.(scene.Stroke); ok {
				for _, l := range o.Lines {
					for _, p := range l.Points {
						if !page.Contains(p) {
							t.Fatalf("a line at %v leaves the page", p)
						}
					}
				}
			}
		}
	})
}
