package trace

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/vector"

	"strew/motif/geom"
)

// round returns points of an ellipse round c, turned by turn.
func round(c geom.Vec, a, b, turn float64) geom.Ring {
	const n = 720
	r := make(geom.Ring, n)
	for i := range r {
		s, k := math.Sincos(2 * math.Pi * float64(i) / n)
		r[i] = geom.Vec{X: a * k, Y: b * s}.Rotate(turn).Add(c)
	}
	return r
}

func star(c geom.Vec, outer, inner, turn float64, tips int) geom.Ring {
	var r geom.Ring
	for i := range 2 * tips {
		l := outer
		if i%2 == 1 {
			l = inner
		}
		r = append(r, geom.Vec{X: l}.Rotate(turn+math.Pi*float64(i)/float64(tips)).Add(c))
	}
	return r
}

// crescent lies between two circles of radius a and b, the second one's centre
// shifted by d to the right; they cross.
func crescent(c geom.Vec, a, b, d float64) geom.Ring {
	x := (a*a - b*b + d*d) / (2 * d)
	y := math.Sqrt(a*a - x*x)
	tip, back := math.Atan2(y, x), math.Atan2(y, x-d)
	const n = 400
	var r geom.Ring
	for i := range n { // round the outer circle, the long way
		s, k := math.Sincos(tip + (2*math.Pi-2*tip)*float64(i)/n)
		r = append(r, geom.Vec{X: a * k, Y: a * s}.Add(c))
	}
	for i := range n {
		s, k := math.Sincos(-back - (2*math.Pi-2*back)*float64(i)/n)
		r = append(r, geom.Vec{X: d + b*k, Y: b * s}.Add(c))
	}
	return r
}

// exactShapes are shapes round c on 256 × 256 whose edge is known; those that
// are not round all over are turned.
func exactShapes(c geom.Vec, turn float64) map[string]geom.Region {
	return map[string]geom.Region{
		"disc 20":  {Outer: round(c, 20, 20, 0)},
		"disc 100": {Outer: round(c, 100, 100, 0)},
		"star":     {Outer: star(c, 110, 44, 0.2+turn, 5)},
		"ring":     {Outer: round(c, 100, 100, 0), Holes: []geom.Ring{round(c, 60, 60, 0).Reversed()}},
		"crescent": {Outer: crescent(c, 95, 80, 45)},
		"ellipse":  {Outer: round(c, 105, 45, 0.5+turn)},
	}
}

var shapeNames = []string{"disc 20", "disc 100", "star", "ring", "crescent", "ellipse"}

// coverage returns how much of each pixel regions cover, 0 to 255, by exact
// areas (golang.org/x/image/vector).
func coverage(w, h int, scale float64, regions ...geom.Region) *image.Alpha {
	m := image.NewAlpha(image.Rect(0, 0, w, h))
	z := vector.NewRasterizer(w, h)
	for _, g := range regions {
		for k, r := range g.Rings() {
			if (r.Area() > 0) != (k == 0) {
				r = r.Reversed()
			}
			for i, p := range r {
				if i == 0 {
					z.MoveTo(float32(p.X*scale), float32(p.Y*scale))
				} else {
					z.LineTo(float32(p.X*scale), float32(p.Y*scale))
				}
			}
			z.ClosePath()
		}
	}
	z.Draw(m, m.Rect, image.Opaque, image.Point{})
	return m
}

// drawn returns ink on paper by coverage.
func drawn(cover *image.Alpha, ink, page uint8) *image.Gray {
	m := image.NewGray(cover.Rect)
	for i, a := range cover.Pix {
		m.Pix[i] = uint8(math.Round(float64(page) + (float64(ink)-float64(page))*float64(a)/255))
	}
	return m
}

// twoShades returns a picture of black where it is darker than half, else white.
func twoShades(m *image.Gray) *image.Gray {
	b := image.NewGray(m.Rect)
	for i, v := range m.Pix {
		if v >= 128 {
			b.Pix[i] = 255
		}
	}
	return b
}

func encodePNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// likeness compares a traced region with the true one: the mean distance of edges,
// both ways, intersection over union, and the difference of areas.
type likeness struct{ edge, common, area float64 }

