package render

import (
	"context"
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// The skirt picture, in millimetres at ScreenDPI: wide enough for a screen.
const (
	skirtWidth  = 320.0 // the whole picture
	skirtLow    = 190.0 // height for the cloth where the legend stands below it
	skirtHigh   = 250.0 // height for the cloth where the legend stands beside it
	sideWidth   = 62.0  // the legend beside it
	skirtNarrow = 200.0 // no picture is narrower: a title must fit
)

// Skirt draws the top layer flat with its cutouts as they will look: the net
// in its layers over the lining, which ends above the hem, and the felt in its
// colours with the holes showing the net. A circle of at most 360° lies in one
// piece with its seams; of more, panel by panel, where a cutout that straddles
// a seam shows on both panels. Write it at ScreenDPI. Once the context ends it is
// not finished.
func Skirt(ctx context.Context, c Cloth, marks []Mark) *scene.Scene {
	const m = marginScreen
	how := flatten(c.Surface)
	list, scale, cols, rm, area, beside := how.list, how.scale, how.cols, how.room, how.area, how.beside
	if scale <= 0 {
		return &scene.Scene{Width: skirtNarrow, Height: skirtNarrow}
	}

	// Lay out once to learn how large the cloth comes out, then for good.
	probe := viewsBox(views(list, geom.Box{Max: area}, scale, cols, rm, gapBlock)).Grow(rm.left)
	width := probe.Width() + 2*m
	if beside {
		width += sideWidth + 2*gapBlock
	}
	width = math.Max(skirtNarrow, width)
	sc := &scene.Scene{Width: width}
	top := heading(sc, geom.Vec{X: m, Y: m}, width-2*m, c.Title, c.Describe(len(marks))) + gapBlock
	place := geom.Box{Min: geom.Vec{X: m, Y: top}, Max: geom.Vec{X: width - m, Y: top + probe.Height()}}
	if beside {
		place.Max.X -= sideWidth + 2*gapBlock
	}
	shown := views(list, place, scale, cols, rm, gapBlock)
	for _, v := range shown {
		sc.Add(v.dressed(ctx, c, marks)...)
		if c.Surface.Panels > 1 {
			for _, t := range v.names(c.Printer, 3.2, sizeText) {
				sc.Add(t)
			}
		}
	}

	all := kinds(marks)
	if beside {
		x := place.Max.X + 2*gapBlock
		side := geom.Box{Min: geom.Vec{X: x, Y: top + rm.top}, Max: geom.Vec{X: width - m, Y: place.Max.Y - keyHeight*float64(len(c.key())) - barHeight - 2*gapBlock}}
		legend(sc, side, all, c.Printer)
		y := math.Max(side.Max.Y, side.Min.Y) + gapBlock
		lineKey(sc, geom.Vec{X: x, Y: y}, c.key(), true)
		scaleBar(sc, geom.Vec{X: x, Y: y + keyHeight*float64(len(c.key())) + 2.5}, scale, 45, c.Printer)
		sc.Height = place.Max.Y + m
		return sc
	}
	below := geom.Box{Min: geom.Vec{X: m, Y: place.Max.Y + gapBlock}, Max: geom.Vec{X: width - m, Y: place.Max.Y + gapBlock + 4*entryHeight}}
	y := legend(sc, below, all, c.Printer) + gapBlock
	bar := scaleBar(sc, geom.Vec{X: m, Y: y}, scale, 50, c.Printer)
	lineKey(sc, geom.Vec{X: m + bar + 10, Y: y - 1.2}, c.key(), false)
	sc.Height = y + barHeight + m - 2
	return sc
}

// spreading is how the cloth lies in the skirt picture.
type spreading struct {
	list   []stretch
	scale  float64 // page millimetres per millimetre of cloth; 0: it cannot be drawn
	cols   int     // stretches to a row
	room   room    // round each
	area   geom.Vec
	beside bool // the legend stands beside the cloth, not below it
}

// flatten finds how the cloth is shown largest, its legend beside or below it.
func flatten(s skirt.Surface) spreading {
	const m = marginScreen
	rm := evenRoom(2)
	if s.Panels > 1 {
		rm = evenRoom(6) // for the panels' names
	}
	below := spreading{room: rm, area: geom.Vec{X: skirtWidth - 2*m, Y: skirtLow}}
	side := spreading{room: rm, area: geom.Vec{X: skirtWidth - 2*m - sideWidth - 2*gapBlock, Y: skirtHigh}, beside: true}
	below.list, below.scale, below.cols = best(s, below.area, rm, gapBlock)
	side.list, side.scale, side.cols = best(s, side.area, rm, gapBlock)
	if side.scale > below.scale {
		return side
	}
	return below
}

// key names the lines and shades of the skirt picture.
func (c Cloth) key() []sample {
	net := say.New("net")
	if c.Layers > 1 {
		net = say.Many(c.Layers, "%d layer of net", "%d layers of net")
	}
	list := c.edgeKey()
	if c.Lining == nil {
		return append(list, sample{name: c.Message(net), shade: []scene.Colour{c.net()}})
	}
	list = append(list, sample{name: c.Say("%s over lining", net), shade: []scene.Colour{felt(c.Lining.Colour), c.net()}})
	if c.Lining.ShorterBy > 0 {
		list = append(list, sample{name: c.Say("%s beyond the lining", net), shade: []scene.Colour{c.net()}})
	}
	return list
}

// dressed draws the net, the lining below it and the cutouts on it.
func (v view) dressed(ctx context.Context, c Cloth, marks []Mark) []scene.Op {
	drop := v.surface.Drop
	var ops []scene.Op
	if c.Lining != nil {
		if end := drop - c.Lining.ShorterBy; end > 0 {
			ops = append(ops, scene.Fill{Rings: v.rings(0, end), Colour: felt(c.Lining.Colour), EvenOdd: true})
		}
	}
	ops = append(ops, scene.Fill{Rings: v.rings(0, drop), Colour: c.net(), EvenOdd: true})
	ops = append(ops, v.edges()...) // below the felt, which lies over the seams
	var felts []scene.Op
	for _, l := range v.lying(marks) {
		if ctx.Err() != nil {
			break
		}
		place := l.placing().Then(v.toPage)
		for _, p := range l.mark.Motif.Pieces {
			felts = append(felts, shadow(p.Region.Transform(place)))
		}
		for _, p := range l.mark.Motif.Pieces {
			felts = append(felts, cutout(p, place, lineHair)...)
		}
	}
	return append(ops, scene.Clip{Rings: v.rings(0, drop), Inside: felts})
}

// shadow is the faint shade that a piece of felt throws on the net: it lifts
// felt of the net's own colour off it, in grey too.
func shadow(g geom.Region) scene.Op {
	const off, strength = 0.35, 0.22 // millimetres on the page, opacity
	return scene.Fill{Rings: g.Transform(geom.Translation(geom.Vec{X: off, Y: off})).Rings(), Colour: scene.Colour{Alpha: strength}, EvenOdd: true}
}
