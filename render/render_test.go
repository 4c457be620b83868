package render

import (
	"bytes"
	"image"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/raster"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// papers are all sizes that can be printed on.
func papers() []Paper {
	var out []Paper
	for _, name := range []string{"A4", "A3", "letter", "tabloid"} {
		p, _ := PaperNamed(name)
		out = append(out, p)
	}
	return out
}

func TestNoPaperIsA4(t *testing.T) {
	if s := (Paper{}).page(true); s.Width != 297 || s.Height != 210 {
		t.Errorf("no paper lies as %g × %g, want A4 on its side", s.Width, s.Height)
	}
}

// example is a cloth with its marks.
type example struct {
	name  string
	cloth Cloth
	marks []Mark
}

func examples() []example {
	long := strings.Repeat("a long title ", 8)[:100]
	var out []example
	add := func(name string, c Cloth, marks []Mark) { out = append(out, example{name, c, marks}) }
	full := circleCloth(1, 680, 570, 1)
	add("full circle, 1 panel, 300", full, strewn(full.Surface, 300, 1, ginkgoLeaf(), acorn()))
	full = circleCloth(1, 680, 570, 2)
	add("full circle, 2 panels, rows", full, inRows(full.Surface, 90, 80, 0, 1, ginkgoLeaf(), starfish()))
	half := circleCloth(0.5, 680, 570, 1)
	half.Title, half.Paper = long, papers()[2]
	add("half circle, letter, long title", half, inRows(half.Surface, 110, 95, 0, 3, ginkgoLeaf(), starfish()))
	double := circleCloth(2, 1360, 500, 4)
	add("double circle, 4 panels", double, strewn(double.Surface, 300, 4, ginkgoLeaf(), starfish(), acorn()))
	quarter := circleCloth(0.25, 680, 570, 1)
	quarter.Lining, quarter.Title = nil, ""
	add("quarter circle, 60", quarter, strewn(quarter.Surface, 60, 5, starfish()))
	quarter = circleCloth(0.25, 680, 570, 3)
	quarter.Unit = geom.Inch
	add("quarter circle, 3 panels, inches", quarter, inRows(quarter.Surface, 90, 80, 0, 6, acorn(), starfish()))
	straight := straightCloth(2400, 570, 2)
	marks := strewn(straight.Surface, 300, 7, ginkgoLeaf(), acorn())
	for i := range marks {
		if marks[i].MotifName == "acorn" {
			marks[i].MotifName = long + " 中 🍂"
		}
	}
	add("gathered rectangle, 2 panels, long names", straight, marks)
	dense := circleCloth(1, 680, 570, 2)
	add("too dense for one page", dense, strewn(dense.Surface, 800, 8, acorn()))
	bare := circleCloth(1, 680, 570, 2)
	add("no cutouts", bare, nil)
	return out
}

// texts returns all texts of the operations, those in clips too.
func texts(ops []scene.Op) []scene.Text {
	var out []scene.Text
	for _, op := range ops {
		switch o := op.(type) {
		case scene.Text:
			out = append(out, o)
		case scene.Clip:
			out = append(out, texts(o.Inside)...)
		}
	}
	return out
}

// tight returns the box of what figures and capitals cover.
func tight(t scene.Text) geom.Box {
	b := t.Box()
	if t.Turn == 0 {
		b.Min.Y, b.Max.Y = t.At.Y-t.Font.CapHeight(t.Size), t.At.Y
	}
	return b
}

func inside(t rapid.TB, name string, s *scene.Scene) {
	t.Helper()
	page := geom.Box{Max: geom.Vec{X: s.Width, Y: s.Height}}
	for _, x := range texts(s.Ops) {
		if b := x.Box(); !page.Contains(b.Min) || !page.Contains(b.Max) {
			t.Errorf("%s: %q at %v leaves the page of %g × %g", name, x.Text, b, s.Width, s.Height)
		}
		if x.Size < sizeLeast {
			t.Errorf("%s: %q is set at %g points", name, x.Text, x.Size)
		}
	}
}

// Every mark's number stands on exactly one map; no two texts on a page
// overlap; nothing leaves the page.
func TestEveryMarkIsNumberedOnce(t *testing.T) {
	for _, e := range examples() {
		seen := map[int]int{}
		pages := Placement(t.Context(), e.cloth, e.marks)
		for _, s := range pages {
			inside(t, e.name, s)
			all := texts(s.Ops)
			for i, a := range all {
				if n, err := strconv.Atoi(a.Text); err == nil && n > 0 {
					seen[n]++
				}
				for _, b := range all[i+1:] {
					if a.Turn == 0 && b.Turn == 0 && overlap(tight(a), tight(b), 0) {
						t.Errorf("%s: %q and %q overlap", e.name, a.Text, b.Text)
					}
				}
			}
		}
		for _, m := range e.marks {
			if seen[m.Number] != 1 {
				t.Errorf("%s: mark %d is numbered %d times on %d maps", e.name, m.Number, seen[m.Number], len(pages))
			}
		}
		if len(seen) != len(e.marks) {
			t.Errorf("%s: %d numbers for %d marks", e.name, len(seen), len(e.marks))
		}
		if many := len(pages) > 1; many != (e.name == "too dense for one page") {
			t.Errorf("%s: %d maps", e.name, len(pages))
		}
	}
}

func TestSkirtKeepsItsTextsInside(t *testing.T) {
	for _, e := range examples() {
		s := Skirt(t.Context(), e.cloth, e.marks)
		inside(t, e.name, s)
		all := texts(s.Ops)
		for i, a := range all {
			for _, b := range all[i+1:] {
				if a.Turn == 0 && b.Turn == 0 && overlap(tight(a), tight(b), 0) {
					t.Errorf("%s: %q and %q overlap", e.name, a.Text, b.Text)
				}
			}
		}
		if w := math.Max(s.Width, s.Height) / 25.4 * ScreenDPI; w > 3000 {
			t.Errorf("%s: the picture is %.0f pixels long", e.name, w)
		}
	}
}

// Whatever the cloth, its pictures can be drawn and keep their texts inside.
func TestAnyClothCanBeDrawn(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(r, "panels")
		girth, drop := rapid.Float64Range(300, 4000).Draw(r, "girth"), rapid.Float64Range(120, 1300).Draw(r, "drop")
		c := circleCloth(rapid.Float64Range(0.25, float64(min(n, 4))).Draw(r, "share"), girth, drop, n)
		if rapid.Bool().Draw(r, "straight") {
			c = straightCloth(girth, drop, n)
		}
		c.Title = rapid.String().Draw(r, "title")
		c.Unit = rapid.SampledFrom([]geom.Unit{geom.Millimetre, geom.Centimetre, geom.Inch, ""}).Draw(r, "unit")
		c.Paper = rapid.SampledFrom(append(papers(), Paper{}, Paper{Name: Large})).Draw(r, "paper")
		var marks []Mark
		for i := range rapid.IntRange(0, 30).Draw(r, "marks") {
			u, down := rapid.Float64Range(0, float64(n)*0.999).Draw(r, "u"), rapid.Float64Range(0, drop).Draw(r, "down")
			marks = append(marks, Mark{i + 1, starfish(), rapid.SampledFrom([]string{"", "a", "starfish"}).Draw(r, "name"), 1, at(c.Surface, u, down), 0, rapid.IntRange(0, 3).Draw(r, "row")})
		}
		for _, s := range append(Placement(t.Context(), c, marks), Skirt(t.Context(), c, marks)) {
			if !s.IsFinite() || s.Width <= 0 || s.Height <= 0 || s.Width*s.Height/25.4/25.4*PageDPI*PageDPI > raster.MaxPixels {
				r.Fatalf("a picture of %g × %g mm cannot be drawn", s.Width, s.Height)
			}
			inside(r, "this cloth", s)
		}
	})
}

