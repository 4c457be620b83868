package plan

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"

	"strew/motif/geom"
)

// markingCSV returns the table to mark from: one line a mark, in the maker's
// unit; inches are rounded to eighths, as tapes show them. step is the way along
// the row from the mark before, empty for the first of a panel's row and where
// marks lie in no rows; there two tapes from earlier places find the mark, to
// the right as one looks from the first place to the second. The turn is against
// the panel's flat frame, as in plan.json, and again against the mark's own
// upright, its top toward the waist along the cloth.
func (p *Plan) markingCSV() []byte {
	unit := p.Project.Unit
	length := func(mm float64) string {
		if unit == geom.Inch {
			return strconv.FormatFloat(math.Round(mm/unit.MM()*8)/8, 'f', 3, 64)
		}
		places := map[geom.Unit]int{geom.Millimetre: 1, geom.Centimetre: 2}[unit]
		return strconv.FormatFloat(mm/unit.MM(), 'f', places, 64)
	}
	angle := func(rad float64) string {
		a := math.Round(math.Remainder(rad, 2*math.Pi)*1800/math.Pi) / 10
		return strconv.FormatFloat(a+0, 'f', 1, 64)
	}
	in := "_" + string(unit)
	rows := [][]string{{"mark", "panel", "row", "motif", "size", "down" + in, "around" + in, "step" + in, "turn_deg", "from_upright_deg",
		"first_place", "first" + in, "second_place", "second" + in}}
	inRows := len(p.Layout.Rows) > 0
	var found []tapes
	if !inRows {
		found = p.tapes()
	}
	for i, m := range p.Layout.Placements {
		k := p.Kinds[m.Kind]
		step := ""
		if inRows && i > 0 {
			if b := p.Layout.Placements[i-1]; b.Row == m.Row && b.Point.Panel == m.Point.Panel {
				step = length(m.Around - b.Around)
			}
		}
		row := []string{
			strconv.Itoa(i + 1), strconv.Itoa(m.Point.Panel + 1), strconv.Itoa(m.Row),
			p.Motifs[k.Motif].Name, trim(k.Size), length(m.Down), length(m.Around), step,
			angle(m.Turn), angle(m.Turn - p.Surface.Upright(m.Point.At)), "", "", "", "",
		}
		if !inRows {
			for j, f := range found[i].from {
				if f.name != "" {
					row[10+2*j], row[11+2*j] = f.name, length(found[i].length[j])
				}
			}
		}
		rows = append(rows, row)
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
