package plan

import "strings"

// feltCost returns what the felt to buy costs, and whether every sheet has a
// price.
func (p *Plan) feltCost() (sum float64, all bool) {
	all = true
	for _, n := range p.Lay.Needs {
		sum += n.Cost
		all = all && (p.Project.Sheets[n.Stock].PriceSet || n.Buy == 0)
	}
	return sum, all
}

// spent are the things on the shopping list that money goes on, in its order.
var spent = []struct{ part, item, words string }{
	{"felt", "", "felt"}, {"cloth", "net", "net"}, {"cloth", "lining", "lining"},
	{"fixing", "hot glue stick", "glue"}, {"fixing", "sewing thread", "thread"},
	{"paper", "", "paper"},
}

// costWords says what the shopping list costs, thing by thing and in all, and
// what has no price; "" where nothing has one.
func (p *Plan) costWords() string {
	lines := p.shopping()
	total := 0.0
	var told, missing []string
	for _, k := range spent {
		cost, known, lacks := 0.0, false, false
		for _, l := range lines {
			if l.part != k.part || k.item != "" && l.item != k.item || l.buy == 0 && l.cost < 0 {
				continue
			}
			if l.cost < 0 {
				lacks = true
				continue
			}
			known = true
			cost += l.cost
		}
		if known {
			total += cost
			told = append(told, k.words+" "+p.money(cost))
		}
		switch {
		case lacks && known:
			missing = append(missing, "some of the "+k.words)
		case lacks:
			missing = append(missing, k.words)
		}
	}
	if len(told) == 0 {
		return ""
	}
	text := strings.Join(told, ", ")
	if len(told) > 1 {
		text += ": " + p.money(total) + " in all"
	}
	if len(missing) > 0 {
		text += "; " + listed(missing) + " without a price"
	}
	return text
}
