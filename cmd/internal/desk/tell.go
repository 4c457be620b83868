package desk

import (
	"errors"

	"strew/cmd/internal/project"
	"strew/motif/say"
)

// statePart is the part that tells of the text: what every control shows.
type statePart struct {
	Part    string                        `json:"part"`
	Rev     int                           `json:"rev"`
	Live    bool                          `json:"live"`
	Title   string                        `json:"title"`
	Place   string                        `json:"place"` // "": never saved
	Kind    kindOf                        `json:"kind"`
	Unsaved bool                          `json:"unsaved"` // something would be lost if the page were closed
	Changed bool                          `json:"changed"` // another program has changed the file
	Unit    string                        `json:"unit"`
	Fields  map[string]project.FieldValue `json:"fields"`
	Lists   map[string]int                `json:"lists"`
	Tables  map[string]bool               `json:"tables"`
	Refused map[string]string             `json:"refused"` // by key
	Faults  []string                      `json:"faults"`  // that have no control
	Undo    string                        `json:"undo"`
	Redo    string                        `json:"redo"`
	Kept    []keptPart                    `json:"kept"`
}

type keptPart struct {
	ID   int    `json:"id"`
	Name string `json:"name"`
}

// tellState tells the present state. The caller holds the lock.
func (d *Desk) tellState(live bool) {
	s := d.history.present
	pr, err := s.project()
	sound := &pr
	if err != nil {
		sound = nil
	}
	out := statePart{
		Part: partState, Rev: d.revision, Live: live, Place: s.home.place, Kind: s.home.kind, Unsaved: s.unsaved(), Changed: s.home.outside,
		Unit: string(s.doc.Unit()), Fields: s.doc.Fields(sound), Lists: map[string]int{}, Tables: map[string]bool{},
		Refused: map[string]string{}, Faults: []string{}, Undo: d.history.undoWords(), Redo: d.history.redoWords(), Kept: []keptPart{},
	}
	out.Title = out.Fields["title"].Text
	for _, t := range project.Tables() {
		if project.Many(t) {
			out.Lists[t] = s.doc.Len(t)
		} else {
			out.Tables[t] = s.doc.Has(t)
		}
	}
	for _, k := range d.history.kept {
		out.Kept = append(out.Kept, keptPart{k.id, k.name})
	}
	var list project.Problems
	if errors.As(err, &list) {
		print := say.Printer{Unit: s.doc.Unit()}
		for _, p := range list {
			text := print.Message(p.Say())
			f, control := out.Fields[p.Key]
			switch typed, _ := s.doc.Get(p.Key); {
			case !control:
				out.Faults = append(out.Faults, text)
			case out.Refused[p.Key] == "":
				out.Refused[p.Key] = text
				if typed, is := typed.(string); is {
					f.Text = typed // as it was typed, in whatever unit
					out.Fields[p.Key] = f
				}
			}
		}
	} else if err != nil {
		out.Faults = append(out.Faults, err.Error())
	}
	d.news.tell(partState, out)
}
