package motif

import (
	"math"

	"strew/motif/geom"
)

// Measures are a motif's sizes at size 1, in mm and mm².
type Measures struct {
	Width, Height float64 // of the bounding box of all pieces
	Area          float64 // of the felt of all pieces, without holes
	Edge          float64 // length of all cut edges, holes included
	Narrowest     float64 // width of the felt at the narrowest place of any piece
	// BackingSquare and BackingRound are the side and diameter of the widest
	// square and round patch that stay hidden behind the cutout at any turn,
	// centred on the anchor: both lie in the widest circle.
	BackingSquare, BackingRound float64

	Pieces []PieceMeasures // in the motif's order
}

// PieceMeasures are the sizes of one piece, in mm and mm², with places in the
// motif's frame.
type PieceMeasures struct {
	Width, Height float64 // of its box
	LeastWidth    float64 // in its narrowest direction
	Area, Edge    float64 // without holes, and with their edges
	Widest        Circle  // the widest circle in the felt; its centre is where glue holds best
	Felt          Place   // the narrowest place of the felt
	Slot          Place   // the narrowest slot or hole; the zero Place for none
	Holes         int     // how many
	SmallestHole  Circle  // the widest circle in the hole where that is smallest
	InnerCorner   Corner  // the sharpest; the zero Corner for none
	Corners       int     // outer and inner ones
}

// Measure returns the motif's sizes.
func (m Motif) Measure() Measures {
	box := m.Box()
	out := Measures{
		Width: box.Width(), Height: box.Height(),
		BackingSquare: squareIn(m.Inradius), BackingRound: 2 * m.Inradius,
	}
	for i, p := range m.Pieces {
		d := measurePiece(p.Region)
		out.Area += d.Area
		out.Edge += d.Edge
		if i == 0 || d.Felt.Width() < out.Narrowest {
			out.Narrowest = d.Felt.Width()
		}
		out.Pieces = append(out.Pieces, d)
	}
	return out
}

// squareIn returns the side of the square in a circle.
func squareIn(radius float64) float64 { return math.Sqrt2 * radius }

// BackingSquare returns the side, in mm, of the widest square patch that stays
// hidden behind the piece at any turn, centred on its widest circle.
func (p PieceMeasures) BackingSquare() float64 { return squareIn(p.Widest.Radius) }

// BackingRound returns the diameter, in mm, of the widest round patch that stays
// hidden behind the piece.
func (p PieceMeasures) BackingRound() float64 { return 2 * p.Widest.Radius }

func measurePiece(r geom.Region) PieceMeasures {
	box := r.Box()
	turns := corners(r)
	d := PieceMeasures{
		Width: box.Width(), Height: box.Height(), LeastWidth: r.Outer.LeastWidth(),
		Area: r.Area(), Edge: r.EdgeLength(), Widest: widestCircle(r), Slot: narrowestSlot(r),
		Holes: len(r.Holes), InnerCorner: sharpestInner(turns), Corners: len(turns),
	}
	d.Felt = narrowest(r, d.Widest)
	for i, h := range r.Holes {
		if c := widestCircle(geom.Region{Outer: h}); i == 0 || c.Radius < d.SmallestHole.Radius {
			d.SmallestHole = c
		}
	}
	return d
}
