package words

import (
	"fmt"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
)

// layWords says what is laid, in a few words.
func layWords(t Text) string {
	pieces := 0
	for _, it := range t.Laid.Items {
		pieces += t.Counts[it.Kind].Cut()
	}
	lengths, sheets := 0, 0
	for _, s := range t.Laid.Lay.Sheets {
		if t.Project.Sheets[s.Stock].Roll {
			lengths++
		} else {
			sheets++
		}
	}
	many := say.Many(pieces, "%d piece", "%d pieces")
	onSheets, onLengths := say.Many(sheets, "%d sheet", "%d sheets"), say.Many(lengths, "%d length", "%d lengths")
	switch {
	case sheets == 0:
		return t.Say("%s laid on %s of felt", many, onLengths)
	case lengths > 0:
		return t.Say("%s laid on %s and %s of felt", many, onSheets, onLengths)
	}
	return t.Say("%s laid on %s of felt", many, onSheets)
}

// cutouts says how many of each to cut, spares included.
func cutouts(t Text) []string {
	var out []string
	kinds, total := 0, 0
	for i, c := range t.Counts {
		if c.Cut() == 0 || t.Mix.IsPatch(i) {
			continue // a kind of which none are cut is named in a warning
		}
		out = append(out, cutout(t, c))
		kinds++
		total += c.Cut()
	}
	placed, _ := t.Totals()
	switch {
	case kinds > 1 && t.LayOnly:
		out = append(out, t.Say("%s  in all", columns(total)))
	case kinds > 1:
		out = append(out, t.Say("%s  in all, %d of them placed", columns(total), placed))
	}
	for i, c := range t.Counts {
		if c.Cut() > 0 && t.Mix.IsPatch(i) {
			out = append(out, patch(t, c))
		}
	}
	return out
}

// columns pads a count so that counts below one another line up.
func columns(n int) string { return fmt.Sprintf("%4d", n) }

// cutout says how many of one kind to cut.
func cutout(t Text, c stage.Count) string {
	k := t.Mix.Kinds[c.Kind]
	text := t.Say("%s  %s", columns(c.Cut()), t.Mix.Name(c.Kind))
	if !t.LayOnly {
		text = t.Say("%s  %s (%d placed, %d spare), %s", columns(c.Cut()), t.Mix.Name(c.Kind), c.Placed, c.Spare, direction(t, k.Motif))
	}
	if n := len(t.Mix.Motifs[k.Motif].Pieces); n > 1 {
		return t.Say("%s, of %d pieces each", text, n)
	}
	return text
}

// direction says which way a motif points.
func direction(t Text, motif int) string {
	switch t.Project.Motifs[motif].Direction {
	case "one-way":
		return t.Say("upright")
	case "two-way":
		return t.Say("up and down")
	}
	return t.Say("tossed")
}

// patch says how many patches of one kind to cut.
func patch(t Text, c stage.Count) string {
	k := t.Mix.Kinds[c.Kind]
	side := geom.Length(t.Mix.Measures[k.Motif].Width * k.Size)
	if t.Project.Backing.Shape == project.PatchRound {
		return t.Say("%s  %s: rounds of %s, %s, behind the net", columns(c.Cut()), t.Mix.Name(c.Kind), side, t.Project.Backing.Colour)
	}
	return t.Say("%s  %s: squares of %s, %s, behind the net", columns(c.Cut()), t.Mix.Name(c.Kind), side, t.Project.Backing.Colour)
}
