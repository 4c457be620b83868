package desk

import "strew/cmd/internal/project"

// history is every state that can be gone back to. A change that is still going
// on, such as a slider being moved, is the present state but no step.
type history struct {
	steps   []step // never empty
	at      int    // of the present step
	present state
	pending pending // the change that is no step yet
	kept    []keptState
	ids     int
}

// pending is a change that is still going on: what changes, and what it would be
// called as a step.
type pending struct{ what, words string }

// step is a state, without its text read, and what led to it.
type step struct {
	state
	words string
}

// stored returns the state as it is kept: a step in a long history is its text and
// no more.
func (s state) stored() state {
	s.doc = project.Document{}
	return s
}

// read returns a stored state with its text read.
func (s state) read() state {
	d, err := project.ReadDocument(s.text)
	if err != nil {
		panic(err) // it is the text of a document
	}
	s.doc = d
	return s
}

// keptState is a state that the maker named.
type keptState struct {
	id   int
	name string
	state
}

// begun is the history of a project just opened.
func begun(s state) history {
	return history{steps: []step{{s.stored(), ""}}, present: s}
}

// untouched reports whether nothing was done yet on the built-in example.
func (h *history) untouched() bool {
	return len(h.steps) == 1 && h.present.home.kind == example && h.present.equal(h.steps[0].state)
}

// live makes s the present state without a step.
func (h *history) live(s state, p pending) { h.present, h.pending = s, p }

// settle makes a step of a change that is none yet.
func (h *history) settle() {
	if !h.present.equal(h.steps[h.at].state) {
		h.push(h.present, h.pending.words)
	}
	h.pending = pending{}
}

// push makes s the present state, as a new step, after which there is nothing to
// redo. A state that equals the last step's is no step.
func (h *history) push(s state, words string) {
	h.present, h.pending = s, pending{}
	if s.equal(h.steps[h.at].state) {
		return
	}
	h.steps = append(h.steps[:h.at+1:h.at+1], step{s.stored(), words})
	h.at++
}

// undo goes one step back, redo one forward; false where there is none.
func (h *history) undo() bool {
	h.settle()
	return h.move(-1)
}

func (h *history) redo() bool {
	h.settle()
	return h.move(1)
}

func (h *history) move(by int) bool {
	if h.at+by < 0 || h.at+by >= len(h.steps) {
		return false
	}
	h.at += by
	h.present = h.steps[h.at].state.read()
	return true
}

// undoWords and redoWords say what would be undone or done again; "" for nothing.
func (h *history) undoWords() string {
	switch {
	case !h.present.equal(h.steps[h.at].state):
		return h.pending.words
	case h.at > 0:
		return h.steps[h.at].words
	}
	return ""
}

func (h *history) redoWords() string {
	if h.at+1 < len(h.steps) && h.present.equal(h.steps[h.at].state) {
		return h.steps[h.at+1].words
	}
	return ""
}

// keep names the present state.
func (h *history) keep(name string) {
	h.settle()
	h.ids++
	h.kept = append(h.kept, keptState{h.ids, name, h.present.stored()})
}

// back returns to a kept state, as a step; false where there is none of that id.
func (h *history) back(id int) bool {
	h.settle()
	for _, k := range h.kept {
		if k.id == id {
			h.push(k.state.read(), k.name)
			return true
		}
	}
	return false
}

// amend puts s in the place of the present step.
func (h *history) amend(s state) {
	h.present = s
	h.steps[h.at].state = s.stored()
}
