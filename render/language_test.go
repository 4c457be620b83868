package render

import (
	"regexp"
	"strings"
	"testing"
	"unicode"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// apron is a drawn panel with a seam to another one, a waist edge and open ones.
func apron(t *testing.T) Cloth {
	t.Helper()
	panel := func(x float64) geom.Region {
		return geom.Region{Outer: scene.Rect(geom.Box{Min: geom.Vec{X: x}, Max: geom.Vec{X: x + 400, Y: 500}})}
	}
	line := func(name string, points ...geom.Vec) skirt.Line { return skirt.Line{Name: name, Points: points} }
	s, err := skirt.NewOutline(skirt.Drawing{
		Panels: []geom.Region{panel(0), panel(500)},
		Lines: []skirt.Line{
			line("right", geom.Vec{X: 400}, geom.Vec{X: 400, Y: 500}), line("left", geom.Vec{X: 500}, geom.Vec{X: 500, Y: 500}),
			line("top", geom.Vec{}, geom.Vec{X: 400}),
		},
	}, [][2]string{{"right", "left"}}, []string{"top"})
	if err != nil {
		t.Fatal(err)
	}
	c := circleCloth(1, 680, 570, 1)
	c.Surface = s
	return c
}

// An invented language: every letter of every text is a Ж, what stands for a
// value is left alone. A Latin letter on a picture is then a value, or a word
// that no table of another language could reach.
func inventedLanguage() *say.Language {
	verb := regexp.MustCompile(`%(\[\d+\])?[-+# 0]*[\d.]*[a-zA-Z%]`)
	return &say.Language{Texts: func(english string) string {
		var b strings.Builder
		at := 0
		letters := func(s string) {
			for _, r := range s {
				if unicode.IsLetter(r) {
					r = 'Ж'
				}
				b.WriteRune(r)
			}
		}
		for _, v := range verb.FindAllStringIndex(english, -1) {
			letters(english[at:v[0]])
			b.WriteString(english[v[0]:v[1]])
			at = v[1]
		}
		letters(english[at:])
		return b.String()
	}}
}

// marksOn lays cutouts out loosely, in rows and too close for one map.
func marksOn(s skirt.Surface, leaf, nut *motif.Motif) [][]Mark {
	if s.Cut != skirt.Outline {
		return [][]Mark{strewn(s, 40, 1, leaf, nut), inRows(s, 140, 120, 0, 1, leaf, nut), strewn(s, 900, 2, nut)}
	}
	var rows, loose []Mark
	for i := range 60 {
		p := skirt.Point{Panel: i % 2, At: geom.Vec{X: float64(500*(i%2) + 40 + i/2%5*80), Y: float64(40 + i/10*80)}}
		rows = append(rows, Mark{i + 1, leaf, leaf.Name, 1, p, 0, i/10 + 1})
		loose = append(loose, Mark{i + 1, nut, nut.Name, 0.7, p, 1, 0})
	}
	return [][]Mark{rows, loose}
}

// value is what may be written in Latin letters whatever the language: units,
// colours, pages and papers by their names, codes of registration marks.
var value = regexp.MustCompile(`^(mm|cm|in|#[0-9a-f]{1,6}|[A-Z]+\d+|\d+[ab])$`)

// Every word on every picture and page comes from a table of texts or from the
// maker, whose own words are Greek here.
func TestAnotherLanguageIsOneMoreTable(t *testing.T) {
	ctx := t.Context()
	printer := say.Printer{Unit: geom.Centimetre, Language: inventedLanguage()}
	named := func(m *motif.Motif, name string) *motif.Motif {
		m.Name = name
		return m
	}
	leaf, nut := named(ginkgoLeaf(), "φύλλο"), named(acorn(), "βελανίδι")

	var pages []*scene.Scene
	gores := straightCloth(2400, 570, 4)
	var err error
	if gores.Surface, err = skirt.NewGores(720, 2400, 560, 4, true); err != nil {
		t.Fatal(err)
	}
	for i, c := range []Cloth{circleCloth(1, 680, 570, 2), circleCloth(0.6, 680, 570, 1), straightCloth(2400, 570, 2), gores, apron(t)} {
		c.Printer, c.Title, c.SeamAllowance, c.Repeat = printer, "τίτλος", 12, 4
		if i == 0 {
			c.Lining.ShorterBy = 0
		}
		for _, marks := range marksOn(c.Surface, leaf, nut) {
			pages = append(pages, Skirt(ctx, c, marks))
			if i < 4 {
				c.Waist, c.Waistband = 680, 40
				pages = append(pages, Worn(ctx, c, marks))
			}
			pages = append(pages, Placement(ctx, c, marks)...)
			parts := c.Parts(marks)
			pages = append(pages, MarkingGuide(ctx, c, marks, nil).Pages...)
			pages = append(pages, Strips(ctx, c, parts, marks)...)
			large := c
			large.Paper.Name = Large
			pages = append(pages, MarkingGuide(ctx, large, marks, nil).Pages...)
			pages = append(pages, Comparison(ctx, "τίτλος", "", []Choice{{Name: "α", Cloth: c, Marks: marks}, {Name: "β", Empty: true}}, 2))
		}
	}
	card := Card{Printer: printer, Title: "τίτλος", Tables: []Table{{Name: "α", Heads: []string{"β"}, Rows: [][]string{{"γ"}}}}}
	pages = append(pages, card.Pages(ctx)...)
	var templates []Template
	for _, tm := range sampleTemplates() {
		tm.Name = "πρότυπο"
		templates = append(templates, tm)
	}
	pages = append(pages, Templates("τίτλος", templates, printer, Paper{})...)
	lay := demoLay(300, 450)
	lay.Printer, lay.Title, lay.Sheet, lay.Margin, lay.Mirrored = printer, "τίτλος", "τσόχα", 4, true
	lay.LeftOver = []geom.Box{{Min: geom.Vec{X: 200, Y: 300}, Max: geom.Vec{X: 300, Y: 450}}}
	for i := range lay.Cuts {
		lay.Cuts[i].Name = "φύλλο"
	}
	pages = append(pages, LaySheet(ctx, lay))
	pages = append(pages, LayPages(ctx, "τίτλος", []Lay{lay, lay}, nil)...)
	layers, _ := LayLines([]Lay{lay}, 10)
	for _, l := range layers {
		named := &scene.Scene{}
		named.Add(scene.Text{Text: l.Name})
		pages = append(pages, named)
	}
	var gauges []Gauge
	for i, p := range starfish().Pieces {
		gauges = append(gauges, Gauge{Printer: printer, Name: "κομμάτι", Piece: p, Measures: starfish().Measure().Pieces[i]})
	}
	pages = append(pages, Measured("τίτλος", "", gauges, 3))

	words := regexp.MustCompile(`[\p{L}\p{N}#]+`)
	seen, said := map[string]bool{}, 0
	for _, page := range pages {
		for _, x := range texts(page.Ops) {
			said += strings.Count(x.Text, "Ж")
			for _, w := range words.FindAllString(x.Text, -1) {
				if strings.ContainsFunc(w, func(r rune) bool { return unicode.Is(unicode.Latin, r) }) && !value.MatchString(w) && !seen[w] {
					seen[w] = true
					t.Errorf("%q of %q is in no table", w, x.Text)
				}
			}
		}
	}
	if said < 10000 {
		t.Errorf("only %d letters of the invented language on %d pages", said, len(pages))
	}
}
