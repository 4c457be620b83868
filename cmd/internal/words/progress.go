package words

import (
	"strew/cmd/internal/stage"
	"strew/motif/say"
)

// Progress says what is being done.
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
	}
	if e.Stage == stage.Measuring {
		return p.Say("measuring how evenly the cutouts lie")
	}
	return p.Say("laying the felt")
}
