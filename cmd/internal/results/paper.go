package results

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/say"
	"strew/render"
	"strew/render/pdf"
	"strew/render/scene"
	"strew/render/svg"
)

// paper is one file to print: its pages, each a sheet of paper.
type paper struct {
	name, title string
	pages       []*scene.Scene
}

// write writes the file as PDF.
func (f paper) write(ctx context.Context) ([]byte, error) {
	var b bytes.Buffer
	err := pdf.Write(ctx, &b, f.title, f.pages)
	return b.Bytes(), err
}

// paper returns the files to print, drawn when first asked for. A file without
// a page is left out. If the context ends meanwhile, they are incomplete and not
// kept.
func (r *Results) paper(ctx context.Context) []paper {
	r.printing.Lock()
	defer r.printing.Unlock()
	if r.printed {
		return r.papers
	}
	draw := r.papersToDraw(ctx)
	files := make([]paper, len(draw))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range draw {
		g.Go(func() error { files[i] = draw[i](); return nil })
	}
	_ = g.Wait() // drawing has no error to give
	files = slices.DeleteFunc(files, func(f paper) bool { return len(f.pages) == 0 })
	if ctx.Err() == nil {
		r.papers, r.printed = files, true
	}
	return files
}

func (r *Results) papersToDraw(ctx context.Context) []func() paper {
	p := r.plan
	title, text := p.Project.Title, r.words()
	cautions := text.Cautions()
	var out []func() paper
	if !p.LayOnly {
		c, m := Cloth(p), Marks(p)
		out = append(out, func() paper {
			return paper{"placement.pdf", text.Say("%s: marking guide", title), render.MarkingGuide(ctx, c, m, cautions).Pages}
		}, func() paper {
			parts := c.Parts(m)
			pages := r.card(parts).Pages(ctx)
			return paper{"marking.pdf", text.Say("%s: marking card", title), append(pages, render.Strips(ctx, c, parts, m)...)}
		})
	}
	return append(out, func() paper {
		return paper{"templates.pdf", text.Say("%s: templates", title), render.Templates(title, templates(p), printer(p), paperOf(p))}
	}, func() paper {
		return paper{"lay.pdf", text.Say("%s: where to cut", title), render.LayPages(ctx, title, lays(p), cautions)}
	})
}

// printer writes the texts on pictures and pages.
func printer(p stage.Plan) say.Printer { return say.Printer{Unit: p.Project.Unit} }

// paperOf returns the paper that maps and lays are drawn for.
func paperOf(p stage.Plan) render.Paper {
	out, _ := render.PaperNamed(string(p.Project.Supplies.Paper)) // "large": the default paper
	return out
}

// card draws the marking card.
func (r *Results) card(parts []render.Part) render.Card {
	p, text := r.plan, r.words()
	panels := make([]int, len(parts))
	for i, part := range parts {
		panels[i] = part.Panels[0]
	}
	said := text.Card(panels)
	out := render.Card{Title: p.Project.Title, Steps: said.Steps, Cautions: text.Cautions(), Printer: text.Printer, Paper: paperOf(p)}
	for i, part := range parts {
		if part.Times == 1 && len(part.Panels) > 1 {
			out.Steps = append(out.Steps, part.Use(text.Printer))
		}
		t := said.Tables[i]
		out.Tables = append(out.Tables, render.Table{Name: t.Name, Heads: t.Heads, Rows: t.Rows, Right: t.Right, Bold: 1})
	}
	return out
}

// templates lists every motif in every size that is cut.
func templates(p stage.Plan) []render.Template {
	nap := false
	for _, s := range p.Project.Sheets {
		nap = nap || s.Nap != project.NapNone
	}
	var out []render.Template
	for i, k := range p.Mix.Kinds {
		if p.Counts[i].Cut() == 0 {
			continue
		}
		out = append(out, render.Template{
			Name: p.Mix.Motifs[k.Motif].Name, Motif: &p.Mix.Motifs[k.Motif], Size: k.Size, Cut: p.Counts[i].Cut(),
			Nap: nap, Twin: p.Project.Cutting.TraceOn == project.SideBack,
		})
	}
	return out
}

// layGap is the white between the sheets in lay.svg, millimetres: a finger's
// width, so that a sheet can be picked out by hand.
const layGap = 10.0

// laySVG draws the cut lines of all sheets for other programs: one layer for each
// colour of felt, since a machine is loaded colour by colour, and in it one for
// each sheet.
func laySVG(ctx context.Context, p stage.Plan) ([]byte, error) {
	lines, size := render.LayLines(lays(p), layGap)
	var colours []svg.Layer
	at := map[string]int{}
	for i, l := range lines {
		k, is := at[l.Colour]
		if !is {
			k = len(colours)
			at[l.Colour] = k
			colours = append(colours, svg.Layer{ID: fmt.Sprintf("colour-%d", k+1), Name: printer(p).Say("felt %s", l.Colour)})
		}
		colours[k].Sub = append(colours[k].Sub, svg.Layer{ID: fmt.Sprintf("sheet-%d", i+1), Name: l.Name, Ops: l.Ops})
	}
	var b bytes.Buffer
	err := svg.Write(ctx, &b, p.Project.Title, size, colours)
	return b.Bytes(), err
}
