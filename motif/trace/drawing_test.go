package trace

import (
	"context"
	"errors"
	"image"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"strew/motif/geom"
	"strew/motif/say"
)

const paperSide = 400

func asIs(r geom.Ring) geom.Ring { return r }

// pen draws open lines 6 pixels wide, dark grey on a page of light grey.
func pen(lines ...[]geom.Vec) *image.Gray {
	return drawn(stroked(paperSide, paperSide, asIs, 6, lines...), 60, 230)
}

// arc returns the points of a circle from one part of a turn to another.
func arc(c geom.Vec, r, from, to float64) []geom.Vec {
	const n = 240
	var out []geom.Vec
	for i := range n + 1 {
		a := 2 * math.Pi * (from + (to-from)*float64(i)/n)
		out = append(out, geom.Vec{X: r * math.Cos(a), Y: r * math.Sin(a)}.Add(c))
	}
	return out
}

// overlaid returns a picture that is at each pixel the darker of two.
func overlaid(a, b *image.Gray) *image.Gray {
	m := image.NewGray(a.Rect)
	for i := range m.Pix {
		m.Pix[i] = min(a.Pix[i], b.Pix[i])
	}
	return m
}

// A circle of radius 120 round the middle, drawn in many ways.
func TestDrawings(t *testing.T) {
	c := geom.Vec{X: 200.2, Y: 199.7}
	circle := geom.Region{Outer: round(c, 120, 120, 0)}
	full := arc(c, 120, 0, 1)
	filled := func(ink, page uint8) *image.Gray {
		return drawn(coverage(paperSide, paperSide, 1, circle), ink, page)
	}
	uneven := func(m *image.Gray) *image.Gray {
		out := image.NewGray(m.Rect)
		for y := range paperSide {
			for x := range paperSide {
				k := 1 - 0.45*float64(x)/paperSide - 0.2*math.Pow(float64(y)/paperSide-0.5, 2)
				out.Pix[y*paperSide+x] = uint8(float64(m.Pix[y*paperSide+x]) * k)
			}
		}
		return out
	}
	outer := func(o *Options) { o.Edge = Outer }
	for _, d := range []struct {
		name  string
		img   *image.Gray
		set   func(*Options)
		want  []geom.Region
		limit float64 // of the mean distance of the edges, pixels
	}{
		{"felt pen", pen(full), nil, []geom.Region{circle}, 0.1},
		{"felt pen, outer edge", pen(full), outer, []geom.Region{{Outer: round(c, 123, 123, 0)}}, 0.35},
		{"faint pencil", drawn(stroked(paperSide, paperSide, asIs, 3, full), 190, 230), nil, []geom.Region{circle}, 0.15},
		{"uneven light", uneven(pen(full)), nil, []geom.Region{circle}, 0.15},
		{"uneven light, filled", uneven(filled(50, 240)), nil, []geom.Region{circle}, 0.2},
		{"filled", filled(40, 250), nil, []geom.Region{circle}, 0.08},
		{"light on dark", filled(240, 20), nil, []geom.Region{circle}, 0.08},
		{"chalk line", drawn(stroked(paperSide, paperSide, asIs, 6, full), 230, 30), nil, []geom.Region{circle}, 0.1},
		{"small gap", pen(arc(c, 120, 0, 0.98)), nil, []geom.Region{circle}, 0.15},
		{"small gap, outer edge", pen(arc(c, 120, 0, 0.98)), outer, []geom.Region{{Outer: round(c, 123, 123, 0)}}, 0.5},
		{"three small gaps", pen(arc(c, 120, 0, 0.31), arc(c, 120, 0.33, 0.64), arc(c, 120, 0.66, 0.98)), nil, []geom.Region{circle}, 0.2},
		{"veins and a loose end", pen(full, []geom.Vec{{X: 200, Y: 80}, {X: 200, Y: 320}}, []geom.Vec{{X: 200, Y: 200}, {X: 280, Y: 130}}, []geom.Vec{{X: 200, Y: 318}, {X: 200, Y: 370}}),
			nil, []geom.Region{circle}, 0.15},
		{"a loose vein", pen(full, []geom.Vec{{X: 170, Y: 140}, {X: 230, Y: 270}}), nil, []geom.Region{circle}, 0.1},
		{"an inner figure", pen(full, arc(c, 40, 0, 1)), nil, []geom.Region{{Outer: circle.Outer, Holes: []geom.Ring{round(c, 40, 40, 0)}}}, 0.12},
		{"a small ring of the same pen inside", pen(full, arc(c, 15, 0, 1)), nil, []geom.Region{{Outer: circle.Outer, Holes: []geom.Ring{round(c, 15, 15, 0)}}}, 0.15},
		{"a filled figure inside", overlaid(pen(full), drawn(coverage(paperSide, paperSide, 1, geom.Region{Outer: round(c, 40, 40, 0)}), 60, 230)),
			nil, []geom.Region{{Outer: circle.Outer, Holes: []geom.Ring{round(c, 40, 40, 0)}}}, 0.12},
		{"three inside one another", pen(full, arc(c, 80, 0, 1), arc(c, 40, 0, 1)), nil,
			[]geom.Region{{Outer: circle.Outer, Holes: []geom.Ring{round(c, 80, 80, 0)}}, {Outer: round(c, 40, 40, 0)}}, 0.12},
		{"four figures in two rows", pen(arc(geom.Vec{X: 300, Y: 95}, 60, 0, 1), arc(geom.Vec{X: 100, Y: 105}, 60, 0, 1), arc(geom.Vec{X: 100, Y: 290}, 60, 0, 1), arc(geom.Vec{X: 290, Y: 300}, 60, 0, 1)), nil,
			[]geom.Region{{Outer: round(geom.Vec{X: 100, Y: 105}, 60, 60, 0)}, {Outer: round(geom.Vec{X: 300, Y: 95}, 60, 60, 0)},
				{Outer: round(geom.Vec{X: 100, Y: 290}, 60, 60, 0)}, {Outer: round(geom.Vec{X: 290, Y: 300}, 60, 60, 0)}}, 0.12},
		{"one picked of two", pen(arc(geom.Vec{X: 300, Y: 100}, 60, 0, 1), arc(geom.Vec{X: 100, Y: 105}, 60, 0, 1)), func(o *Options) { o.Pick = 2 },
			[]geom.Region{{Outer: round(geom.Vec{X: 300, Y: 100}, 60, 60, 0)}}, 0.12},
		{"a long leaf of kelp", drawn(coverage(paperSide, paperSide, 1, geom.Region{Outer: round(c, 150, 10, 0.4)}), 60, 230), nil,
			[]geom.Region{{Outer: round(c, 150, 10, 0.4)}}, 0.08},
		{"a broad ring is felt", drawn(coverage(paperSide, paperSide, 1, geom.Region{Outer: circle.Outer, Holes: []geom.Ring{round(c, 80, 80, 0).Reversed()}}), 60, 230), nil,
			[]geom.Region{{Outer: circle.Outer, Holes: []geom.Ring{round(c, 80, 80, 0)}}}, 0.08},
		{"a narrow ring by its kind", pen(full), func(o *Options) { o.Kind = Filled },
			[]geom.Region{{Outer: round(c, 123, 123, 0), Holes: []geom.Ring{round(c, 117, 117, 0)}}}, 0.2},
	} {
		t.Run(d.name, func(t *testing.T) {
			opt := DefaultOptions()
			if d.set != nil {
				d.set(&opt)
			}
			res, got := inPixels(t, encodePNG(t, d.img), opt)
			if len(got) != len(d.want) {
				t.Fatalf("%d figures, want %d", len(got), len(d.want))
			}
			for i, want := range d.want {
				if len(got[i].Holes) != len(want.Holes) {
					t.Fatalf("figure %d has %d holes, want %d", i+1, len(got[i].Holes), len(want.Holes))
				}
				if l := compare(got[i], want, paperSide); l.edge > d.limit {
					t.Errorf("figure %d: edge off by %.3f px, want at most %.2f", i+1, l.edge, d.limit)
				} else {
					t.Logf("figure %d: edge off by %.3f px; %d nodes in all; %s", i+1, l.edge, res.Nodes(), res.Notes)
				}
			}
		})
	}
}

