package record

import (
	"strew/cmd/internal/stage"
)

// docChoice is one choice of a comparison.
type docChoice struct {
	Asked   string     `json:"asked"`
	Spacing num        `json:"spacing_mm"` // as asked, or as found; 0: not known
	Found   num        `json:"found_mm"`   // as found, wider than asked if that was too close; 0: not planned
	Pattern string     `json:"pattern"`
	Placed  int        `json:"placed"`
	Cut     int        `json:"cut"`
	Sheets  []docOrder `json:"sheets"`
	Cost    num        `json:"cost"`
	Error   string     `json:"error,omitempty"`
}

// Compared returns the answer of compare, one entry for each choice; why says why
// a choice could not be planned.
func Compared(list []stage.Choice, why func(stage.Choice) string) []byte {
	return encode(choices(list, why))
}

// ComparedFiles returns compare.json: the answer with the name of its format.
func ComparedFiles(list []stage.Choice, why func(stage.Choice) string) []byte {
	return encode(struct {
		Format  string      `json:"format"`
		Choices []docChoice `json:"choices"`
	}{"strew-compare/1", choices(list, why)})
}

func choices(list []stage.Choice, why func(stage.Choice) string) []docChoice {
	out := []docChoice{}
	for _, c := range list {
		d := docChoice{Asked: c.Asked, Pattern: c.Pattern, Spacing: num(c.Spacing()), Sheets: []docOrder{}}
		if c.Err != nil {
			d.Error = why(c)
		} else {
			d.Placed, d.Cut = c.Plan.Totals()
			d.Found = num(c.Plan.Strewn.Layout.Spacing)
			d.Sheets = orderOf(c.Plan)
			cost, _ := c.Plan.FeltCost()
			d.Cost = num(cost)
		}
		out = append(out, d)
	}
	return out
}
