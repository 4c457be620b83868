package motif

import (
	"errors"

	"strew/motif/geom"
	"strew/motif/say"
)

// Rule names what an outline must not be.
type Rule string

// The rules that a drawing can break.
const (
	Tangled  Rule = "tangled"  // it crosses itself too often
	Open     Rule = "open"     // a line whose ends lie apart
	Crossing Rule = "crossing" // a panel's edge crosses or touches itself
	Overlap  Rule = "overlap"  // panels overlap or touch
	Nested   Rule = "nested"   // a panel lies in a hole of another
)

// Fault is why an outline cannot be cut: the rule it breaks, and where. It is a
// say.Messenger.
type Fault struct {
	Rule Rule        // the rule it breaks
	At   geom.Vec    // place on the drawing's page, mm
	Why  say.Message // what is wrong and what to do
}

// Say describes the fault and its place.
func (f *Fault) Say() say.Message {
	return say.New("%s (at x %s, y %s of the drawing)", f.Why, say.Fine(f.At.X), say.Fine(f.At.Y))
}

// Error is Say in English, in millimetres.
func (f *Fault) Error() string { return f.Say().String() }

// moved returns err with the place of the Fault in it sent through m.
func moved(err error, m geom.Affine) error {
	var f *Fault
	if errors.As(err, &f) {
		return &Fault{Rule: f.Rule, At: m.Apply(f.At), Why: f.Why}
	}
	return err
}
