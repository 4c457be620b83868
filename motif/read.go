package motif

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Options says how to read a drawing. The zero value keeps the drawing's own
// size and colours.
type Options struct {
	Name string // of the motif
	// Width or Height of the motif's outline in mm at size 1; at most one is
	// set, the other follows. 0 leaves it open.
	Width, Height float64
	// Colour, "#rrggbb", of every piece; "" takes the drawing's own.
	Colour string
}

// ReadSVG reads a drawing (SVG 1.1 or 2, plain or gzipped) as a motif: shapes
// of one colour that touch are one piece, a shape of another colour on top is
// a piece of its own, laid on. Outlines are sound however the drawing crosses
// itself, lie within geom.FlattenTol of its curves, and have the anchor as
// origin. The notes say what was left out or changed; they and errors name
// elements, never the file. An outline that cannot be cut is a *Fault.
func ReadSVG(data []byte, opt Options) (Motif, []say.Message, error) {
	if err := opt.check(); err != nil {
		return Motif{}, nil, err
	}
	root, err := parseXML(data)
	if err != nil {
		return Motif{}, nil, err
	}
	d, err := readDrawing(root)
	if err != nil {
		return Motif{}, nil, err
	}
	if d.unsized && opt.Width == 0 && opt.Height == 0 {
		d.notes.note("the drawing states no size, so 96 of its units were taken as an inch; give the motif a width or height")
	}
	if err := d.chooseShapes(); err != nil {
		return Motif{}, d.notes.messages(), err
	}
	if opt.Colour != "" {
		for i := range d.fills {
			d.fills[i].colour, _, _ = parseColour(opt.Colour)
		}
	}
	cut, err := d.cutAt(opt)
	if err != nil {
		return Motif{}, d.notes.messages(), err
	}
	for _, n := range cut.notes() {
		d.notes.add(n)
	}
	return anchored(Motif{Name: opt.Name, Pieces: cut.pieces}), d.notes.messages(), nil
}

// check says why the options cannot be met.
func (o Options) check() error {
	for _, l := range []float64{o.Width, o.Height} {
		if math.IsNaN(l) || l < 0 || l > maxExtent {
			return say.Errorf("a motif cannot be %s wide or high: ask for more than 0 and at most %s", say.Length(l), geom.Length(maxExtent))
		}
	}
	if o.Width > 0 && o.Height > 0 {
		return say.Errorf("both a width and a height are given: give one of them, the other follows from the drawing")
	}
	if o.Colour != "" {
		if _, _, ok := parseColour(o.Colour); !ok {
			return say.Errorf("%q is not a colour: write it like \"#d9a521\"", o.Colour)
		}
	}
	return nil
}

// cutAt cuts the shapes at the size asked for. A motif's width is that of its
// outline once all is cut, so the scale is found in a few rounds, the first with
// the width of the shapes as drawn.
func (d *drawing) cutAt(opt Options) (cutting, error) {
	box := geom.EmptyBox()
	for _, s := range d.fills {
		box = box.Union(s.box())
	}
	asked, side := opt.Width, geom.Box.Width
	if opt.Height > 0 {
		asked, side = opt.Height, geom.Box.Height
	}
	if !(box.Width() > 0) || !(box.Height() > 0) {
		return cutting{}, say.Errorf("the drawing has no area: draw a closed outline with room inside")
	}
	scale := 1.0
	if asked > 0 {
		scale = asked / side(box)
	}
	// Slivers left out and clips make the outline narrower than the shapes; each
	// round corrects that, and may lose another sliver.
	const rounds = 4
	for round := 1; ; round++ {
		cut, err := d.cut(scale, box)
		if err != nil || asked == 0 {
			return cut, err
		}
		off := asked / side(Motif{Pieces: cut.pieces}.Box())
		if math.Abs(off-1) > geom.SizeSlack && round < rounds {
			scale *= off
			continue
		}
		// Points on the grid lie at least 1e-10 mm off the edges of others, so
		// scaling, which rounds to 1e-13 mm, makes nothing touch.
		for i, p := range cut.pieces {
			cut.pieces[i].Region = p.Region.Transform(geom.Scaling(off, off))
		}
		return cut, nil
	}
}

// anchored returns m with its origin moved to the pole of inaccessibility.
func anchored(m Motif) Motif {
	regions := make([]geom.Region, len(m.Pieces))
	for i, p := range m.Pieces {
		regions[i] = p.Region
	}
	at, _ := geom.Pole(regions, geom.PoleTol)
	for i := range m.Pieces {
		m.Pieces[i].Region = regions[i].Transform(geom.Translation(at.Mul(-1)))
		if r := m.Pieces[i].Region; r.Contains(geom.Vec{}) {
			m.Inradius = math.Max(m.Inradius, r.EdgeDist(geom.Vec{}))
		}
	}
	return m
}
