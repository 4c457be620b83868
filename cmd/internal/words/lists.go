package words

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/sheet"
)

// csvOf writes rows as CSV (RFC 4180).
func csvOf(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(rows); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.Bytes()
}

// ShoppingCSV returns the shopping list as a table for other programs: plain
// numbers, and metres for cloth and for felt by the length.
func (t Text) ShoppingCSV() []byte {
	rows := [][]string{{"part", "item", "colour", "size", "need", "have", "buy", "unit", "price_each", "cost", "currency", "note"}}
	amount := func(f float64) string {
		if f < 0 {
			return ""
		}
		return number(math.Round(f*1e4) / 1e4)
	}
	for _, l := range shopping(t) {
		currency := ""
		if l.cost >= 0 {
			currency = t.Project.Supplies.Currency
		}
		rows = append(rows, []string{
			l.part, l.item, l.colour, l.size, amount(l.need), amount(l.have), amount(l.buy), l.unit,
			amount(l.price), amount(l.cost), currency, l.note,
		})
	}
	return csvOf(rows)
}

// markdown is a text in CommonMark with tables (GitHub Flavored Markdown).
type markdown struct{ strings.Builder }

func (m *markdown) heading(level int, text string) {
	if m.Len() > 0 && !strings.HasSuffix(m.String(), "\n\n") {
		m.WriteByte('\n')
	}
	fmt.Fprintf(m, "%s %s\n\n", strings.Repeat("#", level), plainCell(text))
}

func (m *markdown) paragraph(text string) { fmt.Fprintf(m, "\n%s\n", text) }

func (m *markdown) list(items []string) {
	for _, item := range items {
		fmt.Fprintf(m, "- %s\n", plainCell(item))
	}
}

// table writes a table. Columns whose head begins with a bar are numbers.
func (m *markdown) table(heads []string, rows [][]string) {
	rule := ""
	for i, h := range heads {
		heads[i] = strings.TrimPrefix(h, "|")
		if heads[i] != h {
			rule += "---:|"
		} else {
			rule += "---|"
		}
	}
	fmt.Fprintf(m, "| %s |\n|%s\n", strings.Join(heads, " | "), rule)
	for _, r := range rows {
		fmt.Fprintf(m, "| %s |\n", strings.Join(r, " | "))
	}
}

// plainCell keeps a maker's words from being read as Markdown.
func plainCell(s string) string {
	return strings.NewReplacer("|", "\\|", "\n", " ", "*", "\\*", "_", "\\_", "<", "&lt;").Replace(s)
}

func bold(s string) string { return "**" + s + "**" }

// ShoppingMarkdown returns the shopping list to take along, as CommonMark with
// tables.
func (t Text) ShoppingMarkdown() []byte {
	m := &markdown{}
	m.heading(1, t.Say("%s: shopping list", t.Project.Title))
	writeFelt(t, m)
	writeCutouts(t, m)
	if !t.LayOnly {
		writeCloth(t, m)
	}
	m.heading(2, t.Say("Paper"))
	m.list([]string{paper(t)})
	if cost := cost(t); cost != "" {
		m.heading(2, t.Say("Cost"))
		m.list([]string{cost})
	}
	m.heading(2, t.Say("Weight and work (estimates)"))
	m.list(estimates(t))
	m.paragraph(t.Say("Every pace and weight here is our own guess, without a source."))
	if w := t.Warnings(); len(w) > 0 {
		m.heading(2, t.Say("Mind"))
		m.list(w)
	}
	m.heading(2, t.Say("Take care"))
	m.list(t.Cautions())
	return []byte(m.String())
}

func writeFelt(t Text, m *markdown) {
	m.heading(2, t.Say("Felt"))
	var rows [][]string
	for _, n := range t.Laid.Lay.Needs {
		rows = append(rows, feltRow(t, n))
	}
	m.table([]string{"|" + t.Say("buy"), t.Say("felt"), t.Say("colour"), t.Say("size"), "|" + t.Say("needed"), "|" + t.Say("in the drawer"), "|" + t.Say("price"), "|" + t.Say("cost"), ""}, rows)
	if cost, all := t.FeltCost(); all && (cost > 0 || t.Project.Supplies.Currency != "") {
		m.paragraph(t.Say("Felt in all: %s", t.money(cost)))
	} else if cost > 0 {
		m.paragraph(t.Say("Felt in all: %s (sheets without a price left out)", t.money(cost)))
	}
	if all := t.Laid.Remnants(); len(all) > 0 {
		m.paragraph(t.Say("Left over, with both sides %s or more:", geom.Length(stage.UsefulLeast)) + "\n")
		var left []string
		for _, r := range all {
			left = append(left, remnants(t, r))
		}
		m.list(left)
	}
}

func feltRow(t Text, n sheet.Need) []string {
	l, s := feltLine(t, n), t.Project.Sheets[n.Stock]
	price, cost := "", ""
	if l.price >= 0 {
		price, cost = t.money(l.price), t.money(l.cost)
	}
	whole := func(f float64) string { return strconv.FormatFloat(f, 'f', 0, 64) }
	buy, need := whole(l.buy), whole(l.need)
	if s.Roll {
		buy = t.feltLength(n.Length)
		need = buy
		if l.price >= 0 {
			price = t.Say("%s for %s", t.money(s.Price), geom.Length(s.PricePer))
		}
	}
	return []string{bold(buy), plainCell(l.item), l.colour, l.size, need, whole(l.have), price, cost, l.note}
}

func writeCutouts(t Text, m *markdown) {
	m.heading(2, t.Say("Cutouts"))
	var rows [][]string
	for i, c := range t.Counts {
		k := t.Mix.Kinds[i]
		box := t.Mix.Motifs[k.Motif].Box()
		rows = append(rows, []string{
			bold(strconv.Itoa(c.Cut())), plainCell(t.Mix.Name(i)), t.Length(box.Width() * k.Size), t.Length(box.Height() * k.Size),
			strconv.Itoa(c.Placed), strconv.Itoa(c.Spare),
		})
	}
	m.table([]string{"|" + t.Say("cut"), t.Say("cutout"), "|" + t.Say("width"), "|" + t.Say("height"), "|" + t.Say("placed"), "|" + t.Say("spare")}, rows)
	rows = nil
	for _, it := range t.Laid.Items {
		name := t.Say("%s, piece %d", t.Mix.Name(it.Kind), it.Piece+1)
		rows = append(rows, []string{strconv.Itoa(t.Counts[it.Kind].Cut()), plainCell(name), t.Mix.PieceOf(it).Colour})
	}
	m.WriteByte('\n')
	m.table([]string{"|" + t.Say("pieces"), t.Say("of cutout"), t.Say("felt")}, rows)
}

// writeCloth lists what a skirt takes besides felt.
func writeCloth(t Text, m *markdown) {
	m.heading(2, t.Say("Cloth"))
	var cloth, fix, shows []string
	for _, f := range t.Cloth.Fabric {
		cloth = append(cloth, fabric(t, f))
	}
	m.list(cloth)
	m.heading(2, t.Say("Fixing"))
	for _, l := range fixingLines(t) {
		fix = append(fix, fixing(t, l))
	}
	m.list(fix)
	m.heading(2, t.Say("How the felt shows"))
	ground := ""
	for _, c := range t.Contrasts() {
		shows = append(shows, Contrast(t.Printer, c))
		ground = c.Ground
	}
	m.list(shows)
	m.paragraph(t.Say("ΔE is the difference to net over lining, %s, by CIEDE2000: below %.0f felt hardly shows, from %.0f on it is clear.",
		ground, stage.HardlyShows, stage.ShowsClearly))
}
