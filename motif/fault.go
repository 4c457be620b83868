package motif

import (
	"fmt"
	"math"

	"strew/motif/geom"
)

// Sizes in mm below which felt and scissors give trouble; common practice, no
// source.
const (
	ThinFelt   = 3.0  // a bridge of felt tears
	NarrowSlot = 2.0  // scissors do not turn in it
	SmallHole  = 4.0  // scissors do not get into it
	SmallPiece = 10.0 // it cannot be held, and gets lost
)

// Faults returns what felt and scissors cannot well do with the motif at the
// given size, each in a few words for the maker, none where all is well.
// Where several pieces share a fault, the worst is named.
func (m Measures) Faults(size float64) []string {
	var out []string
	worst := func(limit float64, width func(PieceMeasures) float64, words string) {
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
		text := fmt.Sprintf(words, below(least, limit), limit)
		switch {
		case len(m.Pieces) > 1 && many == 1:
			text = fmt.Sprintf("piece %d: %s", at+1, text)
		case many > 1:
			text = fmt.Sprintf("%d pieces, the worst piece %d: %s", many, at+1, text)
		}
		out = append(out, text)
	}
	worst(ThinFelt, func(p PieceMeasures) float64 { return p.Felt.Width() },
		"the felt is only %s mm wide at its narrowest place (under %g mm it tears easily)")
	worst(NarrowSlot, func(p PieceMeasures) float64 {
		if p.Slot == (Place{}) {
			return math.Inf(1)
		}
		return p.Slot.Width()
	}, "a slot is only %s mm wide (under %g mm scissors do not get through)")
	worst(SmallHole, func(p PieceMeasures) float64 {
		if p.Holes == 0 {
			return math.Inf(1)
		}
		return 2 * p.SmallestHole.Radius
	}, "a hole is only %s mm across (under %g mm scissors do not get in)")
	worst(SmallPiece, func(p PieceMeasures) float64 { return p.LeastWidth },
		"the piece is only %s mm across (under %g mm it is hard to cut and to hold)")
	return out
}

// below writes a width that is less than the limit so that it still is once
// rounded.
func below(w, limit float64) string {
	if text := fmt.Sprintf("%.1f", w); text != fmt.Sprintf("%.1f", limit) {
		return text
	}
	return fmt.Sprintf("%.2f", w)
}

// Lopsided reports whether a piece at the given size is not its own mirror
// image, as far as scissors can tell: then it matters which side of the felt
// it is drawn on.
func (m Motif) Lopsided(size float64) bool {
	for _, p := range m.Pieces {
		if !p.MirrorsItself(geom.MirrorTol / size) {
			return true
		}
	}
	return false
}
