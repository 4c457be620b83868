package plan

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"strew/scatter"
	"strew/scatter/skirt"
)

// Answer writes the short answer: one screen in the maker's words, with its
// warnings to notes. dir is the folder the results lie in, "" where none was
// written; width is the number of columns lines are folded to. The error is
// the first of a write.
func (p *Plan) Answer(w, notes io.Writer, dir string, width int) error {
	a, b := &page{width: width}, &page{width: width}
	if p.LayOnly {
		a.line("%s: %s", p.Project.Title, p.layWords())
	} else {
		a.line("%s: %s", p.Project.Title, p.cutWords())
	}
	a.gap()
	p.answerCutouts(a)
	if p.hangs() {
		a.entry("Worn", fmt.Sprintf("some %d of the %s show from the front, as the folds are guessed", p.inFront(), many(len(p.Layout.Placements), "cutout", "cutouts")))
	}
	p.answerFelt(a)
	p.answerLeftOver(a)
	if !p.LayOnly {
		for i, r := range p.rowWords() {
			a.entry(label(i, "Marking"), r)
		}
	}
	for i, f := range p.Fabric {
		a.entry(label(i, "Cloth"), p.fabricWords(f))
	}
	if words := p.costWords(); words != "" {
		a.entry("Cost", words)
	}
	if dir != "" {
		worn := ""
		if p.hangs() {
			worn = "worn.png "
		}
		results := "skirt.png, " + worn + "and placement.png to look at, placement.pdf to lay under the net or marking.pdf and marking.csv to measure from, templates.pdf to trace, lay-N.png or lay.pdf to cut from, shopping.md to take along"
		if p.LayOnly {
			results = "templates.pdf to trace, lay-N.png or lay.pdf to cut from, shopping.md to take along"
		}
		a.entry("Results", fmt.Sprintf("in %s: %s", dir, results))
		a.entry("Print", p.paperWords())
	}
	mind := append(slices.Clone(p.Warnings), p.papers.notes...)
	if len(mind) > 0 {
		b.gap()
	}
	for i, text := range mind {
		b.entry(label(i, "Mind"), text)
	}
	answer := a.String()
	a.Reset()
	a.gap()
	for i, text := range p.Cautions() {
		a.entry(label(i, "Take care"), text)
	}
	for _, part := range []struct {
		to   io.Writer
		text string
	}{{w, answer}, {notes, b.String()}, {w, a.String()}} {
		if _, err := io.WriteString(part.to, part.text); err != nil {
			return fmt.Errorf("cannot write the answer: %w", err)
		}
	}
	return nil
}

func label(i int, text string) string {
	if i == 0 {
		return text
	}
	return ""
}

// page writes labelled lines folded to a width.
type page struct {
	strings.Builder
	width int
}

const labelWidth = 11

func (a *page) gap() { a.WriteByte('\n') }

func (a *page) line(format string, v ...any) { fmt.Fprintf(a, format+"\n", v...) }

