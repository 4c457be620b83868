package motif

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Sizes in mm below which felt and scissors give trouble; common practice, no
// source.
const (
	thinFelt   = 3.0  // a narrower bridge of felt tears
	narrowSlot = 2.0  // scissors do not turn in a narrower slot
	smallHole  = 4.0  // scissors do not get into a smaller hole
	smallPiece = 10.0 // a smaller piece cannot be held, and gets lost
)

// Weakness is what is hard to cut about a motif.
type Weakness struct {
	Text say.Message
	At   []geom.Vec // the two ends of the place, in the motif's frame at size 1; none where it is a whole piece
}

// Faults says what is hard to cut in felt with scissors about the motif at the
// given size: at most one weakness for each of the limits above, none where all
// is well. Where several pieces share a fault, the worst is named.
func (m Measures) Faults(size float64) []Weakness {
	var out []Weakness
	worst := func(limit float64, width func(PieceMeasures) float64, place func(PieceMeasures) []geom.Vec, describe func(width, limit float64) say.Message) {
		least, at, many := math.Inf(1), 0, 0
		for i, p := range m.Pieces {
			w := width(p) * size
			if w < limit-geom.Touch {
				many++
			}
			if w < least {
				least, at = w, i
			}
		}
		if many == 0 {
			return
		}
		// Rounded down, so that it still reads as less than the limit.
		tenth := math.Floor(10*(least+geom.Touch)) / 10
		fault := describe(tenth, limit)
		switch {
		case len(m.Pieces) > 1 && many == 1:
			fault = say.New("piece %d: %s", at+1, fault)
		case many > 1:
			fault = say.Many(many, "%d piece, the worst is piece %d: %s", "%d pieces, the worst is piece %d: %s", at+1, fault)
		}
		out = append(out, Weakness{fault, place(m.Pieces[at])})
	}
	worst(thinFelt, func(p PieceMeasures) float64 { return p.Felt.Width() }, func(p PieceMeasures) []geom.Vec { return p.Felt.ends() }, func(w, limit float64) say.Message {
		return say.New("the felt is only %.1f mm wide at its narrowest place (under %g mm it tears easily)", w, limit)
	})
	worst(narrowSlot, func(p PieceMeasures) float64 {
		if p.Slot == (Place{}) {
			return math.Inf(1)
		}
		return p.Slot.Width()
	}, func(p PieceMeasures) []geom.Vec { return p.Slot.ends() }, func(w, limit float64) say.Message {
		return say.New("a slot is only %.1f mm wide (under %g mm scissors do not get through)", w, limit)
	})
	worst(smallHole, func(p PieceMeasures) float64 {
		if p.Holes == 0 {
			return math.Inf(1)
		}
		return 2 * p.SmallestHole.Radius
	}, func(p PieceMeasures) []geom.Vec { return p.SmallestHole.across() }, func(w, limit float64) say.Message {
		return say.New("a hole is only %.1f mm across (under %g mm scissors do not get in)", w, limit)
	})
	worst(smallPiece, func(p PieceMeasures) float64 { return p.LeastWidth }, func(PieceMeasures) []geom.Vec { return nil }, func(w, limit float64) say.Message {
		return say.New("the piece is only %.1f mm across (under %g mm it is hard to cut and to hold)", w, limit)
	})
	return out
}

// ends returns where the cut begins and ends.
func (p Place) ends() []geom.Vec { return []geom.Vec{p.From, p.To} }

// across returns the ends of the circle's level diameter.
func (c Circle) across() []geom.Vec {
	r := geom.Vec{X: c.Radius}
	return []geom.Vec{c.At.Sub(r), c.At.Add(r)}
}

// Lopsided reports whether a piece at the given size differs from its mirror
// image by more than scissors do: then it matters on which side of the felt it
// is drawn.
func (m Motif) Lopsided(size float64) bool {
	for _, p := range m.Pieces {
		if !p.MirrorsItself(geom.MirrorTol / size) {
			return true
		}
	}
	return false
}
