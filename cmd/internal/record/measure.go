package record

import (
	"errors"

	"strew/cmd/internal/stage"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
)

// docEntry is one file in the answer of measure.
type docEntry struct {
	File     string    `json:"file"`
	Motif    *docMotif `json:"motif,omitempty"`
	Error    string    `json:"error,omitempty"`
	Warnings []string  `json:"warnings"`
}

type docMeasured struct {
	Width       num        `json:"width_mm"`
	Height      num        `json:"height_mm"`
	LeastWidth  num        `json:"least_width_mm"`
	Area        num        `json:"area_mm2"`
	Edge        num        `json:"edge_mm"`
	Narrowest   docCut     `json:"narrowest"`
	Slot        *docCut    `json:"slot"`         // null for none
	InnerCorner *docCorner `json:"inner_corner"` // null for none
	Corners     int        `json:"corners"`
	Hole        *num       `json:"smallest_hole_mm"` // null for none
	Centre      point      `json:"centre_mm"`        // of the widest circle in the piece
	Radius      num        `json:"radius_mm"`
	Square      num        `json:"backing_square_mm"`
	Round       num        `json:"backing_round_mm"`
	SmallPart   bool       `json:"small_part"`
	Mirrors     bool       `json:"mirrors_itself"`
	Weight      num        `json:"weight_g"`
	Seconds     num        `json:"cutting_s"`
}

type docCut struct {
	Width num   `json:"width_mm"`
	From  point `json:"from_mm"`
	To    point `json:"to_mm"`
}

type docCorner struct {
	Angle num   `json:"angle_deg"`
	At    point `json:"at_mm"`
}

func pointOf(v geom.Vec) point { return point{num(v.X), num(v.Y)} }

func cutOf(p motif.Place) docCut { return docCut{num(p.Width()), pointOf(p.From), pointOf(p.To)} }

// Measured returns the answer of measure, one entry for each file.
func Measured(p say.Printer, list []stage.Measured, a motif.Allowances) []byte {
	return encode(entries(p, list, a))
}

// MeasuredFiles returns measure.json: the answer with the name of its format.
func MeasuredFiles(p say.Printer, list []stage.Measured, a motif.Allowances) []byte {
	return encode(struct {
		Format  string     `json:"format"`
		Entries []docEntry `json:"measured"`
	}{"strew-measure/1", entries(p, list, a)})
}

func entries(p say.Printer, list []stage.Measured, a motif.Allowances) []docEntry {
	out := []docEntry{}
	for _, m := range list {
		e := docEntry{File: m.File, Warnings: p.Messages(m.Warnings)}
		if m.Err != nil {
			e.Error = p.Error(errors.Unwrap(m.Err))
		} else {
			d := motifDoc(m.Motif, m.Measures)
			for i := range d.Pieces {
				d.Pieces[i].Measured = measuredDoc(m.Measures.Pieces[i], m.Mirrors[i], a)
			}
			e.Motif = &d
		}
		out = append(out, e)
	}
	return out
}

func measuredDoc(p motif.PieceMeasures, mirrors bool, a motif.Allowances) *docMeasured {
	d := &docMeasured{
		Width: num(p.Width), Height: num(p.Height), LeastWidth: num(p.LeastWidth), Area: num(p.Area), Edge: num(p.Edge),
		Narrowest: cutOf(p.Felt), Corners: p.Corners, Centre: pointOf(p.Widest.At), Radius: num(p.Widest.Radius),
		Square: num(p.BackingSquare()), Round: num(p.BackingRound()),
		SmallPart: p.IsSmallPart(1), Mirrors: mirrors, Weight: num(a.Weight(p)), Seconds: num(a.Seconds(p)),
	}
	if p.Slot != (motif.Place{}) {
		c := cutOf(p.Slot)
		d.Slot = &c
	}
	if p.InnerCorner != (motif.Corner{}) {
		d.InnerCorner = &docCorner{deg(p.InnerCorner.Angle), pointOf(p.InnerCorner.At)}
	}
	if p.Holes > 0 {
		w := num(2 * p.SmallestHole.Radius)
		d.Hole = &w
	}
	return d
}
