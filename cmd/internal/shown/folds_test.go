package shown_test

import (
	"encoding/json"
	"math"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/results"
	"strew/cmd/internal/shown"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
	"strew/render"
	"strew/scatter/skirt"
)

// Folds take up cloth and neither make nor lose any: read back from its JSON, each
// row of the mesh is as long as the surface is round there, within 1 %, and rows
// hang below one another.
func TestFoldsAreAsLongAsTheGirth(t *testing.T) {
	hung := 0
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		f, ok := shown.FoldsOf(p)
		if drawn := p.Cloth.Surface.Cut == skirt.Outline; ok == drawn {
			t.Fatalf("hangs: %v, drawn panels: %v", ok, drawn)
		}
		if !ok {
			return
		}
		hung++
		f = read(t, f)
		for i, r := range f.Rows {
			if len(r.X) != f.Columns || len(r.Z) != f.Columns {
				t.Fatalf("row %d has %d and %d numbers for %d columns", i, len(r.X), len(r.Z), f.Columns)
			}
			if got, want := ring(r.X, r.Z).Length(), p.Cloth.Surface.Girth(r.Down); math.Abs(got/want-1) > 0.01 {
				t.Errorf("%g mm down the mesh is %.1f mm round, the cloth %.1f", r.Down, got, want)
			}
			if i > 0 && (r.Drop <= f.Rows[i-1].Drop || r.Drop-f.Rows[i-1].Drop > r.Down-f.Rows[i-1].Down+0.2) {
				t.Errorf("row %d hangs at %g after %g", i, r.Drop, f.Rows[i-1].Drop)
			}
		}
		if got := ring(f.Band.X, f.Band.Z).Length(); math.Abs(got/p.Project.Skirt.Waist-1) > 0.005 {
			t.Errorf("the band is %.1f mm round, the waist %.1f", got, p.Project.Skirt.Waist)
		}
	})
	if hung < 5 {
		t.Errorf("%d examples hang", hung)
	}
}

// Every cutout lies on the mesh where the plan puts it: its glue point inside its
// felt, or in a hole of it, at the plan's share of the way round and distance down.
func TestFeltLiesOnTheFolds(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		f, ok := shown.FoldsOf(p)
		if !ok {
			return
		}
		places := p.Strewn.Layout.Placements
		if len(f.Marks) != 2*len(places) || len(places) == 0 {
			t.Fatalf("%d numbers for %d marks", len(f.Marks), len(places))
		}
		boxes := map[int]geom.Box{}
		for _, piece := range f.Felts {
			var r geom.Ring
			for i := 0; i < len(piece.Rings[0]); i += 2 {
				r = append(r, geom.Vec{X: piece.Rings[0][i], Y: piece.Rings[0][i+1]})
			}
			b, known := boxes[piece.Mark]
			if !known {
				b = geom.EmptyBox()
			}
			boxes[piece.Mark] = b.Union(r.Box())
		}
		for i, m := range places {
			at := geom.Vec{X: f.Marks[2*i], Y: f.Marks[2*i+1]}
			off := math.Remainder(at.X/float64(f.Columns)-m.Place.Round, 1) * p.Cloth.Surface.Girth(m.Place.Down)
			if math.Abs(off) > 0.2 || math.Abs(at.Y-m.Place.Down) > 0.1 {
				t.Errorf("mark %d lies %.2f mm off round and %.2f down", i+1, off, at.Y-m.Place.Down)
			}
			if b, known := boxes[i+1]; !known || !b.Grow(0.1).Contains(at) {
				t.Errorf("mark %d at %v is outside its felt %v", i+1, at, b)
			}
		}
	})
}

// Looked at from the front, the mesh shows as many glue points as worn.png says,
// within a few that lie at the edge of a fold: it has half of that mesh's columns.
func TestFoldsShowWhatWornShows(t *testing.T) {
	const edge = 0.03 // of all cutouts
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		f, ok := shown.FoldsOf(p)
		if !ok {
			return
		}
		want := render.ShowInFront(results.Cloth(p), results.Marks(p))
		if f.ShowFront != want {
			t.Errorf("%d are said to show, ShowInFront says %d", f.ShowFront, want)
		}
		got := showing(read(t, f))
		if all := len(f.Marks) / 2; math.Abs(float64(got-want)) > math.Max(2, edge*float64(all)) {
			t.Errorf("%d of %d show on the mesh, %d in worn.png", got, all, want)
		}
	})
}

