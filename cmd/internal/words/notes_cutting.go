package words

import (
	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/motif/say"
)

// Notes about what is cut: motifs, their pieces and the patches behind them.

// showingPatches names patches that show behind their cutouts.
func showingPatches(t Text) []Note {
	var out []Note
	b := t.Project.Backing
	for m, of := range t.Mix.Backs {
		if of < 0 || b.Size == 0 {
			continue
		}
		hidden := t.Mix.Hidden(of, b.Shape)
		if b.Size <= hidden+geom.Touch {
			continue
		}
		shape := say.New("square")
		if b.Shape == project.PatchRound {
			shape = say.New("round")
		}
		name := t.Mix.Motifs[of].Name
		out = append(out, Note{Key: "backing.size", Motif: name, Text: t.Say("a %s patch of %s shows behind %s: make it %s or smaller, the widest that stays hidden at any turn",
			shape, geom.Length(t.Mix.Measures[m].Width), name, geom.Length(hidden))})
	}
	return out
}

// uncut names what is not cut at all.
func uncut(t Text) []Note {
	var out []Note
	for i, c := range t.Counts {
		if c.Cut() == 0 && !t.Mix.IsPatch(i) {
			m := t.Mix.Kinds[i].Motif
			out = append(out, t.about(t.Say("no %s: its share is less than one cutout", t.Mix.Name(i)), motifKey(m, "share"), motifKey(m, "sizes"), motifKey(m, "name"))...)
		}
	}
	if t.LayOnly {
		for i, m := range t.Project.Motifs {
			if m.Cut == 0 {
				out = append(out, t.about(t.Say("%s: it has no cut number, so none is laid", m.Name), motifKey(i, "cut"), motifKey(i, "name"))...)
			}
		}
	}
	return out
}

// faults says what is hard to cut, in a motif's smallest size.
func faults(t Text) []Note {
	var out []Note
	for m, kind := range smallest(t) {
		if kind < 0 {
			continue
		}
		key := firstWritten(t.Project, "backing.size", "backing.shape")
		if !t.Mix.IsPatch(kind) {
			key = firstWritten(t.Project, motifKey(m, "width"), motifKey(m, "height"), motifKey(m, "outline"))
		}
		for _, weak := range t.Mix.Measures[m].Faults(t.Mix.Kinds[kind].Size) {
			out = append(out, Note{
				Text: t.Say("%s: %s", t.Mix.Name(kind), weak.Text), Key: key, Motif: t.Mix.Motifs[m].Name, At: weak.At,
			})
		}
	}
	return out
}

// smallest returns for each motif the kind of its smallest size that is cut, -1
// for none.
func smallest(t Text) []int {
	out := make([]int, len(t.Mix.Motifs))
	for i := range out {
		out[i] = -1
	}
	for i, k := range t.Mix.Kinds {
		if t.Counts[i].Cut() == 0 {
			continue
		}
		if j := out[k.Motif]; j < 0 || k.Size < t.Mix.Kinds[j].Size {
			out[k.Motif] = i
		}
	}
	return out
}

// largest returns the largest size in which a motif is cut, where a lopsided
// outline shows most.
func largest(t Text, motif int) float64 {
	size := 0.0
	for i, k := range t.Mix.Kinds {
		if k.Motif == motif && t.Counts[i].Cut() > 0 {
			size = max(size, k.Size)
		}
	}
	return size
}

// lopsided names the motifs that come out mirrored where they are traced on the
// back with the template the wrong way up.
func lopsided(t Text) []Note {
	if t.Project.Cutting.TraceOn != project.SideBack {
		return nil
	}
	var names []string
	var drawn string // key of the first one's drawing
	for m, kind := range smallest(t) {
		if kind >= 0 && t.Mix.Motifs[m].Lopsided(largest(t, m)) {
			if names = append(names, t.Mix.Motifs[m].Name); len(names) == 1 {
				drawn = motifKey(m, "outline")
			}
		}
	}
	switch len(names) {
	case 0:
		return nil
	case 1:
		out := t.about(t.Say("%s is not symmetrical: you trace on the back of the felt, so draw round the template turned over, as the lay drawings show it, or the cutouts come out mirrored", names[0]), traceKey, drawn)
		for i := range out {
			out[i].Motif = names[0]
		}
		return out
	}
	out := t.about(t.Say("%s are not symmetrical: you trace on the back of the felt, so draw round the templates turned over, as the lay drawings show them, or the cutouts come out mirrored", say.Words(names)), traceKey, drawn)
	for i := range out {
		out[i].Motif = "" // it is about several
	}
	return out
}

// traceKey is the key of the side that templates are traced on.
const traceKey = "cutting.trace_on"

// separatePieces names motifs that fall apart into pieces of one felt.
func separatePieces(t Text) []Note {
	var out []Note
	for i, m := range t.Mix.Motifs {
		colours := map[string]int{}
		for _, pc := range m.Pieces {
			colours[pc.Colour]++
		}
		for _, pc := range m.Pieces {
			if n := colours[pc.Colour]; n > 1 {
				out = append(out, t.about(t.Say("%s: it falls into %d separate pieces of the same felt, %s; join them in the drawing if they are one", m.Name, n, pc.Colour), motifKey(i, "outline"))...)
				colours[pc.Colour] = 0
			}
		}
	}
	return out
}
