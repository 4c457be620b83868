package words

import (
	"strings"

	"strew/motif/say"
)

// spent is something on the shopping list that costs money.
type spent struct {
	part, item string // item "": all of the part
	words      string
}

// spending lists what costs money, in the order of the shopping list.
func spending(t Text) []spent {
	return []spent{
		{partFelt, "", t.Say("felt")}, {partCloth, itemNet, t.Say("net")}, {partCloth, itemLining, t.Say("lining")},
		{partFixing, itemGlue, t.Say("glue")}, {partFixing, itemThread, t.Say("thread")},
		{partPaper, "", t.Say("paper")},
	}
}

// cost says what the shopping list costs, item by item and in all, and what has
// no price; "" where nothing has one.
func cost(t Text) string {
	lines := shopping(t)
	total := 0.0
	var told, missing []string
	for _, s := range spending(t) {
		cost, known, lacks := 0.0, false, false
		for _, l := range lines {
			switch {
			case l.part != s.part || s.item != "" && l.item != s.item || l.buy == 0 && l.cost < 0:
			case l.cost < 0:
				lacks = true
			default:
				known = true
				cost += l.cost
			}
		}
		if known {
			total += cost
			told = append(told, t.Say("%s %s", s.words, t.money(cost)))
		}
		switch {
		case lacks && known:
			missing = append(missing, t.Say("some of the %s", s.words))
		case lacks:
			missing = append(missing, s.words)
		}
	}
	if len(told) == 0 {
		return ""
	}
	text := strings.Join(told, ", ")
	if len(told) > 1 {
		text = t.Say("%s: %s in all", text, t.money(total))
	}
	if len(missing) > 0 {
		text = t.Say("%s; %s without a price", text, say.Words(missing))
	}
	return text
}
