package plan

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"sync"

	"strew/cmd/internal/folder"
	"strew/motif/geom"
	"strew/render"
	"strew/render/raster"
	"strew/render/scene"
	"strew/sheet"
)

// Files draws and writes every result into memory: pictures, tables, lists and
// plan.json, which names them all. progress may be nil.
func (p *Plan) Files(ctx context.Context, progress func(Stage)) ([]folder.File, error) {
	type picture struct {
		name  string
		dpi   float64
		scene func() *scene.Scene
	}
	marks := p.marks()
	cloth := p.cloth()
	pictures := []picture{{"skirt.png", render.ScreenDPI, func() *scene.Scene { return render.Skirt(cloth, marks) }}}
	for i, s := range render.Placement(cloth, marks) {
		pictures = append(pictures, picture{numbered("placement", i), render.PageDPI, func() *scene.Scene { return s }})
	}
	for i, sh := range p.sheetLooks() {
		pictures = append(pictures, picture{fmt.Sprintf("lay-%d.png", i+1), render.SheetDPI, func() *scene.Scene { return render.LaySheet(sh) }})
	}
	files := make([]folder.File, len(pictures))
	errs := make([]error, len(pictures))
	var mu sync.Mutex
	done := 0
	each(len(pictures), func(i int) {
		if errs[i] = ctx.Err(); errs[i] != nil {
			return
		}
		var b bytes.Buffer
		errs[i] = raster.WritePNG(&b, pictures[i].scene(), pictures[i].dpi)
		files[i] = folder.File{Name: pictures[i].name, Data: b.Bytes()}
		mu.Lock()
		defer mu.Unlock()
		done++
		if progress != nil {
			progress(Stage{"drawing", done, len(pictures)})
		}
	})
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("%s: %w", pictures[i].name, err)
		}
	}
	files = append(files,
		folder.File{Name: "marking.csv", Data: p.markingCSV()},
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
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

func (p *Plan) cloth() render.Cloth {
	s := p.Project.Skirt
	c := render.Cloth{
		Surface: p.Surface, Colour: s.Colour, Opacity: s.Opacity, Layers: s.Layers,
		Title: p.Project.Title, Unit: p.Project.Unit, Paper: p.paper(),
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
	var out []render.Lay
	for _, sh := range p.Lay.Sheets {
		stock := p.Project.Sheets[sh.Stock]
		l := render.Lay{
			Title: p.Project.Title, Sheet: stock.Name, Colour: sh.Colour, Number: sh.Number, Of: of[key(sh)],
			Width: stock.Width, Height: sh.Height, Margin: stock.Margin,
			Mirrored: p.Project.Cutting.TraceBack, Unit: p.Project.Unit, Paper: p.paper(),
		}
		for _, pc := range sh.Pieces {
			it := p.Items[pc.Item]
			k := p.Kinds[it.Kind]
			l.Cuts = append(l.Cuts, render.Cut{
				Name: p.pieceOf(it), Size: k.Size,
				Region: p.Motifs[k.Motif].Pieces[it.Piece].Region.Transform(geom.Placing(pc.At, pc.Turn, k.Size, false)),
			})
		}
		out = append(out, l)
	}
	return out
}

// paper is the paper that maps and lays are drawn for.
func (p *Plan) paper() render.Paper {
	paper, _ := render.PaperNamed(p.Project.Supplies.Paper) // "large": the default paper
	return paper
}