func compare(got, want geom.Region, size int) likeness {
	mean := func(a, b geom.Region) float64 {
		sum, n := 0.0, 0
		for _, r := range a.Rings() {
			dense, _ := evenly(r, math.Max(1, r.Length()/400))
			for _, p := range dense {
				sum += b.EdgeDist(p)
				n++
			}
		}
		return sum / float64(n)
	}
	const fine = 4
	a, b := coverage(size*fine, size*fine, fine, got), coverage(size*fine, size*fine, fine, want)
	both, any := 0, 0
	for i := range a.Pix {
		both += int(min(a.Pix[i], b.Pix[i]))
		any += int(max(a.Pix[i], b.Pix[i]))
	}
	return likeness{
		edge:   math.Max(mean(got, want), mean(want, got)),
		common: float64(both) / float64(any),
		area:   math.Abs(got.Area()-want.Area()) / want.Area(),
	}
}

// inPixels traces a picture at one millimetre a pixel and returns the outlines
// where they are on the picture.
func inPixels(t testing.TB, data []byte, opt Options) (Result, []geom.Region) {
	t.Helper()
	opt.DPI = inchMM
	res, err := Read(context.Background(), data, opt)
	if err != nil {
		t.Fatal(err)
	}
	var out []geom.Region
	for i := range res.Figures {
		if opt.Pick > 0 {
			i = opt.Pick - 1
		}
		out = append(out, res.onPic[i])
	}
	return res, out
}

func TestExactShapes(t *testing.T) {
	shapes := exactShapes(geom.Vec{X: 128.3, Y: 127.6}, 0)
	potrace := havePotrace(t)
	for _, name := range shapeNames {
		want := shapes[name]
		grey := drawn(coverage(256, 256, 1, want), 0, 255)
		for _, kind := range []struct {
			name  string
			img   *image.Gray
			limit float64
		}{{"grey", grey, 0.08}, {"1-bit", twoShades(grey), 0.2}} {
			t.Run(name+" "+kind.name, func(t *testing.T) {
				res, got := inPixels(t, encodePNG(t, kind.img), DefaultOptions())
				if len(got) != 1 || len(got[0].Holes) != len(want.Holes) {
					t.Fatalf("%d figures, %d holes", len(got), len(got[0].Holes))
				}
				l := compare(got[0], want, 256)
				text := fmt.Sprintf("%-9s %-5s edge %.3f px, in common %.4f, area off %.2f %%, %2d nodes",
					name, kind.name, l.edge, l.common, 100*l.area, res.Nodes())
				if l.edge > kind.limit || l.common < 0.99 || l.area > 0.003 {
					t.Errorf("%s: too far off", text)
				}
				if kind.name == "1-bit" {
					n := 0
					for _, v := range kind.img.Pix {
						n += int(255-v) / 255
					}
					text += fmt.Sprintf(" (the bitmap itself %.2f %%)", 100*math.Abs(float64(n)/want.Area()-1))
				}
				if kind.name == "1-bit" && potrace != "" {
					p := compare(potraced(t, potrace, kind.img), want, 256)
					text += fmt.Sprintf("; potrace edge %.3f, in common %.4f, area off %.2f %%", p.edge, p.common, 100*p.area)
					if l.edge > p.edge {
						t.Errorf("%s: potrace is nearer", text)
					}
				}
				t.Log(text)
			})
		}
	}
}

// Pictures of two shades are traced as closely wherever the shape lies on the
// pixels. Sampling itself loses area: the pixels of the smallest disc are wrong by
// more than 0.3 % at one place in five, and so is the circle fitted to them by
// least squares. So one place in ten may be wrong by more. STREW_PLACES=50 tries
// more places.
func TestTwoShadesAnywhere(t *testing.T) {
	places := 4
	if text := os.Getenv("STREW_PLACES"); text != "" {
		var err error
		if places, err = strconv.Atoi(text); err != nil || places < 1 {
			t.Fatalf("STREW_PLACES is %q: it must be a number of places", text)
		}
	}
	potrace := havePotrace(t)
	for _, name := range shapeNames {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(7, 7))
			n := places
			if name == "disc 20" {
				n *= 5
			}
			var worst likeness
			worst.common = 1
			sum, off, nearer := likeness{}, 0, 0
			for i := range n {
				c := geom.Vec{X: 127.5 + rng.Float64(), Y: 127.5 + rng.Float64()}
				want := exactShapes(c, 2*math.Pi*rng.Float64())[name]
				img := twoShades(drawn(coverage(256, 256, 1, want), 0, 255))
				_, got := inPixels(t, encodePNG(t, img), DefaultOptions())
				if len(got) != 1 || len(got[0].Holes) != len(want.Holes) {
					t.Fatalf("at %v: %d figures", c, len(got))
				}
				l := compare(got[0], want, 256)
				worst = likeness{math.Max(worst.edge, l.edge), math.Min(worst.common, l.common), math.Max(worst.area, l.area)}
				sum.edge, sum.area = sum.edge+l.edge, sum.area+l.area
				if l.area > 0.003 {
					off++
				}
				if potrace != "" && i < 2 {
					if p := compare(potraced(t, potrace, img), want, 256); p.edge < l.edge {
						nearer++
					}
				}
			}
			t.Logf("%d places: edge %.3f px on average, %.3f at worst; in common %.4f at worst; area off %.2f %% on average, %.2f at worst, over 0.3 %% at %d",
				n, sum.edge/float64(n), worst.edge, worst.common, 100*sum.area/float64(n), 100*worst.area, off)
			if worst.edge > 0.1 || worst.common < 0.99 || off*10 > n || worst.area > 0.0075 {
				t.Error("too far off")
			}
			if nearer > 0 {
				t.Errorf("potrace is nearer at %d places", nearer)
			}
		})
	}
}

