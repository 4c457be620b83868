package render

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// The list below a lay holds every number, in no more columns than fit, and
// takes the height it says; a list that is too long keeps the counts.
func TestLayListHoldsEveryNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := make([]group, rapid.IntRange(1, 6).Draw(t, "groups"))
		for i := range groups {
			groups[i] = group{name: fmt.Sprintf("m%d", i), size: 1}
		}
		pieces := rapid.IntRange(len(groups), 400).Draw(t, "pieces")
		for i := range pieces {
			g := i % len(groups)
			if i >= len(groups) {
				g = rapid.IntRange(0, len(groups)-1).Draw(t, "group")
			}
			groups[g].numbers = append(groups[g].numbers, i+1)
		}
		const width, most = 190.0, 90.0
		l := listOf(say.Printer{}, groups, width, most)
		whole := listOf(say.Printer{}, groups, width, 1e9)
		sc := &scene.Scene{Width: 210, Height: 297}
		l.draw(sc, geom.Vec{X: 10, Y: 100})
		low, words := 0.0, ""
		for _, op := range sc.Ops {
			text := op.(scene.Text)
			box := text.Box()
			if box.Min.X < 10-0.1 || box.Max.X > 10+width {
				t.Fatalf("%q runs from %g to %g", text.Text, box.Min.X, box.Max.X)
			}
			low = max(low, text.At.Y)
			words += text.Text + " "
		}
		if low > 100+l.height || l.height > most && l.height == whole.height {
			t.Fatalf("the list ends at %g, and takes %g", low, l.height)
		}
		for _, g := range groups {
			if !strings.Contains(words, say.Printer{}.Many(len(g.numbers), "%d piece", "%d pieces")) {
				t.Fatalf("%d pieces of %s are not in %q", len(g.numbers), g.name, words)
			}
			if l.height == whole.height && !strings.Contains(words, say.Runs(g.numbers).String()) {
				t.Fatalf("%s are not in %q", say.Runs(g.numbers).String(), words)
			}
		}
	})
}

// Hatching stays in its box and leaves no gap wider than its step.
func TestHatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := geom.Vec{X: rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y")}
		w, h := rapid.Float64Range(1, 200).Draw(t, "w"), rapid.Float64Range(1, 200).Draw(t, "h")
		box := geom.Box{Min: at, Max: at.Add(geom.Vec{X: w, Y: h})}
		lines := hatch(box, 4)
		if want := int((w + h) / 4); len(lines) < want-1 || len(lines) > want {
			t.Fatalf("%d lines across %g × %g", len(lines), w, h)
		}
		for _, l := range lines {
			a, b := l.Points[0], l.Points[1]
			if !box.Grow(1e-9).Contains(a) || !box.Grow(1e-9).Contains(b) || a.X-b.X-(b.Y-a.Y) > 1e-9 || b.Y-a.Y-(a.X-b.X) > 1e-9 {
				t.Fatalf("a line from %v to %v in %v", a, b, box)
			}
		}
	})
}

// What is left over is drawn in its place, mirrored as the sheet is, with its
// size, and is told in the head.
func TestLeftOverIsDrawn(t *testing.T) {
	l := Lay{Title: "Meadow", Sheet: "felt", Number: 1, Of: 1, Colour: "#808080", Width: 200, Height: 200, Printer: say.Printer{Unit: geom.Centimetre}, Paper: demoPaper(t),
		Cuts:     []Cut{{Name: "square", Size: 1, Region: geom.Region{Outer: geom.Ring{{}, {X: 60}, {X: 60, Y: 200}, {Y: 200}}}}},
		LeftOver: []geom.Box{{Min: geom.Vec{X: 60}, Max: geom.Vec{X: 200, Y: 200}}}}
	for _, mirrored := range []bool{false, true} {
		l.Mirrored = mirrored
		sc := CutSheet(t.Context(), l)
		want := geom.Box{Min: geom.Vec{X: 60}, Max: geom.Vec{X: 200, Y: 200}}
		if mirrored {
			want = geom.Box{Max: geom.Vec{X: 140, Y: 200}}
		}
		hatched, sized := 0, false
		for _, op := range sc.Ops {
			switch op := op.(type) {
			case scene.Stroke:
				for _, line := range op.Lines {
					if len(line.Points) == 2 && !line.Closed {
						hatched++
						if b := geom.BoxOf(line.Points...); !want.Grow(1e-6).Contains(b.Min) || !want.Grow(1e-6).Contains(b.Max) {
							t.Fatalf("mirrored %v: hatched at %v, want within %v", mirrored, b, want)
						}
					}
				}
			case scene.Text:
				sized = sized || op.Text == "14 cm × 20 cm" && want.Contains(op.At)
			}
		}
		if hatched < 50 || !sized {
			t.Errorf("mirrored %v: %d lines, size said %v", mirrored, hatched, sized)
		}
		if _, facts := l.words(); !strings.Contains(facts, "hatched: left over") {
			t.Errorf("the head says %q", facts)
		}
	}
}

func demoPaper(t *testing.T) Paper {
	t.Helper()
	p, ok := PaperNamed("A4")
	if !ok {
		t.Fatal("no A4")
	}
	return p
}

// On paper what is left over is hatched as far as the page reaches, also where its lines
// begin beyond the pieces.
func TestPagesHatchAllLeftOver(t *testing.T) {
	l := Lay{Title: "Meadow", Sheet: "felt", Number: 1, Of: 1, Colour: "#808080", Width: 150, Height: 150, Printer: say.Printer{Unit: geom.Centimetre}, Paper: demoPaper(t),
		Cuts:     []Cut{{Name: "square", Size: 1, Region: geom.Region{Outer: geom.Ring{{}, {X: 150}, {X: 150, Y: 100}, {Y: 100}}}}},
		LeftOver: []geom.Box{{Min: geom.Vec{Y: 101}, Max: geom.Vec{X: 150, Y: 150}}}}
	most := 0
	for _, page := range LayPages(t.Context(), "Meadow", []Lay{l}, nil) {
		lines := 0
		for _, op := range page.Ops {
			c, ok := op.(scene.Clip)
			if !ok {
				continue
			}
			for _, in := range c.Inside {
				if s, ok := in.(scene.Stroke); ok && s.Colour == faint() {
					lines += len(s.Lines)
				}
			}
		}
		most = max(most, lines)
	}
	if want := len(hatch(l.LeftOver[0], hatchStep)); most != want {
		t.Errorf("at most %d lines of hatching on a page, want all %d", most, want)
	}
}
