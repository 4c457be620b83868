package words

import (
	"math"
	"strconv"

	"strew/cmd/internal/stage"
	"strew/motif/geom"
)

// MarkingCSV returns the table to mark from: one line for each mark, in the maker's
// unit; inches are rounded to eighths, as tapes show them. step is the distance
// along the row from the mark before, empty for the first of a row on a panel and
// where marks do not lie in rows; there two tapes from earlier places locate the
// mark, to the right as one looks from the first place to the second. turn_deg is
// against the panel's flat frame, as in plan.json; from_upright_deg is against the
// mark's own upright, its top toward the waist along the cloth.
func (t Text) MarkingCSV() []byte {
	unit := t.Project.Unit
	in := "_" + string(unit)
	rows := [][]string{{"mark", "panel", "row", "motif", "size", "down" + in, "around" + in, "step" + in, "turn_deg", "from_upright_deg",
		"first_place", "first" + in, "second_place", "second" + in}}
	l := t.Strewn.Layout
	tapes := tapes(t)
	for i, m := range l.Placements {
		k := t.Mix.Kinds[m.Kind]
		step := ""
		if len(l.Rows) > 0 && i > 0 {
			if b := l.Placements[i-1]; b.Row == m.Row && b.Point.Panel == m.Point.Panel {
				step = tapeLength(m.Around-b.Around, unit)
			}
		}
		row := []string{
			strconv.Itoa(i + 1), strconv.Itoa(m.Point.Panel + 1), strconv.Itoa(m.Row),
			t.Mix.Motifs[k.Motif].Name, number(k.Size), tapeLength(m.Down, unit), tapeLength(m.Around, unit), step,
			degrees(m.Turn), degrees(upright(t.Cloth, m)), "", "", "", "",
		}
		if tapes != nil && tapes[i].Finds() {
			for j, f := range tapes[i].From {
				row[10+2*j], row[11+2*j] = place(t, f), tapeLength(tapes[i].Length[j], unit)
			}
		}
		rows = append(rows, row)
	}
	return csvOf(rows)
}

// tapeLength writes a length as a number in the unit, as finely as a tape shows.
func tapeLength(mm float64, unit geom.Unit) string {
	if unit == geom.Inch {
		return strconv.FormatFloat(math.Round(mm/unit.MM()*8)/8, 'f', 3, 64)
	}
	places := map[geom.Unit]int{geom.Millimetre: 1, geom.Centimetre: 2}[unit]
	return strconv.FormatFloat(mm/unit.MM(), 'f', places, 64)
}

// degrees writes an angle from -180 to 180 to a tenth.
func degrees(rad float64) string {
	a := math.Round(math.Remainder(rad, 2*math.Pi)*1800/math.Pi) / 10
	return strconv.FormatFloat(a+0, 'f', 1, 64)
}

// tapes returns the tapes of all marks; nil if they lie in rows.
func tapes(t Text) []stage.Tapes {
	if len(t.Strewn.Layout.Rows) > 0 {
		return nil
	}
	return stage.TapesFor(t.Cloth.Surface, t.Strewn.Layout.Placements)
}

// place names a place to measure from.
func place(t Text, f stage.TapeFrom) string {
	switch f.Corner {
	case stage.WaistLeft:
		return t.Say("waist left")
	case stage.WaistRight:
		return t.Say("waist right")
	case stage.WaistMiddle:
		return t.Say("waist middle")
	case stage.HemMiddle:
		return t.Say("hem middle")
	case stage.HemLeft:
		return t.Say("hem left")
	case stage.HemRight:
		return t.Say("hem right")
	case stage.TopLeft:
		return t.Say("top left")
	case stage.TopRight:
		return t.Say("top right")
	case stage.BottomRight:
		return t.Say("bottom right")
	case stage.BottomLeft:
		return t.Say("bottom left")
	}
	return strconv.Itoa(f.Mark)
}