// Labels: no two overlap, all lie on the page, none covers another's cross.
func TestLabelsNeverOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		page := geom.Box{Max: geom.Vec{X: 100, Y: 80}}
		b := newBoard(page)
		n := rapid.IntRange(1, 60).Draw(t, "labels")
		want := make([]wanted, n)
		for i := range want {
			at := geom.Vec{X: rapid.Float64Range(0, 100).Draw(t, "x"), Y: rapid.Float64Range(0, 80).Draw(t, "y")}
			want[i] = wanted{at: at, width: rapid.Float64Range(1, 8).Draw(t, "width"), height: 2, clear: mapPen().cross, shy: rapid.Bool().Draw(t, "shy")}
			b.mark(geom.Box{Min: at, Max: at}.Grow(mapPen().cross))
		}
		furniture := geom.Box{Min: geom.Vec{X: 20, Y: 20}, Max: geom.Vec{X: 45, Y: 30}}
		b.take(furniture)
		got := b.place(t.Context(), want, anything())
		if len(got) != n {
			t.Fatalf("%d labels for %d", len(got), n)
		}
		for i, l := range got {
			if !l.placed {
				continue
			}
			if !page.Contains(l.box.Min) || !page.Contains(l.box.Max) {
				t.Fatalf("label %d at %v leaves the page", i, l.box)
			}
			if math.Abs(l.box.Width()-want[i].width) > 1e-9 || math.Abs(l.box.Height()-2) > 1e-9 {
				t.Fatalf("label %d is %g × %g", i, l.box.Width(), l.box.Height())
			}
			if overlap(l.box, furniture, 0) {
				t.Fatalf("label %d at %v covers what was there", i, l.box)
			}
			for j, m := range got {
				if j < i && m.placed && overlap(l.box, m.box, 0) {
					t.Fatalf("labels %d and %d overlap: %v %v", i, j, l.box, m.box)
				}
				if j < i && m.led && l.led && geom.SegmentsCross(l.leader[0], l.leader[1], m.leader[0], m.leader[1]) {
					t.Fatalf("leaders %d and %d cross", i, j)
				}
				if m.led && j != i && (&line{ends: m.leader, round: geom.BoxOf(m.leader[:]...)}).strikes(l.box, 0) {
					t.Fatalf("leader %d runs through label %d", j, i)
				}
				if overlap(l.box, geom.Box{Min: want[j].at, Max: want[j].at}.Grow(mapPen().cross), 0) {
					t.Fatalf("label %d covers cross %d", i, j)
				}
			}
		}
	})
}

