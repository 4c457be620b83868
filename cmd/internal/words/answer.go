package words

import (
	"fmt"
	"io"
	"strings"

	"strew/cmd/internal/project"
	"strew/motif/say"
)

// Answer is the short answer to a maker: one screen, in folded lines.
type Answer struct {
	Result   string // counts, felt, marking, cloth, cost and where the results are
	Warnings string // "" for none
	Cautions string // what to take care of while making
}

// Answer returns the short answer. dir is the folder that the results are in, ""
// if none were written; width is the number of columns that lines are folded to.
func (t Text) Answer(dir string, width int) Answer {
	result := page{width: width}
	if t.LayOnly {
		result.line(t.Say("%s: %s", t.Project.Title, layWords(t)))
	} else {
		result.line(t.Say("%s: %s", t.Project.Title, cutWords(t)))
	}
	result.gap()
	result.entries(t.Say("Cut"), cutouts(t))
	if t.Drawn.Hangs {
		placed, _ := t.Totals()
		result.entries(t.Say("Worn"), []string{t.Say("about %d of the %s show from the front (estimate)", t.Drawn.InFront, say.Many(placed, "%d cutout", "%d cutouts"))})
	}
	result.entries(t.Say("Buy felt"), feltToBuy(t))
	result.entries(t.Say("Left over"), largestLeft(t))
	if !t.LayOnly {
		result.entries(t.Say("Marking"), []string{rows(t)})
	}
	var cloth []string
	for _, f := range t.Cloth.Fabric {
		cloth = append(cloth, fabric(t, f))
	}
	result.entries(t.Say("Cloth"), cloth)
	if cost := cost(t); cost != "" {
		result.entries(t.Say("Cost"), []string{cost})
	}
	if dir != "" {
		result.entries(t.Say("Results"), []string{results(t, dir)})
		result.entries(t.Say("Print"), []string{paper(t)})
	}
	warnings, cautions := page{width: width}, page{width: width}
	if mind := append(t.Warnings(), t.Messages(t.Drawn.Notes)...); len(mind) > 0 {
		warnings.gap()
		warnings.entries(t.Say("Mind"), mind)
	}
	cautions.gap()
	cautions.entries(t.Say("Take care"), t.Cautions())
	return Answer{result.String(), warnings.String(), cautions.String()}
}

// Write writes the answer to w and its warnings to notes. The error is that of
// the first write that fails.
func (a Answer) Write(w, notes io.Writer) error {
	for _, part := range []struct {
		to   io.Writer
		text string
	}{{w, a.Result}, {notes, a.Warnings}, {w, a.Cautions}} {
		if _, err := io.WriteString(part.to, part.text); err != nil {
			return say.Errorf("cannot write the answer: %s", err)
		}
	}
	return nil
}

// results says which file is for what.
func results(t Text, dir string) string {
	switch {
	case t.LayOnly:
		return t.Say("in %s: templates.pdf to trace, lay-N.png or lay.pdf to cut from, shopping.md to take along", dir)
	case t.Drawn.Hangs:
		return t.Say("in %s: skirt.png, worn.png and placement.png to look at, placement.pdf to lay under the net or marking.pdf and marking.csv to measure from, templates.pdf to trace, lay-N.png or lay.pdf to cut from, shopping.md to take along", dir)
	}
	return t.Say("in %s: skirt.png and placement.png to look at, placement.pdf to lay under the net or marking.pdf and marking.csv to measure from, templates.pdf to trace, lay-N.png or lay.pdf to cut from, shopping.md to take along", dir)
}

// paper says how many sheets of paper each file takes.
func paper(t Text) string {
	var files []string
	for _, f := range t.Drawn.Paper {
		files = append(files, t.Say("%d for %s", f.Sheets, f.File))
	}
	list := strings.Join(files, ", ")
	if t.Project.Supplies.Paper == project.PaperLarge {
		return t.Say("pages to print: %s; large sheets are for a copy shop", list)
	}
	return t.Say("pages of %s: %s", t.Project.Supplies.Paper, list)
}

// page writes labelled lines folded to a width.
type page struct {
	strings.Builder
	width int
}

// labelWidth is the column at which entries begin: one space after the longest
// label.
const labelWidth = 11

func (p *page) gap() { p.WriteByte('\n') }

func (p *page) line(text string) { p.WriteString(text + "\n") }

// entries writes texts one below the other, the first with the label.
func (p *page) entries(label string, texts []string) {
	for _, text := range texts {
		for _, l := range fold(text, max(20, p.width-labelWidth)) {
			fmt.Fprintf(p, "%-*s%s\n", labelWidth, label, l)
			label = ""
		}
	}
}

// fold breaks text at spaces into lines of at most width runes where it can.
func fold(text string, width int) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case len([]rune(line))+1+len([]rune(word)) <= width:
			line += " " + word
		default:
			out = append(out, line)
			line = word
		}
	}
	return append(out, line)
}
