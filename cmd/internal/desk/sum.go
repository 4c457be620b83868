package desk

import (
	"strew/cmd/internal/words"
)

// sumPart is the part that tells what the whole comes to.
type sumPart struct {
	Part     string         `json:"part"`
	Rev      int            `json:"rev"`
	Cost     words.Cost     `json:"cost"`
	Hours    hours          `json:"hours"`
	Pages    map[string]int `json:"pages"` // sheets of paper of each file to print
	Said     words.Sum      `json:"said"`  // the same and the order, written out
	Notes    []note         `json:"notes"`
	Cautions []string       `json:"cautions"`
}

// hours is the work, an estimate.
type hours struct {
	Marking float64 `json:"marking"`
	Cutting float64 `json:"cutting"`
	Fixing  float64 `json:"fixing"`
}

// note is something to know before cutting. Its key is the control that it stands
// under.
type note struct {
	Text  string       `json:"text"`
	Key   string       `json:"key,omitempty"`
	Motif string       `json:"motif,omitempty"`
	At    [][2]float64 `json:"at_mm,omitempty"` // two ends of a narrow place, in the motif's frame
	Marks []int        `json:"marks,omitempty"`
}

// sumOf is what a plan comes to, all its paper drawn.
func sumOf(rev int, t words.Text) sumPart {
	guess := t.Estimate()
	out := sumPart{
		Part: partSum, Rev: rev, Cost: t.Cost(), Hours: hours{guess.Marking, guess.Cutting, guess.Fixing}, Pages: t.Pages(), Said: t.Sum(),
		Notes: []note{}, Cautions: t.Cautions(),
	}
	for _, n := range t.Notes() {
		told := note{Text: n.Text, Key: n.Key, Motif: n.Motif, Marks: n.Marks}
		for _, v := range n.At {
			told.At = append(told.At, [2]float64{v.X, v.Y})
		}
		out.Notes = append(out.Notes, told)
	}
	return out
}
