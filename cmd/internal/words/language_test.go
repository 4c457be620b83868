package words

import (
	"errors"
	"regexp"
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// marked is a language whose every text stands between brackets.
var marked = &say.Language{Texts: func(english string) string {
	forms := strings.Split(english, "|")
	for i, f := range forms {
		forms[i] = "⟦" + f + "⟧"
	}
	return strings.Join(forms, "|")
}}

// outside returns what stands outside of all brackets.
func outside(text string) string {
	var b strings.Builder
	depth := 0
	for _, r := range text {
		switch {
		case r == '⟦':
			depth++
		case r == '⟧':
			depth--
		case depth == 0:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// values are what is the same in every language: numbers with their units,
// colours, and money.
var values = regexp.MustCompile(`#[0-9a-f]{6}|\d+(\.\d+)? (mm|cm|m|in|yd|EUR|USD)\b|\d`)

var letters = regexp.MustCompile(`\pL+`)

// Every word that a maker reads comes through the printer, so that another
// language is one more table: outside of texts stand only her own names.
func TestEveryTextIsTranslated(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		text := Of(p, printed)
		text.Language = marked
		answer := text.Answer("out", 100)
		var own []string
		for _, m := range p.Mix.Motifs {
			own = append(own, letters.FindAllString(m.Name, -1)...)
		}
		for _, s := range p.Project.Sheets {
			own = append(own, letters.FindAllString(s.Name, -1)...)
		}
		var list, short []string
		for _, section := range text.List() {
			list = append(list, section.Title)
			for _, l := range section.Lines {
				list = append(list, l.Item, l.Quantity, l.Note, l.Cost)
			}
		}
		sum := text.Sum()
		short = append(short, sum.Placed, sum.Cut, sum.Buy, sum.Cost.Total, sum.Cost.Missing, sum.Hours.Total)
		short = append(append(short, sum.Hours.Parts...), sum.Cost.Parts...)
		for _, f := range sum.Felt {
			short = append(short, f.Need, f.Stock, f.Buy, f.AtLeast)
		}
		for name, said := range map[string]string{
			"answer": answer.Result + answer.Cautions, "shopping.md": string(text.ShoppingMarkdown()), "list": strings.Join(list, "\n"), "sum": strings.Join(short, "\n"),
			"warnings": strings.Join(text.Warnings(), "\n"),
		} {
			for _, word := range letters.FindAllString(values.ReplaceAllString(outside(said), ""), -1) {
				known := false
				for _, o := range own {
					known = known || o == word
				}
				if !known {
					t.Errorf("%s: %q is not a text of the table", name, word)
				}
			}
		}
		for _, table := range text.Card([]int{0}).Tables {
			if left := letters.FindString(outside(strings.Join(table.Heads, " ") + table.Name)); left != "" {
				t.Errorf("card: %q is not a text of the table", left)
			}
		}
	})
}

// What could not be done is said in the maker's unit.
func TestErrorsAreSaid(t *testing.T) {
	p := project.Project{File: "p.toml", Unit: geom.Centimetre, Sheets: []project.Sheet{{Name: "A4", Width: 210, Height: 297}}}
	for _, c := range []struct {
		err  error
		want string
	}{
		{errors.New("plain"), "plain"},
		{&stage.InputError{File: "leaf.svg", Line: 3, Err: say.Errorf("%s wide", geom.Length(20))}, "leaf.svg:3: 2 cm wide"},
		{&stage.InputError{File: "leaf.svg", Err: errors.New("broken")}, "leaf.svg: broken"},
		{&stage.TooLittleFelt{Least: 1, Cost: 2.5}, "scatter.budget: felt for one cutout, with spares and patches, costs 2.50; allow that or more"},
		{&stage.TooLittleFelt{Least: 3, Sheets: 2}, "scatter.sheets: felt for the 3 cutouts of the smallest mix with every motif in it, with spares and patches, takes 2 sheets; allow that many or more, or use fewer colours"},
		{&stage.LayError{Name: "leaf", Pieces: 2, Item: stage.Item{Piece: 1}, Err: &sheet.ColourError{Colour: "#112233"}}, "lay: leaf, piece 2 needs #112233 felt and no sheet comes in it: no sheets are listed; add a sheet of this colour, or one without colours"},
		{&stage.LayError{Name: "leaf", Pieces: 1, Err: &sheet.ColourError{Colour: "#112233", Have: []string{"#1", "#2"}}}, "lay: leaf needs #112233 felt and no sheet comes in it: sheets are listed in #1 and #2; add a sheet of this colour, or one without colours"},
		{&stage.LayError{Name: "leaf", Pieces: 1, Err: &sheet.ShortError{Colour: "#112233", Left: 4}}, "lay: the #112233 felt in the drawer runs out and no more is sold: there is no room for 4 of leaf; add a sheet that can be bought, or cut fewer"},
		{&stage.LayError{Name: "leaf", Pieces: 1, Err: &sheet.ShortError{Colour: "#112233", Left: 4, More: 2}}, "lay: the #112233 felt in the drawer runs out and no more is sold: there is no room for 4 of leaf, and for 2 others; add a sheet that can be bought, or cut fewer"},
	} {
		if got := Error(p, c.err); got != c.want {
			t.Errorf("got  %q\nwant %q", got, c.want)
		}
	}
}