// showing counts the glue points that face the viewer with no cloth before them, by
// the plain definition: no cell of the mesh that holds the point is nearer there.
func showing(f shown.Folds) int {
	n := 0
	for k := 0; k < len(f.Marks); k += 2 {
		u := math.Mod(f.Marks[k]+float64(f.Columns), float64(f.Columns))
		j, i := int(u), 0
		for i < len(f.Rows)-2 && f.Rows[i+1].Down < f.Marks[k+1] {
			i++
		}
		c := cellOf(f, j, i)
		s, t := u-float64(j), (f.Marks[k+1]-f.Rows[i].Down)/(f.Rows[i+1].Down-f.Rows[i].Down)
		if c[2].at.Sub(c[0].at).Cross(c[3].at.Sub(c[1].at)) <= 0 {
			continue
		}
		at := c[0].at.Lerp(c[1].at, s).Lerp(c[3].at.Lerp(c[2].at, s), t)
		near := (c[0].near*(1-s)+c[1].near*s)*(1-t) + (c[3].near*(1-s)+c[2].near*s)*t
		if !covered(f, at, near) {
			n++
		}
	}
	return n
}

// seen is a node in the picture, and how near it is to the viewer.
type seen struct {
	at   geom.Vec
	near float64
}

// cellOf returns the corners of a cell as seen from 13° above the front, as in
// worn.png.
func cellOf(f shown.Folds, j, i int) [4]seen {
	sin, cos := math.Sincos(13 * math.Pi / 180)
	node := func(j, i int) seen {
		r := f.Rows[i]
		x, z := r.X[j%f.Columns], r.Z[j%f.Columns]
		return seen{geom.Vec{X: x, Y: r.Drop*cos + z*sin}, z*cos - r.Drop*sin}
	}
	return [4]seen{node(j, i), node(j+1, i), node(j+1, i+1), node(j, i+1)}
}

// covered reports whether a cell lies before the place, by more than felt is thick.
func covered(f shown.Folds, at geom.Vec, near float64) bool {
	const thick = 3
	for j := range f.Columns {
		for i := range len(f.Rows) - 1 {
			c := cellOf(f, j, i)
			for _, t := range [2][3]seen{{c[0], c[1], c[2]}, {c[0], c[2], c[3]}} {
				if d, in := nearOf(t, at); in && d > near+thick {
					return true
				}
			}
		}
	}
	return false
}

// nearOf returns how near a triangle is at a place in the picture, by barycentric
// coordinates, and whether it is seen there.
func nearOf(t [3]seen, at geom.Vec) (float64, bool) {
	ab, ac, ap := t[1].at.Sub(t[0].at), t[2].at.Sub(t[0].at), at.Sub(t[0].at)
	whole := ab.Cross(ac)
	u, v := ap.Cross(ac)/whole, ab.Cross(ap)/whole
	in := whole != 0 && u >= 0 && v >= 0 && u+v <= 1
	return t[0].near + u*(t[1].near-t[0].near) + v*(t[2].near-t[0].near), in
}

// read returns the folds as the page gets them, and checks that they are no longer
// than a page should wait for.
func read(t *testing.T, f shown.Folds) shown.Folds {
	t.Helper()
	const most = 300_000 // bytes
	data, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > most*max(1, len(f.Marks)/2/150) {
		t.Errorf("%d bytes of JSON for %d marks", len(data), len(f.Marks)/2)
	}
	t.Logf("%d bytes, %d columns, %d rows, %d felts", len(data), f.Columns, len(f.Rows), len(f.Felts))
	var out shown.Folds
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func ring(x, z []float64) geom.Ring {
	out := make(geom.Ring, len(x))
	for i := range x {
		out[i] = geom.Vec{X: x[i], Y: z[i]}
	}
	return out
}

// go test -run '^$' -bench Folds ./cmd/internal/shown
func BenchmarkFoldsOf(b *testing.B) {
	pr, files := project.Example()
	pr.Cutting.Effort, pr.Scatter.Cutouts = 0, 150
	p, err := stage.NewPlanner(files).Plan(b.Context(), pr, nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, ok := shown.FoldsOf(p); !ok {
			b.Fatal("nothing hangs")
		}
	}
}
