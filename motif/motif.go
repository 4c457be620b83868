// Package motif reads a maker's drawing as sound outlines: one or more felt pieces
// in millimetres, each a region of one colour, in a frame whose origin is the glue
// point. It measures them, and says what is hard to cut.
package motif

import (
	"math"

	"strew/motif/geom"
)

// Piece is one part cut from felt of one colour. Its region is sound: the outer
// ring and the holes are simple, the holes lie inside the outer ring and touch
// neither it nor one another. The outer ring runs clockwise as seen, holes the other way.
type Piece struct {
	Colour string // "#rrggbb", lower case
	Region geom.Region
}

// Motif is a cutout at size 1 in its own frame: millimetres, x right, y down,
// the origin at the anchor. Pieces are in the order in which they are laid on one
// another, the lowest first.
type Motif struct {
	Name   string
	Pieces []Piece
	// Inradius is the radius of the widest circle that fits inside one piece;
	// its centre, the pole of inaccessibility, is the anchor, where the glue goes.
	Inradius float64
}

// Outers returns the outer rings of all pieces, which other cutouts must keep clear
// of. A hole is not free cloth for another cutout.
func (m Motif) Outers() []geom.Ring {
	out := make([]geom.Ring, len(m.Pieces))
	for i, p := range m.Pieces {
		out[i] = p.Region.Outer
	}
	return out
}

// Box returns the bounding box of all pieces, in the motif's frame.
func (m Motif) Box() geom.Box {
	b := geom.EmptyBox()
	for _, p := range m.Pieces {
		b = b.Union(p.Region.Box())
	}
	return b
}

// Reach returns the distance from the anchor to the farthest outline point.
func (m Motif) Reach() float64 {
	far := 0.0
	for _, r := range m.Outers() {
		far = math.Max(far, r.Reach(geom.Vec{}))
	}
	return far
}
