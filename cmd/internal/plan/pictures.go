package plan

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"sync"

	"golang.org/x/sync/errgroup"

	"strew/cmd/internal/folder"
	"strew/motif/geom"
	"strew/render"
	"strew/render/raster"
	"strew/render/scene"
	"strew/scatter/skirt"
	"strew/sheet"
)

// Files draws and writes every result into memory: pictures, tables, lists and
// plan.json, which names them all. progress may be nil.
func (p *Plan) Files(ctx context.Context, progress func(Stage)) ([]folder.File, error) {
	type drawing struct {
		name string
		draw func() (folder.File, error)
	}
	var drawings []drawing
	picture := func(name string, dpi float64, draw func() *scene.Scene) {
		drawings = append(drawings, drawing{name, func() (folder.File, error) {
			var b bytes.Buffer
			sc := draw()
			fits, less := raster.Within(sc, dpi)
			if less {
				p.papers.note(fmt.Sprintf("%s: drawn at %g dpi instead of %g, or it would have more than %g million pixels", name, fits, dpi, raster.MaxPixels/1e6))
			}
			err := raster.WritePNG(&b, sc, fits)
			return folder.File{Name: name, Data: b.Bytes()}, err
		}})
	}
	var maps []*scene.Scene
	var prints []paperFile
	each(2, func(i int) {
		switch {
		case i == 1:
			prints = p.papersOf()
		case !p.LayOnly:
			maps = render.Placement(p.cloth(), p.marks())
		}
	})
	if !p.LayOnly {
		picture("skirt.png", render.ScreenDPI, func() *scene.Scene { return render.Skirt(p.cloth(), p.marks()) })
	}
	if p.hangs() {
		picture("worn.png", render.ScreenDPI, func() *scene.Scene { return render.Worn(p.cloth(), p.marks()) })
	}
	for i, s := range maps {
		picture(numbered("placement", i), render.PageDPI, func() *scene.Scene { return s })
	}
	for i, sh := range p.sheetLooks() {
		picture(fmt.Sprintf("lay-%d.png", i+1), render.SheetDPI, func() *scene.Scene { return render.LaySheet(sh) })
	}
	for _, f := range prints {
		drawings = append(drawings, drawing{f.name, f.write})
	}
	if len(p.Lay.Sheets) > 0 {
		drawings = append(drawings, drawing{"lay.svg", p.laySVG})
	}
	files := make([]folder.File, len(drawings))
	errs := make([]error, len(drawings))
	var mu sync.Mutex
	done := 0
	each(len(drawings), func(i int) {
		if errs[i] = ctx.Err(); errs[i] != nil {
			return
		}
		files[i], errs[i] = drawings[i].draw()
		mu.Lock()
		defer mu.Unlock()
		done++
		if progress != nil {
			progress(Stage{"drawing", done, len(drawings)})
		}
	})
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", drawings[i].name, err)
		}
	}
	if !p.LayOnly {
		files = append(files, folder.File{Name: "marking.csv", Data: p.markingCSV()})
	}
	files = append(files,
		folder.File{Name: "shopping.md", Data: p.shoppingMarkdown()},
		folder.File{Name: "shopping.csv", Data: p.shoppingCSV()},
	)
	listed := *p
	listed.files = []string{PlanFile}
	for _, f := range files {
		listed.files = append(listed.files, f.Name)
	}
	// plan.json comes first: a folder without it was never whole.
	return append([]folder.File{{Name: PlanFile, Data: listed.JSON()}}, files...), nil
}

// PlanFile is the name of the plan in the folder of results.
const PlanFile = "plan.json"

// numbered names the first file of a kind plainly and the next ones by number.
func numbered(name string, i int) string {
	if i == 0 {
		return name + ".png"
	}
	return fmt.Sprintf("%s-%d.png", name, i+1)
}

// each calls do for 0 … n-1 on all processors and waits for them.
func each(n int, do func(i int)) {
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i := range n {
		g.Go(func() error { do(i); return nil })
	}
	_ = g.Wait() // do has no error to give
}

