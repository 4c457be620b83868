package pdf

import (
	"bytes"
	"context"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/render/scene"
)

func sample() []*scene.Scene {
	ink := scene.Colour{R: 20, G: 20, B: 20, Alpha: 1}
	a, b := &scene.Scene{Width: 210, Height: 297}, &scene.Scene{Width: 11 * 25.4, Height: 8.5 * 25.4}
	ring := geom.Ring{{X: 10, Y: 20}, {X: 110, Y: 20}, {X: 110, Y: 40.5}}
	for _, s := range []*scene.Scene{a, b} {
		s.Add(scene.Fill{Rings: []geom.Ring{ring, {}}, Colour: scene.Colour{R: 217, G: 165, B: 33, Alpha: 0.3}, EvenOdd: true},
			scene.Clip{Rings: []geom.Ring{ring}, Inside: []scene.Op{
				scene.Stroke{Lines: scene.Open(ring...), Width: 0.25, Dash: []float64{2, 1}, Colour: ink},
				scene.Text{At: geom.Vec{X: 60, Y: 30}, Text: "12", Font: scene.Bold, Size: 8, Colour: ink}}},
			scene.Text{At: geom.Vec{X: 50, Y: 60}, Text: "hem · 中 🍂 (½)", Size: 9, Turn: 0.4, Anchor: scene.Middle, Colour: ink},
			scene.Text{At: geom.Vec{X: 50, Y: 90}, Text: "waist", Size: 9, Colour: ink})
	}
	return []*scene.Scene{a, b}
}

func written(t rapid.TB, title string, pages []*scene.Scene) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := Write(context.Background(), &file, title, pages); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

func config() *model.Configuration {
	api.DisableConfigDir()
	c := model.NewDefaultConfiguration()
	c.ValidationMode = model.ValidationStrict
	return c
}

// The file is sound by an independent reader, its pages have their true size
// in points (72 to the inch, ISO 32000-1, 8.3.2.3), and it asks not to be scaled.
func TestFileIsSound(t *testing.T) {
	file := written(t, "Ginkgo – walk", sample())
	if err := api.Validate(bytes.NewReader(file), config()); err != nil {
		t.Fatalf("pdfcpu: %v", err)
	}
	dims, err := api.PageDims(bytes.NewReader(file), config())
	if err != nil {
		t.Fatal(err)
	}
	want := [][2]float64{{210 / 25.4 * 72, 297 / 25.4 * 72}, {792, 612}}
	if len(dims) != len(want) {
		t.Fatalf("%d pages, want %d", len(dims), len(want))
	}
	for i, d := range dims {
		if math.Abs(d.Width-want[i][0]) > 0.01 || math.Abs(d.Height-want[i][1]) > 0.01 {
			t.Errorf("page %d is %v points, want %v", i+1, d, want[i])
		}
	}
	v, _, err := api.ViewerPreferences(bytes.NewReader(file), config())
	if err != nil || v == nil || v.PrintScaling == nil || *v.PrintScaling != model.PrintScalingNone {
		t.Errorf("viewer preferences %+v, %v: want no print scaling", v, err)
	}
}

// A length in the scene is that length on the page: 100 mm are 100/25.4·72
// points in the page's content, read back by pdfcpu.
func TestTrueToScale(t *testing.T) {
	s := &scene.Scene{Width: 210, Height: 297}
	s.Add(scene.Stroke{Lines: scene.Open(geom.Vec{X: 20, Y: 50}, geom.Vec{X: 120, Y: 50}), Width: scene.Points(2), Colour: scene.Colour{Alpha: 1}})
	ctx, err := api.ReadAndValidate(bytes.NewReader(written(t, "", []*scene.Scene{s})), config())
	if err != nil {
		t.Fatal(err)
	}
	page, _, _, err := ctx.PageDict(1, false)
	if err != nil {
		t.Fatal(err)
	}
	content, err := ctx.PageContent(page, 1)
	if err != nil {
		t.Fatal(err)
	}
	// 20 mm = 56.693 pt, 120 mm = 340.157 pt, 297-50 mm = 700.157 pt.
	if want := "56.69 700.16 m\n340.16 700.16 l\nS"; !strings.Contains(string(content), want) {
		t.Errorf("the page has no %q:\n%s", want, content)
	}
	if !strings.Contains(string(content), "2.00 w") {
		t.Errorf("the line is not 2 points wide:\n%s", content)
	}
}

func TestAnyTextIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &scene.Scene{Width: 100, Height: 100}
		for _, f := range []scene.Font{scene.Regular, scene.Bold} {
			s.Add(scene.Text{At: geom.Vec{X: 50, Y: 50}, Text: rapid.String().Draw(t, "text"), Font: f, Size: 8, Colour: scene.Colour{Alpha: 1}})
		}
		file := written(t, rapid.String().Draw(t, "title"), []*scene.Scene{s})
		if err := api.Validate(bytes.NewReader(file), config()); err != nil {
			t.Fatal(err)
		}
	})
}

func TestSameBytes(t *testing.T) {
	if !bytes.Equal(written(t, "x", sample()), written(t, "x", sample())) {
		t.Error("the same scenes gave two different files")
	}
}

func TestWhatCannotBeWritten(t *testing.T) {
	bad := sample()
	bad[1].Add(scene.Fill{Rings: []geom.Ring{{{X: math.NaN()}}}})
	for want, pages := range map[string][]*scene.Scene{"at least one page": nil, "page 2": bad, "page 1 of 0 × 0": {{}}} {
		if err := Write(context.Background(), io.Discard, "x", pages); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want one with %q", err, want)
		}
	}
}
