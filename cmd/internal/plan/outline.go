package plan

import (
	"context"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/say"
	"strew/motif/trace"
)

// outlineOf reads the drawing of a project's motif.
func outlineOf(ctx context.Context, m project.Motif, data []byte) (motif.Motif, []say.Message, error) {
	how := trace.DefaultOptions()
	how.Width, how.Height, how.Paper, how.Pick = m.Width, m.Height, m.Paper, m.Pick
	opt := motif.Options{Name: m.Name, Width: m.Width, Height: m.Height, Colour: m.Colour}
	read, warnings, err := readOutline(ctx, m.Outline, data, opt, how)
	if err == nil && m.Colour == "" && isPicture(m.Outline, data) {
		warnings = append(warnings, say.New(`a traced drawing has no colour of its own, so its felt is called %s; write the felt's colour, as in colour = "#d9a521"`, read.Pieces[0].Colour))
	}
	return read, warnings, err
}

// isPicture reports whether a drawing is to be traced: its content counts, and
// its name where the content tells nothing.
func isPicture(name string, data []byte) bool {
	return trace.IsPicture(data) || !project.IsSVG(name) && !trace.IsSVG(data)
}

// readOutline reads an SVG drawing, or traces a picture and reads what was
// traced. All figures of a page make up one motif unless how picks one.
func readOutline(ctx context.Context, name string, data []byte, opt motif.Options, how trace.Options) (motif.Motif, []say.Message, error) {
	if !isPicture(name, data) {
		return motif.ReadSVG(data, opt)
	}
	traced, err := trace.Read(ctx, data, how)
	if err != nil {
		return motif.Motif{}, nil, err
	}
	notes := traced.Notes
	if n := len(traced.Figures); n > 1 {
		notes = append(notes, say.New("the page holds %d figures, which together are this one motif; if you mean one of them, pick it by its number, 1 to %d in reading order (strew trace shows them)", n, n))
	}
	read, warnings, err := motif.ReadSVG(traced.SVG(), opt)
	return read, append(notes, warnings...), err
}
