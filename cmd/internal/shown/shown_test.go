package shown_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
	"strew/scatter/skirt"
)

// placement is a mark in plan.json.
type placement struct {
	Mark  int     `json:"mark"`
	Motif string  `json:"motif"`
	Size  float64 `json:"size"`
	Panel int     `json:"panel"`
	Row   int     `json:"row"`
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Turn  float64 `json:"turn_deg"`
	Down  float64 `json:"down_mm"`
}

func placements(t *testing.T, p stage.Plan) []placement {
	t.Helper()
	var doc struct {
		Placements []placement `json:"placements"`
	}
	data, err := results.Of(p).PlanJSON(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	return doc.Placements
}

// linesOf reads path data of M, L and Z as rings or lines.
func linesOf(t *testing.T, d string) []geom.Ring {
	t.Helper()
	var out []geom.Ring
	for _, part := range strings.Split(d, "M") {
		if part = strings.TrimSuffix(part, "Z"); part == "" {
			continue
		}
		var r geom.Ring
		for _, pair := range strings.Split(part, "L") {
			xs, ys, _ := strings.Cut(pair, " ")
			x, err := strconv.ParseFloat(xs, 64)
			y, err2 := strconv.ParseFloat(ys, 64)
			if err != nil || err2 != nil {
				t.Fatalf("path data %q", pair)
			}
			r = append(r, geom.Vec{X: x, Y: y})
		}
		out = append(out, r)
	}
	return out
}

// covers reports whether rings cover p by the even-odd rule.
func covers(rings []geom.Ring, p geom.Vec) bool {
	in := false
	for _, r := range rings {
		in = in != r.Contains(p)
	}
	return in
}

// dist returns the distance from p to the nearest of some lines.
func dist(lines []geom.Ring, p geom.Vec) float64 {
	best := math.Inf(1)
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			best = min(best, geom.PointSegment(p, l[i-1], l[i]))
		}
	}
	return best
}

// stretchOf returns the stretch on which a mark is chosen; one on the edge of two
// belongs to either.
func stretchOf(t *testing.T, m shown.Marks, mark shown.Mark) shown.Stretch {
	t.Helper()
	for _, s := range m.Flat.Stretches {
		rings := linesOf(t, s.D)
		for i := range rings {
			rings[i] = append(rings[i], rings[i][0])
		}
		if covers(rings, at(mark)) || dist(rings, at(mark)) < arcs {
			return s
		}
	}
	t.Fatalf("mark %d is not on the cloth: %v", mark.N, mark.At)
	return shown.Stretch{}
}

func at(m shown.Mark) geom.Vec { return geom.Vec{X: m.At[0][0], Y: m.At[0][1]} }

// The largest error of a distance shown: two places rounded to a hundredth,
// and an arc drawn within a fiftieth of a page millimetre, some 0.2 mm, in
// tenths of a millimetre.
const (
	places = 0.03
	arcs   = 0.4
)

// Every mark of plan.json is shown once as chosen, as the motif, size, panel
// and row it has there, and inside the cloth.
func TestMarksAreThoseOfThePlan(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		m, want := shown.MarksOf(p), placements(t, p)
		if len(m.Marks) != len(want) || len(want) == 0 {
			t.Fatalf("%d marks shown, %d planned", len(m.Marks), len(want))
		}
		for i, w := range want {
			g := m.Marks[i]
			if g.N != w.Mark || m.Motifs[g.Motif].Name != w.Motif || math.Abs(g.Size-w.Size) > 1e-6 || g.Panel != w.Panel {
				t.Fatalf("mark %d is shown as %+v, planned as %+v", w.Mark, g, w)
			}
			if len(g.At) == 0 {
				t.Fatalf("mark %d is nowhere", g.N)
			}
			stretchOf(t, m, g)
		}
	})
}