// Pale yellow felt pen on white shows in blue light only.
func TestPaleYellow(t *testing.T) {
	c := geom.Vec{X: 200.2, Y: 199.7}
	cover := coverage(paperSide, paperSide, 1, geom.Region{Outer: round(c, 120, 120, 0)})
	m := image.NewRGBA(cover.Rect)
	for i, a := range cover.Pix {
		copy(m.Pix[4*i:], []uint8{255, 255, 255 - uint8(95*int(a)/255), 255})
	}
	for name, data := range map[string][]byte{"png": encodePNG(t, m), "jpeg": encodeJPEG(t, m)} {
		_, got := inPixels(t, data, DefaultOptions())
		if want := math.Pi * 120 * 120; len(got) != 1 || math.Abs(got[0].Area()/want-1) > 0.01 {
			t.Errorf("%s: %d figures, area %.0f, want %.0f", name, len(got), got[0].Area(), want)
		}
	}
}

// A stroke that hangs on the outline and goes round nothing is not lost
// without a note; a whole outline gives no note.
func TestLooseEnds(t *testing.T) {
	c := geom.Vec{X: 200.2, Y: 180}
	full := arc(c, 120, 0, 1)
	stem := []geom.Vec{{X: 200, Y: 300}, {X: 205, Y: 360}}
	vein := []geom.Vec{{X: 200, Y: 300}, {X: 195, Y: 150}}
	gap := arc(c, 120, 0.26, 1.24) // closed by the tracer
	for _, k := range []struct {
		name  string
		lines [][]geom.Vec
		says  []string
	}{
		{"none", [][]geom.Vec{full}, nil},
		{"two outlines", [][]geom.Vec{full, arc(c, 40, 0, 1)}, nil},
		{"a gap", [][]geom.Vec{gap}, nil},
		{"a star", [][]geom.Vec{append(star(c, 120, 50, 0, 5), geom.Vec{X: 120}.Add(c))}, nil},
		{"a stem", [][]geom.Vec{full, stem}, []string{"a line that leads off the outline near pixel 20"}},
		{"a vein", [][]geom.Vec{full, vein}, []string{"a line inside the outline near pixel"}},
		{"a stem and a vein on an outline with a gap", [][]geom.Vec{gap, {{X: 80, Y: 180}, {X: 30, Y: 170}}, {{X: 80, Y: 180}, {X: 200, Y: 180}}}, []string{"leads off", "inside"}},
	} {
		t.Run(k.name, func(t *testing.T) {
			res, _ := inPixels(t, encodePNG(t, pen(k.lines...)), DefaultOptions())
			if len(res.Notes) != len(k.says) {
				t.Fatalf("%q", res.Notes)
			}
			for i, want := range k.says {
				if !strings.Contains(res.Notes[i].String(), want) {
					t.Errorf("%q does not say %q", res.Notes[i], want)
				}
			}
		})
	}
}