// Where there is room for all, all labels are placed.
func TestLabelsFindTheirRoom(t *testing.T) {
	b := newBoard(geom.Box{Max: geom.Vec{X: 100, Y: 100}})
	var want []wanted
	for x := 5.0; x < 100; x += 10 {
		for y := 5.0; y < 100; y += 5 {
			at := geom.Vec{X: x, Y: y}
			want = append(want, wanted{at: at, width: 5, height: 2, clear: mapPen().cross})
			b.mark(geom.Box{Min: at, Max: at}.Grow(mapPen().cross))
		}
	}
	for i, l := range b.place(t.Context(), want, anything()) {
		if !l.placed || l.led || l.doubtful {
			t.Errorf("label %d at %v: %+v", i, want[i].at, l)
		}
	}
}

// A stretch carries panels side by side as the surface's own frames say: a
// point u panels round at a depth is the surface's point turned into place.
func TestStretchJoinsPanels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "panels")
		s := circleCloth(rapid.Float64Range(0.25, 1).Draw(t, "share"), 700, 500, n).Surface
		if rapid.Bool().Draw(t, "straight") {
			s = straightCloth(2000, 500, n).Surface
		}
		st := stretch{s, 0, float64(n)}
		u, down := rapid.Float64Range(0, float64(n)*0.9999).Draw(t, "u"), rapid.Float64Range(0, 500).Draw(t, "down")
		p := s.Point(skirt.Place{Round: u / float64(n), Down: down})
		if got := st.onto(p.Panel).Apply(p.At); got.Dist(st.at(u, down)) > 1e-6 {
			t.Fatalf("%g panels round at %g lies at %v and at %v", u, down, got, st.at(u, down))
		}
		if got := float64(p.Panel) + st.share(p); math.Abs(got-u) > 1e-6 {
			t.Fatalf("%g panels round came back as %g", u, got)
		}
	})
}

