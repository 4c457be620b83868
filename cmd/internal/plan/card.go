package plan

import (
	"fmt"
	"strconv"

	"strew/render"
	"strew/scatter/skirt"
)

// card is the marking card: a line a row where marks lie in rows, else a line
// a mark with its two tapes.
func (p *Plan) card(parts []render.Part) render.Card {
	c := render.Card{Title: p.Project.Title, Cautions: p.Cautions(), Unit: p.Project.Unit, Paper: p.paper()}
	if len(p.Layout.Rows) > 0 {
		c.Steps = []string{
			"Work panel by panel, with the panel flat and its right side up. Measure how far down along the cloth from the waist seam at both side seams and in the middle, and lay the row's paper strip or a tape through the dots.",
			"Set the first mark at its distance along the row from the panel's left seam, then step on. Steps run along the row, also where it curves.",
			"The strips on the next pages save the measuring: every tick is a mark.",
		}
	} else {
		c.Steps = []string{
			"Work panel by panel, with the panel flat and its right side up, from the first number on.",
			"Two tapes find a mark: the first length from the first place, the second from the second place; where they cross, to the right as you look from the first place to the second, is the mark.",
			"Places are earlier marks by their numbers, or the panel's corners and the middles of its edges: “waist left” is where the waist seam meets the left side seam.",
			"Down and around check it: along the cloth from the waist seam, and along the row from the left seam.",
		}
	}
	if p.Surface.Cut == skirt.Outline {
		c.Steps = drawnSteps(len(p.Layout.Rows) > 0)
	}
	var tapes []tapes
	if len(p.Layout.Rows) == 0 {
		tapes = p.tapes()
	}
	for _, part := range parts {
		panel := part.Panels[0]
		t := p.rowTable(panel)
		if tapes != nil {
			t = p.tapeTable(panel, tapes)
		}
		t.Name = fmt.Sprintf("panel %d", panel+1)
		if p.Surface.Panels == 1 {
			t.Name = "the panel"
		}
		if part.Times == 1 && len(part.Panels) > 1 {
			c.Steps = append(c.Steps, part.Use())
		}
		c.Tables = append(c.Tables, t)
	}
	return c
}

// rowTable tells the rows of a panel.
func (p *Plan) rowTable(panel int) render.Table {
	t := render.Table{Heads: []string{"row", "down", "marks", "first from the left", "step"}, Right: []bool{true, true, true, true, true}, Bold: 1}
	for _, r := range p.Layout.Rows {
		if r.Panel == panel+1 {
			t.Rows = append(t.Rows, []string{strconv.Itoa(r.Row), p.show(r.Down), strconv.Itoa(r.Marks), p.show(r.First), p.show(r.Step)})
		}
	}
	return t
}

// tapeTable tells the marks of a panel.
func (p *Plan) tapeTable(panel int, list []tapes) render.Table {
	t := render.Table{Heads: []string{"mark", "cutout", "first place", "", "second place", "", "down", "around"}, Right: []bool{true, false, true, true, true, true, true, true}, Bold: 1}
	for i, m := range p.Layout.Placements {
		if m.Point.Panel != panel {
			continue
		}
		row := []string{strconv.Itoa(i + 1), p.kindName(p.Kinds[m.Kind]), "", "", "", "", p.show(m.Down), p.show(m.Around)}
		for k, f := range list[i].from {
			if f.name != "" {
				row[2+2*k], row[3+2*k] = f.name, p.show(list[i].length[k])
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// tapes finds the tapes of all marks.
func (p *Plan) tapes() []tapes { return tapesFor(p.Surface, p.Layout.Placements) }

// drawnSteps tells how the card is used on panels drawn as an outline.
func drawnSteps(rows bool) []string {
	start := "Work panel by panel, with the panel flat, its right side up and turned as it is drawn. Down is square to the top of the drawing, from that top; rows are level."
	if rows {
		return []string{start,
			"Set the first mark at its distance from where the row meets the panel's left edge, then step on.",
			"The strips on the next pages save the measuring: every tick is a mark."}
	}
	return []string{start,
		"Two tapes find a mark: the first length from the first place, the second from the second place; where they cross, to the right as you look from the first place to the second, is the mark.",
		"Places are earlier marks by their numbers, or the panel's sharp corners. Where no tapes are given, measure down, and around from where the level row meets the panel's left edge."}
}
