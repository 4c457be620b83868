package stage

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/say"
	"strew/motif/trace"
)

// Drawn is a project's motifs, read and measured, in the project's order.
type Drawn struct {
	Motifs   []motif.Motif
	Measures []motif.Measures
	Notes    []Note
}

// figure is one motif, read and measured.
type figure struct {
	motif    motif.Motif
	measures motif.Measures
	said     []say.Message // about the drawing; they name its file
}

// with returns the motifs with one more.
func (d Drawn) with(f figure) Drawn {
	key := outlineKey(len(d.Motifs))
	for _, said := range f.said {
		d.Notes = append(d.Notes, Note{Drawing, key, said})
	}
	return Drawn{append(d.Motifs, f.motif), append(d.Measures, f.measures), d.Notes}
}

// outlineKey returns the project's key of the i-th motif's drawing.
func outlineKey(i int) string { return fmt.Sprintf("motif.%d.outline", i) }

// readMotif reads and measures the project's i-th motif.
func readMotif(ctx context.Context, p project.Project, i int, files fs.FS) (figure, error) {
	m := p.Motifs[i]
	data, err := readFile(files, m.Outline)
	if err != nil {
		return figure{}, noOutline(p, i, files, err)
	}
	how := trace.DefaultOptions()
	how.Width, how.Height, how.Paper, how.Pick = m.Width, m.Height, string(m.Paper), m.Pick
	opt := motif.Options{Name: m.Name, Width: m.Width, Height: m.Height, Colour: m.Colour}
	read, said, err := outline(ctx, m.Outline, data, opt, how)
	if ctx.Err() != nil {
		return figure{}, ctx.Err()
	}
	if err != nil {
		return figure{}, &InputError{m.Outline, 0, outlineKey(i), say.Errorf("motif %q: %s", m.Name, err)}
	}
	if m.Colour == "" && isPicture(m.Outline, data) {
		said = append(said, say.New(`a traced drawing has no colour of its own, so its felt is called %s; give the felt's own colour`, read.Pieces[0].Colour))
	}
	return figure{read, read.Measure(), of(m.Outline, said)}, nil
}

// noOutline says that a motif's drawing cannot be read.
func noOutline(p project.Project, i int, files fs.FS, err error) error {
	m := p.Motifs[i]
	if near := nearestDrawing(files, m.Outline); near != "" && errors.Is(err, errNoFile) {
		return &InputError{p.File, m.Line, outlineKey(i), say.Errorf("motif %q: outline %s: %s; did you mean %q", m.Name, m.Outline, fromProject(err), near)}
	}
	return &InputError{p.File, m.Line, outlineKey(i), say.Errorf("motif %q: outline %s: %s", m.Name, m.Outline, fromProject(err))}
}

// nearestDrawing returns the path, as a project file has it, of the file beside a
// drawing that is not there whose name is most like its own; "" where none is.
func nearestDrawing(files fs.FS, name string) string {
	name = filepath.ToSlash(name)
	in, err := fs.ReadDir(files, path.Dir(name))
	if err != nil {
		return "" // then there is nothing to guess from
	}
	var names []string
	for _, e := range in {
		if !e.IsDir() && project.IsDrawing(e.Name()) {
			names = append(names, e.Name())
		}
	}
	near := project.Nearest(path.Base(name), names)
	if near == "" {
		return ""
	}
	return path.Join(path.Dir(name), near)
}

// of returns messages about a drawing with its file's name before each.
func of(file string, said []say.Message) []say.Message {
	out := make([]say.Message, len(said))
	for i, m := range said {
		out[i] = say.New("%s: %s", file, m)
	}
	return out
}

// isPicture reports whether a drawing must be traced. Its content decides, or its
// name if the content is not recognised.
func isPicture(name string, data []byte) bool {
	return trace.IsPicture(data) || !project.IsSVG(name) && !trace.IsSVG(data)
}

// outline reads an SVG drawing, or traces a picture and reads what was traced.
// All figures on a page together are one motif unless how picks one.
func outline(ctx context.Context, name string, data []byte, opt motif.Options, how trace.Options) (motif.Motif, []say.Message, error) {
	if !isPicture(name, data) {
		return motif.ReadSVG(data, opt)
	}
	traced, err := trace.Read(ctx, data, how)
	if err != nil {
		return motif.Motif{}, nil, err
	}
	said := traced.Notes
	if n := len(traced.Figures); n > 1 {
		said = append(said, say.New("the page holds %d figures, which together are this one motif; if you mean one of them, pick it by its number, 1 to %d in reading order (strew trace shows them)", n, n))
	}
	read, more, err := motif.ReadSVG(traced.SVG(), opt)
	return read, append(said, more...), err
}