// A mark lies in a stretch as its panel does: every point of its outline is
// where carrying the whole panel puts it.
func TestMarksTurnWithTheirPanels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "panels")
		s := circleCloth(rapid.Float64Range(0.25, 1).Draw(t, "share"), 700, 500, n).Surface
		k := rapid.IntRange(0, n-1).Draw(t, "panel")
		p := at(s, float64(k)+rapid.Float64Range(0.2, 0.8).Draw(t, "u"), rapid.Float64Range(100, 400).Draw(t, "down"))
		m := Mark{1, ginkgoLeaf(), "ginkgo", 0.5, p, rapid.Float64Range(-4, 4).Draw(t, "turn"), 0}
		st := stretch{s, 0, float64(n)}
		for _, l := range st.lying([]Mark{m}) {
			if !l.here {
				continue
			}
			for _, q := range m.Motif.Pieces[0].Region.Outer {
				want := st.onto(k).Apply(geom.Placing(p.At, m.Turn, m.Size, false).Apply(q))
				if got := l.placing().Apply(q); got.Dist(want) > 1e-9 {
					t.Fatalf("outline point %v lies at %v, want %v", q, got, want)
				}
			}
			return
		}
		t.Fatal("the mark is not in the stretch")
	})
}

func picture(t *testing.T, s *scene.Scene, dpi float64) *image.RGBA {
	t.Helper()
	im, err := raster.Image(t.Context(), s, dpi)
	if err != nil {
		t.Fatal(err)
	}
	return im
}

// colourAt returns the colour of a place on the cloth of a view.
func colourAt(im *image.RGBA, v view, dpi, u, down float64) [3]float64 {
	p := v.toPage.Apply(v.at(u, down)).Mul(dpi / 25.4)
	c := im.RGBAAt(int(p.X), int(p.Y))
	return [3]float64{float64(c.R), float64(c.G), float64(c.B)}
}

func alike(a, b [3]float64, slack float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > slack {
			return false
		}
	}
	return true
}

// The net shows over the lining and, below its end, over white: source-over
// with α = 1 - (1-0.25)³ (Porter & Duff 1984).
func TestNetOverLining(t *testing.T) {
	c := circleCloth(1, 680, 570, 1)
	c.Colour, c.Lining = "#c81e5a", &Lining{Colour: "#1478e6", ShorterBy: 40}
	v := view{stretch: stretch{c.Surface, 0, 1}, scale: 0.1, toPage: geom.Affine{A: 0.1, D: 0.1, E: 70, F: 70}}
	s := &scene.Scene{Width: 140, Height: 140}
	s.Add(v.dressed(t.Context(), c, nil)...)
	im := picture(t, s, 200)
	a := 1 - 0.75*0.75*0.75
	over := func(below [3]float64) [3]float64 {
		net := [3]float64{200, 30, 90}
		for i := range below {
			below[i] += a * (net[i] - below[i])
		}
		return below
	}
	for _, x := range []struct {
		name string
		down float64
		want [3]float64
	}{
		{"over the lining", 300, over([3]float64{20, 120, 230})}, {"just above its end", 525, over([3]float64{20, 120, 230})},
		{"beyond the lining", 545, over([3]float64{255, 255, 255})}, {"off the cloth", 600, [3]float64{255, 255, 255}}, {"in the waist", -80, [3]float64{255, 255, 255}},
	} {
		if got := colourAt(im, v, 200, 0.3, x.down); !alike(got, x.want, 2) {
			t.Errorf("%s: %v, want %v", x.name, got, x.want)
		}
	}
}

