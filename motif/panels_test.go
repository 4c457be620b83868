package motif_test

import (
	"math"
	"strings"
	"testing"

	"strew/motif"
	"strew/motif/geom"
)

func page(content string) []byte {
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="500mm" viewBox="0 0 600 500">` + content + `</svg>`)
}

const noFill = ` fill="none" stroke="#000" stroke-width="1"`

func TestReadPanels(t *testing.T) {
	for _, c := range []struct {
		name, drawing string
		areas         []float64 // geometry identities, within the flattening
		lines         []string
	}{
		{"filled, a hole by even-odd, names by lines", `
			<path d="M10 10h200v300h-200zM60 60h50v40h-50z" fill-rule="evenodd" fill="#888"/>
			<rect x="300" y="20" width="100" height="300" fill="#888"/>
			<path id="side" d="M210 10v300"` + noFill + `/>
			<rect id="neck" x="60" y="60" width="50" height="40"` + noFill + `/>`,
			[]float64{200*300 - 50*40, 100 * 300}, []string{"side", "neck closed"}},
		{"a hole by winding", `<path d="M10 10h200v300h-200zM60 60v40h50v-40z" fill="#888"/>`, []float64{200*300 - 50*40}, nil},
		{"lines only", `
			<circle cx="250" cy="250" r="200"` + noFill + `/>
			<circle id="trunk" cx="250" cy="250" r="40"` + noFill + `/>`,
			[]float64{math.Pi * (200*200 - 40*40)}, []string{"trunk closed"}},
		{"scaled by its view box", `<g transform="scale(0.5)"><rect id="whole" width="100" height="60" fill="#888"/></g>`, []float64{50 * 30}, []string{"whole closed"}},
	} {
		p, _, err := motif.ReadPanels(page(c.drawing))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(p.Regions) != len(c.areas) {
			t.Errorf("%s: %d panels, want %d", c.name, len(p.Regions), len(c.areas))
			continue
		}
		for i, want := range c.areas {
			if got := p.Regions[i].Area(); math.Abs(got-want) > want*1e-3 {
				t.Errorf("%s: panel %d has %g mm², want %g", c.name, i+1, got, want)
			}
			if p.Regions[i].Outer.Area() < 0 || len(p.Regions[i].Holes) > 0 && p.Regions[i].Holes[0].Area() > 0 {
				t.Errorf("%s: rings run the wrong way", c.name)
			}
		}
		var lines []string
		for _, l := range p.Lines {
			name := l.Name
			if l.Closed {
				name += " closed"
			}
			lines = append(lines, name)
		}
		if strings.Join(lines, ", ") != strings.Join(c.lines, ", ") {
			t.Errorf("%s: lines %v, want %v", c.name, lines, c.lines)
		}
	}
}

func TestReadPanelsInItsFrame(t *testing.T) {
	p, _, err := motif.ReadPanels(page(`<rect x="30" y="70" width="100" height="60" fill="#888"/>`))
	if err != nil {
		t.Fatal(err)
	}
	if b := p.Regions[0].Box(); b.Min.Dist(geom.Vec{X: 30, Y: 70}) > 1e-9 || b.Max.Dist(geom.Vec{X: 130, Y: 130}) > 1e-9 {
		t.Errorf("box %v", b)
	}
}

func TestReadPanelsRefuses(t *testing.T) {
	for _, c := range []struct{ name, drawing, want string }{
		{"crosses itself", `<path d="M10 10L200 200V10L10 200z" fill="#888"/>`, "crosses or touches itself"},
		{"a spike", `<path d="M10 10h100h-50v80h-50z" fill="#888"/>`, "crosses or touches itself"},
		{"overlap", `<rect width="100" height="100" fill="#888"/><rect x="50" y="50" width="100" height="100" fill="#888"/>`, "overlap or touch"},
		{"touch", `<rect width="100" height="100" fill="#888"/><rect x="100" width="100" height="100" fill="#888"/>`, "overlap or touch"},
		{"one on another", `<rect width="100" height="100" fill="#888"/><rect x="20" y="20" width="10" height="10" fill="#fff"/>`, "panels may not overlap"},
		{"nothing closed", `<path id="a" d="M0 0L100 100"` + noFill + `/>`, "holds no panel"},
		{"nothing", ``, "holds no panel"},
		{"no area", `<path d="M0 0L100 100" fill="#888"/>`, "has no area"},
	} {
		_, _, err := motif.ReadPanels(page(c.drawing))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q in it", c.name, err, c.want)
		}
	}
	_, _, err := motif.ReadPanels([]byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 500"><rect width="100" height="100"/></svg>`))
	if err == nil || !strings.Contains(err.Error(), "states no size") {
		t.Errorf("no size: %v", err)
	}
}

// Whatever the file, panels are sound: outer rings of positive area, holes inside
// them that run the other way.
func FuzzReadPanels(f *testing.F) {
	f.Add(page(`<path d="M10 10h200v300h-200zM60 60v40h50v-40z" fill="#888"/>`))
	f.Add(page(`<circle cx="250" cy="250" r="200"` + noFill + `/><circle id="trunk" cx="250" cy="250" r="40"` + noFill + `/>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := motif.ReadPanels(data)
		if err != nil {
			return
		}
		if len(p.Regions) == 0 {
			t.Fatal("no panel and no error")
		}
		for _, g := range p.Regions {
			if g.Outer.Area() <= 0 || g.Area() <= 0 {
				t.Fatalf("a panel of %g mm²", g.Area())
			}
			for _, h := range g.Holes {
				if h.Area() >= 0 || !g.Outer.Contains(h[0]) {
					t.Fatal("a hole is none")
				}
			}
		}
	})
}
