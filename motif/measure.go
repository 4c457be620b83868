package motif

import "math"

// Measures are a motif's sizes at size 1, in mm and mm².
type Measures struct {
	Width, Height float64 // of the box round all pieces
	Area          float64 // of the felt of all pieces, holes taken off
	Edge          float64 // length of all cut edges, holes included
	Narrowest     float64 // width of the felt at its narrowest place; see the function Narrowest
	// The widest square and round patch that stay hidden behind the cutout at
	// any turn, centred on the anchor: both lie in the inscribed circle.
	BackingSquare float64 // side, √2 · inradius
	BackingRound  float64 // diameter, 2 · inradius
}

// Measure returns the motif's sizes.
func (m Motif) Measure() Measures {
	box := m.Box()
	out := Measures{
		Width: box.Width(), Height: box.Height(), Narrowest: math.Inf(1),
		BackingSquare: math.Sqrt2 * m.Inradius, BackingRound: 2 * m.Inradius,
	}
	for _, p := range m.Pieces {
		out.Area += p.Region.Area()
		out.Edge += p.Region.EdgeLength()
		out.Narrowest = math.Min(out.Narrowest, Narrowest(p.Region))
	}
	if len(m.Pieces) == 0 {
		out.Narrowest = 0
	}
	return out
}