// grained returns the picture with grain of the given standard deviation.
func grained(m *image.Gray, sigma float64) *image.Gray {
	rng := rand.New(rand.NewPCG(1, 2))
	out := image.NewGray(m.Rect)
	for i, v := range m.Pix {
		out.Pix[i] = uint8(math.Max(0, math.Min(255, float64(v)+sigma*rng.NormFloat64())))
	}
	return out
}

// specks returns a page with n dark specks of side pixels.
func specks(w, h, n, side int) *image.Gray {
	rng := rand.New(rand.NewPCG(3, 4))
	m := image.NewGray(image.Rect(0, 0, w, h))
	for i := range m.Pix {
		m.Pix[i] = 235
	}
	for range n {
		x, y := 2+rng.IntN(w-side-4), 2+rng.IntN(h-side-4)
		for j := range side {
			for i := range side {
				m.Pix[(y+j)*w+x+i] = 40
			}
		}
	}
	return m
}

// A page without a figure is refused with a reason.
func TestRefusedDrawings(t *testing.T) {
	c := geom.Vec{X: 200, Y: 200}
	blank := image.NewGray(image.Rect(0, 0, paperSide, paperSide))
	for i := range blank.Pix {
		blank.Pix[i] = 230
	}
	black := image.NewGray(blank.Rect)
	for _, d := range []struct {
		name string
		img  image.Image
		want string
	}{
		{"blank", blank, "blank"},
		{"blank with grain", grained(blank, 6), "blank"},
		{"black", black, "blank"},
		// A tenth of the circle is open: a chord of 74 px, less the pen's round ends.
		{"open line", pen(arc(c, 120, 0, 0.9)), "gap of about 68 pixels"},
		{"open line round a closed one", pen(arc(c, 120, 0, 0.9), arc(c, 40, 0, 1)), "gap of about"},
		{"straight line", pen([]geom.Vec{{X: 50, Y: 50}, {X: 350, Y: 300}}), "does not go round anything"},
		{"off the page", pen(arc(geom.Vec{X: 350, Y: 200}, 120, 0, 1)), "reaches the edge"},
		{"filled off the page", drawn(coverage(paperSide, paperSide, 1, geom.Region{Outer: round(geom.Vec{X: 350, Y: 200}, 120, 120, 0)}), 50, 230), "reaches the edge"},
		{"specks", specks(1500, 1500, 10_000, 3), "specks on the page, all under"},
		{"large specks", specks(1500, 1500, 10_000, 9), "looks like a pattern"},
	} {
		t.Run(d.name, func(t *testing.T) {
			opt := DefaultOptions()
			opt.DPI = 300
			res, err := Read(context.Background(), encodePNG(t, d.img), opt)
			if err == nil {
				t.Fatalf("%d figures, want an error with %q", len(res.Figures), d.want)
			}
			if !strings.Contains(err.Error(), d.want) {
				t.Errorf("%v: want an error with %q", err, d.want)
			}
		})
	}
}

