package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"strew/cmd/internal/stage"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
)

// Measured writes about motifs that were measured, in one unit.
type Measured struct {
	say.Printer
	Allowances motif.Allowances // the paces and weights that it goes by
}

// Fact is one thing measured of a piece.
type Fact struct{ Name, Value string }

// PieceName returns what piece k of a motif is called, counted from 0.
func (w Measured) PieceName(m stage.Measured, k int) string {
	if len(m.Motif.Pieces) == 1 {
		return m.Motif.Name
	}
	return w.Say("%s %d", m.Motif.Name, k+1)
}

// area writes an area in square inches or square centimetres.
func (w Measured) area(mm2 float64) string {
	if w.Unit == geom.Inch {
		return fmt.Sprintf("%.2f in²", mm2/(25.4*25.4))
	}
	return fmt.Sprintf("%.2f cm²", mm2/100)
}

func (w Measured) yes(b bool) string {
	if b {
		return w.Say("yes")
	}
	return w.Say("no")
}

// fine writes a length as callipers read it.
func (w Measured) fine(mm float64) string { return geom.Length(mm).Fine(w.Unit) }

// bare is fine without its unit.
func (w Measured) bare(mm float64) string {
	text, _, _ := strings.Cut(w.fine(mm), " ")
	return text
}

// place writes a place as the way right and down from the glue point.
func (w Measured) place(v geom.Vec) string { return w.bare(v.X) + ", " + w.fine(v.Y) }

// cut writes how wide a narrow place is, and where.
func (w Measured) cut(c motif.Place) (width, at string) {
	if c == (motif.Place{}) {
		return w.Say("none"), ""
	}
	return w.fine(c.Width()), w.place(c.From.Lerp(c.To, 0.5))
}

// Facts returns what was measured of piece k. Every piece has the same names, in
// the same order.
func (w Measured) Facts(m stage.Measured, k int) []Fact {
	p, a := m.Measures.Pieces[k], w.Allowances
	felt, feltAt := w.cut(p.Felt)
	slot, slotAt := w.cut(p.Slot)
	corner, cornerAt := w.Say("none"), ""
	if p.InnerCorner != (motif.Corner{}) {
		corner = fmt.Sprintf("%.0f°", p.InnerCorner.Angle*180/math.Pi)
		cornerAt = w.place(p.InnerCorner.At)
	}
	at := "   " + w.Say("at")
	return []Fact{
		{w.Say("felt"), m.Motif.Pieces[k].Colour},
		{w.Say("width"), w.fine(p.Width)},
		{w.Say("height"), w.fine(p.Height)},
		{w.Say("area"), w.area(p.Area)},
		{w.Say("edge"), w.fine(p.Edge)},
		{w.Say("narrowest felt"), felt},
		{at, feltAt},
		{w.Say("narrowest slot"), slot},
		{at, slotAt},
		{w.Say("inner corner"), corner},
		{at, cornerAt},
		{w.Say("widest circle"), w.fine(2 * p.Widest.Radius)},
		{at, w.place(p.Widest.At)},
		{w.Say("hides round"), w.fine(p.BackingRound())},
		{w.Say("hides square"), w.fine(p.BackingSquare())},
		{w.Say("small part"), w.yes(p.IsSmallPart(1))},
		{w.Say("symmetrical"), w.yes(m.Mirrors[k])},
		{w.Say("weight"), fmt.Sprintf("%.2f g", a.Weight(p))},
		{w.Say("cutting"), fmt.Sprintf("%.0f s", a.Seconds(p))},
	}
}

// Sum gives the totals of all pieces of a motif.
func (w Measured) Sum(m stage.Measured) string {
	weight, seconds := 0.0, 0.0
	for _, p := range m.Measures.Pieces {
		weight += w.Allowances.Weight(p)
		seconds += w.Allowances.Seconds(p)
	}
	s := m.Measures
	return w.Say("%s × %s, %s, felt %s, %.2f g, %.0f s to cut; backing hidden at any turn: %s round, %s square",
		w.bare(s.Width), w.fine(s.Height), say.Many(len(s.Pieces), "%d piece", "%d pieces"), w.area(s.Area), weight, seconds,
		w.fine(s.BackingRound), w.fine(s.BackingSquare))
}

// column is one piece in the table.
type column struct {
	head  string
	facts []Fact
	wide  int // runes
}

func (w Measured) columns(list []stage.Measured) []column {
	var out []column
	for _, m := range list {
		for k := range m.Measures.Pieces {
			c := column{head: shortened(w.PieceName(m, k), 24), facts: w.Facts(m, k)}
			c.wide = len([]rune(c.head))
			for _, f := range c.facts {
				c.wide = max(c.wide, len([]rune(f.Value)))
			}
			out = append(out, c)
		}
	}
	return out
}

