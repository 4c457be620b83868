package project

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// Problem is one thing wrong with a project file or with a flag that overrides
// it.
type Problem struct {
	File         string      // as named by the caller; "" for the built-in example
	Line, Column int         // from 1, in characters; 0 for a flag or the file as a whole
	Key          string      // of the control to change, "skirt.waist", "motif.0.width"; a table, "skirt"; "" for the file as a whole
	Flag         string      // "--spacing" where a flag gave the value, else ""
	What         say.Message // what is wrong; then what is allowed
	Hint         say.Message // a guess at what was meant; zero for none

	name string    // of the key as written in the file: "motif.width"
	unit geom.Unit // of lengths in the text
}

// Say returns what is wrong and the guess, without the place.
func (p Problem) Say() say.Message {
	if p.Hint.IsZero() {
		return p.What
	}
	return say.New("%s; %s", p.What, p.Hint)
}

// Error is the problem on one line, in English and in the file's unit:
// "FILE:LINE:COL: key: what is wrong".
func (p Problem) Error() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File + ":")
	}
	if p.Line > 0 {
		fmt.Fprintf(&b, "%d:%d:", p.Line, p.Column)
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	if name := cmp.Or(p.Flag, p.name); name != "" {
		b.WriteString(name + ": ")
	}
	b.WriteString(say.Printer{Unit: p.unit}.Message(p.Say()))
	return b.String()
}

// Problems is all that is wrong with a project file, in the order of the file,
// flags last. It is the error of everything here that reads a project.
type Problems []Problem

// Error has one problem on each line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// place is where a key is given: in the file, or on the command line.
type place struct {
	line, column int
	index        int    // of the table among those of its name
	flag         string // "--spacing"; then there is no line
}

// compare orders places as they are read: the file, then the flags.
func (p place) compare(q place) int {
	return cmp.Or(strings.Compare(p.flag, q.flag), cmp.Compare(p.line, q.line), cmp.Compare(p.column, q.column))
}

// report collects the problems of one file.
type report struct {
	file     string
	unit     geom.Unit // of lengths in texts
	problems Problems
}

// add notes a problem of the key, named as in the file, at a place.
func (r *report) add(at place, name string, what say.Message) {
	r.guess(at, name, what, say.Message{})
}

// guess is add with a guess at what was meant.
func (r *report) guess(at place, name string, what, hint say.Message) {
	p := Problem{
		File: r.file, Line: at.line, Column: at.column, Key: keyAt(name, at.index), Flag: at.flag,
		What: what, Hint: hint, name: name, unit: r.unit,
	}
	if at.flag != "" {
		p.File = ""
	}
	r.problems = append(r.problems, p)
}

// stray is guess for a name that its table does not have. No control can show it, so
// the problem's key is the table, which may be "".
func (r *report) stray(at place, table, name string, what, hint say.Message) {
	r.guess(at, name, what, hint)
	r.problems[len(r.problems)-1].Key = table
}

// keyAt is a key as a Document has it: with the number of its table where there
// may be many.
func keyAt(name string, index int) string {
	in, key, ok := strings.Cut(name, ".")
	if t, known := tableNamed(in); ok && known && t.many {
		return in + "." + strconv.Itoa(index) + "." + key
	}
	return name
}

// err returns what was collected, sorted by place, or nil.
func (r *report) err() error {
	if len(r.problems) == 0 {
		return nil
	}
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		isFlag := func(p Problem) int {
			if p.Flag != "" {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(isFlag(a), isFlag(b)), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return r.problems
}

// didYouMean words a guess; "" stays nothing.
func didYouMean(guess string) say.Message {
	if guess == "" {
		return say.Message{}
	}
	return say.New("did you mean %q", guess)
}

// either lists what may be chosen: "a, b or c".
func either(words []string) say.Message {
	last := len(words) - 1
	if last < 1 {
		return say.New("%s", strings.Join(words, ""))
	}
	return say.New("%s or %s", strings.Join(words[:last], ", "), words[last])
}

// quoted is either with each word in quotes.
func quoted(words []string) say.Message { return either(quotedEach(words)) }

func quotedEach(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = strconv.Quote(w)
	}
	return out
}
