package render

import (
	"math"
	"strconv"
	"testing"

	"strew/motif/geom"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// crosses returns the middles of the crosses on a page: two lines of twice
// the pen's arm that halve one another.
func crosses(s *scene.Scene, arm float64) []geom.Vec {
	var out []geom.Vec
	for _, op := range s.Ops {
		if o, ok := op.(scene.Stroke); ok {
			for i := 0; i+1 < len(o.Lines); i++ {
				a, b := o.Lines[i].Points, o.Lines[i+1].Points
				if len(a) == 2 && len(b) == 2 && math.Abs(a[0].Dist(a[1])-2*arm) < 1e-9 && a[0].Lerp(a[1], 0.5).Dist(b[0].Lerp(b[1], 0.5)) < 1e-9 {
					out = append(out, a[0].Lerp(a[1], 0.5))
				}
			}
		}
	}
	return out
}

// Every mark of every part lies on some page with its number, where its
// panel's own flat frame says, on every paper; nothing leaves a page, no words
// overlap, and no page but the first is without a cross or an edge.
func TestGuideShowsEveryMarkWhereItIs(t *testing.T) {
	for i, e := range examples() {
		papers := append(papers(), Paper{}, Paper{Name: Large})
		for _, paper := range []Paper{papers[i%len(papers)], papers[(i+3)%len(papers)]} {
			c := e.cloth
			c.Paper, c.SeamAllowance = paper, 12
			g := MarkingGuide(t.Context(), c, e.marks, []string{"Hot glue burns."})
			name := e.name + ", " + paper.Name
			seen := map[int]bool{}
			for _, tl := range g.Tiles {
				page := g.Pages[tl.Page]
				part := g.Parts[tl.Part]
				numbers := map[string]bool{}
				for _, x := range texts(page.Ops) {
					if tl.Frame.Contains(x.At) {
						numbers[x.Text] = true
					}
				}
				found := crosses(page, truePen().cross)
				for _, l := range part.here(e.marks) {
					want := l.at.Add(tl.ToPage)
					if !tl.Frame.Grow(-truePen().cross).Contains(want) {
						continue
					}
					near := math.Inf(1)
					for _, p := range found {
						near = math.Min(near, p.Dist(want))
					}
					if near > 1e-6 {
						t.Fatalf("%s, page %s: mark %d is %g mm from its place", name, tl.Name, l.mark.Number, near)
					}
					if !numbers[strconv.Itoa(l.mark.Number)] {
						t.Errorf("%s, page %s: mark %d has no number", name, tl.Name, l.mark.Number)
					}
					seen[l.mark.Number] = true
				}
			}
			for _, p := range g.Parts {
				for _, l := range p.here(e.marks) {
					if !seen[l.mark.Number] {
						t.Errorf("%s: mark %d is on no page", name, l.mark.Number)
					}
				}
			}
			for i, page := range g.Pages {
				inside(t, name, page)
				all := texts(page.Ops)
				for k, a := range all {
					for _, b := range all[k+1:] {
						if a.Turn == 0 && b.Turn == 0 && overlap(tight(a), tight(b), 0) {
							t.Errorf("%s, page %d: %q and %q overlap", name, i+1, a.Text, b.Text)
						}
					}
				}
			}
			if paper.Name == Large && len(g.Pages) != 1 {
				t.Errorf("%s: %d pages, want one", name, len(g.Pages))
			}
		}
	}
}

// A layout that repeats is printed once: panels that carry the same marks, or
// part of a panel; where one mark is out of place, all is printed.
func TestOneRepeatIsPrinted(t *testing.T) {
	leaf := ginkgoLeaf()
	ring := func(s skirt.Surface, n int, shares ...float64) []Mark {
		var out []Mark
		for k := range s.Panels {
			for i := range n {
				for j, share := range shares {
					u := float64(k) + (float64(i)+share)/float64(n)
					p := at(s, u, 150+40*float64(j))
					out = append(out, Mark{Number: len(out) + 1, Motif: leaf, MotifName: "leaf", Size: 1, Point: p, Turn: s.Upright(p.At)})
				}
			}
		}
		return out
	}
	four := circleCloth(2, 1360, 500, 4)
	one := straightCloth(1200, 500, 1)
	for _, x := range []struct {
		name   string
		cloth  Cloth
		marks  []Mark
		repeat int
		parts  int
		panels int
		times  int
		wide   float64
	}{
		{"four alike", four, ring(four.Surface, 1, 0.2, 0.7), 4, 1, 4, 1, 1},
		{"three repeats a panel", four, ring(four.Surface, 3, 0.2, 0.7), 12, 1, 4, 3, 1. / 3},
		{"three repeats of one panel", one, ring(one.Surface, 3, 0.2, 0.7), 3, 1, 1, 3, 1. / 3},
		{"no repeat", four, strewn(four.Surface, 60, 2, leaf), 1, 4, 1, 1, 1},
		{"a repeat that is not there", four, strewn(four.Surface, 60, 2, leaf), 12, 4, 1, 1, 1},
	} {
		x.cloth.Repeat = x.repeat
		parts := x.cloth.Parts(x.marks)
		if len(parts) != x.parts || len(parts[0].Panels) != x.panels || parts[0].Times != x.times || math.Abs(parts[0].to-parts[0].from-x.wide) > 1e-9 {
			t.Errorf("%s: %d parts, first %+v", x.name, len(parts), parts[0])
		}
		if x.panels > 1 && x.times == 1 {
			if per := len(x.marks) / x.panels; parts[0].Higher == nil || parts[0].Higher[1] != per {
				t.Errorf("%s: numbers are higher by %v, want %d", x.name, parts[0].Higher, per)
			}
		}
		// One mark turned a little, and nothing repeats any more.
		if x.parts == 1 {
			odd := append([]Mark(nil), x.marks...)
			odd[0].Turn += 0.1
			if parts := x.cloth.Parts(odd); len(parts) != x.cloth.Surface.Panels || parts[0].Times != 1 {
				t.Errorf("%s: %d parts although one mark differs", x.name, len(parts))
			}
		}
	}
}

// On pages without marks nothing is printed but what lays the cloth.
func TestPagesWithoutMarksAreLeftOut(t *testing.T) {
	c := straightCloth(3000, 900, 1)
	var marks []Mark
	for i := range 10 {
		p := at(c.Surface, 0.05+0.1*float64(i), 850)
		marks = append(marks, Mark{Number: i + 1, Motif: acorn(), MotifName: "acorn", Size: 1, Point: p, Row: 1})
	}
	band := MarkingGuide(t.Context(), c, marks, nil)
	// 3000 mm of hem on A4 lying: 275 mm of 285 mm are new on each page.
	if n := len(band.Tiles); n > 12 {
		t.Errorf("a band along the hem takes %d pages, want 12 at most", n)
	}
	// The same row in the middle of the cloth needs hem or waist to lie by.
	for i := range marks {
		marks[i].Point = at(c.Surface, 0.05+0.1*float64(i), 450)
	}
	if n := len(MarkingGuide(t.Context(), c, marks, nil).Tiles); n <= 12 {
		t.Errorf("%d pages, but no edge to lay the cloth by", n)
	}
}
