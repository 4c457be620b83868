package results

import (
	"bytes"
	"context"
	"fmt"

	"golang.org/x/sync/errgroup"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render"
	"strew/render/raster"
	"strew/render/scene"
	"strew/sheet"
)

// pictures lists the results that are drawn.
func (r *Results) pictures(ctx context.Context) []drawing {
	p := r.plan
	var maps []*scene.Scene
	var prints []paper
	var g errgroup.Group // how many maps and pages there are shows only once they are drawn
	g.Go(func() error { prints = r.paper(ctx); return nil })
	if !p.LayOnly {
		maps = render.Placement(ctx, Cloth(p), Marks(p))
	}
	_ = g.Wait() // drawing has no error to give
	var out []drawing
	picture := func(name string, dpi float64, draw func() *scene.Scene) {
		out = append(out, drawing{name, func() ([]byte, error) { return r.png(ctx, name, dpi, draw()) }})
	}
	if !p.LayOnly {
		picture("skirt.png", render.ScreenDPI, func() *scene.Scene { return render.Skirt(ctx, Cloth(p), Marks(p)) })
		if r.hangs() {
			picture("worn.png", render.ScreenDPI, func() *scene.Scene { return render.Worn(ctx, Cloth(p), Marks(p)) })
		}
		for i, s := range maps {
			picture(numbered("placement", i), render.PageDPI, func() *scene.Scene { return s })
		}
	}
	for i, l := range lays(p) {
		picture(fmt.Sprintf("lay-%d.png", i+1), render.SheetDPI, func() *scene.Scene { return render.LaySheet(ctx, l) })
	}
	for _, f := range prints {
		out = append(out, drawing{f.name, func() ([]byte, error) { return f.write(ctx) }})
	}
	if len(p.Laid.Lay.Sheets) > 0 {
		out = append(out, drawing{"lay.svg", func() ([]byte, error) { return laySVG(ctx, p) }})
	}
	return out
}

// png draws a scene as a PNG picture, at fewer dpi than asked if it would have too
// many pixels.
func (r *Results) png(ctx context.Context, name string, dpi float64, sc *scene.Scene) ([]byte, error) {
	fits, less := raster.Within(sc, dpi)
	if less {
		r.note(say.New("%s: drawn at %g dpi instead of %g, or it would have more than %g million pixels", name, fits, dpi, raster.MaxPixels/1e6))
	}
	var b bytes.Buffer
	err := raster.WritePNG(ctx, &b, sc, fits)
	return b.Bytes(), err
}

// numbered returns name.png for the first file of a kind, then name-2.png and so on.
func numbered(name string, i int) string {
	if i == 0 {
		return name + ".png"
	}
	return fmt.Sprintf("%s-%d.png", name, i+1)
}

// Cloth returns a plan's skirt as render takes it.
func Cloth(p stage.Plan) render.Cloth {
	s := p.Project.Skirt
	c := render.Cloth{
		Printer: printer(p),
		Surface: p.Cloth.Surface, Colour: s.Colour, Opacity: s.Opacity, Layers: s.Layers,
		Title: p.Project.Title, Paper: paperOf(p),
		Repeat: p.Strewn.Layout.Repeat, SeamAllowance: s.SeamAllowance,
		Waist: s.Waist, Waistband: s.Waistband,
	}
	if l := p.Project.Lining; l != nil {
		c.Lining = &render.Lining{Colour: l.Colour, ShorterBy: l.ShorterBy}
	}
	return c
}

// Marks returns a plan's cutouts as render takes them, numbered from 1 in the order
// of the layout's placements.
func Marks(p stage.Plan) []render.Mark {
	l := p.Strewn.Layout
	out := make([]render.Mark, len(l.Placements))
	for i, m := range l.Placements {
		k := p.Mix.Kinds[m.Kind]
		row := m.Row
		if len(l.Rows) == 0 {
			row = 0
		}
		out[i] = render.Mark{
			Number: i + 1, Motif: &p.Mix.Motifs[k.Motif], MotifName: p.Mix.Motifs[k.Motif].Name, Size: k.Size,
			Point: m.Point, Turn: m.Turn, Row: row,
		}
	}
	return out
}

// lays returns the sheets of felt as render takes them.
func lays(p stage.Plan) []render.Lay {
	of := map[[2]string]int{}
	key := func(sh sheet.Sheet) [2]string { return [2]string{p.Project.Sheets[sh.Stock].Name, sh.Colour} }
	for _, sh := range p.Laid.Lay.Sheets {
		of[key(sh)]++
	}
	middles := middlesOf(p)
	text := Of(p).words()
	var out []render.Lay
	for i, sh := range p.Laid.Lay.Sheets {
		stock := p.Project.Sheets[sh.Stock]
		l := render.Lay{
			Printer: text.Printer,
			Title:   p.Project.Title, Sheet: stock.Name, Colour: sh.Colour, Number: sh.Number, Of: of[key(sh)],
			Width: stock.Width, Height: sh.Height, Margin: stock.Margin, LeftOver: p.Laid.LeftOver[i],
			Mirrored: p.Project.Cutting.TraceOn == project.SideBack, Paper: paperOf(p),
		}
		if stock.Roll && l.Of == 1 {
			l.Number, l.Of = 0, 0 // a single length needs no number
		}
		for _, pc := range sh.Pieces {
			it := p.Laid.Items[pc.Item]
			size := p.Mix.Size(it)
			place := geom.Placing(pc.At, pc.Turn, size, false)
			l.Cuts = append(l.Cuts, render.Cut{
				Name: text.PieceOf(it), Size: size,
				Region: p.Mix.PieceOf(it).Region.Transform(place),
				Middle: place.Apply(middles[pc.Item]),
			})
		}
		out = append(out, l)
	}
	return out
}

// middlesOf returns for each item its pole of inaccessibility, the centre of the
// widest circle inside it, in its motif's frame at size 1.
func middlesOf(p stage.Plan) []geom.Vec {
	out := make([]geom.Vec, len(p.Laid.Items))
	for i, it := range p.Laid.Items {
		out[i], _ = geom.Pole([]geom.Region{p.Mix.PieceOf(it).Region}, 0.1)
	}
	return out
}
