package render

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
)

// Whatever a maker calls things, and however long, no words leave the paper or
// cover one another: letters the fonts lack, slashes, 300 letters, three lines.
func TestAnyNamesFitThePaper(t *testing.T) {
	names := []string{"", "leaf", "a/b\\c", "中🍂 \u202e\x07", "one line\nand two\nand three", strings.Repeat("Blattwerk ", 30), strings.Repeat("W", 300)}
	drawn := 0
	name := func() string { // the next one, by turns
		drawn++
		return names[drawn%len(names)]
	}
	units := []geom.Unit{geom.Millimetre, geom.Centimetre, geom.Inch}
	for k, paper := range append(papers(), Paper{}, Paper{Name: Large}) {
		drawn += k / 2
		unit := units[k%len(units)]
		c := straightCloth(900, 400, 2)
		c.Title, c.Paper, c.Unit, c.SeamAllowance = name(), paper, unit, 12
		marks := inRows(c.Surface, 120, 110, 0, uint64(k), ginkgoLeaf(), acorn())
		for i := range marks {
			marks[i].MotifName = name()
		}
		caution := name()
		pages := MarkingGuide(t.Context(), c, marks, []string{caution}).Pages
		parts := c.Parts(marks)
		pages = append(pages, Strips(t.Context(), c, parts, marks)...)
		var rows [][]string
		for _, m := range marks {
			rows = append(rows, []string{itoa(m.Number), m.MotifName, "12.5 cm"})
		}
		card := Card{Title: c.Title, Steps: []string{caution, "measure"}, Cautions: []string{caution}, Printer: say.Printer{Unit: unit}, Paper: paper,
			Tables: []Table{{Name: name(), Heads: []string{"mark", "cutout", "down"}, Rows: rows, Right: []bool{true}, Bold: 1}}}
		pages = append(pages, card.Pages(t.Context())...)
		var list []Template
		for _, size := range []float64{1, 0.7, 4.1} {
			list = append(list, Template{Name: name(), Motif: ginkgoLeaf(), Size: size, Cut: 3, Twin: true})
		}
		pages = append(pages, Templates(c.Title, list, say.Printer{Unit: unit}, paper)...)
		l := demoLay(300, 450)
		l.Title, l.Sheet, l.Paper, l.Unit = c.Title, name(), paper, unit
		pages = append(pages, LayPages(t.Context(), c.Title, []Lay{l, l}, []string{caution})...)
		for i, p := range pages {
			inside(t, "page "+strconv.Itoa(i+1)+" on "+paper.Name, p)
			if !p.IsFinite() {
				t.Fatal("a page is not finite")
			}
			all := texts(p.Ops)
			for k, a := range all {
				for _, b := range all[k+1:] {
					// The lay's own numbers are drawn once and cut by pages.
					if a.Turn == 0 && b.Turn == 0 && a.Text != "" && b.Text != "" && overlap(tight(a), tight(b), 0) && !isNumber(a.Text) && !isNumber(b.Text) {
						t.Fatalf("page %d on %s: %q and %q overlap", i+1, paper.Name, a.Text, b.Text)
					}
				}
			}
		}
	}
}

func isNumber(s string) bool {
	_, err := strconv.Atoi(s)
	return err == nil
}

// Strips are as long as their rows and tick every mark where it is, joined
// piece to piece by what they share.
func TestStripsAreAsLongAsTheirRows(t *testing.T) {
	for _, e := range examples() {
		parts := e.cloth.Parts(e.marks)
		for _, p := range parts {
			for _, s := range p.strips(e.cloth.Printer, e.marks) {
				girth := e.cloth.Surface.PanelGirth(s.down) * (p.to - p.from)
				if math.Abs(s.whole-girth) > 1e-9 || len(s.ticks) == 0 {
					t.Errorf("%s: row %d is %g mm long with %d ticks, want %g", e.name, s.row, s.whole, len(s.ticks), girth)
				}
				seen := map[int]bool{}
				end := 0.0
				for i, c := range s.pieces(285) {
					if c.to-c.from > 285+1e-9 || i > 0 && math.Abs(end-c.from-tileOverlap) > 1e-9 {
						t.Errorf("%s: piece %d runs from %g to %g, the last ended at %g", e.name, i+1, c.from, c.to, end)
					}
					end = c.to
					for _, k := range c.ticks {
						seen[k.number] = true
						if m := e.marks[k.number-1]; m.Row != s.row || math.Abs(e.cloth.Surface.Around(m.Point)-k.at) > 1e-6 {
							t.Errorf("%s: mark %d is ticked at %g, it lies at %g", e.name, k.number, k.at, e.cloth.Surface.Around(m.Point))
						}
					}
				}
				if math.Abs(end-s.whole) > 1e-9 || len(seen) != len(s.ticks) {
					t.Errorf("%s: the pieces of row %d end at %g of %g and tick %d of %d", e.name, s.row, end, s.whole, len(seen), len(s.ticks))
				}
			}
		}
	}
}

// A table loses no row and keeps its room.
func TestTablesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 300).Draw(t, "rows")
		table := Table{Heads: []string{"no.", "name"}, Right: []bool{true}}
		for i := range n {
			table.Rows = append(table.Rows, []string{itoa(i + 1), rapid.SampledFrom([]string{"a", "a longer name", strings.Repeat("long ", 40)}).Draw(t, "name")})
		}
		first := (Paper{}).page(false)
		pages, end := table.pages(t.Context(), first, rapid.Float64Range(10, 270).Draw(t, "y"), func() *scene.Scene { return (Paper{}).page(false) })
		seen := map[string]bool{}
		for _, p := range pages {
			inside(t, "table", p)
			for _, x := range texts(p.Ops) {
				if isNumber(x.Text) {
					seen[x.Text] = true
				}
			}
		}
		if len(seen) != n || end > 297-marginPage-ruleRoom+1e-6 && n > 0 {
			t.Fatalf("%d of %d rows, filled to %g", len(seen), n, end)
		}
	})
}
