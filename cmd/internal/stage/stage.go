// Package stage takes a project to a whole plan, stage by stage. A stage is a
// function from values to a new value, with notes of its own; earlier values
// are never changed. It touches no disk and draws no picture.
//
//	project ─ draw ─→ Drawn ─ MixOf ─→ Mix ──┐
//	   └──── cut ───→ Cloth ─────────────────┴─ Strew ─→ Strewn ─ CountPlaced ─→ []Count ─ Lay ─→ Laid
//	                                                        └─ Measure ─→ Evenness
//
// A Planner runs the stages and runs again only those whose inputs changed.
package stage

import (
	"fmt"

	"strew/cmd/internal/project"
	"strew/motif/say"
	"strew/scatter"
	"strew/sheet"
)

// Stage names a stage.
type Stage string

// The stages.
const (
	Drawing   Stage = "draw"  // motifs are read and measured
	Cutting   Stage = "cut"   // the skirt is drafted
	Strewing  Stage = "strew" // cutouts get their places
	Trying    Stage = "try"   // counts are tried on the felt
	Laying    Stage = "lay"   // cutouts are laid on felt
	Measuring Stage = "even"  // how evenly the cutouts lie is measured
)

// Note is something a stage has to tell the maker.
type Note struct {
	Stage Stage
	Key   string // of the project file, to be changed; "" where none is meant
	Text  say.Message
}

// Plan is everything decided. It is a value: nothing in it is changed once it
// is made.
type Plan struct {
	Project project.Project
	LayOnly bool // no skirt: the motifs' cut numbers are laid, and Cloth and Strewn are empty
	Cloth   Cloth
	Mix     Mix
	Strewn  Strewn
	Counts  []Count // one for each kind of the mix, in its order
	Laid    Laid
	Even    scatter.Evenness // of Strewn
}

// Event reports the progress of a plan.
type Event struct {
	Stage       Stage
	Done, Total int          // of the stage; Total 0: not known
	Tried       int          // Trying: the number of cutouts tried
	Best        []sheet.Need // Laying: the best order so far, of what is laid
	Plan        *Plan        // when a stage has ended: the plan so far, later stages empty; else nil
}

// InputError is a fault in a file that the maker gave.
type InputError struct {
	File string // "": the built-in example's project
	Line int    // 0: not known
	Key  string // of the project file, that names or sets what is at fault: "motif.0.outline"; "" where there is no project
	Err  error  // what is wrong there
}

// Place returns the file and, where it is known, the line: "skirt.toml:12".
func (e *InputError) Place() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	return e.File
}

// Error gives the place and what is wrong there.
func (e *InputError) Error() string {
	if place := e.Place(); place != "" {
		return place + ": " + e.Err.Error()
	}
	return e.Err.Error()
}

// Unwrap returns the cause.
func (e *InputError) Unwrap() error { return e.Err }