// A panel lies flat without stretching or turning over: two marks of one panel
// are as far apart, in the same direction against their turns, as in the
// panel's own frame.
func TestPanelsAreMovedRigidly(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		m, want := shown.MarksOf(p), placements(t, p)
		first := map[int]int{}
		for i, w := range want {
			f, known := first[w.Panel]
			if !known {
				first[w.Panel] = i
				continue
			}
			turned := (m.Marks[f].At[0][2] - want[f].Turn) * math.Pi / 180
			own := geom.Vec{X: w.X - want[f].X, Y: w.Y - want[f].Y}.Rotate(turned)
			if d := at(m.Marks[i]).Sub(at(m.Marks[f])).Dist(own); d > places+own.Len()*1e-4 { // turns are rounded to a hundredth of a degree
				t.Fatalf("marks %d and %d lie %.3f mm off each other", w.Mark, want[f].Mark, d)
			}
			if d := math.Remainder(m.Marks[i].At[0][2]-w.Turn-turned*180/math.Pi, 360); math.Abs(d) > 0.021 {
				t.Fatalf("mark %d is turned %g° off", w.Mark, d)
			}
		}
	})
}

// The hem drawn lies as far below each mark as the plan says.
func TestMarksLieAboveTheHem(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		s := p.Cloth.Surface
		if s.Cut == skirt.Outline {
			return // its hem is any open edge, and down is measured from the drawing's top
		}
		m := shown.MarksOf(p)
		for i, w := range placements(t, p) {
			st := stretchOf(t, m, m.Marks[i])
			hem, waist := linesOf(t, st.Hem), linesOf(t, st.Waist)
			if d := dist(hem, at(m.Marks[i])); math.Abs(d-(s.Drop-w.Down)) > arcs {
				t.Fatalf("mark %d lies %.2f mm above the hem drawn, %.2f in the plan", w.Mark, d, s.Drop-w.Down)
			}
			if d := dist(waist, at(m.Marks[i])); math.Abs(d-w.Down) > arcs && !s.Straight { // a straight waist edge is square to its panel's middle only
				t.Fatalf("mark %d lies %.2f mm below the waist drawn, %.2f in the plan", w.Mark, d, w.Down)
			}
		}
	})
}

func whole(s skirt.Surface) bool { return math.Abs(float64(s.Panels)*s.Angle-2*math.Pi) < 1e-9 }

// Marks on joined panels are as far apart as one of the ways in which the sewn
// surface sees them; skirt finds those by unrolling.
func TestJoinedPanelsLieAsSewn(t *testing.T) {
	joined := 0
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		s, m := p.Cloth.Surface, shown.MarksOf(p)
		if s.Cut == skirt.Outline || len(m.Flat.Stretches) > 1 {
			return
		}
		l := p.Strewn.Layout.Placements
		for i := range l {
			j := (i + len(l)/3) % len(l)
			way := math.Abs(l[i].Place.Round - l[j].Place.Round)
			if way*max(1, 2*float64(s.Panels)*s.Angle/(2*math.Pi)) > 0.49 && !(s.Wedges() && whole(s)) || l[i].Point.Panel == l[j].Point.Panel {
				continue // more than half a turn lies between them on the flat cloth
			}
			d, best := at(m.Marks[i]).Dist(at(m.Marks[j])), math.Inf(1)
			s.Seen(l[i].Place, l[j].Place, func(off geom.Vec, _ float64) { best = min(best, math.Abs(off.Len()-d)) })
			if best > places {
				t.Fatalf("marks %d and %d lie %.2f mm apart, %.2f off every way round", i+1, j+1, d, best)
			}
			joined++
		}
	})
	if joined == 0 {
		t.Error("no example has joined panels")
	}
}

