// Package shape makes outlines ready to be laid: at one gap, turned as the nap of
// the felt allows, on a bed of felt. Lengths are in millimetres, turns in radians,
// clockwise as seen.
package shape

import (
	"math"

	"strew/motif/geom"
)

// Nap says at which turns a piece may lie on the felt.
type Nap int

// The naps, from free to strict.
const (
	AnyTurn Nap = iota // felt without nap: any angle
	FourWay            // 0, 90, 180, 270 degrees
	TwoWay             // 0, 180 degrees
	OneWay             // 0 degrees only
)

// Turns returns the turns the nap allows, nil for any.
func (n Nap) Turns() []float64 {
	switch n {
	case FourWay:
		return []float64{0, Quarter(1), Quarter(2), Quarter(3)}
	case TwoWay:
		return []float64{0, Quarter(2)}
	case OneWay:
		return []float64{0}
	}
	return nil
}

// Allows reports whether a piece may lie at the turn.
func (n Nap) Allows(turn float64) bool {
	all := n.Turns()
	for _, t := range all {
		if math.Abs(math.Remainder(turn-t, 2*math.Pi)) < geom.SameAngle {
			return true
		}
	}
	return all == nil
}

// Quarter returns k quarter turns in radians.
func Quarter(k int) float64 { return float64(k) * math.Pi / 2 }

// Bed is the felt that pieces are laid on, in the coordinates of the search: inside
// its margins, with its top left corner at the origin. A roll is a bed open at its
// lower end. Only rectangles are supported yet. Felt of another outline would add
// walls here, pieces that never move: a fill would begin with them laid, and a
// search would not let them go.
type Bed struct {
	Box geom.Box // Min is the origin; Max.Y is +Inf where the bed is open
	Nap Nap      // at which turns pieces may lie
}

// NewBed returns a bed of the given size; height +Inf leaves it open.
func NewBed(width, height float64, nap Nap) Bed {
	return Bed{geom.Box{Max: geom.Vec{X: width, Y: height}}, nap}
}

// Width returns the bed's extent across.
func (b Bed) Width() float64 { return b.Box.Max.X }

// Height returns the bed's extent down, +Inf where it is open.
func (b Bed) Height() float64 { return b.Box.Max.Y }

// IsOpen reports whether the bed has no lower end.
func (b Bed) IsOpen() bool { return math.IsInf(b.Box.Max.Y, 1) }

// CutAt returns the bed with its lower end at the height.
func (b Bed) CutAt(height float64) Bed {
	b.Box.Max.Y = height
	return b
}

// Open returns the bed without its lower end.
func (b Bed) Open() Bed { return b.CutAt(math.Inf(1)) }

// Mirrored returns the bed mirrored in the line x = y.
func (b Bed) Mirrored() Bed {
	b.Box.Max.X, b.Box.Max.Y = b.Box.Max.Y, b.Box.Max.X
	return b
}

// Holds reports whether a box fits on the bed, wherever it lies now.
func (b Bed) Holds(box geom.Box) bool {
	return box.Width() <= b.Box.Max.X+geom.Press && box.Height() <= b.Box.Max.Y+geom.Press
}
