package words

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// Error says why a project could not be planned and what to change, with lengths
// in the project's unit.
func Error(p project.Project, err error) string {
	print := say.Printer{Unit: p.Unit}
	t := Text{Plan: stage.Plan{Project: p}, Printer: print}
	var input *stage.InputError
	var narrow *stage.ClothTooNarrow
	var little *stage.TooLittleFelt
	var lay *stage.LayError
	switch {
	case errors.As(err, &input):
		place := input.File
		if input.Line > 0 {
			place = fmt.Sprintf("%s:%d", input.File, input.Line)
		}
		return place + ": " + print.Error(input.Err)
	case errors.As(err, &narrow):
		return tooNarrow(t, narrow)
	case errors.As(err, &little):
		return tooLittle(t, little)
	case errors.As(err, &lay):
		return notLaid(t, lay)
	}
	return print.Error(err)
}

func tooNarrow(t Text, e *stage.ClothTooNarrow) string {
	table := "skirt"
	if e.Part == stage.Lining {
		table = "lining"
	}
	if e.Drawn {
		return t.Say("%[1]s: the cloth is too narrow for the %[2]s: its narrowest piece takes %[3]s and %[1]s.fabric_width is %[4]s; use wider cloth, or draw the panel in parts with a seam between",
			table, part(t, e.Part), geom.Length(e.Needs), geom.Length(e.Width))
	}
	return t.Say("%[1]s: the cloth is too narrow for the %[2]s: its narrowest piece takes %[3]s and %[1]s.fabric_width is %[4]s; use wider cloth, more panels, or a smaller waist, fullness or length",
		table, part(t, e.Part), geom.Length(e.Needs), geom.Length(e.Width))
}

// tooLittle says that the felt is not enough for the smallest mix.
func tooLittle(t Text, e *stage.TooLittleFelt) string {
	what := say.Many(e.Least, "one cutout", "the %d cutouts of the smallest mix with every motif in it")
	if e.Sheets > 0 {
		return t.Say("scatter.sheets: %s, with spares and patches, take %s of felt; write sheets = %d or more, or use fewer colours",
			what, say.Many(e.Sheets, "%d sheet", "%d sheets"), e.Sheets)
	}
	return t.Say("scatter.budget: felt for %s, with spares and patches, costs %s; write a budget of that or more", what, t.money(e.Cost))
}

// notLaid says which piece could not be laid, and why.
func notLaid(t Text, e *stage.LayError) string {
	piece := e.Name
	if e.Pieces > 1 {
		piece = t.Say("%s, piece %d", e.Name, e.Item.Piece+1)
	}
	var big *sheet.FitError
	var colour *sheet.ColourError
	var short *sheet.ShortError
	switch {
	case errors.As(e.Err, &big):
		return tooLarge(t, piece, big)
	case errors.As(e.Err, &colour):
		if len(colour.Have) == 0 {
			return t.Say("lay: %s needs %s felt and no sheet comes in it: no sheets are listed; add a sheet of this colour, or one without colours", piece, colour.Colour)
		}
		return t.Say("lay: %s needs %s felt and no sheet comes in it: sheets are listed in %s; add a sheet of this colour, or one without colours", piece, colour.Colour, say.Words(colour.Have))
	case errors.As(e.Err, &short) && short.More > 0:
		return t.Say("lay: the %s felt in the drawer runs out and no more is sold: there is no room for %d of %s, and for %d others; add a sheet that can be bought, or cut fewer",
			short.Colour, short.Left, piece, short.More)
	case errors.As(e.Err, &short):
		return t.Say("lay: the %s felt in the drawer runs out and no more is sold: there is no room for %d of %s; add a sheet that can be bought, or cut fewer", short.Colour, short.Left, piece)
	}
	return t.Error(e)
}

// tooLarge says which piece fits no felt, and what would hold it.
func tooLarge(t Text, piece string, big *sheet.FitError) string {
	w, h := geom.Length(big.Width), geom.Length(big.Height)
	widest := math.IsInf(big.Holds[1], 1)
	why := say.New("lay: %s is %s × %s, too large for any felt in %s: the largest, %s, holds %s × %s inside its margins", piece, w, h, big.Colour, big.Largest, geom.Length(big.Holds[0]), geom.Length(big.Holds[1]))
	if widest {
		why = say.New("lay: %s is %s × %s, too large for any felt in %s: the largest, %s, holds %s across inside its margins", piece, w, h, big.Colour, big.Largest, geom.Length(big.Holds[0]))
	}
	if s := otherSheet(t, big); s != "" {
		return t.Say("%s; %s would hold it but does not come in this colour: add the colour to it, or make the piece smaller", why, s)
	}
	margin := 0.0
	for _, s := range t.Project.Sheets {
		if s.Name == big.Largest {
			margin = s.Margin
		}
	}
	if widest {
		return t.Say("%s; use felt %s wide or wider, or make the piece smaller", why, geom.Length(up(math.Min(big.Width, big.Height)+2*margin)))
	}
	return t.Say("%s; use a sheet of %s × %s or larger, or make the piece smaller", why, geom.Length(up(big.Width+2*margin)), geom.Length(up(big.Height+2*margin)))
}

// otherSheet names a sheet that holds the piece as drawn but is listed in other
// colours only; "" for none.
func otherSheet(t Text, big *sheet.FitError) string {
	for _, s := range t.Project.Sheets {
		w, h := s.Width-2*s.Margin, s.Height-2*s.Margin
		if s.Roll {
			h = math.Inf(1)
		}
		if big.Width <= w && big.Height <= h && !slices.Contains(s.Colours, big.Colour) && len(s.Colours) > 0 {
			return s.Name
		}
	}
	return ""
}
