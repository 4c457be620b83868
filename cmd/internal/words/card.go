package words

import (
	"strconv"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
)

// Card is the text of the marking card: how to use it, and a table for each panel.
type Card struct {
	Steps  []string // paragraphs
	Tables []Table  // one for each panel asked for
}

// Table is a table of words.
type Table struct {
	Name  string
	Heads []string
	Right []bool     // columns that are aligned to the right
	Rows  [][]string // each as long as Heads
}

// Card returns the marking card for the panels given, counted from 0. Its tables
// have one line for each row if marks lie in rows, else one for each mark with its
// two tapes.
func (t Text) Card(panels []int) Card {
	out := Card{Steps: cardSteps(t)}
	tapes := tapes(t)
	for _, panel := range panels {
		table := rowTable(t, panel)
		if tapes != nil {
			table = tapeTable(t, panel, tapes)
		}
		table.Name = t.Say("panel %d", panel+1)
		if t.Cloth.Surface.Panels == 1 {
			table.Name = t.Say("the panel")
		}
		out.Tables = append(out.Tables, table)
	}
	return out
}

func cardSteps(t Text) []string {
	rows := len(t.Strewn.Layout.Rows) > 0
	two := t.Say("Two tapes locate a mark: measure the first length from the first place and the second length from the second. The mark is where they cross, to the right as you look from the first place to the second.")
	strips := t.Say("The strips on the next pages save the measuring: every tick is a mark.")
	drawn := !t.Cloth.Surface.Closed()
	start := t.Say("Work panel by panel, with the panel flat, its right side up and turned as it is drawn. Down is square to the top of the drawing, from that top; rows are level.")
	switch {
	case drawn && rows:
		return []string{start, t.Say("Set the first mark at its distance from where the row meets the panel's left edge, then step on."), strips}
	case drawn:
		return []string{start, two,
			t.Say("Places are earlier marks by their numbers, or the panel's sharp corners. Where no tapes are given, measure down, and around from where the level row meets the panel's left edge.")}
	case rows:
		return []string{
			t.Say("Work panel by panel, with the panel flat and its right side up. Measure how far down along the cloth from the waist seam at both side seams and in the middle, and lay the row's paper strip or a tape through the dots."),
			t.Say("Set the first mark at its distance along the row from the panel's left seam, then step on. Steps run along the row, also where it curves."),
			strips,
		}
	}
	return []string{
		t.Say("Work panel by panel, with the panel flat and its right side up, from the first number on."),
		two,
		t.Say("Places are earlier marks by their numbers, or the panel's corners and the middles of its edges: “waist left” is where the waist seam meets the left side seam."),
		t.Say("Down and around check it: along the cloth from the waist seam, and along the row from the left seam."),
	}
}

// rowTable lists the rows of a panel.
func rowTable(t Text, panel int) Table {
	out := Table{
		Heads: []string{t.Say("row"), t.Say("down"), t.Say("marks"), t.Say("first from the left"), t.Say("step")},
		Right: []bool{true, true, true, true, true},
	}
	for _, r := range t.Strewn.Layout.Rows {
		if r.Panel == panel+1 {
			out.Rows = append(out.Rows, []string{strconv.Itoa(r.Row), t.Length(r.Down), strconv.Itoa(r.Marks), t.Length(r.First), t.Length(r.Step)})
		}
	}
	return out
}

// tapeTable lists the marks of a panel.
func tapeTable(t Text, panel int, list []stage.Tapes) Table {
	out := Table{
		Heads: []string{t.Say("mark"), t.Say("cutout"), t.Say("first place"), "", t.Say("second place"), "", t.Say("down"), t.Say("around")},
		Right: []bool{true, false, true, true, true, true, true, true},
	}
	for i, m := range t.Strewn.Layout.Placements {
		if m.Point.Panel != panel {
			continue
		}
		row := []string{strconv.Itoa(i + 1), t.Mix.Name(m.Kind), "", "", "", "", t.Length(m.Down), t.Length(m.Around)}
		if list[i].Finds() {
			for k, f := range list[i].From {
				row[2+2*k], row[3+2*k] = place(t, f), geom.Length(list[i].Length[k]).In(t.Unit)
			}
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}
