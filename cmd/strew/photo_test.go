package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"strew/motif/geom"
	"strew/render"
)

// blade is a leaf of kelp in millimetres on a sheet of A4: round, with a tip.
func blade() geom.Ring {
	var r geom.Ring
	const n = 240
	for i := range n {
		a := 2 * math.Pi * float64(i) / n
		l := 27 + 4*math.Cos(2*a+0.5) + 2.5*math.Sin(3*a) + 9*math.Exp(-math.Abs(a-2)/0.25)
		r = append(r, geom.Vec{X: 95 + l*math.Cos(a), Y: 140 + l*math.Sin(a)})
	}
	return r
}

// photo is what a camera sees, slanted by 18° and spun a little, of a pencil
// line on a sheet of A4 on a dark table, with uneven light and grain.
func photo(t *testing.T, line geom.Ring) []byte {
	t.Helper()
	const (
		w, h   = 1500, 2000
		pencil = 0.6 // mm
		focal  = 1.1 * h
		away   = 430 // mm from the sheet's middle
	)
	spin, tilt := 0.06, 18*math.Pi/180
	onSheet := func(x, y float64) geom.Vec { // where the ray through a pixel meets the sheet
		v := geom.Vec{X: x - w/2, Y: y - h/2}.Rotate(spin)
		dy, dz := v.Y*math.Cos(tilt)+focal*math.Sin(tilt), focal*math.Cos(tilt)-v.Y*math.Sin(tilt)
		eye := geom.Vec{X: 105, Y: 148.5 - away*math.Sin(tilt)}
		return eye.Add(geom.Vec{X: v.X, Y: dy}.Mul(away * math.Cos(tilt) / dz))
	}
	box := line.Box().Grow(2)
	grain := rand.New(rand.NewPCG(5, 1))
	m := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			p := onSheet(float64(x)+0.5, float64(y)+0.5)
			pixel := onSheet(float64(x)+1.5, float64(y)+0.5).Dist(p)
			soft := func(mm float64) float64 { return math.Max(0, math.Min(1, 0.5+mm/(2*pixel))) } // out of focus a little
			page := soft(math.Min(math.Min(p.X, 210-p.X), math.Min(p.Y, 297-p.Y)))
			v := 60 + 165*page
			if box.Contains(p) {
				v *= 1 - 0.6*soft(pencil/2-line.EdgeDist(p))
			}
			v = v*(1+0.15*float64(x)/w-0.1*float64(y)/h) + 3*grain.NormFloat64()
			m.Pix[y*m.Stride+x] = uint8(math.Max(0, math.Min(255, math.Round(v))))
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A pencil outline photographed at a slant comes out of the plan, and lies on
// the felt, at its true size.
func TestPhotoToLay(t *testing.T) {
	t.Chdir(t.TempDir())
	want := blade()
	if err := os.WriteFile("leaf.jpg", photo(t, want), 0o644); err != nil {
		t.Fatal(err)
	}
	write(t, "project.toml", `
[skirt]
cut = "circle"
waist = 68
length = 60
[[motif]]
name = "leaf"
outline = "leaf.jpg"
paper = "a4"
colour = "#7b8f3a"
direction = "one-way"
[scatter]
cutouts = 1
[cutting]
spare = 0
trace_on = "front"
[[sheet]]
name = "felt"
width = "210 mm"
height = "297 mm"
margin = "6 mm"
nap = "one-way"
`)
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"plan", "project.toml", "-o", "out", "--effort", "0"}, nil, &out, &errs); code != exitDone {
		t.Fatal(errs.String())
	}
	data, err := os.ReadFile("out/plan.json")
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Motifs []struct {
			Width  float64 `json:"width_mm"`
			Height float64 `json:"height_mm"`
			Area   float64 `json:"area_mm2"`
			Pieces []struct {
				Outer []([2]float64) `json:"outer_mm"`
			}
		}
		Sheets []struct{ Pieces []struct{ Piece int } }
	}
	if err := json.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Motifs) != 1 || len(doc.Motifs[0].Pieces) != 1 || len(doc.Sheets) != 1 || len(doc.Sheets[0].Pieces) != 1 {
		t.Fatalf("%+v", doc)
	}
	var ring geom.Ring
	for _, p := range doc.Motifs[0].Pieces[0].Outer {
		ring = append(ring, geom.Vec{X: p[0], Y: p[1]})
	}
	laidWide, laidHigh := laid(t, "out/lay-1.png", 210)
	box := want.Box()
	// A lay drawing fits its page, so its pixels show a little more felt than
	// SheetDPI says.
	const pixel = 25.4 / render.SheetDPI * 1.15
	for _, c := range []struct {
		what      string
		got, want float64
		grain     float64 // what the measuring itself may miss, mm
	}{
		{"width", doc.Motifs[0].Width, box.Width(), 0},
		{"height", doc.Motifs[0].Height, box.Height(), 0},
		{"area", doc.Motifs[0].Area, want.Area(), 0},
		{"width of the ring", ring.Box().Width(), box.Width(), 0},
		{"area of the ring", ring.Area(), want.Area(), 0},
		{"width on the lay drawing", laidWide, box.Width(), pixel},
		{"height on the lay drawing", laidHigh, box.Height(), pixel},
	} {
		off := c.got/c.want - 1
		t.Logf("%s: %.2f, drawn %.2f (%+.2f %%)", c.what, c.got, c.want, 100*off)
		if math.Abs(c.got-c.want) > 0.005*c.want+c.grain {
			t.Errorf("the %s is off by %.2f %%", c.what, 100*off)
		}
	}
}

// laid measures the one piece on a lay drawing in mm, to the middle of its
// line, against the frame of the sheet, sheetWide mm wide.
func laid(t *testing.T, name string, sheetWide float64) (width, height float64) {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	box := func(in image.Rectangle, counts func(r, g, b uint32) bool) image.Rectangle {
		var out image.Rectangle
		for y := in.Min.Y; y < in.Max.Y; y++ {
			for x := in.Min.X; x < in.Max.X; x++ {
				if r, g, b, _ := m.At(x, y).RGBA(); counts(r>>8, g>>8, b>>8) {
					out = out.Union(image.Rect(x, y, x+1, y+1))
				}
			}
		}
		return out
	}
	// Half way from the black line to the sheet outside it, and to the felt inside.
	dark := func(r, g, b uint32) bool { return g < 135 }
	green := func(r, g, b uint32) bool { return g > 85 && g > b+20 }
	whole := m.Bounds()
	frame := box(image.Rect(0, whole.Max.Y/2, whole.Max.X, whole.Max.Y/2+1), dark)
	// The swatch of the felt's colour stands right of the sheet.
	fill := box(image.Rect(frame.Min.X, 0, frame.Max.X, whole.Max.Y), green)
	line := box(fill.Inset(-5), dark)
	if frame.Empty() || fill.Empty() || line.Empty() {
		t.Fatalf("%s shows no piece on a sheet: frame %v, piece %v, line %v", name, frame, fill, line)
	}
	pen := float64(line.Dx()-fill.Dx()) / 2
	mm := sheetWide / (float64(frame.Dx()) - pen) // from line's middle to line's middle
	return mm * float64(fill.Dx()+line.Dx()) / 2, mm * float64(fill.Dy()+line.Dy()) / 2
}