// All of every mark lies in the picture, where it is chosen.
func TestMarksLieInThePicture(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		m := shown.MarksOf(p)
		b := m.Flat.Box
		box := geom.Box{Min: geom.Vec{X: b[0], Y: b[1]}, Max: geom.Vec{X: b[0] + b[2], Y: b[1] + b[3]}}.Grow(places)
		for _, mark := range m.Marks {
			place := geom.Placing(at(mark), mark.At[0][2]*math.Pi/180, mark.Size, false)
			for _, pc := range m.Motifs[mark.Motif].Pieces {
				for _, r := range linesOf(t, pc.D) {
					for _, v := range r.Transform(place) {
						if v.X < box.Min.X || v.X > box.Max.X || v.Y < box.Min.Y || v.Y > box.Max.Y {
							t.Fatalf("mark %d reaches %v, outside %v", mark.N, v, box)
						}
					}
				}
			}
		}
		for _, l := range m.Flat.Labels {
			if l.At[0] < box.Min.X || l.At[0] > box.Max.X || l.At[1] < box.Min.Y || l.At[1] > box.Max.Y || math.Abs(l.Turn) > 90.1 {
				t.Errorf("label %+v lies outside %v, or upside down", l, box)
			}
		}
	})
}

// Where a stretch of cloth ends, a cutout over the seam shows at both ends: each
// copy reaches such a seam.
func TestCutoutsOverASeamShowTwice(t *testing.T) {
	copies := 0
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		m := shown.MarksOf(p)
		for _, k := range m.Marks {
			reach := p.Mix.Motifs[k.Motif].Reach() * k.Size
			for _, c := range k.At[1:] {
				copies++
				near := math.Inf(1)
				for _, s := range m.Flat.Stretches {
					near = min(near, dist(linesOf(t, s.Seams), geom.Vec{X: c[0], Y: c[1]}))
				}
				if near > reach {
					t.Errorf("a copy of mark %d at %v lies %.1f mm from every seam and reaches %.1f", k.N, c, near, reach)
				}
			}
		}
	})
	if copies == 0 {
		t.Error("no cutout lies over a seam at which the cloth ends")
	}
}

// Counts are those of the plan, by motif.
func TestCountsShown(t *testing.T) {
	p := stagetest.Built(t, "ginkgo-backed-roll")
	m := shown.MarksOf(p)
	placed := map[int]int{}
	for _, k := range m.Marks {
		placed[k.Motif]++
	}
	for _, c := range m.Counts {
		of := c.Motif
		if b := m.Motifs[c.Motif].Backs; b >= 0 {
			of = b
		}
		placed[of] -= c.Placed
		if m.Motifs[c.Motif].Backs >= 0 {
			placed[of] += c.Placed
		}
		if c.Cut != c.Placed+c.Spare {
			t.Errorf("%+v", c)
		}
	}
	for i, n := range placed {
		if n != 0 {
			t.Errorf("%s: %d marks more than counted", m.Motifs[i].Name, n)
		}
	}
}

// The colour over the lining is plan.json's ground of contrasts.
func TestGroundIsThePlans(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		c := p.Contrasts()
		if len(c) == 0 {
			t.Fatal("no felt shows")
		}
		// Rounded once by channel there, twice here.
		if got := shown.MarksOf(p).Flat.Ground; !nearly(got, c[0].Ground) {
			t.Errorf("ground %s, the plan says %s", got, c[0].Ground)
		}
	})
}

func nearly(a, b string) bool {
	x, _ := strconv.ParseInt(a[1:], 16, 32)
	y, _ := strconv.ParseInt(b[1:], 16, 32)
	for shift := 0; shift < 24; shift += 8 {
		if d := (x >> shift & 255) - (y >> shift & 255); d < -1 || d > 1 {
			return false
		}
	}
	return true
}

