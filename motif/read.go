package motif

import (
	"errors"
	"fmt"
	"math"

	"strew/motif/geom"
)

// Options says what to make of a drawing.
type Options struct {
	Name string
	// Width or Height of the motif's outline in mm at size 1; at most one is
	// set. 0 asks nothing, and with both 0 the drawing's own size holds.
	Width, Height float64
	// Colour, "#rrggbb", of every piece; "" takes the drawing's own.
	Colour string
}

// ReadSVG reads a drawing (SVG 1.1 or 2, plain or gzipped) as a motif: shapes
// of one colour that touch are one piece, a shape of another colour on top is
// a piece of its own, laid on. The outlines are sound whatever crossings the
// drawing has, curves stray from it by at most geom.FlattenTol, and the
// frame's origin is the anchor. The warnings say what was left out or
// changed; they and errors name elements, never the file.
func ReadSVG(data []byte, opt Options) (m Motif, warnings []string, err error) {
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
		d.notes.add("the drawing states no size, so 96 of its units were taken for an inch; give the motif a width or height")
	}
	if err := d.chooseShapes(); err != nil {
		return Motif{}, d.notes.list(), err
	}
	if opt.Colour != "" {
		for i := range d.fills {
			d.fills[i].colour, _, _ = parseColour(opt.Colour)
		}
	}
	pieces, err := d.cutAt(opt)
	if err != nil {
		return Motif{}, d.notes.list(), err
	}
	m = anchored(Motif{Name: opt.Name, Pieces: pieces})
	return m, d.notes.list(), nil
}

func (o Options) check() error {
	for _, l := range []float64{o.Width, o.Height} {
		if math.IsNaN(l) || l < 0 || l > maxExtent {
			return fmt.Errorf("a motif cannot be %g mm wide or high: ask for more than 0 and at most %d mm", l, maxExtent)
		}
	}
	if o.Width > 0 && o.Height > 0 {
		return errors.New("both a width and a height are asked: give one of them, the other follows from the drawing")
	}
	if o.Colour != "" {
		if _, _, ok := parseColour(o.Colour); !ok {
			return fmt.Errorf("%q is not a colour: write it like \"#d9a521\"", o.Colour)
		}
	}
	return nil
}

// cutAt turns the shapes into pieces at the size asked. The motif's width is
// that of its outline once all is cut, so the scale is found in a few rounds:
// the first takes the width of the shapes as drawn.
func (d *drawing) cutAt(opt Options) ([]Piece, error) {
	box := geom.EmptyBox()
	for _, s := range d.fills {
		box = box.Union(s.box())
	}
	asked, side := opt.Width, geom.Box.Width
	if opt.Height > 0 {
		asked, side = opt.Height, geom.Box.Height
	}
	if !(box.Width() > 0) || !(box.Height() > 0) {
		return nil, errors.New("the drawing has no area: draw a closed outline with room inside")
	}
	scale := 1.0
	if asked > 0 {
		scale = asked / side(box)
	}
	// Slivers that fall away or clips make the outline narrower than the
	// shapes; each round sets that right, and may drop another sliver.
	const rounds = 4
	for round := 1; ; round++ {
		own := *d
		own.notes = &notes{}
		pieces, err := own.pieces(scale, box)
		if err != nil {
			return nil, err
		}
		got := side(Motif{Pieces: pieces}.Box())
		if asked > 0 {
			off := asked / got
			if math.Abs(off-1) > geom.SizeSlack && round < rounds {
				scale *= off
				continue
			}
			// The grid keeps points 1e-10 mm and more off the edges of others, so
			// stretching, which rounds to 1e-13 mm, lets nothing touch.
			for i := range pieces {
				pieces[i].Region = pieces[i].Region.Transform(geom.Scaling(off, off))
			}
		}
		for _, text := range own.notes.text {
			d.notes.add("%s", text)
		}
		return pieces, nil
	}
}

// anchored returns m with its origin moved to the centre of the widest circle
// in one piece.
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
