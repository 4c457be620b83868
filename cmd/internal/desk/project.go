package desk

import (
	"bytes"
	"errors"

	"strew/cmd/internal/engine"
	"strew/cmd/internal/project"
	"strew/motif/say"
)

// Open puts a project in place of the present one: as a step that can be undone, but
// where that is the example as it comes and nothing was done yet. Its error is a
// Refused where the text is not TOML.
func (d *Desk) Open(p Project) error {
	doc, err := project.ReadDocument(p.Text)
	var faults project.Problems
	switch {
	case errors.As(err, &faults) && len(faults) > 0 && p.Place != "":
		return Refused{say.Printer{}.Say("%s, line %d: %s; mend the line in a text editor and open it again", p.Place, faults[0].Line, faults[0].Say())}
	case err != nil:
		return refusal(err, "")
	}
	at := &home{files: p.Files, place: p.Place, kind: opened}
	switch {
	case p.Example:
		at.kind, at.saved = example, p.Text
	case p.Place != "" && !p.Unsaved:
		at.saved = p.Text
	}
	if at.files == nil {
		at.files = engine.Files{}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	s := state{home: at, text: p.Text, doc: doc, own: p.Added}
	if d.history.untouched() {
		d.history = begun(s)
		d.changed(false)
		return nil
	}
	d.replace(s, say.Printer{}.Say("opening another project"))
	return nil
}

// Snapshot returns what there is to save.
func (d *Desk) Snapshot() Snapshot {
	d.mu.Lock()
	defer d.mu.Unlock()
	s := d.history.present
	return Snapshot{
		Rev: int64(d.revision), Text: s.text, Files: s.files(), Added: s.own, Drawings: s.named(), Title: s.title(), Place: s.home.place,
		Example: s.home.kind == example && !s.unsaved(), Unsaved: s.unsaved(),
	}
}

// Saved tells that what a revision held stands on the disk: at.Text, with its
// drawings in at.Files, at at.Place. The whole project lies there from now on. Where
// saving changed paths in the text, the present state takes them over without a
// step.
func (d *Desk) Saved(rev int64, at Project) {
	d.mu.Lock()
	defer d.mu.Unlock()
	s := d.history.present
	s.home.files, s.home.place, s.home.kind, s.home.saved, s.home.outside = at.Files, at.Place, opened, at.Text, false
	d.history.settle()
	if doc, err := project.ReadDocument(at.Text); err == nil && rev == int64(d.revision) && !bytes.Equal(s.text, at.Text) {
		d.history.amend(s.with(doc))
	}
	d.planning.reread()
	d.tellState(false)
}

// ChangedOutside tells whether another program has changed the project's file.
func (d *Desk) ChangedOutside(changed bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if at := d.history.present.home; at.outside != changed {
		at.outside = changed
		d.tellState(false)
	}
}
