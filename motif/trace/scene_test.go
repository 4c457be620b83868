package trace

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"golang.org/x/image/vector"

	"strew/motif/geom"
)

// scene is a photo of a pencil outline on a sheet of A4: a known leaf, drawn on
// the sheet in millimetres, seen by a camera at a slant, with uneven light,
// grain and blur.
type scene struct {
	leaf geom.Region // mm on the sheet, the middle of the line
	img  *image.Gray
	fill bool // filled instead of drawn with a line
}

// ginkgo is a fan with a notch and a short stem, some 60 mm wide.
func ginkgo(at geom.Vec, size, turn float64) geom.Ring {
	var r geom.Ring
	const n = 160
	for i := range n + 1 {
		u := float64(i) / n
		a := (-160 + 140*u) * math.Pi / 180
		l := 33 + 1.2*math.Sin(u*22) - 11*math.Exp(-math.Pow((u-0.48)/0.05, 2))
		r = append(r, geom.Vec{X: l * math.Cos(a), Y: l * math.Sin(a)})
	}
	r = append(r, geom.Vec{X: 3, Y: 1}, geom.Vec{X: 2.2, Y: 14}, geom.Vec{X: -2.2, Y: 14}, geom.Vec{X: -3, Y: 1})
	out := make(geom.Ring, len(r))
	for i, p := range r {
		out[i] = p.Mul(size).Rotate(turn).Add(at)
	}
	return out
}

// stroked returns how much of each pixel open lines of a round pen cover; the
// lines and the pen are sent through to before they are drawn.
func stroked(w, h int, to func(geom.Ring) geom.Ring, width float64, lines ...[]geom.Vec) *image.Alpha {
	z := vector.NewRasterizer(w, h)
	shape := func(r geom.Ring) {
		if r = to(r); r.Area() < 0 { // one way round, so that overlaps stay covered
			r = r.Reversed()
		}
		for i, p := range r {
			if i == 0 {
				z.MoveTo(float32(p.X), float32(p.Y))
			} else {
				z.LineTo(float32(p.X), float32(p.Y))
			}
		}
		z.ClosePath()
	}
	for _, l := range lines {
		for i, p := range l {
			dot := make(geom.Ring, 16)
			for k := range dot {
				dot[k] = geom.Vec{X: width / 2}.Rotate(2 * math.Pi * float64(k) / float64(len(dot))).Add(p)
			}
			shape(dot)
			if i == 0 || l[i-1] == p {
				continue
			}
			q := l[i-1]
			d := p.Sub(q)
			side := geom.Vec{X: -d.Y, Y: d.X}.Mul(width / 2 / d.Len())
			shape(geom.Ring{q.Add(side), p.Add(side), p.Sub(side), q.Sub(side)})
		}
	}
	m := image.NewAlpha(image.Rect(0, 0, w, h))
	z.Draw(m, m.Rect, image.Opaque, image.Point{})
	return m
}

const (
	a4Wide, a4High = 210.0, 297.0
	pencilMM       = 0.6
)

// newScene renders scene number seed, w × h pixels.
func newScene(w, h int, seed uint64, fill bool) scene {
	rng := rand.New(rand.NewPCG(seed, 1))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	s := scene{fill: fill}
	s.leaf.Outer = ginkgo(geom.Vec{X: between(75, 135), Y: between(90, 200)}, between(0.8, 1.6), between(0, 2*math.Pi))

	// A camera over the sheet, slanted by up to 25° in any direction.
	tilt, spin, about := between(0, 25)*math.Pi/180, between(-0.15, 0.15), between(0, 2*math.Pi)
	if w > h { // the sheet lies as the photo does
		spin += math.Pi / 2
	}
	axis := geom.Vec{X: math.Cos(about), Y: math.Sin(about)}
	focal := 1.1 * float64(max(w, h))
	away := a4High * focal / (float64(max(w, h)) * between(0.72, 0.8)) // so that it fills the photo
	project := func(p geom.Vec) geom.Vec {
		q := p.Sub(geom.Vec{X: a4Wide / 2, Y: a4High / 2}).Rotate(spin)
		// Turned about the axis by tilt (Rodrigues).
		k := axis.Dot(q) * (1 - math.Cos(tilt))
		v := q.Mul(math.Cos(tilt)).Add(axis.Mul(k))
		z := axis.Cross(q) * math.Sin(tilt)
		f := focal / (away + z)
		return geom.Vec{X: float64(w)/2 + v.X*f, Y: float64(h)/2 + v.Y*f}
	}
	toPhoto := func(r geom.Ring) geom.Ring {
		out := make(geom.Ring, len(r))
		for i, p := range r {
			out[i] = project(p)
		}
		return out
	}
	edge := geom.Ring{{}, {X: a4Wide}, {X: a4Wide, Y: a4High}, {Y: a4High}}
	sheet := coverage(w, h, 1, geom.Region{Outer: toPhoto(edge)})
	var line *image.Alpha
	if fill {
		line = coverage(w, h, 1, geom.Region{Outer: toPhoto(s.leaf.Outer)})
	} else {
		line = stroked(w, h, toPhoto, pencilMM, append(s.leaf.Outer, s.leaf.Outer[0]))
	}

	// Light falls off to a side and toward the rim; the table is dark.
	lx, ly, rim := between(-0.2, 0.2), between(-0.2, 0.2), between(0, 0.15)
	table, lead := between(40, 90), between(0.45, 0.7)
	light := make([]float32, w*h)
	overRows(h, func(from, to int) {
		for y := from; y < to; y++ {
			fy := 2*float64(y)/float64(h) - 1
			for x := range w {
				fx := 2*float64(x)/float64(w) - 1
				k := y*w + x
				on, pencil := float64(sheet.Pix[k])/255, float64(line.Pix[k])/255
				v := table*(1-on) + 225*on*(1-lead*pencil)
				light[k] = float32(v * (1 + lx*fx + ly*fy - rim*(fx*fx+fy*fy)))
			}
		}
	})
	lens := ink{w: w, h: h, v: light, rows: wholePage(w, h)}
	lens.blur() // a little out of focus
	lens.blur()
	s.img = image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		grain := rand.New(rand.NewPCG(seed, uint64(y)+100))
		for x := range w {
			v := float64(lens.v[y*w+x]) + 3*grain.NormFloat64()
			s.img.Pix[y*w+x] = uint8(math.Max(0, math.Min(255, math.Round(v))))
		}
	}
	return s
}

