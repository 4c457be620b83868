package render

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/render/scene"
)

func cardPaper(t *rapid.T) Paper { return rapid.SampledFrom(papers()).Draw(t, "paper") }

// Cores cover the drawing once; windows share 10 mm; what a page shows lies
// where its window says, moved and not scaled.
func TestCoresCoverTheDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := geom.Vec{X: rapid.Float64Range(-900, 900).Draw(t, "left"), Y: rapid.Float64Range(-900, 900).Draw(t, "top")}
		box := geom.Box{Min: at, Max: at.Add(geom.Vec{X: rapid.Float64Range(20, 1500).Draw(t, "width"), Y: rapid.Float64Range(20, 1500).Draw(t, "height")})}
		p := geom.Vec{X: rapid.Float64Range(box.Min.X, box.Max.X).Draw(t, "x"), Y: rapid.Float64Range(box.Min.Y, box.Max.Y).Draw(t, "y")}
		need := []geom.Box{{Min: p, Max: p}}
		g := gridOf(box, cardPaper(t), 0, func(g grid) []bool { return g.hit(need) })
		if g.count() != 1 {
			t.Fatalf("one point is printed on %d pages", g.count())
		}
		in := 0
		for row := range g.rows {
			for col := range g.cols {
				core, win := g.core(col, row), g.window(col, row)
				if !win.Contains(core.Min) || !win.Contains(core.Max) {
					t.Fatalf("core %v leaves its window %v", core, win)
				}
				if core.Contains(p) {
					in++
					if !g.isPrinted(col, row) && core.Grow(-1e-6).Contains(p) {
						t.Fatalf("%v lies on %s, which is not printed", p, g.name(col, row))
					}
				}
				if col > 0 && math.Abs(g.window(col-1, row).Max.X-win.Min.X-10) > 1e-9 || row > 0 && math.Abs(g.window(col, row-1).Max.Y-win.Min.Y-10) > 1e-9 {
					t.Fatalf("neighbours of %s share no 10 mm", g.name(col, row))
				}
				b := g.blank(col, row)
				if b.frame.Min.X < 6-1e-9 || b.frame.Min.Y < 6-1e-9 || b.frame.Max.X > b.Width-6+1e-9 || b.frame.Max.Y > b.Height-6+1e-9 {
					t.Fatalf("%v reaches into the 6 mm that printers leave white", b.frame)
				}
				if math.Abs(b.frame.Width()-win.Width()) > 1e-9 || math.Abs(b.frame.Height()-win.Height()) > 1e-9 {
					t.Fatalf("a window of %v is shown on %v", win, b.frame)
				}
			}
		}
		if in == 0 {
			t.Fatalf("%v lies in no core", p)
		}
	})
}

// Both pages of a meeting show its two ringed crosses whole, at the same places of
// the drawing, and name one another.
func TestRegistrationMarksAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := geom.Box{Max: geom.Vec{X: rapid.Float64Range(100, 1800).Draw(t, "width"), Y: rapid.Float64Range(100, 1800).Draw(t, "height")}}
		g := gridOf(box, cardPaper(t), 3, func(g grid) []bool {
			all := make([]bool, g.cols*g.rows)
			for i := range all {
				all[i] = rapid.Bool().Draw(t, "printed")
			}
			return all
		})
		if g.printed == nil {
			return
		}
		var crosses []geom.Box
		for range rapid.IntRange(0, 40).Draw(t, "crosses") {
			c := geom.Vec{X: rapid.Float64Range(0, box.Max.X).Draw(t, "x"), Y: rapid.Float64Range(0, box.Max.Y).Draw(t, "y")}
			crosses = append(crosses, geom.Box{Min: c, Max: c}.Grow(3))
		}
		meetings := g.registrations(crosses)
		numbers := map[int]bool{}
		meets := 0
		for _, j := range meetings {
			if numbers[j.number] {
				t.Fatalf("meeting %d comes twice", j.number)
			}
			numbers[j.number] = true
			other := [2]int{j.col, j.row + 1}
			if j.beside {
				other = [2]int{j.col + 1, j.row}
			}
			if !g.isPrinted(j.col, j.row) || !g.isPrinted(other[0], other[1]) {
				t.Fatalf("meeting %d has a side that is not printed", j.number)
			}
			a, b := g.window(j.col, j.row), g.window(other[0], other[1])
			for _, p := range j.at {
				ring := geom.Box{Min: p, Max: p}.Grow(registrationArm)
				for _, win := range []geom.Box{a, b} {
					if !win.Contains(ring.Min) || !win.Contains(ring.Max) {
						t.Fatalf("the cross of meeting %d at %v is cut by window %v", j.number, p, win)
					}
				}
			}
			if j.at[0].Dist(j.at[1]) < 40 {
				t.Fatalf("the crosses of meeting %d are %g mm apart: too near to keep pages straight", j.number, j.at[0].Dist(j.at[1]))
			}
		}
		for row := range g.rows {
			for col := range g.cols {
				if g.isPrinted(col, row) && g.isPrinted(col+1, row) {
					meets++
				}
				if g.isPrinted(col, row) && g.isPrinted(col, row+1) {
					meets++
				}
			}
		}
		if meets != len(meetings) {
			t.Fatalf("%d meetings for %d places where pages meet", len(meetings), meets)
		}
	})
}

func TestSmallDrawingIsOnePage(t *testing.T) {
	s := &scene.Scene{Width: 198, Height: 270}
	s.Add(scene.Fill{Rings: []geom.Ring{scene.Disc(geom.Vec{X: 99, Y: 135}, 50)}, Colour: ink()})
	pages, _ := tilesFrom(s, pageWords{name: "leaf"}, Paper{}, nil, 0)
	if len(pages) != 1 {
		t.Errorf("198 × 270 mm takes %d A4 pages", len(pages))
	}
	for _, x := range texts(pages[0].Ops) {
		if x.Text == "A1" {
			t.Error("a single page is called A1")
		}
	}
}

func TestLettersCountOn(t *testing.T) {
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := letters(n); got != want {
			t.Errorf("row %d is called %s, want %s", n, got, want)
		}
	}
}
