package project

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Error is one thing wrong with a project file or with a flag that overrides
// it.
type Error struct {
	File         string // as named by the caller; "" for the built-in example
	Line, Column int    // from 1, in characters; 0 for a flag or the file as a whole
	Key          string // "skirt.waist", or the flag: "--spacing"; "" for the file as a whole
	Msg          string // what is wrong; then what is allowed
	Hint         string // "" or a guess at what was meant
}

// Error is the problem on one line: "FILE:LINE:COL: key: what is wrong".
func (e Error) Error() string {
	var b strings.Builder
	if e.File != "" {
		b.WriteString(e.File + ":")
	}
	if e.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", e.Line, e.Column)
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	if e.Key != "" {
		b.WriteString(e.Key + ": ")
	}
	b.WriteString(e.Msg)
	if e.Hint != "" {
		b.WriteString("; " + e.Hint)
	}
	return b.String()
}

// Errors is all that is wrong with a project file, in the order of the file,
// flags last. Load, Parse and With return it as their error.
type Errors []Error

// Error has one problem on each line.
func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// place is where a key stands: in the file, or on the command line.
type place struct {
	line, column int
	flag         string // "--spacing"; then there is no line
}

// compare orders places as they are read: the file, then the flags.
func (p place) compare(q place) int {
	return cmp.Or(strings.Compare(p.flag, q.flag), cmp.Compare(p.line, q.line), cmp.Compare(p.column, q.column))
}

// report collects the problems of one file.
type report struct {
	file string
	errs Errors
}

// add notes a problem of the key at a place; a flag stands for its key.
func (r *report) add(at place, key, msg, hint string) {
	e := Error{File: r.file, Line: at.line, Column: at.column, Key: key, Msg: msg, Hint: hint}
	if at.flag != "" {
		e.File, e.Key = "", at.flag
	}
	r.errs = append(r.errs, e)
}

// err returns what was collected, sorted by place, or nil.
func (r *report) err() error {
	if len(r.errs) == 0 {
		return nil
	}
	slices.SortStableFunc(r.errs, func(a, b Error) int {
		isFlag := func(e Error) int {
			if e.Line == 0 && strings.HasPrefix(e.Key, "--") {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(isFlag(a), isFlag(b)), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return r.errs
}

// didYouMean words a guess; "" stays "".
func didYouMean(guess string) string {
	if guess == "" {
		return ""
	}
	return fmt.Sprintf("did you mean %q", guess)
}

// listing joins words as a sentence does: a, b or c.
func listing(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}

// quoted is listing with each word in quotes.
func quoted(words []string) string {
	q := make([]string, len(words))
	for i, w := range words {
		q[i] = fmt.Sprintf("%q", w)
	}
	return listing(q, "or")
}