func (a *page) entry(label, text string) {
	for i, l := range fold(text, max(20, a.width-labelWidth)) {
		if i > 0 {
			label = ""
		}
		fmt.Fprintf(a, "%-*s%s\n", labelWidth, label, l)
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

func (p *Plan) answerCutouts(a *page) {
	total, placed, kinds, lines := 0, 0, 0, 0
	told := func(text string) {
		a.entry(label(lines, "Cut"), text)
		lines++
	}
	for _, c := range p.Counts {
		k := p.Kinds[c.Kind]
		if c.Cut() == 0 || p.isPatch(k) {
			continue // what comes to none is said among the warnings
		}
		text := fmt.Sprintf("%4d  %s", c.Cut(), p.kindName(k))
		if !p.LayOnly {
			text += fmt.Sprintf(" (%d placed, %d spare), %s", c.Placed, c.Spare, directionWords[p.Project.Motifs[k.Motif].Direction])
		}
		if n := len(p.Motifs[k.Motif].Pieces); n > 1 {
			text += fmt.Sprintf(", of %d pieces each", n)
		}
		told(text)
		kinds++
		total += c.Cut()
		placed += c.Placed
	}
	switch {
	case kinds > 1 && p.LayOnly:
		told(fmt.Sprintf("%4d  in all", total))
	case kinds > 1:
		told(fmt.Sprintf("%4d  in all, %d of them placed", total, placed))
	}
	for _, c := range p.Counts {
		if k := p.Kinds[c.Kind]; c.Cut() > 0 && p.isPatch(k) {
			told(fmt.Sprintf("%4d  %s: %s of %s, %s, behind the net", c.Cut(), p.kindName(k), p.patchWords(), p.show(p.Measures[k.Motif].Width*k.Size), p.Project.Backing.Colour))
		}
	}
}

func (p *Plan) answerFelt(a *page) {
	for i, n := range p.Lay.Needs {
		a.entry(label(i, "Buy felt"), p.feltWords(n))
	}
}

// rowWords says how the marks run.
func (p *Plan) rowWords() []string {
	e := p.Layout.Evenness
	s := p.Project.Scatter
	repeat := ""
	if p.Layout.Repeat > 1 {
		repeat = fmt.Sprintf("; the layout repeats %d times round", p.Layout.Repeat)
	}
	if len(p.Layout.Rows) == 0 {
		return []string{fmt.Sprintf("loose polka, %s to mark in all at a spacing of %s; nearest neighbours %s apart at least, %s on average; widest bare spot %s across, %s%s%s",
			many(len(p.Layout.Placements), "cutout", "cutouts"), p.show(p.Layout.Spacing), p.show(e.NearestMin), p.show(e.NearestMean), p.show(2*e.BaldRadius), p.baldWhere(), p.alikeWords(), repeat)}
	}
	type span struct{ low, high float64 }
	widen := func(s *span, v float64) { s.low, s.high = math.Min(s.low, v), math.Max(s.high, v) }
	down, step, marks := span{math.Inf(1), 0}, span{math.Inf(1), 0}, span{math.Inf(1), 0}
	perRow := map[int]int{}
	for _, r := range p.Layout.Rows {
		widen(&down, r.Down)
		widen(&step, r.Step)
		perRow[r.Row] += r.Marks
	}
	for _, n := range perRow {
		widen(&marks, float64(n))
	}
	name := s.Pattern
	if s.Pattern == string(scatter.HemBand) {
		name = "hem band"
	}
	if len(p.Layout.Placements) == 1 {
		return []string{fmt.Sprintf("%s of a single cutout, %s %s", name, p.show(down.low), p.below())}
	}
	if len(perRow) == 1 {
		return []string{fmt.Sprintf("%s, one row of %.0f, %s %s, %s from one to the next%s", name, marks.low, p.show(down.low), p.below(), p.show(step.low), p.alikeWords()+repeat)}
	}
	return []string{fmt.Sprintf("%s, %d rows %s apart, from %s to %s %s; %s a row, %s from one to the next%s",
		name, len(perRow), p.show(p.Layout.RowSpacing), p.show(down.low), p.show(down.high), p.below(),
		between(fmt.Sprintf("%.0f", marks.low), fmt.Sprintf("%.0f", marks.high)), between(p.show(step.low), p.show(step.high)), p.alikeWords()+repeat)}
}

// alikeWords says how many neighbours are of the same motif, where there are
// several, and how many chance would make so.
func (p *Plan) alikeWords() string {
	e := p.Layout.Evenness
	if e.Neighbours == 0 {
		return ""
	}
	return fmt.Sprintf("; %d of %s alike, by chance %.0f", e.Alike, many(e.Neighbours, "pair of neighbours", "pairs of neighbours"), e.AlikeByChance)
}

// baldWhere says where the widest bare spot lies.
func (p *Plan) baldWhere() string {
	at := p.Layout.Evenness.BaldAt
	on := ""
	if p.Surface.Panels > 1 {
		on = fmt.Sprintf("on panel %d ", at.Panel+1)
	}
	return fmt.Sprintf("%s%s %s", on, p.show(p.Surface.PlaceOf(at).Down), p.below())
}

func between(a, b string) string {
	if a == b {
		return a
	}
	return a + " to " + b
}

func (p *Plan) fabricWords(f Fabric) string {
	pieces := "in one piece"
	if f.Seamed {
		pieces = fmt.Sprintf("seamed from %d pieces", f.Pieces)
	}
	if f.Layers > 1 {
		pieces = fmt.Sprintf("%d layers, each %s", f.Layers, pieces)
	}
	cut := "cut " + p.show(f.CuttingLength) + " long, seam allowance included"
	switch f.Cut {
	case skirt.Circle:
		cut = "cutting length, waist radius and drop together, " + p.show(f.CuttingLength)
	case skirt.Gores:
		cut = "each gore cut " + p.show(f.CuttingLength) + " long in its middle, seam allowance included"
	case skirt.Outline:
		cut = "cut as drawn, with the seam allowance all round"
	}
	return fmt.Sprintf("%s %s, %s wide: %s; %s", p.clothLength(f.Length), f.Part, p.show(f.Width), pieces, cut)
}

// clothLength writes a length as the shop sells it: metres, or yards and
// eighths of a yard.
func (p *Plan) clothLength(mm float64) string {
	if p.Project.Unit != "in" {
		return trim(math.Round(mm/100)/10) + " m"
	}
	eighths := int(math.Round(mm / yardStep))
	whole, part := eighths/8, eighths%8
	fraction := map[int]string{1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}[part]
	switch {
	case part == 0:
		return fmt.Sprintf("%d yd", whole)
	case whole == 0:
		return fraction + " yd"
	}
	return fmt.Sprintf("%d %s yd", whole, fraction)
}