// A figure among ten thousand specks is found, and the specks are noted.
func TestSpecksRoundAFigure(t *testing.T) {
	m := specks(1500, 1500, 10_000, 3)
	leaf := drawn(coverage(1500, 1500, 1, geom.Region{Outer: round(geom.Vec{X: 700, Y: 800}, 300, 200, 0.3)}), 40, 235)
	res, got := inPixels(t, encodePNG(t, overlaid(m, leaf)), DefaultOptions())
	if len(got) != 1 || len(res.Notes) != 1 || !strings.Contains(res.Notes[0].String(), "specks were left out") {
		t.Fatalf("%d figures, notes %q", len(got), res.Notes)
	}
}

func TestNotInSize(t *testing.T) {
	data := encodePNG(t, pen(arc(geom.Vec{X: 200, Y: 200}, 120, 0, 1)))
	for _, c := range []struct {
		set  func(*Options)
		w, h float64
	}{
		{func(o *Options) { o.Width = 60 }, 60, 60},
		{func(o *Options) { o.Height = 35 }, 35, 35},
		{func(o *Options) { o.DPI = 300 }, 240 * 25.4 / 300, 240 * 25.4 / 300},
	} {
		opt := DefaultOptions()
		c.set(&opt)
		res, err := Read(context.Background(), data, opt)
		if err != nil {
			t.Fatal(err)
		}
		box := res.Figures[0].Box()
		if math.Abs(box.Width()-c.w) > 0.01*c.w || math.Abs(box.Height()-c.h) > 0.01*c.h || box.Min.Len() > 1e-9 {
			t.Errorf("%.3f × %.3f at %v, want %g × %g", box.Width(), box.Height(), box.Min, c.w, c.h)
		}
	}
	for text, set := range map[string]func(*Options){
		"does not say how large":    func(*Options) {},
		"more than once":            func(o *Options) { o.Width, o.DPI = 60, 300 },
		"is not a known paper size": func(o *Options) { o.Paper = "a9" },
		"must be from 0 to 1":       func(o *Options) { o.Smooth = math.NaN() },
		"no figure 2":               func(o *Options) { o.Width, o.Pick = 60, 2 },
		"edge is \"inner\"":         func(o *Options) { o.Edge = "inner" },
		"kind is \"photo\"":         func(o *Options) { o.Kind = "photo" },
		"no sheet of paper":         func(o *Options) { o.Paper = "a4" },
		"must be more than 0":       func(o *Options) { o.Width = -3 },
		"is the density right":      func(o *Options) { o.DPI = 1 },
		"numbered from 1":           func(o *Options) { o.Width, o.Pick = 60, -1 },
		"at most 2000":              func(o *Options) { o.Height = math.Inf(1) },
	} {
		opt := DefaultOptions()
		set(&opt)
		if _, err := Read(context.Background(), data, opt); err == nil || !strings.Contains(err.Error(), text) {
			t.Errorf("%v: want an error with %q", err, text)
		}
	}
}

// A photo of a whole sheet without a paper size is traced, with a note.
func TestSheetTakenForAFigure(t *testing.T) {
	opt := DefaultOptions()
	opt.Width = 60
	res, err := Read(context.Background(), encodePNG(t, newScene(600, 800, 1, true).img), opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(res.Notes) == 0 || !strings.Contains(strings.Join(say.Printer{}.Messages(res.Notes), "\n"), "looks like a sheet of paper") {
		t.Errorf("notes %q", res.Notes)
	}
}

// countdown is a context that ends when it has been asked so many times.
type countdown struct {
	context.Context
	left *int
}

func (c countdown) Err() error {
	if *c.left--; *c.left < 0 {
		return context.Canceled
	}
	return nil
}

// Whenever the context ends, its cause is returned.
func TestStops(t *testing.T) {
	cause := errors.New("enough")
	ctx, stop := context.WithCancelCause(context.Background())
	stop(cause)
	open, opt := encodePNG(t, pen(arc(geom.Vec{X: 200, Y: 200}, 120, 0, 0.98))), DefaultOptions()
	opt.Width = 60
	if _, err := Read(ctx, open, opt); !errors.Is(err, cause) {
		t.Errorf("%v, want the cause", err)
	}
	for polls := 0; ; polls++ {
		left := polls
		_, err := Read(countdown{context.Background(), &left}, open, opt)
		if err == nil {
			if polls < 5 {
				t.Errorf("the context is asked only %d times", polls)
			}
			return
		}
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("after %d polls: %v, want the context's error", polls, err)
		}
	}
}
