package words

import (
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// Progress says what is being done, for a line that is overwritten.
func Progress(p say.Printer, e stage.Event) string {
	switch e.Stage {
	case stage.Drawing:
		return p.Say("reading the motifs")
	case stage.Cutting:
		return p.Say("drafting the skirt")
	case stage.Strewing:
		return p.Say("strewing the cutouts")
	case stage.Trying:
		return p.Many(e.Tried, "trying %d cutout on the felt", "trying %d cutouts on the felt")
	case stage.Measuring:
		return p.Say("measuring how evenly the cutouts lie")
	}
	if best := order(p, e.Best); best != "" {
		return p.Say("laying the felt: %s so far", best)
	}
	return p.Say("laying the felt")
}

// order says in a few words what felt an order takes; "" for none.
func order(p say.Printer, needs []sheet.Need) string {
	sheets, length := 0, 0.0
	for _, n := range needs {
		if n.Length > 0 {
			length += n.Length
		} else {
			sheets += n.Sheets
		}
	}
	many := say.Many(sheets, "%d sheet", "%d sheets")
	switch {
	case sheets > 0 && length > 0:
		return p.Say("%s and %s by the length", many, geom.Length(length))
	case sheets > 0:
		return p.Message(many)
	case length > 0:
		return p.Say("%s by the length", geom.Length(length))
	}
	return ""
}
