package desk

import (
	"errors"
	"strconv"
	"strings"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/motif/say"
)

// Edit is one change of the project. One of Key, Add and Remove is set.
type Edit struct {
	Key    string            `json:"key,omitempty"`    // "scatter.spacing", "motif.0.width"
	Text   string            `json:"text"`             // what was typed in its control; "": left out again
	Add    string            `json:"add,omitempty"`    // a table: "motif", "lining"
	Values map[string]string `json:"values,omitempty"` // of the table added: text by the key's own name
	Remove string            `json:"remove,omitempty"` // "motif.1", "lining"
}

// apply returns the document with an edit. Its error is a project.Problems.
func (e Edit) apply(d project.Document) (project.Document, error) {
	switch {
	case e.Add != "":
		return e.add(d)
	case e.Remove != "":
		table, number, many := strings.Cut(e.Remove, ".")
		if !many {
			return d.RemoveTable(table)
		}
		n, err := strconv.Atoi(number)
		if err != nil {
			return d, say.Errorf("there is no %s of number %s", table, number)
		}
		return d.Remove(table, n)
	}
	return d.Type(e.Key, e.Text)
}

// add adds a table with its values.
func (e Edit) add(d project.Document) (project.Document, error) {
	many := project.Many(e.Add)
	prefix := e.Add + "."
	var err error
	if many {
		if d, err = d.Add(e.Add); err != nil {
			return d, err
		}
		prefix += strconv.Itoa(d.Len(e.Add)-1) + "."
	} else if d, err = d.AddTable(e.Add); err != nil {
		return d, err
	}
	for _, name := range project.KeysOf(e.Add) {
		text, given := e.Values[name]
		if !given {
			continue
		}
		if d, err = d.Type(prefix+name, text); err != nil {
			return d, err
		}
	}
	return d, nil
}

// act makes changes: all of them or, with the error, none.
type act struct {
	Edits []Edit `json:"edits"`
	Live  bool   `json:"live"`  // still being slid or typed: no step yet
	Words string `json:"words"` // what undo calls it
}

func (a act) words() string {
	if a.Words != "" {
		return a.Words
	}
	for _, e := range a.Edits {
		return strings.TrimSpace(e.Key + " " + e.Text + e.Add + e.Remove)
	}
	return ""
}

// what names what an act changes.
func (a act) what() string {
	var b strings.Builder
	for _, e := range a.Edits {
		b.WriteString(e.Key + e.Add + e.Remove + " ")
	}
	return b.String()
}

// apply returns the state with all edits.
func (s state) apply(edits []Edit) (state, error) {
	d := s.doc
	var err error
	for _, e := range edits {
		if d, err = e.apply(d); err != nil {
			return s, refusal(err, d.Unit())
		}
	}
	return s.with(d), nil
}

// refusal is an error as a maker reads it beside what she did.
func refusal(err error, unit geom.Unit) error {
	print := say.Printer{Unit: unit}
	var list project.Problems
	if errors.As(err, &list) && len(list) > 0 {
		return Refused{problem(print, list[0])}
	}
	return Refused{print.Error(err)}
}

// problem says what is wrong with a value, without its place in a file.
func problem(print say.Printer, p project.Problem) string {
	text := print.Message(p.What)
	if !p.Hint.IsZero() {
		text += " " + print.Message(p.Hint)
	}
	return text
}

// act makes the changes on the present state and plans it.
func (d *Desk) act(a act) (answer, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	next, err := d.history.present.apply(a.Edits)
	if err != nil {
		return nil, err
	}
	d.put(next, a)
	return map[string]int{"rev": d.revision}, nil
}

// put makes a state the present one, as a step or live. The caller holds the lock.
func (d *Desk) put(next state, a act) {
	same := next.equal(d.history.present)
	if was := d.history.pending.what; was != "" && was != a.what() {
		d.history.settle() // another control's change ended without saying so
	}
	if a.Live {
		d.history.live(next, pending{a.what(), a.words()})
	} else {
		d.history.push(next, a.words())
	}
	if same && (a.Live || !d.sliding) {
		d.tellState(d.sliding) // a step may have been made of it
		return
	}
	d.changed(a.Live)
}

// answer is what a call gives: a value for JSON, or a File.
type answer any