// A cutout that straddles a seam shows on both panels where they are drawn
// apart, ends at the seam there, and shows the net through its hole.
func TestStraddlingCutoutShowsOnBothPanels(t *testing.T) {
	c := circleCloth(2, 1360, 500, 4)
	star := starfish()
	seam := skirt.Point{Panel: 1, At: stretch{c.Surface, 1, 2}.at(1.002, 300)}
	marks := []Mark{{1, star, "starfish", 2, seam, 0, 0}}
	felt := [3]float64{0xc8, 0x55, 0x3d}
	for k := range 4 {
		v := view{stretch: stretch{c.Surface, float64(k), float64(k + 1)}, scale: 0.2, toPage: geom.Affine{A: 0.2, D: 0.2, E: 160, F: 20}}
		s := &scene.Scene{Width: 320, Height: 180}
		s.Add(v.dressed(t.Context(), c, marks)...)
		im := picture(t, s, 150)
		left := alike(colourAt(im, v, 150, float64(k)+0.013, 300), felt, 3) || alike(colourAt(im, v, 150, float64(k)+0.01, 315), felt, 3)
		right := false
		for _, du := range []float64{0.002, 0.004, 0.006, 0.008, 0.012} {
			for _, down := range []float64{285, 300, 315} {
				right = right || alike(colourAt(im, v, 150, float64(k+1)-du, down), felt, 3)
			}
		}
		outside := alike(colourAt(im, v, 150, float64(k)-0.01, 300), [3]float64{255, 255, 255}, 0)
		if left != (k == 1) || right != (k == 0) || !outside {
			t.Errorf("panel %d: cutout at its left edge %v, right edge %v, cut off at the seam %v", k+1, left, right, outside)
		}
		if k == 1 {
			if got := colourAt(im, v, 150, 1.002, 300); alike(got, felt, 30) {
				t.Errorf("the hole shows %v, not the net", got)
			}
		}
	}
}

// One panel of a full circle is whole at its seam: the cutout there is drawn once.
func TestWholeCircleDrawsStraddlingCutoutOnce(t *testing.T) {
	s := circleCloth(1, 680, 570, 1).Surface
	st := stretch{s, 0, 1}
	for _, u := range []float64{0, 0.0005, 0.5, 0.9999} {
		got := st.lying([]Mark{{1, ginkgoLeaf(), "ginkgo", 1, skirt.Point{At: st.at(u, 300)}, 0, 0}})
		if len(got) != 1 || !got[0].here {
			t.Errorf("%g of the way round: drawn %d times", u, len(got))
		}
	}
}

// The scale bar is as long as it says at the drawing's scale.
func TestScaleBarIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]geom.Unit{geom.Millimetre, geom.Centimetre, geom.Metre, geom.Inch, geom.Foot}).Draw(t, "unit")
		scale, longest := rapid.Float64Range(0.02, 1).Draw(t, "scale"), rapid.Float64Range(30, 60).Draw(t, "longest")
		s := &scene.Scene{Width: 200, Height: 20}
		scaleBar(s, geom.Vec{X: 10, Y: 5}, scale, longest, say.Printer{Unit: u})
		all := texts(s.Ops)
		l, err := geom.ParseLength(all[len(all)-1].Text, geom.Millimetre)
		if err != nil {
			t.Fatal(err)
		}
		box := geom.EmptyBox()
		for _, op := range s.Ops {
			if f, ok := op.(scene.Fill); ok {
				box = box.Union(f.Rings[0].Box())
			}
		}
		if math.Abs(box.Width()-float64(l)*scale) > 1e-9 || box.Width() > longest {
			t.Fatalf("the bar of %s is %g mm long at scale %g", all[len(all)-1].Text, box.Width(), scale)
		}
	})
}

func demoLay(w, h float64) Lay {
	l := Lay{Title: "Ginkgo walk", Sheet: "craft felt A4", Number: 1, Of: 3, Colour: "#d9a521", Width: w, Height: h, Margin: 4}
	g, a := ginkgoLeaf(), acorn()
	for y := 38.0; y < h-35; y += 73 {
		for x := 35.0; x < w-30; x += 66 {
			m, size, piece := g, 1.0, 0
			switch i := len(l.Cuts); {
			case i%5 == 4:
				m, piece = a, 1
			case i%7 == 3:
				size = 0.7
			}
			turn := float64(len(l.Cuts))
			l.Cuts = append(l.Cuts, Cut{Region: m.Pieces[piece].Region.Transform(geom.Placing(geom.Vec{X: x, Y: y}, turn, size, false)), Name: m.Name, Size: size})
		}
	}
	return l
}