// Pieces on a sheet lie within its margins, and share no felt: their areas add
// up to the share of the sheet that is used.
func TestSheetsHoldTheirPieces(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		m := shown.MarksOf(p)
		cut := map[int]int{}
		for _, s := range shown.SheetsOf(p) {
			in := geom.Box{Max: geom.Vec{X: s.W, Y: s.H}}.Grow(places - s.Margin)
			area := 0.0
			for _, pc := range s.Pieces {
				if pc.Piece == 0 {
					cut[pc.Motif]++
				}
				place := geom.Placing(geom.Vec{X: pc.X, Y: pc.Y}, pc.Turn*math.Pi/180, pc.Size, pc.Flipped)
				for i, r := range linesOf(t, m.Motifs[pc.Motif].Pieces[pc.Piece].D) {
					r = r.Transform(place)
					if i == 0 {
						area += math.Abs(r.Area())
					} else {
						area -= math.Abs(r.Area())
					}
					b := r.Box()
					if b.Min.X < in.Min.X || b.Min.Y < in.Min.Y || b.Max.X > in.Max.X || b.Max.Y > in.Max.Y {
						t.Fatalf("%s %d: %s lies at %v, outside %v", s.Name, s.Number, m.Motifs[pc.Motif].Name, b, in)
					}
				}
			}
			if used := area / (s.W * s.H); math.Abs(used-s.Used) > 0.002 {
				t.Errorf("%s %d: %.4f used, the plan says %.4f", s.Name, s.Number, used, s.Used)
			}
		}
		for _, c := range m.Counts {
			cut[c.Motif] -= c.Cut
		}
		for i, n := range cut {
			if n != 0 {
				t.Errorf("%s: %d more laid than cut", m.Motifs[i].Name, n)
			}
		}
	})
}

func placedRings(rings []geom.Ring, pc shown.ClothPiece) []geom.Ring {
	out := make([]geom.Ring, len(rings))
	for i, r := range rings {
		out[i] = r.Transform(geom.Placing(geom.Vec{X: pc.X, Y: pc.Y}, pc.Turn*math.Pi/180, 1, false))
	}
	return out
}

// Pieces of cloth lie on it without overlapping, each shape inside the place
// that its piece takes, and all layers have their pieces.
func TestClothHoldsItsPieces(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		list := shown.ClothOf(p)
		if len(list) != len(p.Cloth.Fabric) || len(list) == 0 {
			t.Fatalf("%d cloths", len(list))
		}
		for i, c := range list {
			f := p.Cloth.Fabric[i]
			if len(c.Pieces) != f.Pieces*f.Layers || c.Words == "" {
				t.Errorf("%s: %d pieces, want %d of %d", c.Part, len(c.Pieces), f.Layers, f.Pieces)
			}
			var boxes []geom.Box
			area := 0.0
			for _, pc := range c.Pieces {
				b := geom.Box{Min: geom.Vec{X: pc.Box[0], Y: pc.Box[1]}, Max: geom.Vec{X: pc.Box[0] + pc.Box[2], Y: pc.Box[1] + pc.Box[3]}}
				if b.Min.X < -places || b.Max.X > c.Width+places || b.Min.Y < -places || b.Max.Y > c.Length+places {
					t.Errorf("%s %s lies at %v on %g × %g", c.Part, pc.Name, b, c.Width, c.Length)
				}
				for _, o := range boxes {
					if min(b.Max.X, o.Max.X)-max(b.Min.X, o.Min.X) > places && min(b.Max.Y, o.Max.Y)-max(b.Min.Y, o.Min.Y) > places {
						t.Errorf("%s %s at %v overlaps another at %v", c.Part, pc.Name, b, o)
					}
				}
				boxes = append(boxes, b)
				if !covers(placedRings(linesOf(t, c.Shapes[pc.Shape]), pc), geom.Vec{X: pc.Middle[0], Y: pc.Middle[1]}) {
					t.Errorf("%s %s: its middle %v lies beside it", c.Part, pc.Name, pc.Middle)
				}
				for _, way := range []geom.Vec{{X: pc.Room[0]}, {X: -pc.Room[0]}, {Y: pc.Room[1]}, {Y: -pc.Room[1]}} {
					if end := (geom.Vec{X: pc.Middle[0], Y: pc.Middle[1]}).Add(way.Mul(0.499)); !covers(placedRings(linesOf(t, c.Shapes[pc.Shape]), pc), end) {
						t.Errorf("%s %s: room for its name ends at %v, beside it", c.Part, pc.Name, end)
					}
				}
				for k, r := range placedRings(linesOf(t, c.Shapes[pc.Shape]), pc) {
					if in, g := r.Box(), b.Grow(0.2); in.Min.X < g.Min.X || in.Min.Y < g.Min.Y || in.Max.X > g.Max.X || in.Max.Y > g.Max.Y {
						t.Errorf("%s %s: its outline %v leaves its place %v", c.Part, pc.Name, in, b)
					}
					if a := math.Abs(r.Area()); k == 0 || !covers(linesOf(t, c.Shapes[pc.Shape])[:1], linesOf(t, c.Shapes[pc.Shape])[k][0]) {
						area += a
					} else {
						area -= a
					}
				}
			}
			if whole, _ := f.Surface.Cloth(); math.Abs(area/(whole*float64(f.Layers))-1) > 0.002 {
				t.Errorf("%s: %.0f mm² cut, the surface has %.0f", c.Part, area, whole*float64(f.Layers))
			}
		}
	})
}

