package words

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"strew/cmd/internal/project"
	"strew/motif/geom"
)

// Note is something that a maker should know before she cuts, with what it is
// about.
type Note struct {
	Text  string
	Key   string     // of the project file, to be changed: "motif.0.width"; "" where none would help
	Motif string     // name of the motif it is about; "" for none
	At    []geom.Vec // the two ends of a narrow place, in the motif's frame at size 1; nil for none
	Marks []int      // the marks it is about, from 1; nil for none
}

// Notes returns the notes of the project, the drawings and the stages, then what
// the whole plan shows. Their keys are of values that the maker wrote: a note that
// is about nothing but defaults is left out.
func (t Text) Notes() []Note {
	var out []Note
	for _, n := range t.Project.Notes {
		out = append(out, t.about(t.Message(n.Text), n.Key)...)
	}
	for _, n := range slices.Concat(t.Mix.Notes, t.Cloth.Notes) {
		out = append(out, t.about(t.Message(n.Text), n.Key)...)
	}
	for _, n := range t.Strewn.Layout.Notes {
		out = append(out, t.about(t.Message(n.Text), n.Key)...)
	}
	for _, some := range [][]Note{
		showingPatches(t), stopped(t), uncut(t), missingLetters(t), faults(t), lopsided(t), clothFaults(t), separatePieces(t),
	} {
		out = append(out, some...)
	}
	return out
}

// Warnings returns the texts of the notes. It is never nil.
func (t Text) Warnings() []string {
	out := []string{}
	for _, n := range t.Notes() {
		out = append(out, n.Text)
	}
	return out
}

// about returns a note with the first of the keys that the maker wrote, and the
// motif whose key that is; none where she wrote none of them. Without keys it is
// about nothing that she could change.
func (t Text) about(text string, keys ...string) []Note {
	n := Note{Text: text, Key: firstWritten(t.Project, keys...)}
	if n.Key == "" && len(keys) > 0 {
		return nil
	}
	if i, ok := motifOf(n.Key); ok && i < len(t.Project.Motifs) {
		n.Motif = t.Project.Motifs[i].Name
	}
	return []Note{n}
}

// motifOf returns the number in a key of a motif, "motif.0.width".
func motifOf(key string) (i int, ok bool) {
	rest, ok := strings.CutPrefix(key, "motif.")
	if !ok {
		return 0, false
	}
	number, _, _ := strings.Cut(rest, ".")
	i, err := strconv.Atoi(number)
	return i, err == nil
}

// motifKey returns a key of the i-th motif's table.
func motifKey(i int, name string) string { return fmt.Sprintf("motif.%d.%s", i, name) }

// firstWritten returns the first of the keys that the maker wrote; "" where all
// are defaults.
func firstWritten(p project.Project, keys ...string) string {
	for _, k := range keys {
		if p.Written(k) {
			return k
		}
	}
	return ""
}

// densityKey returns the key that says how many cutouts there are.
func densityKey(p project.Project) string {
	s := p.Scatter
	switch {
	case s.Cutouts > 0:
		return "scatter.cutouts"
	case s.Sheets > 0:
		return "scatter.sheets"
	case s.Budget > 0:
		return "scatter.budget"
	}
	return "scatter.spacing"
}
