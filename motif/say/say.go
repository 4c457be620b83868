// Package say holds what strew says to a maker before it is put into a
// language: a sentence in English with places for values, and the values.
//
// The English sentence is the key under which another language has its own.
// Stages, readers and pictures make messages; a Printer writes them, in one
// language and one unit of length.
package say

import (
	"errors"
	"fmt"

	"strew/motif/geom"
)

// Message is a sentence and its values. Text is a format of package fmt, in
// English; a Length, Fine, Message, List or error among the values is a place
// for %s.
type Message struct {
	Text string
	Args []any
	n    int // of Many: which form of Text is meant
	many bool
}

// New returns a message.
func New(text string, args ...any) Message { return Message{Text: text, Args: args} }

// formsApart stands between the forms of a message about a number.
const formsApart = "|"

// Many returns a message about n things, such as Many(3, "%d sheet", "%d
// sheets"). Its key is both forms with a bar between them. Both take n as
// their first value and args as the next ones.
func Many(n int, one, more string, args ...any) Message {
	return Message{Text: one + formsApart + more, Args: append([]any{n}, args...), n: n, many: true}
}

// IsZero reports whether the message says nothing.
func (m Message) IsZero() bool { return m.Text == "" }

// String writes the message in English, lengths in millimetres.
func (m Message) String() string { return Printer{}.Message(m) }

// Fine is a length in millimetres that is written as callipers read it.
type Fine float64

// List is written as "a, b and c".
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

// Error is an error whose text is a message.
type Error struct{ Message }

// Errorf returns an *Error. Errors among its values are what it wraps; they
// are places for %s, not for %w.
func Errorf(text string, args ...any) error { return &Error{New(text, args...)} }

// Error writes the error in English, lengths in millimetres.
func (e *Error) Error() string { return e.String() }

// Unwrap returns the errors among the values.
func (e *Error) Unwrap() []error {
	var out []error
	for _, a := range e.Args {
		if err, ok := a.(error); ok {
			out = append(out, err)
		}
	}
	return out
}

// Messenger is an error that tells its text as a message.
type Messenger interface {
	error
	Say() Message
}

// Say returns the error's message.
func (e *Error) Say() Message { return e.Message }

// messageOf returns the message that err is, and whether it is one.
func messageOf(err error) (Message, bool) {
	var m Messenger
	if !errors.As(err, &m) || m.Error() != err.Error() {
		return Message{}, false // something stands round the message
	}
	return m.Say(), true
}

// lengthText writes a length as a tape shows it.
func lengthText(l geom.Length, u geom.Unit) string {
	if u == "" {
		u = geom.Millimetre
	}
	return l.In(u)
}

// fineText writes a length as callipers read it.
func fineText(f Fine, u geom.Unit) string {
	if u == "" {
		u = geom.Millimetre
	}
	return geom.Length(f).Fine(u)
}

// Length returns how a length in millimetres is best written: as a tape shows
// it, or as callipers read it where a tape does not show it.
func Length(mm float64) any {
	const tape = 3 // mm; an eighth of an inch
	if mm > 0 && mm < tape {
		return Fine(mm)
	}
	return geom.Length(mm)
}

// format is fmt.Sprintf under a name that takes a text known only at run time.
func format(text string, args []any) string { return fmt.Sprintf(text, args...) }