func encodeJPEG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// checkScene traces a scene and compares it with the leaf drawn: size within
// 0.5 % and boundary within 0.3 mm, mean and, for what shows, farthest.
func checkScene(t *testing.T, s scene, data []byte) (size, mean, most float64) {
	t.Helper()
	opt := DefaultOptions()
	opt.Paper = "a4"
	res, err := Read(context.Background(), data, opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(res.Figures) != 1 || len(res.Figures[0].Holes) > 0 {
		t.Fatalf("%d figures: %v", len(res.Figures), res.Notes)
	}
	got, want := res.Figures[0], s.leaf
	// The sheet may have been taken by any of its ends: turned to fit.
	best := math.Inf(1)
	for quarter := range 4 {
		turned := want.Transform(geom.Rotation(float64(quarter) * math.Pi / 2))
		turned = turned.Transform(geom.Translation(turned.Box().Min.Mul(-1)))
		// Boxes agree to a fraction of the line's wobble; the centroid is steadier.
		shift := got.Outer.Centroid().Sub(turned.Outer.Centroid())
		turned = turned.Transform(geom.Translation(shift))
		sum, far, n := 0.0, 0.0, 0
		dense, _ := evenly(got.Outer, 1)
		for _, p := range dense {
			d := turned.EdgeDist(p)
			sum, far, n = sum+d, math.Max(far, d), n+1
		}
		if sum/float64(n) < best {
			best = sum / float64(n)
			mean, most = best, far
			size = math.Sqrt(got.Area()/turned.Area()) - 1
			for _, side := range []float64{got.Box().Width()/turned.Box().Width() - 1, got.Box().Height()/turned.Box().Height() - 1} {
				if math.Abs(side) > math.Abs(size) {
					size = side
				}
			}
		}
	}
	if math.Abs(size) > 0.005 || mean > 0.3 {
		t.Errorf("size off by %.2f %%, boundary by %.3f mm on average and %.2f at most", 100*size, mean, most)
	}
	return size, mean, most
}

// Photos of a pencil outline on A4 give its true size. STREW_SCENES=40 runs 40 of
// 12 megapixels in place of a few small ones.
func TestScenes(t *testing.T) {
	n, w, h := 3, 1000, 1333
	if text := os.Getenv("STREW_SCENES"); text != "" {
		var err error
		if n, err = strconv.Atoi(text); err != nil || n < 1 {
			t.Fatalf("STREW_SCENES is %q: it must be a number of scenes", text)
		}
		w, h = 3000, 4000
	}
	worstSize, worstMean, worstMost := 0.0, 0.0, 0.0
	for i := range n {
		s := newScene(w, h, uint64(i), i%4 == 3)
		if i%3 == 2 {
			s = newScene(h, w, uint64(i), i%4 == 3)
		}
		data := encodeJPEG(t, s.img)
		if dir := os.Getenv("STREW_KEEP"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, "scene-"+strconv.Itoa(i)+".jpg"), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			size, mean, most := checkScene(t, s, data)
			worstSize, worstMean, worstMost = math.Max(worstSize, math.Abs(size)), math.Max(worstMean, mean), math.Max(worstMost, most)
		})
	}
	t.Logf("%d scenes of %d × %d: size within %.2f %%, boundary off by %.3f mm on average and %.2f at most, in the worst", n, w, h, 100*worstSize, worstMean, worstMost)
}

// BenchmarkPhoto traces one photo of 12 megapixels.
func BenchmarkPhoto(b *testing.B) {
	data := encodeJPEG(b, newScene(3000, 4000, 1, false).img)
	opt := DefaultOptions()
	opt.Paper = "a4"
	b.ReportAllocs()
	for b.Loop() {
		res, err := Read(context.Background(), data, opt)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := res.Overlay(); err != nil {
			b.Fatal(err)
		}
	}
}
