package render

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/render/scene"
)

// strokesIn returns the closed lines of the operations, those in clips too.
func strokesIn(ops []scene.Op) []geom.Ring {
	var out []geom.Ring
	for _, op := range ops {
		switch o := op.(type) {
		case scene.Stroke:
			for _, l := range o.Lines {
				if l.Closed {
					out = append(out, l.Points)
				}
			}
		case scene.Clip:
			out = append(out, strokesIn(o.Inside)...)
		}
	}
	return out
}

func sampleTemplates() []Template {
	return []Template{{"ginkgo", ginkgoLeaf(), 1, 63}, {"ginkgo", ginkgoLeaf(), 0.7, 30}, {"acorn with a long name that does not end", acorn(), 0.3, 20},
		{"starfish", starfish(), 1.5, 0}, {"great leaf", ginkgoLeaf(), 6, 2}, {"leaf", ginkgoLeaf(), 2.2, 2}}
}

// Every piece is drawn true to size: rings of just its area and length are on
// the pages. The first page has a square of 50 mm.
func TestTemplatesAreTrueToSize(t *testing.T) {
	for _, paper := range append(Papers(), Paper{}, Paper{Name: Large}) {
		pages := Templates("Ginkgo walk", sampleTemplates(), geom.Centimetre, paper)
		squares := 0
		for _, r := range strokesIn(pages[0].Ops) {
			if b := r.Box(); len(r) == 4 && math.Abs(b.Width()-50) < 1e-9 && math.Abs(b.Height()-50) < 1e-9 {
				squares++
			}
		}
		if squares != 1 {
			t.Errorf("%s: %d test squares of 50 mm on the first page", paper.Name, squares)
		}
		for _, p := range pages {
			inside(t, paper.Name, p)
		}
		if paper.Name == Large && len(pages) != 1 {
			t.Errorf("large paper: %d pages", len(pages))
		}
		for _, tm := range sampleTemplates() {
			for i, piece := range tm.Motif.Pieces {
				want := piece.Region.Outer
				found := false
				for _, p := range pages {
					for _, r := range strokesIn(p.Ops) {
						found = found || len(r) == len(want) && math.Abs(r.Area()-want.Area()*tm.Size*tm.Size) < 1e-6 && math.Abs(r.Length()-want.Length()*tm.Size) < 1e-6
					}
				}
				if !found {
					t.Errorf("%s: %s at size %g, piece %d, is on no page at its size", paper.Name, tm.Name, tm.Size, i+1)
				}
			}
		}
	}
}

// Every place of a large drawing shows on some page, moved and not scaled;
// what two pages share is at least 10 mm wide, and their crosses agree.
func TestTilesCoverTheDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &scene.Scene{Width: rapid.Float64Range(20, 1500).Draw(t, "width"), Height: rapid.Float64Range(20, 1500).Draw(t, "height")}
		paper := rapid.SampledFrom(Papers()).Draw(t, "paper")
		at := geom.Vec{X: rapid.Float64Range(0, s.Width).Draw(t, "x"), Y: rapid.Float64Range(0, s.Height).Draw(t, "y")}
		// A ground, so that no page is left out as empty.
		s.Add(scene.Fill{Rings: []geom.Ring{scene.Rect(geom.Box{Max: geom.Vec{X: s.Width, Y: s.Height}})}, Colour: faint()},
			scene.Stroke{Lines: scene.Closed(geom.Ring{at, at.Add(geom.Vec{X: 0.01}), at.Add(geom.Vec{Y: 0.01})}), Width: 0.1, Colour: ink()})
		tl := cut(s, paper, false)
		if l := cut(s, paper, true); l.cols*l.rows < tl.cols*tl.rows {
			tl = l
		}
		pages := Tile(s, "leaf", paper)
		if len(pages) != tl.cols*tl.rows {
			t.Fatalf("%d pages for %d windows", len(pages), tl.cols*tl.rows)
		}
		shown := 0
		for i, p := range pages {
			win := tl.window(i%tl.cols, i/tl.cols)
			frame := geom.Box{Min: geom.Vec{X: printMargin, Y: printMargin + tileHead}, Max: geom.Vec{X: p.Width - printMargin, Y: p.Height - printMargin}}
			if math.Abs(frame.Width()-win.Width()) > 1e-9 || math.Abs(frame.Height()-win.Height()) > 1e-9 {
				t.Fatalf("a window of %g × %g is shown on %g × %g", win.Width(), win.Height(), frame.Width(), frame.Height())
			}
			for _, r := range strokesIn(p.Ops) {
				if len(r) == 3 && frame.Contains(r[0]) {
					shown++
					if back := r[0].Sub(frame.Min).Add(win.Min); back.Dist(at) > 1e-9 {
						t.Fatalf("%v is shown where %v belongs", at, back)
					}
				}
			}
			if i%tl.cols > 0 {
				if o := tl.window(i%tl.cols-1, i/tl.cols).Max.X - win.Min.X; math.Abs(o-10) > 1e-9 {
					t.Fatalf("two pages share %g mm", o)
				}
			}
		}
		if shown == 0 {
			t.Fatalf("%v of %g × %g is on no page", at, s.Width, s.Height)
		}
	})
}

