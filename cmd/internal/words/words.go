// Package words writes what a maker reads about a plan: the answer, the shopping
// list, the tables to mark from, warnings, cautions and errors. It decides
// nothing; every sentence goes through a say.Printer.
package words

import (
	"math"
	"strconv"
	"strings"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
)

// Text writes about one plan.
type Text struct {
	stage.Plan
	say.Printer
	Drawn Drawn // what is known only once the results are drawn
}

// Drawn is what only the finished drawings tell about a plan.
type Drawn struct {
	Paper   []Pages       // the files to print
	Hangs   bool          // there is a picture of the skirt as it hangs
	InFront int           // cutouts that show in it from the front
	Notes   []say.Message // about pictures drawn at fewer dpi than asked
}

// Pages is how many sheets of paper a file takes.
type Pages struct {
	File   string // its name
	Sheets int
}

// Of returns the texts of a plan, in English and the project's unit.
func Of(p stage.Plan, d Drawn) Text {
	return Text{Plan: p, Printer: say.Printer{Unit: p.Project.Unit}, Drawn: d}
}

// money writes a sum in the project's currency.
func (t Text) money(sum float64) string {
	return strings.TrimSpace(strconv.FormatFloat(sum, 'f', 2, 64) + " " + t.Project.Supplies.Currency)
}

// PieceOf returns what a maker calls one piece, without its size.
func (t Text) PieceOf(it stage.Item) string {
	m := t.Mix.Motifs[t.Mix.Kinds[it.Kind].Motif]
	if len(m.Pieces) == 1 {
		return m.Name
	}
	return t.Say("%s, piece %d", m.Name, it.Piece+1)
}

// number writes a number without needless decimals.
func number(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// up rounds a length up to a whole millimetre.
func up(mm float64) float64 { return math.Ceil(mm - geom.Touch) }

// span writes "a" where both are the same, else "a to b".
func (t Text) span(a, b string) string {
	if a == b {
		return a
	}
	return t.Say("%s to %s", a, b)
}
