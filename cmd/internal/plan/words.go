package plan

import (
	"fmt"
	"strconv"
	"strings"
)

// trim writes a number without needless decimals.
func trim(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// many writes a count with its noun: "1 sheet", "2 sheets".
func many(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

// listed writes "a, b and c".
func listed(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

// money writes a sum in the project's currency.
func (p *Plan) money(sum float64) string {
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", sum, p.Project.Supplies.Currency))
}

// direction in a maker's words.
var directionWords = map[string]string{
	"one-way": "upright", "two-way": "up and down", "tossed": "tossed",
}
