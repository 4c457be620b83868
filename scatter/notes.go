package scatter

import (
	"strew/motif/say"
)

// Note is what was changed against the wish.
type Note struct {
	Key  string // of the project that the change is about: "scatter.spacing"
	Text say.Message
}

// Impossible is the error that a wish cannot be met: why, and what to try
// instead.
type Impossible struct {
	Why, Try say.Message // Try may be the zero Message
	Key      string      // of the project that says the wish: "scatter.cutouts"
}

// Error writes the reason in English, lengths in millimetres.
func (e *Impossible) Error() string { return e.Say().String() }

// Say returns the whole reason.
func (e *Impossible) Say() say.Message {
	if e.Try.IsZero() {
		return e.Why
	}
	return say.New("%s; %s", e.Why, e.Try)
}
