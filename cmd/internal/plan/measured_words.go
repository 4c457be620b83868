package plan

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"strew/motif"
	"strew/motif/geom"
	"strew/render"
)

func (m Measured) pieceName(k int) string {
	if len(m.Motif.Pieces) == 1 {
		return m.Motif.Name
	}
	return fmt.Sprintf("%s %d", m.Motif.Name, k+1)
}

// areaWords writes an area in square inches or square centimetres.
func areaWords(mm2 float64, unit geom.Unit) string {
	if unit == geom.Inch {
		return fmt.Sprintf("%.2f in²", mm2/(25.4*25.4))
	}
	return fmt.Sprintf("%.2f cm²", mm2/100)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// fineSize writes two lengths as "5.94 × 5.50 cm".
func fineSize(w, h float64, unit geom.Unit) string {
	first, _, _ := strings.Cut(geom.Length(w).Fine(unit), " ")
	return first + " × " + geom.Length(h).Fine(unit)
}

// placeWords writes a place as the way right and down from the glue point.
func placeWords(v geom.Vec, unit geom.Unit) string {
	x, _, _ := strings.Cut(geom.Length(v.X).Fine(unit), " ")
	y, _, _ := strings.Cut(geom.Length(v.Y).Fine(unit), " ")
	return x + ", " + y
}

// facts are what is said of one piece, in words. All pieces have the same.
func (m Measured) facts(k int, a motif.Allowances, unit geom.Unit) []render.Fact {
	p := m.Measures.Pieces[k]
	length := func(mm float64) string { return geom.Length(mm).Fine(unit) }
	cut := func(c motif.Place) (width, at string) {
		if c == (motif.Place{}) {
			return "none", ""
		}
		return length(c.Width()), placeWords(c.From.Lerp(c.To, 0.5), unit)
	}
	felt, feltAt := cut(p.Felt)
	slot, slotAt := cut(p.Slot)
	corner, cornerAt := "none", ""
	if p.InnerCorner != (motif.Corner{}) {
		corner = fmt.Sprintf("%.0f°", p.InnerCorner.Angle*180/math.Pi)
		cornerAt = placeWords(p.InnerCorner.At, unit)
	}
	return []render.Fact{
		{Name: "felt", Value: m.Motif.Pieces[k].Colour},
		{Name: "width", Value: length(p.Width)},
		{Name: "height", Value: length(p.Height)},
		{Name: "area", Value: areaWords(p.Area, unit)},
		{Name: "edge", Value: length(p.Edge)},
		{Name: "narrowest felt", Value: felt},
		{Name: "   at", Value: feltAt},
		{Name: "narrowest slot", Value: slot},
		{Name: "   at", Value: slotAt},
		{Name: "inner corner", Value: corner},
		{Name: "   at", Value: cornerAt},
		{Name: "widest circle", Value: length(2 * p.Widest.Radius)},
		{Name: "   at", Value: placeWords(p.Widest.At, unit)},
		{Name: "hides round", Value: length(p.BackingRound())},
		{Name: "hides square", Value: length(p.BackingSquare())},
		{Name: "small part", Value: yes(p.IsSmallPart(1))},
		{Name: "mirrors itself", Value: yes(m.Mirrors[k])},
		{Name: "weight", Value: fmt.Sprintf("%.2f g", a.Weight(p))},
		{Name: "cutting", Value: fmt.Sprintf("%.0f s", a.Seconds(p))},
	}
}

// sumWords says what all pieces of the motif come to.
func (m Measured) sumWords(a motif.Allowances, unit geom.Unit) string {
	weight, seconds := 0.0, 0.0
	for _, p := range m.Measures.Pieces {
		weight += a.Weight(p)
		seconds += a.Seconds(p)
	}
	s := m.Measures
	return fmt.Sprintf("%s, %s, felt %s, %.2f g, %.0f s to cut; backing hidden at any turn: %s round, %s square",
		fineSize(s.Width, s.Height, unit), many(len(s.Pieces), "piece", "pieces"), areaWords(s.Area, unit), weight, seconds,
		geom.Length(s.BackingRound).Fine(unit), geom.Length(s.BackingSquare).Fine(unit))
}

// MeasuredTable writes what was measured, a column a piece, as many to a block
// as fit in width, and how it was reckoned.
func MeasuredTable(w io.Writer, list []Measured, a motif.Allowances, unit geom.Unit, width int) {
	type column struct {
		head  string
		facts []render.Fact
		wide  int
	}
	var columns []column
	for _, m := range list {
		for k := range m.Measures.Pieces {
			c := column{head: shortened(m.pieceName(k), 24), facts: m.facts(k, a, unit)}
			c.wide = len([]rune(c.head))
			for _, f := range c.facts {
				c.wide = max(c.wide, len([]rune(f.Value)))
			}
			columns = append(columns, c)
		}
	}
	if len(columns) == 0 {
		return
	}
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
			fmt.Fprintln(w, strings.TrimRight(text, " "))
		}
		line("", func(c column) string { return c.head })
		for i, f := range columns[0].facts {
			line(f.Name, func(c column) string { return c.facts[i].Value })
		}
		columns = columns[n:]
		fmt.Fprintln(w)
	}
	p := &page{width: width}
	for _, m := range list {
		if m.Err == nil {
			p.line("%s", strings.Join(fold(m.Motif.Name+": "+m.sumWords(a, unit), width), "\n"))
		}
	}
	p.gap()
	for _, rule := range measuredRules(a) {
		p.line("%s", strings.Join(fold(rule, width), "\n"))
	}
	fmt.Fprint(w, p.String())
}

