// Package say holds what strew tells a maker as messages: a sentence in
// English with places for values, and the values. No unit of length and no
// language is chosen until a Printer writes the message.
//
// The English sentence is the key under which a Language finds its own, so a
// message is always a whole sentence or phrase, never one put together with +.
package say

import (
	"errors"

	"strew/motif/geom"
)

// Message is a sentence and its values. Text is a format of package fmt in
// English, with a verb for each value. A geom.Length, Fine, Message, List or
// error among the values is written by the Printer and takes the verb %s; other
// values are written by package fmt. A text without values is no format and is
// written unchanged. The zero Message says nothing.
type Message struct {
	Text string
	Args []any
	n    int  // the number that chooses the form, where many is set
	many bool // Text holds forms with formsApart between them
}

// New returns a message with its values.
func New(text string, args ...any) Message { return Message{Text: text, Args: args} }

// formsApart stands between the forms of a message about a number.
const formsApart = "|"

// Many returns a message about n things, such as Many(3, "%d sheet", "%d
// sheets"). Both forms take n as their first value and args as the next ones;
// one may leave n out. The message's key is both forms with a bar between them.
func Many(n int, one, more string, args ...any) Message {
	return Message{Text: one + formsApart + more, Args: append([]any{n}, args...), n: n, many: true}
}

// IsZero reports whether the message says nothing.
func (m Message) IsZero() bool { return m.Text == "" }

// String writes the message in English, lengths in millimetres.
func (m Message) String() string { return Printer{}.Message(m) }

// Fine is a length in millimetres that is written as callipers read it:
// millimetres to a tenth, inches to a thousandth.
type Fine float64

// Length returns the value to give a message for a length of mm millimetres:
// a geom.Length, which is written as a tape shows it, or a Fine where it is too
// short for a tape.
func Length(mm float64) any {
	const tape = 3 // mm; an eighth of an inch
	if mm > 0 && mm < tape {
		return Fine(mm)
	}
	return geom.Length(mm)
}

// List is a value that is written as "a, b and c".
type List []any

// Runs are rising numbers, written as "1–3, 5".
type Runs []int

// Words returns a list of plain words.
func Words(words []string) List {
	out := make(List, len(words))
	for i, w := range words {
		out[i] = w
	}
	return out
}

// Messenger is an error that gives its text as a message.
type Messenger interface {
	error
	// Say returns the message; Error must be the same in English.
	Say() Message
}

// Error is an error whose text is a message.
type Error struct{ Message }

// Errorf returns an *Error. It wraps the errors among its values, which take
// the verb %s, not %w.
func Errorf(text string, args ...any) error { return &Error{New(text, args...)} }

// Error writes the error in English, lengths in millimetres.
func (e *Error) Error() string { return e.String() }

// Say returns the error's message.
func (e *Error) Say() Message { return e.Message }

// Unwrap returns the errors among the values, those of nested messages and
// lists included.
func (e *Error) Unwrap() []error { return errorsIn(e.Args) }

func errorsIn(args []any) []error {
	var out []error
	for _, a := range args {
		switch v := a.(type) {
		case error:
			out = append(out, v)
		case Message:
			out = append(out, errorsIn(v.Args)...)
		case List:
			out = append(out, errorsIn(v)...)
		}
	}
	return out
}

// messageOf returns the message that is the whole text of err, and false where
// there is none.
func messageOf(err error) (Message, bool) {
	var length *geom.LengthError
	if errors.As(err, &length) && length.Error() == err.Error() {
		return New(length.Text, length.Args...), true
	}
	var m Messenger
	if errors.As(err, &m) && m.Error() == err.Error() {
		return m.Say(), true
	}
	return Message{}, false // no message, or wrapped in other text
}