func TestLaySheetNumbersEveryPiece(t *testing.T) {
	for _, size := range [][2]float64{{210, 297}, {450, 300}, {900, 1400}, {100, 2000}} {
		for _, mirrored := range []bool{false, true} {
			l := demoLay(size[0], size[1])
			l.Mirrored = mirrored
			s := LaySheet(t.Context(), l)
			inside(t, l.Sheet, s)
			var numbers []int
			all := texts(s.Ops)
			for i, a := range all {
				if n, err := strconv.Atoi(a.Text); err == nil && n > 0 {
					numbers = append(numbers, n)
				}
				for _, b := range all[i+1:] {
					if overlap(tight(a), tight(b), 0) {
						t.Errorf("%v: %q and %q overlap", size, a.Text, b.Text)
					}
				}
			}
			slices.Sort(numbers)
			for i := range l.Cuts {
				if i >= len(numbers) || numbers[i] != i+1 {
					t.Fatalf("%v: numbers %v for %d pieces", size, numbers, len(l.Cuts))
				}
			}
			if says := slices.ContainsFunc(all, func(x scene.Text) bool { return strings.Contains(x.Text, "shown mirrored") }); says != mirrored {
				t.Errorf("mirrored is %v, said so: %v", mirrored, says)
			}
		}
	}
}

// A mirrored lay is the other one turned over left to right.
func TestMirroredLay(t *testing.T) {
	l := Lay{Width: 200, Height: 200, Colour: "#000000", Cuts: []Cut{{Region: geom.Region{Outer: geom.Ring{{X: 10, Y: 80}, {X: 60, Y: 80}, {X: 60, Y: 120}, {X: 10, Y: 120}}}}}}
	left := laidAt(LaySheet(t.Context(), l))
	l.Mirrored = true
	right := laidAt(LaySheet(t.Context(), l))
	const middle = 210.0 / 2 // of A4, upright for a square sheet
	if math.Abs(left-middle+right-middle) > 1e-6 || right-left < 50 {
		t.Errorf("the piece lies at %g and, mirrored, at %g", left, right)
	}
}

// laidAt returns where across the page the only piece's middle lies.
func laidAt(s *scene.Scene) float64 {
	for _, op := range s.Ops {
		if f, ok := op.(scene.Fill); ok && f.EvenOdd {
			return f.Rings[0].Box().Centre().X
		}
	}
	return math.NaN()
}

func TestSameScenesSameBytes(t *testing.T) {
	c := circleCloth(1, 680, 570, 2)
	marks := strewn(c.Surface, 80, 1, ginkgoLeaf(), acorn())
	draw := func() []byte {
		var b bytes.Buffer
		for _, s := range append(Placement(t.Context(), c, marks), Skirt(t.Context(), c, marks), LaySheet(t.Context(), demoLay(210, 297))) {
			if err := raster.WritePNG(t.Context(), &b, s, 60); err != nil {
				t.Fatal(err)
			}
		}
		return b.Bytes()
	}
	if !bytes.Equal(draw(), draw()) {
		t.Error("the same plan gave two different pictures")
	}
}

func BenchmarkPlacement(b *testing.B) {
	c := circleCloth(1, 680, 570, 1)
	marks := strewn(c.Surface, 400, 1, ginkgoLeaf(), acorn())
	for b.Loop() {
		Placement(b.Context(), c, marks)
	}
}

func BenchmarkPNG(b *testing.B) {
	c := circleCloth(1, 680, 570, 1)
	marks := strewn(c.Surface, 300, 1, ginkgoLeaf(), acorn())
	for _, p := range []struct {
		name string
		s    *scene.Scene
		dpi  float64
	}{{"skirt", Skirt(b.Context(), c, marks), ScreenDPI}, {"placement", Placement(b.Context(), c, marks)[0], PageDPI}, {"lay", LaySheet(b.Context(), demoLay(210, 297)), PageDPI}} {
		b.Run(p.name, func(b *testing.B) {
			for b.Loop() {
				if err := raster.WritePNG(b.Context(), &bytes.Buffer{}, p.s, p.dpi); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
