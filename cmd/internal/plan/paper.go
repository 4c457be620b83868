package plan

import (
	"bytes"
	"fmt"
	"slices"
	"sync"

	"strew/cmd/internal/folder"
	"strew/render"
	"strew/render/pdf"
	"strew/render/scene"
	"strew/render/svg"
)

// paperFile is one file to print: its pages, each a sheet of paper.
type paperFile struct {
	name, title string
	pages       []*scene.Scene
}

// papers are the files to print, drawn when first asked for.
type papers struct {
	once  sync.Once
	files []paperFile

	hang  sync.Once
	front int // cutouts that show in front as it hangs

	mu    sync.Mutex
	notes []string // of pictures that could not be drawn as large as they should
}

// note keeps a note for the answer.
func (p *papers) note(text string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.notes = append(p.notes, text)
	slices.Sort(p.notes) // pictures are drawn in any order
}

// papersOf returns the files to print. A file without a page is left out.
func (p *Plan) papersOf() []paperFile {
	p.papers.once.Do(func() {
		title, cautions := p.Project.Title, p.Cautions()
		var draw []func() paperFile
		if !p.LayOnly {
			cloth, marks := p.cloth(), p.marks()
			draw = append(draw, func() paperFile {
				return paperFile{"placement.pdf", title + ": marking guide", render.MarkingGuide(cloth, marks, cautions).Pages}
			}, func() paperFile {
				parts := cloth.Parts(marks)
				pages := p.card(parts).Pages()
				return paperFile{"marking.pdf", title + ": marking card", append(pages, render.Strips(cloth, parts, marks)...)}
			})
		}
		draw = append(draw, func() paperFile {
			return paperFile{"templates.pdf", title + ": templates", render.Templates(title, p.templates(), p.Project.Unit, p.paper())}
		}, func() paperFile {
			return paperFile{"lay.pdf", title + ": where to cut", render.LayPages(title, p.sheetLooks(), cautions)}
		})
		files := make([]paperFile, len(draw))
		each(len(draw), func(i int) { files[i] = draw[i]() })
		for _, f := range files {
			if len(f.pages) > 0 {
				p.papers.files = append(p.papers.files, f)
			}
		}
	})
	return p.papers.files
}

// write writes the file.
func (f paperFile) write() (folder.File, error) {
	var b bytes.Buffer
	err := pdf.Write(&b, f.title, f.pages)
	return folder.File{Name: f.name, Data: b.Bytes()}, err
}

// paperWords says how many sheets of paper each file takes.
func (p *Plan) paperWords() string {
	name := p.Project.Supplies.Paper
	words := ""
	for i, f := range p.papersOf() {
		if i > 0 {
			words += ", "
		}
		words += fmt.Sprintf("%s %d", f.name, len(f.pages))
	}
	if name == render.Large {
		return "pages to print: " + words + "; large sheets are for a copy shop"
	}
	return fmt.Sprintf("sheets of %s: %s", name, words)
}

// templates lists every motif in every size that is cut.
func (p *Plan) templates() []render.Template {
	nap := false
	for _, s := range p.Project.Sheets {
		nap = nap || s.Nap != "none"
	}
	var out []render.Template
	for i, k := range p.Kinds {
		if p.Counts[i].Cut() == 0 {
			continue
		}
		out = append(out, render.Template{
			Name: p.Motifs[k.Motif].Name, Motif: &p.Motifs[k.Motif], Size: k.Size, Cut: p.Counts[i].Cut(),
			Nap: nap, Twin: p.Project.Cutting.TraceBack,
		})
	}
	return out
}

// layGap is the white between the sheets in lay.svg, millimetres: a finger's
// width, so that a sheet can be picked out by hand.
const layGap = 10.0

// laySVG draws the cut lines of all sheets for other programs: a layer for
// each colour of felt, since a machine is loaded colour by colour, and in it
// one for each sheet.
func (p *Plan) laySVG() (folder.File, error) {
	lines, size := render.LayLines(p.sheetLooks(), layGap)
	var colours []svg.Layer
	at := map[string]int{}
	for i, l := range lines {
		k, is := at[l.Colour]
		if !is {
			k = len(colours)
			at[l.Colour] = k
			colours = append(colours, svg.Layer{ID: fmt.Sprintf("colour-%d", k+1), Name: "felt " + l.Colour})
		}
		colours[k].Sub = append(colours[k].Sub, svg.Layer{ID: fmt.Sprintf("sheet-%d", i+1), Name: l.Name, Ops: l.Ops})
	}
	var b bytes.Buffer
	err := svg.WriteLayers(&b, p.Project.Title, size.X, size.Y, colours)
	return folder.File{Name: "lay.svg", Data: b.Bytes()}, err
}
