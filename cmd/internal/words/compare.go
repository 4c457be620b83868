package words

import (
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
)

// Choice writes about one choice of a comparison.
type Choice struct {
	stage.Choice
	Text
}

// ChoiceOf returns the texts of a choice.
func ChoiceOf(c stage.Choice) Choice {
	t := Of(c.Plan, Drawn{})
	t.Printer = say.Printer{Unit: c.Project.Unit}
	return Choice{c, t}
}

// Name returns what a choice is called: "8 cm, polka".
func (c Choice) Name() string {
	spacing := c.Spacing()
	switch {
	case c.Widened():
		return c.Say("%s widened to %s, %s", geom.Length(spacing), geom.Length(c.Strewn.Layout.Spacing), c.Pattern)
	case c.Choice.Project.Scatter.Spacing > 0:
		return c.Say("%s, %s", geom.Length(spacing), c.Pattern)
	case c.Asked != "":
		return c.Say("%s, %s", c.Asked, c.Pattern)
	case spacing > 0:
		return c.Say("%s as found, %s", geom.Length(math.Round(spacing)), c.Pattern)
	}
	return c.Say("the project's own number, %s", c.Pattern)
}

// Why says why a choice could not be planned, after its name.
func (c Choice) Why() string { return c.Say("%s: %s", c.Name(), Error(c.Choice.Project, c.Err)) }

// feltPrice returns what the felt costs, "" where no price is known.
func (c Choice) feltPrice() string {
	cost, all := c.Text.FeltCost()
	switch {
	case all:
		return c.money(cost)
	case cost > 0:
		return c.Say("%s, and some felt has no price", c.money(cost))
	}
	return ""
}

// Notes returns the lines under a choice's picture: its count, felt and price, or
// why it cannot be planned.
func (c Choice) Notes() []string {
	if c.Err != nil {
		return []string{c.Say("cannot be planned: %s", Error(c.Choice.Project, c.Err))}
	}
	placed, cut := c.Totals()
	out := []string{c.Say("%s placed, %d to cut", say.Many(placed, "%d cutout", "%d cutouts"), cut), feltShort(c.Text)}
	if price := c.feltPrice(); price != "" {
		out = append(out, c.Say("felt: %s", price))
	}
	return out
}

// CompareTable returns the choices as a table to read, in aligned columns.
func CompareTable(p say.Printer, list []stage.Choice) string {
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	row := func(cells ...string) { _, _ = t.Write([]byte(strings.Join(cells, "\t") + "\n")) } // a Builder takes everything
	row(p.Say("spacing, pattern"), p.Say("placed"), p.Say("cut"), p.Say("felt"), p.Say("cost"))
	for _, one := range list {
		c := ChoiceOf(one)
		if c.Err != nil {
			row(c.Name(), "-", "-", p.Say("cannot be planned"), "")
			continue
		}
		placed, cut := c.Totals()
		row(c.Name(), strconv.Itoa(placed), strconv.Itoa(cut), feltShort(c.Text), c.feltPrice())
	}
	_ = t.Flush()
	return b.String()
}

// CompareBoard returns the title of the picture that shows all n choices.
func CompareBoard(p say.Printer, n int) string {
	return p.Many(n, "the same skirt, %d way to strew it", "the same skirt, %d ways to strew it")
}

// CompareCSV returns the choices as a table for other programs: one line for each
// felt of each choice, or one that says why it could not be planned.
func CompareCSV(list []stage.Choice) []byte {
	rows := [][]string{{"spacing_mm", "pattern", "placed", "cut", "sheet", "colour", "unit", "need", "stock", "buy", "cost", "currency", "error", "found_mm"}}
	for _, one := range list {
		c := ChoiceOf(one)
		placed, cut := c.Totals()
		spacing := number(math.Round(c.Spacing()*1e6) / 1e6)
		found := ""
		if c.Err == nil {
			found = number(math.Round(c.Strewn.Layout.Spacing*1e6) / 1e6)
		}
		head := []string{spacing, c.Pattern, strconv.Itoa(placed), strconv.Itoa(cut)}
		if c.Err != nil {
			rows = append(rows, append(head, "", "", "", "", "", "", "", "", Error(c.Choice.Project, c.Err), ""))
		}
		for _, n := range c.Laid.Lay.Needs {
			s, unit, need, buy := c.Choice.Project.Sheets[n.Stock], "sheet", n.Sheets, n.Buy
			if s.Roll {
				unit = "mm"
				need = int(up(n.Length))
				buy = need
			}
			rows = append(rows, append(head[:4:4], s.Name, n.Colour, unit, strconv.Itoa(need), strconv.Itoa(n.Drawer), strconv.Itoa(buy),
				strconv.FormatFloat(n.Cost, 'f', 2, 64), c.Choice.Project.Supplies.Currency, "", found))
		}
	}
	return csvOf(rows)
}