// A lay without a skirt has sheets and motifs and nothing flat.
func TestLayOnlyShowsNoSkirt(t *testing.T) {
	pr, _ := project.Example()
	p := stage.Plan{Project: pr, LayOnly: true}
	m := shown.MarksOf(p)
	data, err := json.Marshal(m)
	if err != nil || strings.Contains(string(data), "null") || len(m.Marks) > 0 || len(shown.ClothOf(p)) > 0 {
		t.Errorf("%s, %v", data, err)
	}
}

// The narrowest place is as wide as plan.json says.
func TestNarrowestPlace(t *testing.T) {
	p := stagetest.Built(t, "tide-six-gores")
	for i, m := range shown.MarksOf(p).Motifs {
		a, b := m.Narrowest.At[0], m.Narrowest.At[1]
		wide := math.Hypot(a[0]-b[0], a[1]-b[1])
		if want := p.Mix.Measures[i].Narrowest; math.Abs(wide-want) > places || math.Abs(m.Narrowest.MM-want) > places {
			t.Errorf("%s: %g mm, from end to end %g, the plan says %g", m.Name, m.Narrowest.MM, wide, want)
		}
	}
}

// go test -run '^$' -bench Marks ./cmd/internal/shown
func BenchmarkMarksOf(b *testing.B) {
	for _, n := range []int{150, 1000} {
		pr, files := project.Example()
		pr.Cutting.Effort, pr.Scatter.Cutouts = 0, n
		for i := range pr.Motifs {
			pr.Motifs[i].Width *= math.Sqrt(150 / float64(n))
		}
		pr.Clearance.Between *= 0.3
		p, err := stage.NewPlanner(files).Plan(b.Context(), pr, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if m := shown.MarksOf(p); len(m.Marks) != n {
					b.Fatal(len(m.Marks))
				}
			}
		})
	}
}

// The pages listed are those of the results.
func TestPagesShown(t *testing.T) {
	r := results.Of(stagetest.Built(t, "tide-half-grid"))
	list, err := shown.PagesOf(t.Context(), r)
	want, _ := r.Pages(t.Context())
	if err != nil || len(list) != len(want) {
		t.Fatalf("%d files, want %d; %v", len(list), len(want), err)
	}
	for i, f := range list {
		if f.Name != want[i].Name || len(f.Sizes) != len(want[i].Sizes) || f.Sizes[0] != [2]float64{210, 297} && f.Sizes[0] != [2]float64{297, 210} {
			t.Errorf("%+v, want %+v", f, want[i])
		}
	}
}