func TestSmallDrawingIsOnePage(t *testing.T) {
	s := &scene.Scene{Width: 198, Height: 270}
	s.Add(scene.Fill{Rings: []geom.Ring{scene.Disc(geom.Vec{X: 99, Y: 135}, 50)}, Colour: ink()})
	if n := len(Tile(s, "leaf", Paper{})); n != 1 {
		t.Errorf("198 × 270 mm takes %d A4 pages", n)
	}
}

// crosses returns the middles of the crosses of a drawing: two lines of twice
// the pen's arm that halve one another.
func crosses(s *scene.Scene, p pen) []geom.Vec {
	var out []geom.Vec
	for _, op := range s.Ops {
		if o, ok := op.(scene.Stroke); ok {
			for i := 0; i+1 < len(o.Lines); i++ {
				a, b := o.Lines[i].Points, o.Lines[i+1].Points
				if len(a) == 2 && len(b) == 2 && math.Abs(a[0].Dist(a[1])-2*p.cross) < 1e-9 && a[0].Lerp(a[1], 0.5).Dist(b[0].Lerp(b[1], 0.5)) < 1e-9 {
					out = append(out, a[0].Lerp(a[1], 0.5))
				}
			}
		}
	}
	return out
}

// On marking paper the glue points are as far from one another as on the
// cloth: 1 : 1, measured in the panel's own flat frame.
func TestMarkingPaperIsTrueToSize(t *testing.T) {
	for _, e := range examples() {
		c := e.cloth
		c.Paper = Paper{Name: Large}
		pages := Marking(c, e.marks)
		if len(pages) != c.Surface.Panels {
			t.Fatalf("%s: %d pages for %d panels", e.name, len(pages), c.Surface.Panels)
		}
		for k, page := range pages {
			inside(t, e.name, page)
			var want []geom.Vec
			for _, m := range e.marks {
				if m.Point.Panel == k {
					want = append(want, m.Point.At)
				}
			}
			got := crosses(page, truePen())
			if len(got) != len(want) {
				t.Fatalf("%s: panel %d has %d crosses, want %d", e.name, k+1, len(got), len(want))
			}
			for i := range got {
				if d := got[i].Dist(got[0]) - want[i].Dist(want[0]); math.Abs(d) > 1e-6 {
					t.Fatalf("%s: crosses 1 and %d are %g mm too far apart", e.name, i+1, d)
				}
			}
		}
	}
}

// On paper sheets every mark's number shows on some page of its panel.
func TestMarkingPaperShowsEveryNumber(t *testing.T) {
	e := examples()[2]
	seen := map[string]bool{}
	for _, p := range Marking(e.cloth, e.marks) {
		for _, x := range texts(p.Ops) {
			seen[x.Text] = true
		}
	}
	for _, m := range e.marks {
		if !seen[itoa(m.Number)] {
			t.Errorf("mark %d is on no page", m.Number)
		}
	}
}
