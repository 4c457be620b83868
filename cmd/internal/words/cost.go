package words

import (
	"math"
	"strings"

	"strew/motif/say"
)

// Cost is what the shopping list costs, in the project's currency; nil is a part
// without a price.
type Cost struct {
	Currency string   `json:"currency"`
	Felt     *float64 `json:"felt,omitempty"`
	Cloth    *float64 `json:"cloth,omitempty"`
	Fixing   *float64 `json:"fixing,omitempty"`
	Paper    *float64 `json:"paper,omitempty"`
	Total    *float64 `json:"total,omitempty"` // of what has a price
}

// Cost returns what the shopping list costs. Paper is counted once it is drawn.
func (t Text) Cost() Cost {
	out := Cost{Currency: t.Project.Supplies.Currency}
	add := func(to **float64, cost float64) {
		if *to == nil {
			*to = new(float64)
		}
		**to = math.Round((**to+cost)*1e6) / 1e6
	}
	of := map[string]**float64{partFelt: &out.Felt, partCloth: &out.Cloth, partFixing: &out.Fixing, partPaper: &out.Paper}
	for _, l := range shopping(t) {
		if l.cost >= 0 {
			add(of[l.part], l.cost)
			add(&out.Total, l.cost)
		}
	}
	return out
}

// spent is something on the shopping list that costs money.
type spent struct {
	words string  // what it is
	cost  float64 // of what has a price
	known bool    // some of it has a price
	lacks bool    // some of it has none
}

// spending lists what costs money, in the order of the shopping list.
func spending(t Text) []spent {
	lines := shopping(t)
	of := func(words, part, item string) spent {
		s := spent{words: words}
		for _, l := range lines {
			switch {
			case l.part != part || item != "" && l.item != item || l.buy == 0 && l.cost < 0:
			case l.cost < 0:
				s.lacks = true
			default:
				s.known = true
				s.cost += l.cost
			}
		}
		return s
	}
	return []spent{
		of(t.Say("felt"), partFelt, ""), of(t.Say("net"), partCloth, itemNet), of(t.Say("lining"), partCloth, itemLining),
		of(t.Say("glue"), partFixing, itemGlue), of(t.Say("thread"), partFixing, itemThread), of(t.Say("paper"), partPaper, ""),
	}
}

// cost says what the shopping list costs, item by item and in all, and what has
// no price; "" where nothing has one.
func cost(t Text) string {
	total := 0.0
	var told []string
	all := spending(t)
	for _, s := range all {
		if s.known {
			total += s.cost
			told = append(told, t.Say("%s %s", s.words, t.money(s.cost)))
		}
	}
	if len(told) == 0 {
		return ""
	}
	text := strings.Join(told, ", ")
	if len(told) > 1 {
		text = t.Say("%s: %s in all", text, t.money(total))
	}
	if missing := unpriced(t, all); missing != "" {
		text = t.Say("%s; %s", text, missing)
	}
	return text
}

// unpriced says what has no price; "" where all has one.
func unpriced(t Text, all []spent) string {
	var missing []string
	for _, s := range all {
		switch {
		case s.lacks && s.known:
			missing = append(missing, t.Say("some of the %s", s.words))
		case s.lacks:
			missing = append(missing, s.words)
		}
	}
	if len(missing) == 0 {
		return ""
	}
	return t.Say("%s without a price", say.Words(missing))
}
