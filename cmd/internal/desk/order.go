package desk

import (
	"math"

	"strew/cmd/internal/project"
	"strew/cmd/internal/shown"
	"strew/motif/geom"
	"strew/sheet"
)

// lays is the part that tells of the felt.
type lays struct {
	Part    string        `json:"part"`
	Rev     int           `json:"rev"`
	Working bool          `json:"working"`
	Order   []need        `json:"order"`
	Sheets  []shown.Sheet `json:"sheets"` // of the last lay that is whole
}

// need is how much of one felt is needed. Sheets are counted, felt by the length
// is in millimetres.
type need struct {
	Sheet   string  `json:"sheet"`
	Colour  string  `json:"colour"`
	Roll    bool    `json:"roll"`
	Need    int     `json:"need"`
	Stock   int     `json:"stock"`
	Buy     int     `json:"buy"`
	AtLeast int     `json:"at_least"`
	Cost    float64 `json:"cost"`
}

// needs turns an order into what the page shows.
func needs(pr project.Project, list []sheet.Need) []need {
	out := make([]need, len(list))
	for i, n := range list {
		s := pr.Sheets[n.Stock]
		out[i] = need{s.Name, n.Colour, s.Roll, n.Sheets, n.Drawer, n.Buy, n.AtLeast, n.Cost}
		if s.Roll {
			out[i].Need = int(math.Ceil(n.Length - geom.Touch))
			out[i].Buy = out[i].Need
		}
	}
	return out
}

// better returns of each colour the needs that take less felt.
func better(was, found []sheet.Need) []sheet.Need {
	felt := func(list []sheet.Need, colour string) (sheets int, length float64) {
		for _, n := range list {
			if n.Colour == colour {
				sheets += n.Sheets
				length += n.Length
			}
		}
		return sheets, length
	}
	var out []sheet.Need
	for _, n := range was {
		sheets, length := felt(was, n.Colour)
		s, l := felt(found, n.Colour)
		if s+int(math.Ceil(l)) == 0 || s > sheets || l > length {
			out = append(out, n)
		}
	}
	for _, n := range found {
		sheets, length := felt(was, n.Colour)
		if s, l := felt(found, n.Colour); s <= sheets && l <= length {
			out = append(out, n)
		}
	}
	return out
}