// havePotrace returns the path of Debian's potrace, a tracer of bitmaps to
// compare with (P. Selinger, "Potrace: a polygon-based tracing algorithm", 2003).
func havePotrace(t *testing.T) string {
	path, err := exec.LookPath("potrace")
	if err != nil && os.Getenv("STREW_REQUIRE") == "all" {
		t.Fatal("potrace is not installed, and STREW_REQUIRE=all asks for it: apt-get install potrace")
	}
	return path
}

func potraced(t *testing.T, potrace string, m *image.Gray) geom.Region {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.pgm"), filepath.Join(dir, "out.svg")
	pgm := append([]byte(fmt.Sprintf("P5 %d %d 255\n", m.Rect.Dx(), m.Rect.Dy())), m.Pix...)
	if err := os.WriteFile(in, pgm, 0o644); err != nil {
		t.Fatal(err)
	}
	if text, err := exec.Command(potrace, "-b", "svg", "--flat", "-r", "72", "-o", out, in).CombinedOutput(); err != nil {
		t.Fatalf("potrace: %v\n%s", err, text)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	_, d, _ := strings.Cut(string(data), ` d="`)
	d, _, _ = strings.Cut(d, `"`)
	// Tenths of a pixel, y up.
	toPicture := geom.Scaling(0.1, -0.1).Then(geom.Translation(geom.Vec{Y: float64(m.Rect.Dy())}))
	var g geom.Region
	for i, c := range parsePath(t, d) {
		r := flatten(c, 0.01).Transform(toPicture)
		if i == 0 {
			g.Outer = r
		} else {
			g.Holes = append(g.Holes, r)
		}
	}
	return g
}

// parsePath reads the path commands M, m, l, L, c, C and z.
func parsePath(t *testing.T, d string) [][]bezier {
	t.Helper()
	for _, c := range "MmLlCcZz" {
		d = strings.ReplaceAll(d, string(c), " "+string(c)+" ")
	}
	words := strings.Fields(d)
	var rings [][]bezier
	var at, start geom.Vec
	command := ""
	vec := func(k int) geom.Vec {
		x, err := strconv.ParseFloat(words[k], 64)
		y, err2 := strconv.ParseFloat(words[k+1], 64)
		if err != nil || err2 != nil {
			t.Fatalf("no numbers: %q %q", words[k], words[k+1])
		}
		v := geom.Vec{X: x, Y: y}
		if strings.ToLower(command) == command {
			v = v.Add(at)
		}
		return v
	}
	for k := 0; k < len(words); {
		if c := words[k]; strings.Contains("MmLlCcZz", c) {
			command = c
			k++
			if c == "z" || c == "Z" {
				if last := len(rings) - 1; at != start {
					rings[last] = append(rings[last], straight(at, start))
				}
				at = start
			}
			continue
		}
		last := len(rings) - 1
		switch command {
		case "M", "m":
			at = vec(k)
			start = at
			rings = append(rings, nil)
			k += 2
			command = map[string]string{"M": "L", "m": "l"}[command]
		case "L", "l":
			p := vec(k)
			rings[last] = append(rings[last], straight(at, p))
			at = p
			k += 2
		case "C", "c":
			b := bezier{at, vec(k), vec(k + 2), vec(k + 4)}
			rings[last] = append(rings[last], b)
			at = b[3]
			k += 6
		default:
			t.Fatalf("a command %q", command)
		}
	}
	return rings
}
