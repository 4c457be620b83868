package motif

import "strew/motif/say"

// notes collects what one read says about a drawing; equal notes are counted.
type notes struct {
	list  []say.Message
	count map[string]int
}

func (n *notes) note(text string, args ...any) { n.add(say.New(text, args...)) }

func (n *notes) add(m say.Message) {
	if n.count == nil {
		n.count = map[string]int{}
	}
	key := m.String()
	if n.count[key]++; n.count[key] == 1 {
		n.list = append(n.list, m)
	}
}

// maxNotes keeps a drawing with a fault in each of its paths from burying the
// first ones.
const maxNotes = 20

// messages returns the notes in the order in which they were first made.
func (n *notes) messages() []say.Message {
	var out []say.Message
	for i, m := range n.list {
		if i == maxNotes {
			return append(out, say.Many(len(n.list)-i, "and %d more note of this kind", "and %d more notes of this kind"))
		}
		if c := n.count[m.String()]; c > 1 {
			m = say.Many(c, "%[2]s (%[1]d time)", "%[2]s (%[1]d times)", m)
		}
		out = append(out, m)
	}
	return out
}
