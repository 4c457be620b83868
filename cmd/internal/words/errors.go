package words

import (
	"errors"
	"math"
	"slices"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter"
	"strew/sheet"
)

// Error says why a project could not be planned and what to change, for a reader
// who has the file: after its name and line, or the part of the project that is at
// fault. Lengths are in the project's unit.
func Error(p project.Project, err error) string {
	if problems := (project.Problems)(nil); errors.As(err, &problems) {
		return problems.Error() // with all their places
	}
	reason := Reason(p, err)
	if place := placeOf(err); place != "" {
		return place + ": " + reason
	}
	return reason
}

// placeOf names the file and line, the table or the key at fault; "" where the
// reason stands alone.
func placeOf(err error) string {
	var input *stage.InputError
	var narrow *stage.ClothTooNarrow
	var little *stage.TooLittleFelt
	var lay *stage.LayError
	var no *scatter.Impossible
	switch {
	case errors.As(err, &input):
		return input.Place()
	case errors.As(err, &narrow):
		return clothTable(narrow) + ".fabric_width"
	case errors.As(err, &little) && little.Sheets > 0:
		return "scatter.sheets"
	case errors.As(err, &little):
		return "scatter.budget"
	case errors.As(err, &lay):
		return "lay"
	case errors.As(err, &no):
		return "scatter"
	}
	return ""
}

// Reason is Error without a place, to stand beside the control that Blame names.
// Of several problems of a file it is the one that Blame names.
func Reason(p project.Project, err error) string {
	print := say.Printer{Unit: p.Unit}
	t := Text{Plan: stage.Plan{Project: p}, Printer: print}
	var problems project.Problems
	var input *stage.InputError
	var narrow *stage.ClothTooNarrow
	var little *stage.TooLittleFelt
	var lay *stage.LayError
	var no *scatter.Impossible
	switch {
	case errors.As(err, &problems) && len(problems) > 0:
		return print.Message(blamed(problems).Say())
	case errors.As(err, &input):
		return print.Error(input.Err)
	case errors.As(err, &narrow):
		return tooNarrow(t, narrow)
	case errors.As(err, &little):
		return tooLittle(t, little)
	case errors.As(err, &lay):
		return notLaid(t, lay)
	case errors.As(err, &no):
		return print.Error(no)
	}
	return print.Error(err)
}

func clothTable(e *stage.ClothTooNarrow) string {
	if e.Part == stage.Lining {
		return "lining"
	}
	return "skirt"
}

func tooNarrow(t Text, e *stage.ClothTooNarrow) string {
	needs, width := geom.Length(up(e.Needs)), geom.Length(e.Width)
	if e.Drawn {
		return t.Say("the cloth for the %s is %s wide, too narrow for its narrowest piece; use cloth %s wide or wider, or draw the panel in parts with a seam between", part(t, e.Part), width, needs)
	}
	return t.Say("the cloth for the %s is %s wide, too narrow for its narrowest piece; use cloth %s wide or wider, more panels, or a smaller waist, fullness or length", part(t, e.Part), width, needs)
}

// tooLittle says that the felt is not enough for the smallest mix.
func tooLittle(t Text, e *stage.TooLittleFelt) string {
	what := say.Many(e.Least, "one cutout", "the %d cutouts of the smallest mix with every motif in it")
	if e.Sheets > 0 {
		return t.Say("felt for %s, with spares and patches, takes %s; allow that many or more, or use fewer colours", what, say.Many(e.Sheets, "%d sheet", "%d sheets"))
	}
	return t.Say("felt for %s, with spares and patches, costs %s; allow that or more", what, t.money(e.Cost))
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
			return t.Say("%s needs %s felt and no sheet comes in it: no sheets are listed; add a sheet of this colour, or one without colours", piece, colour.Colour)
		}
		return t.Say("%s needs %s felt and no sheet comes in it: sheets are listed in %s; add a sheet of this colour, or one without colours", piece, colour.Colour, say.Words(colour.Have))
	case errors.As(e.Err, &short) && short.More > 0:
		return t.Say("the %s felt in the drawer runs out and no more is sold: there is no room for %d of %s, and for %d others; add a sheet that can be bought, or cut fewer",
			short.Colour, short.Left, piece, short.More)
	case errors.As(e.Err, &short):
		return t.Say("the %s felt in the drawer runs out and no more is sold: there is no room for %d of %s; add a sheet that can be bought, or cut fewer", short.Colour, short.Left, piece)
	}
	return t.Error(e)
}

// tooLarge says which piece fits no felt, and what would hold it.
func tooLarge(t Text, piece string, big *sheet.FitError) string {
	w, h := geom.Length(big.Width), geom.Length(big.Height)
	widest := math.IsInf(big.Holds[1], 1)
	why := say.New("%s is %s × %s, too large for any felt in %s: the largest, %s, holds %s × %s inside its margins", piece, w, h, big.Colour, big.Largest, geom.Length(big.Holds[0]), geom.Length(big.Holds[1]))
	if widest {
		why = say.New("%s is %s × %s, too large for any felt in %s: the largest, %s, holds %s across inside its margins", piece, w, h, big.Colour, big.Largest, geom.Length(big.Holds[0]))
	}
	if i := otherSheet(t.Project, big); i >= 0 {
		return t.Say("%s; %s would hold it but does not come in this colour: add the colour to it, or make the piece smaller", why, t.Project.Sheets[i].Name)
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

// otherSheet returns the number of a sheet that holds the piece as drawn but is
// listed in other colours only; -1 for none.
func otherSheet(p project.Project, big *sheet.FitError) int {
	return slices.IndexFunc(p.Sheets, func(s project.Sheet) bool {
		w, h := s.Width-2*s.Margin, s.Height-2*s.Margin
		if s.Roll {
			h = math.Inf(1)
		}
		return big.Width <= w && big.Height <= h && !slices.Contains(s.Colours, big.Colour) && len(s.Colours) > 0
	})
}
