package plan

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"

	"strew/motif/geom"
)

// markingCSV returns the table to mark from: one line a mark, in the maker's
// unit; inches carry three decimals, so that they can be rounded as she likes.
// The turn is against the panel's flat frame, as in plan.json, and again against
// the mark's own upright, its top toward the waist along the cloth.
func (p *Plan) markingCSV() []byte {
	unit := p.Project.Unit
	places := map[geom.Unit]int{geom.Millimetre: 1, geom.Centimetre: 2, geom.Inch: 3}[unit]
	length := func(mm float64) string { return strconv.FormatFloat(mm/unit.MM(), 'f', places, 64) }
	angle := func(rad float64) string {
		a := math.Round(math.Remainder(rad, 2*math.Pi)*1800/math.Pi) / 10
		return strconv.FormatFloat(a+0, 'f', 1, 64)
	}
	rows := [][]string{{"mark", "panel", "row", "motif", "size", "down_" + string(unit), "around_" + string(unit), "turn_deg", "from_upright_deg"}}
	for i, m := range p.Layout.Placements {
		k := p.Kinds[m.Kind]
		rows = append(rows, []string{
			strconv.Itoa(i + 1), strconv.Itoa(m.Point.Panel + 1), strconv.Itoa(m.Row),
			p.Motifs[k.Motif].Name, trim(k.Size), length(m.Down), length(m.Around),
			angle(m.Turn), angle(m.Turn - p.Surface.Upright(m.Point.At)),
		})
	}
	return csvBytes(rows)
}

func csvBytes(rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(rows); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.Bytes()
}