func shortened(text string, n int) string {
	if r := []rune(text); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return text
}

// measuredRules says how the figures are reckoned.
func measuredRules(a motif.Allowances) []string {
	return []string{
		"Places are the way right and down from the glue point, the centre of the widest circle that fits in the felt.",
		fmt.Sprintf("Weight: felt of %s g/m². Cutting: %s mm of edge a second, %s s for each corner, %s s for each hole. Both are guesses without a source: weigh and time your own.",
			trim(a.FeltWeight), trim(a.Speed), trim(a.Corner), trim(a.Hole)),
		fmt.Sprintf("Small part: rolled up, the piece could fit into the cylinder of 16 CFR 1501.4, as it is at most %.2f mm (2 1/4 in) across in its narrowest direction. This is no test.", motif.CylinderDepth),
	}
}

// MeasuredCSV returns what was measured, a line a piece, in millimetres or the
// unit named; a file that could not be read has no line.
func MeasuredCSV(list []Measured, a motif.Allowances, unit geom.Unit) []byte {
	u := string(unit)
	rows := [][]string{{"file", "motif", "piece", "colour", "width_" + u, "height_" + u, "least_width_" + u, "area_" + u + "2", "edge_" + u,
		"narrowest_felt_" + u, "felt_right_" + u, "felt_down_" + u, "narrowest_slot_" + u, "slot_right_" + u, "slot_down_" + u,
		"inner_corner_deg", "corner_right_" + u, "corner_down_" + u, "circle_" + u, "circle_right_" + u, "circle_down_" + u,
		"backing_round_" + u, "backing_square_" + u, "corners", "holes", "small_part", "mirrors_itself", "weight_g", "cutting_s"}}
	fixed := func(f float64, places int) string { return strconv.FormatFloat(f, 'f', places, 64) }
	length := func(mm float64) string {
		text, _, _ := strings.Cut(geom.Length(mm).Fine(unit), " ")
		return text
	}
	for _, m := range list {
		for k, p := range m.Measures.Pieces {
			place := func(v geom.Vec) []string { return []string{length(v.X), length(v.Y)} }
			row := []string{m.File, m.Motif.Name, strconv.Itoa(k + 1), m.Motif.Pieces[k].Colour, length(p.Width), length(p.Height), length(p.LeastWidth),
				fixed(p.Area/(unit.MM()*unit.MM()), 3), length(p.Edge), length(p.Felt.Width())}
			row = append(row, place(p.Felt.From.Lerp(p.Felt.To, 0.5))...)
			if p.Slot != (motif.Place{}) {
				row = append(append(row, length(p.Slot.Width())), place(p.Slot.From.Lerp(p.Slot.To, 0.5))...)
			} else {
				row = append(row, "", "", "")
			}
			if c := p.InnerCorner; c != (motif.Corner{}) {
				row = append(append(row, fixed(c.Angle*180/math.Pi, 1)), place(c.At)...)
			} else {
				row = append(row, "", "", "")
			}
			row = append(append(row, length(2*p.Widest.Radius)), place(p.Widest.At)...)
			row = append(row, length(p.BackingRound()), length(p.BackingSquare()), strconv.Itoa(p.Corners), strconv.Itoa(p.Holes),
				yes(p.IsSmallPart(1)), yes(m.Mirrors[k]), fixed(a.Weight(p), 3), fixed(a.Seconds(p), 0))
			rows = append(rows, row)
		}
	}
	return csvBytes(rows)
}
