package words

import (
	"strew/motif/geom"
	"strew/motif/say"
)

// Sum is the short answer in parts, each ready to be shown.
type Sum struct {
	Placed string    `json:"placed,omitempty"` // "64 cutouts"; "" without a skirt
	Cut    string    `json:"cut"`              // "68 to cut"
	Counts []SumKind `json:"counts"`
	Buy    string    `json:"buy"` // "4 sheets of felt to buy"
	Felt   []SumFelt `json:"felt"`
	Cost   SumCost   `json:"cost"`
	Hours  SumHours  `json:"hours"`
}

// SumKind is how many are cut of a motif in one size; of patches too.
type SumKind struct {
	Name   string  `json:"name"` // "ginkgo × 0.7"
	Motif  string  `json:"motif"`
	Size   float64 `json:"size"`
	Placed int     `json:"placed"`
	Cut    int     `json:"cut"`
}

// SumFelt is what is needed of one felt.
type SumFelt struct {
	Sheet   string `json:"sheet"`
	Colour  string `json:"colour"`             // "#rrggbb"
	Need    string `json:"need"`               // "4 sheets"
	Stock   string `json:"stock,omitempty"`    // "1 in the drawer"; "" for none
	Buy     string `json:"buy"`                // "3 sheets"
	AtLeast string `json:"at_least,omitempty"` // "3 might do"; "" where less is ruled out or nothing is proven
}

// SumCost says what the shopping list costs.
type SumCost struct {
	Total   string   `json:"total,omitempty"`   // "35.22 EUR"; "" where nothing has a price
	Parts   []string `json:"parts,omitempty"`   // "felt 4.40 EUR"
	Missing string   `json:"missing,omitempty"` // "net and paper without a price"
}

// SumHours says how long the work takes, as rounded guesses.
type SumHours struct {
	Total string   `json:"total"` // "about 5 hours"
	Parts []string `json:"parts"` // "cutting 2 hours"
}

// Pages returns how many sheets of paper each file to print takes, once it is
// drawn.
func (t Text) Pages() map[string]int {
	out := map[string]int{}
	for _, f := range t.Drawn.Paper {
		out[f.File] = f.Sheets
	}
	return out
}

// Sum returns the short answer in parts. Paper is counted once it is drawn.
func (t Text) Sum() Sum {
	placed, cut := t.Totals()
	out := Sum{
		Cut: t.Say("%d to cut", cut), Counts: sumKinds(t), Buy: toBuy(t), Felt: sumFelts(t),
		Cost: sumCost(t), Hours: sumHours(t),
	}
	if !t.LayOnly {
		out.Placed = t.Many(placed, "%d cutout", "%d cutouts")
	}
	return out
}

func sumKinds(t Text) []SumKind {
	out := []SumKind{}
	for i, c := range t.Counts {
		k := t.Mix.Kinds[i]
		out = append(out, SumKind{t.Mix.Name(i), t.Mix.Motifs[k.Motif].Name, k.Size, c.Placed, c.Cut()})
	}
	return out
}

// toBuy says in a few words how much felt to buy.
func toBuy(t Text) string {
	sheets, length := 0, 0.0
	for _, n := range t.Laid.Lay.Needs {
		if length += n.Length; !t.Project.Sheets[n.Stock].Roll {
			sheets += n.Buy
		}
	}
	many := say.Many(sheets, "%d sheet of felt", "%d sheets of felt")
	switch {
	case sheets > 0 && length > 0:
		return t.Say("%s and %s by the length to buy", many, t.feltLength(length))
	case length > 0:
		return t.Say("%s of felt to buy", t.feltLength(length))
	case sheets > 0:
		return t.Say("%s to buy", many)
	}
	return t.Say("no felt to buy")
}

func sumFelts(t Text) []SumFelt {
	out := []SumFelt{}
	for _, n := range t.Laid.Lay.Needs {
		s := t.Project.Sheets[n.Stock]
		f := SumFelt{Sheet: s.Name, Colour: n.Colour, Need: t.Many(n.Sheets, "%d sheet", "%d sheets"), Buy: feltQuantity(t, n)}
		if n.Drawer > 0 {
			f.Stock = t.Say("%d in the drawer", n.Drawer)
		}
		switch {
		case s.Roll:
			f.Need = f.Buy
			if least := float64(n.AtLeast); least > 0 && least < n.Length-1 {
				f.AtLeast = t.Say("%s might do", geom.Length(least))
			}
		case n.AtLeast > 0 && n.AtLeast < n.Sheets:
			f.AtLeast = t.Say("%d might do", n.Sheets-1)
		}
		out = append(out, f)
	}
	return out
}

func sumCost(t Text) SumCost {
	var out SumCost
	all := spending(t)
	for _, s := range all {
		if s.known {
			out.Parts = append(out.Parts, t.Say("%s %s", s.words, t.money(s.cost)))
		}
	}
	if sum := t.Cost().Total; sum != nil {
		out.Total = t.money(*sum)
	}
	out.Missing = unpriced(t, all)
	return out
}

func sumHours(t Text) SumHours {
	h := t.Estimate()
	out := SumHours{Total: t.Say("about %s", hours(h.Marking+h.Cutting+h.Fixing))}
	if !t.LayOnly {
		out.Parts = append(out.Parts, t.Say("marking %s", hours(h.Marking)))
	}
	out.Parts = append(out.Parts, t.Say("cutting %s", hours(h.Cutting)))
	if !t.LayOnly {
		out.Parts = append(out.Parts, t.Say("fixing %s", hours(h.Fixing)))
	}
	return out
}
