// Package desk holds the project that a maker has open: its text, everything that
// can be undone, and the plan of it, which follows every change. It touches no
// disk and no network; whoever shows it watches it and calls it.
//
//	edits ─ act ─→ state (text, drawings) ─ Parse ─→ Project ─ Planner ─→ marks, then the lay, then the sum
//	                  └── history: undo, redo, kept
//
// What it tells comes in parts, each a JSON value that replaces the earlier one of
// its name: state, marks, lay, sum, refused.
package desk

import (
	"errors"
	"io/fs"
)

// File is an answer that is bytes: a page as SVG, a PDF, a zip.
type File struct {
	Name string // without a folder
	Type string // media type, as in "application/pdf"
	Data []byte
}

// Refused is an error whose text is for the maker: what is wrong, and what would
// do.
type Refused struct{ Text string }

// Error returns the text.
func (r Refused) Error() string { return r.Text }

// ErrNoCall is the error of a call by a name that there is not.
var ErrNoCall = errors.New("there is no such call")

// Message is the present value of one part of what is watched, such as "marks". It
// replaces every earlier message of that part.
type Message struct {
	Part string
	Data []byte // one JSON object
}

// Project is a project to open.
type Project struct {
	Text []byte // of the project file
	// Files opens drawings by the paths written in the text, which may lead
	// upward; nil: there are none.
	Files fs.FS
	// Added are drawings that Files does not have yet, by path. They go before
	// those of Files.
	Added   map[string][]byte
	Place   string // path of the project file; "": it was never saved
	Example bool   // the built-in example as it comes
	Unsaved bool   // the text or Added is not what stands at Place
}

// Snapshot is what there is to save.
type Snapshot struct {
	// Rev rises with every change of Text or Added: while it is the same, so
	// are they.
	Rev   int64
	Text  []byte            // of the project file
	Files fs.FS             // the project's files, with Added before them
	Added map[string][]byte // drawings that are not on the disk yet, by path
	// Drawings has the path, as written, of every file that the project names,
	// by its key: "motif.0.outline".
	Drawings map[string]string
	Title    string
	Place    string // as in Project
	Example  bool   // the built-in example, unchanged
	Unsaved  bool   // there are changes since it was opened or saved
}