// Table returns what was measured, one column for each piece, as many side by side
// as fit in width runes, and the rules behind it; "" if nothing was measured.
func (w Measured) Table(list []stage.Measured, width int) string {
	columns := w.columns(list)
	if len(columns) == 0 {
		return ""
	}
	out := page{width: width}
	const names, between = 16, 3
	for len(columns) > 0 {
		n, used := 0, names
		for n < len(columns) && (n == 0 || used+between+columns[n].wide <= width) {
			used += between + columns[n].wide
			n++
		}
		line := func(name string, cell func(column) string) {
			text := fmt.Sprintf("%-*s", names, name)
			for _, c := range columns[:n] {
				text += fmt.Sprintf("%*s", between+c.wide, cell(c))
			}
			out.line(strings.TrimRight(text, " "))
		}
		line("", func(c column) string { return c.head })
		for i, f := range columns[0].facts {
			line(f.Name, func(c column) string { return c.facts[i].Value })
		}
		columns = columns[n:]
		out.gap()
	}
	for _, m := range list {
		if m.Err == nil {
			out.line(strings.Join(fold(w.Say("%s: %s", m.Motif.Name, w.Sum(m)), width), "\n"))
		}
	}
	out.gap()
	for _, rule := range w.rules() {
		out.line(strings.Join(fold(rule, width), "\n"))
	}
	return out.String()
}

func shortened(text string, n int) string {
	if r := []rune(text); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return text
}

// rules says how the figures are found.
func (w Measured) rules() []string {
	a := w.Allowances
	return []string{
		w.Say("Places (“at”) are measured right and down from the glue point, the centre of the widest circle that fits in the felt."),
		w.Say("Weight: felt of %s g/m². Cutting: %s mm of edge a second, %s s for each corner, %s s for each hole. These are rough guesses: weigh and time your own.",
			number(a.FeltWeight), number(a.Speed), number(a.Corner), number(a.Hole)),
		w.Say("Small part: rolled up, the piece could fit into the cylinder of 16 CFR 1501.4, as it is at most %.2f mm (2 1/4 in) across in its narrowest direction. This is no test.", motif.CylinderDepth),
	}
}

// CSV returns what was measured, one line for each piece, lengths in the printer's
// unit; a file that could not be read has no line.
func (w Measured) CSV(list []stage.Measured) []byte {
	u := string(w.Unit)
	rows := [][]string{{"file", "motif", "piece", "colour", "width_" + u, "height_" + u, "least_width_" + u, "area_" + u + "2", "edge_" + u,
		"narrowest_felt_" + u, "felt_right_" + u, "felt_down_" + u, "narrowest_slot_" + u, "slot_right_" + u, "slot_down_" + u,
		"inner_corner_deg", "corner_right_" + u, "corner_down_" + u, "circle_" + u, "circle_right_" + u, "circle_down_" + u,
		"backing_round_" + u, "backing_square_" + u, "corners", "holes", "small_part", "mirrors_itself", "weight_g", "cutting_s"}}
	for _, m := range list {
		for k := range m.Measures.Pieces {
			rows = append(rows, w.csvRow(m, k))
		}
	}
	return csvOf(rows)
}

func (w Measured) csvRow(m stage.Measured, k int) []string {
	p := m.Measures.Pieces[k]
	fixed := func(f float64, places int) string { return strconv.FormatFloat(f, 'f', places, 64) }
	place := func(v geom.Vec) []string { return []string{w.bare(v.X), w.bare(v.Y)} }
	none := []string{"", "", ""}
	row := []string{m.File, m.Motif.Name, strconv.Itoa(k + 1), m.Motif.Pieces[k].Colour, w.bare(p.Width), w.bare(p.Height), w.bare(p.LeastWidth),
		fixed(p.Area/(w.Unit.MM()*w.Unit.MM()), 3), w.bare(p.Edge), w.bare(p.Felt.Width())}
	row = append(row, place(p.Felt.From.Lerp(p.Felt.To, 0.5))...)
	if p.Slot != (motif.Place{}) {
		row = append(append(row, w.bare(p.Slot.Width())), place(p.Slot.From.Lerp(p.Slot.To, 0.5))...)
	} else {
		row = append(row, none...)
	}
	if c := p.InnerCorner; c != (motif.Corner{}) {
		row = append(append(row, fixed(c.Angle*180/math.Pi, 1)), place(c.At)...)
	} else {
		row = append(row, none...)
	}
	row = append(append(row, w.bare(2*p.Widest.Radius)), place(p.Widest.At)...)
	return append(row, w.bare(p.BackingRound()), w.bare(p.BackingSquare()), strconv.Itoa(p.Corners), strconv.Itoa(p.Holes),
		yesCSV(p.IsSmallPart(1)), yesCSV(m.Mirrors[k]), fixed(w.Allowances.Weight(p), 3), fixed(w.Allowances.Seconds(p), 0))
}

// yesCSV is yes in tables for other programs.
func yesCSV(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