// hangs reports whether the skirt can be shown worn: panels of a drawing say
// nothing of how they are worn.
func (p *Plan) hangs() bool { return !p.LayOnly && p.Surface.Cut != skirt.Outline }

// inFront returns how many cutouts show from the front.
func (p *Plan) inFront() int {
	p.papers.hang.Do(func() { p.papers.front = render.ShowInFront(p.cloth(), p.marks()) })
	return p.papers.front
}

func (p *Plan) cloth() render.Cloth {
	s := p.Project.Skirt
	c := render.Cloth{
		Surface: p.Surface, Colour: s.Colour, Opacity: s.Opacity, Layers: s.Layers,
		Title: p.Project.Title, Unit: p.Project.Unit, Paper: p.paper(),
		Repeat: p.Layout.Repeat, SeamAllowance: s.SeamAllowance,
		Waist: s.Waist, Waistband: s.Waistband,
	}
	if l := p.Project.Lining; l != nil {
		c.Lining = &render.Lining{Colour: l.Colour, ShorterBy: l.ShorterBy}
	}
	return c
}

func (p *Plan) marks() []render.Mark {
	out := make([]render.Mark, len(p.Layout.Placements))
	for i, m := range p.Layout.Placements {
		k := p.Kinds[m.Kind]
		row := m.Row
		if len(p.Layout.Rows) == 0 {
			row = 0
		}
		out[i] = render.Mark{
			Number: i + 1, Motif: &p.Motifs[k.Motif], MotifName: p.Motifs[k.Motif].Name, Size: k.Size,
			Point: m.Point, Turn: m.Turn, Row: row,
		}
	}
	return out
}

func (p *Plan) sheetLooks() []render.Lay {
	of := map[[2]string]int{}
	key := func(sh sheet.Sheet) [2]string { return [2]string{p.Project.Sheets[sh.Stock].Name, sh.Colour} }
	for _, sh := range p.Lay.Sheets {
		of[key(sh)]++
	}
	middles := p.middles()
	var out []render.Lay
	for i, sh := range p.Lay.Sheets {
		stock := p.Project.Sheets[sh.Stock]
		l := render.Lay{
			Title: p.Project.Title, Sheet: stock.Name, Colour: sh.Colour, Number: sh.Number, Of: of[key(sh)],
			Width: stock.Width, Height: sh.Height, Margin: stock.Margin,
			Mirrored: p.Project.Cutting.TraceBack, Unit: p.Project.Unit, Paper: p.paper(),
		}
		if stock.Roll && l.Of == 1 {
			l.Number, l.Of = 0, 0 // a length is no sheet
		}
		if p.LeftOver != nil {
			l.LeftOver = p.LeftOver[i]
		}
		for _, pc := range sh.Pieces {
			it := p.Items[pc.Item]
			k := p.Kinds[it.Kind]
			place := geom.Placing(pc.At, pc.Turn, k.Size, false)
			l.Cuts = append(l.Cuts, render.Cut{
				Name: p.pieceOf(it), Size: k.Size,
				Region: p.Motifs[k.Motif].Pieces[it.Piece].Region.Transform(place),
				Middle: place.Apply(middles[pc.Item]),
			})
		}
		out = append(out, l)
	}
	return out
}

// middles returns for each item the middle of the widest circle inside it, in
// its motif's frame at size 1.
func (p *Plan) middles() []geom.Vec {
	out := make([]geom.Vec, len(p.Items))
	for i, it := range p.Items {
		piece := p.Motifs[p.Kinds[it.Kind].Motif].Pieces[it.Piece]
		out[i], _ = geom.Pole([]geom.Region{piece.Region}, 0.1)
	}
	return out
}

// paper is the paper that maps and lays are drawn for.
func (p *Plan) paper() render.Paper {
	paper, _ := render.PaperNamed(p.Project.Supplies.Paper) // "large": the default paper
	return paper
}
