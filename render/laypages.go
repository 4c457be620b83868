package render

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/render/scene"
)

// LayPages draws every sheet's lay at true size: a first page that says which
// sheet is on which pages, then each sheet on one page where the paper holds
// it, else on several that overlap. Of a sheet only the part with pieces is
// printed. On large paper each sheet is a page, and there is no first page.
// Once the context ends there are none.
func LayPages(ctx context.Context, title string, lays []Lay, cautions []string) []*scene.Scene {
	if len(lays) == 0 {
		return nil
	}
	paper, p := lays[0].Paper, lays[0].Printer
	var sheets [][]*scene.Scene
	letter, pages := 0, 1
	for _, l := range lays {
		if ctx.Err() != nil {
			return nil
		}
		name, about := l.words()
		drawing := CutSheet(ctx, l)
		var need []needed
		used := geom.EmptyBox()
		for _, c := range l.Cuts {
			g := c.Region
			if l.Mirrored {
				g = g.Transform(geom.Affine{A: -1, D: 1, E: l.Width})
			}
			for _, l := range scene.Closed(g.Rings()...) {
				need = append(need, needs(l))
			}
			used = used.Union(g.Box())
		}
		if paper.Name != Large && !used.IsEmpty() {
			drawing, need = cropped(drawing, need, used.Grow(2))
		}
		list, letters := tilesFrom(drawing, pageWords{p, facts(name, l.Colour, about)}, paper, need, letter)
		letter += letters
		pages += len(list)
		sheets = append(sheets, list)
	}
	if paper.Name == Large {
		var out []*scene.Scene
		for _, s := range sheets {
			out = append(out, s...)
		}
		return out
	}
	first := paper.page(false)
	steps := []string{printTrue(p),
		p.Say("Where a sheet of felt takes several pages, put the ringed crosses with the same number on top of each other: cut one page along the dashed line between them, and tape the two together."),
		p.Say("Pin the pages on the felt or copy the outlines, and cut in the order of the numbers. lay-1.png and so on show each whole sheet; lay.svg holds the cut lines alone.")}
	if slices.ContainsFunc(lays, func(l Lay) bool { return l.Margin > 0 }) {
		steps = append(steps, p.Say("The dashed frame is the sheet's margin: lay it as far from the felt's edge as the list says."))
	}
	if lays[0].Mirrored {
		steps = append(steps, p.Say("You trace on the back of the felt: the drawings are mirrored, and the felt lies right side down."))
	}
	about := facts(p.Say("Where to cut, true to size"), p.Many(pages, "%d sheet of %s, this one included", "%d sheets of %s, this one included", paper.called()))
	y := coverPage{p, title, about, steps, cautions}.draw(first, first.Width) + gapBlock
	var rows [][]string
	at := 2
	for i, l := range lays {
		name, size := l.size()
		last := at + len(sheets[i]) - 1
		where := p.Say("page %d", at)
		if last > at {
			where = p.Say("pages %d to %d", at, last)
		}
		rows = append(rows, []string{name, l.Colour, size, where})
		at = last + 1
	}
	room := geom.Box{Min: geom.Vec{X: marginPage, Y: y}, Max: geom.Vec{X: first.Width - marginPage, Y: first.Height - marginPage - ruleRoom}}
	list := Table{Heads: []string{p.Say("sheet of felt"), p.Say("colour"), "", p.Say("printed on")}, Rows: rows}
	rest, _ := list.draw(first, room, list.widths()[0])
	testRule(first, geom.Vec{X: marginPage, Y: first.Height - marginPage}, p)
	if rest > 0 {
		first.Add(scene.Text{At: geom.Vec{X: room.Max.X, Y: first.Height - marginPage}, Text: p.Many(rest, "and %d more sheet", "and %d more sheets"), Size: sizeSmall, Anchor: scene.End, Colour: soft()})
	}
	out := []*scene.Scene{first}
	for _, s := range sheets {
		out = append(out, s...)
	}
	return out
}

// cropped returns a drawing of the size of the box, with what lies beyond still in it:
// a page that reaches past the box then shows all of that, not the part that begins inside.
func cropped(s *scene.Scene, need []needed, box geom.Box) (*scene.Scene, []needed) {
	move := box.Min.Mul(-1)
	out := &scene.Scene{Width: box.Width(), Height: box.Height()}
	out.Ops = scene.NewWindows(s.Ops).Shifted(move, geom.Box{Min: move, Max: move.Add(geom.Vec{X: s.Width, Y: s.Height})})
	moved := make([]needed, len(need))
	for i, n := range need {
		moved[i] = n.moved(move)
	}
	return out, moved
}

// CutLines are the cut lines of one sheet, to be a layer of a drawing.
type CutLines struct {
	Name   string     // of the sheet
	Colour string     // of the felt, "#rrggbb"
	Ops    []scene.Op // millimetres, in the frame of the whole drawing
}

// LayLines returns the cut lines of every sheet by itself, side by side with gap
// between them, and how large they are together. Lines have the felt's colour,
// darkened so that they show on white.
func LayLines(lays []Lay, gap float64) (layers []CutLines, size geom.Vec) {
	x := 0.0
	for _, l := range lays {
		place := geom.Translation(geom.Vec{X: x})
		if l.Mirrored {
			place = geom.Affine{A: -1, D: 1, E: l.Width}.Then(place)
		}
		name, _ := l.words()
		layer := CutLines{Name: l.Say("%s, %s", name, l.Colour), Colour: l.Colour}
		if l.Mirrored {
			layer.Name = l.Say("%s, %s, mirrored", name, l.Colour)
		}
		for _, c := range l.Cuts {
			layer.Ops = append(layer.Ops, scene.Stroke{Lines: scene.Closed(c.Region.Transform(place).Rings()...), Width: cutLine, Colour: edgeOf(felt(l.Colour))})
		}
		layers = append(layers, layer)
		x += l.Width + gap
		size = geom.Vec{X: x - gap, Y: math.Max(size.Y, l.Height)}
	}
	return layers, size
}

// cutLine is the width of a cut line in a drawing for a cutting machine,
// millimetres: thin enough to count as a line, thick enough to be seen.
const cutLine = 0.1
