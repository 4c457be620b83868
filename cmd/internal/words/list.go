package words

import (
	"strings"

	"strew/cmd/internal/project"
	"strew/sheet"
)

// Section is a part of the shopping list, as it is ticked off on a screen.
type Section struct {
	Title string `json:"title"`
	Lines []Line `json:"lines"`
}

// Line is one thing to buy, or a sum.
type Line struct {
	ID       string `json:"id"` // the same in every plan that has the line
	Item     string `json:"item"`
	Quantity string `json:"quantity,omitempty"`
	Note     string `json:"note,omitempty"`
	Cost     string `json:"cost,omitempty"` // "": no price is known
	Sum      bool   `json:"sum,omitempty"`  // a sum: nothing to tick off
}

// List returns the shopping list: what shopping.md and shopping.csv list, with a
// sum for each part of several lines and one for all. Paper is listed once it is
// drawn.
func (t Text) List() []Section {
	var out []Section
	for _, part := range []struct{ name, title string }{
		{partFelt, t.Say("Felt")}, {partCloth, t.Say("Cloth")}, {partFixing, t.Say("Fixing")}, {partPaper, t.Say("Paper")},
	} {
		section := Section{Title: part.title}
		sum, priced := 0.0, 0
		for i, l := range shopping(t) {
			if l.part != part.name || l.need == 0 {
				continue
			}
			section.Lines = append(section.Lines, listed(t, i, l))
			if l.cost >= 0 {
				sum += l.cost
				priced++
			}
		}
		if priced > 1 {
			section.Lines = append(section.Lines, Line{ID: part.name, Item: t.Say("%s in all", part.title), Cost: t.money(sum), Sum: true})
		}
		if len(section.Lines) > 0 {
			out = append(out, section)
		}
	}
	return append(out, Section{Title: t.Say("In all"), Lines: []Line{total(t)}})
}

// total is the sum of the shopping list, with what has no price.
func total(t Text) Line {
	out := Line{ID: "total", Item: t.Say("Everything"), Note: unpriced(t, spending(t)), Sum: true}
	if sum := t.Cost().Total; sum != nil {
		out.Cost = t.money(*sum)
	}
	return out
}

// listed returns the i-th line of the shopping list as it is shown.
func listed(t Text, i int, l line) Line {
	out := Line{ID: l.part + "/" + l.item + "/" + l.colour, Note: l.note}
	if l.cost >= 0 {
		out.Cost = t.money(l.cost)
	}
	switch l.part {
	case partFelt:
		out.Item = t.Say("%s, %s", l.item, l.colour)
		n := t.Laid.Lay.Needs[i] // felt comes first
		out.Quantity, out.Note = feltQuantity(t, n), feltNote(t, l, n)
	case partCloth:
		f := t.Cloth.Fabric[i-len(t.Laid.Lay.Needs)]
		out.Item = t.Say("%s, %s", part(t, f.Part), l.colour)
		out.Quantity, out.Note = t.clothLength(f.Length), howCut(t, f)
	case partFixing:
		out.Item, out.Quantity = t.Say("sewing thread, %s", l.colour), t.Many(int(l.buy), "%d reel", "%d reels")
		if l.item == itemGlue {
			out.Item, out.Quantity = t.Say("hot glue, %s", l.size), t.Many(int(l.buy), "%d stick", "%d sticks")
		}
	case partPaper:
		out.Item, out.Quantity = t.Say("paper to print on, %s", paperName(t)), t.Many(int(l.buy), "%d sheet", "%d sheets")
		out.Note = papers(t)
	}
	return out
}

// papers says how many sheets of paper each thing to print takes, by what it is called
// where it is looked through and printed.
func papers(t Text) string {
	called := map[string]string{
		"placement.pdf": t.Say("marking guide"), "marking.pdf": t.Say("marking card"),
		"templates.pdf": t.Say("templates"), "lay.pdf": t.Say("where to cut"),
	}
	var out []string
	for _, f := range t.Drawn.Paper {
		name := called[f.File]
		if name == "" {
			name = f.File
		}
		out = append(out, t.Say("%s %d", name, f.Sheets))
	}
	return strings.Join(out, ", ")
}

// paperName is what the paper is called.
func paperName(t Text) string {
	if t.Project.Supplies.Paper == project.PaperLarge {
		return t.Say("large sheets")
	}
	return string(t.Project.Supplies.Paper)
}

// feltQuantity says how much of a felt to buy.
func feltQuantity(t Text, n sheet.Need) string {
	if t.Project.Sheets[n.Stock].Roll {
		return t.feltLength(n.Length)
	}
	if n.Buy == 0 {
		return t.Say("none to buy")
	}
	return t.Many(n.Buy, "%d sheet", "%d sheets")
}

// feltNote says how large a felt is, how much of it is there, and what is proven
// about less.
func feltNote(t Text, l line, n sheet.Need) string {
	out := l.size
	if n.Drawer > 0 {
		out = t.Say("%s; %s", out, t.Say("%d needed, %d of them in the drawer", n.Sheets, n.Drawer))
	}
	if bound := bound(t, n); bound != "" {
		out = t.Say("%s; %s", out, bound)
	}
	return out
}
