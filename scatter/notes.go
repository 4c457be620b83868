package scatter

import (
	"fmt"

	"strew/motif/say"
)

// Note says how a layout differs from what was asked for.
type Note struct {
	Key  string // of the project's value that was not kept: "scatter.spacing"
	Text say.Message
}

// Impossible is the error where what is asked for cannot be done: why, and what to
// try instead.
type Impossible struct {
	Why, Try say.Message // Try may be the zero Message
	Key      string      // of the project's value that stands in the way: "scatter.cutouts"
}

// widthKey returns the project's key of the width of a kind's motif.
func widthKey(k *kind) string { return fmt.Sprintf("motif.%d.width", k.Motif) }

// Error writes the reason in English, lengths in millimetres.
func (e *Impossible) Error() string { return e.Say().String() }

// Say returns the whole reason.
func (e *Impossible) Say() say.Message {
	if e.Try.IsZero() {
		return e.Why
	}
	return say.New("%s; %s", e.Why, e.Try)
}
