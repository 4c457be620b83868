package words

import (
	"strings"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// Warnings says what a maker should know before she cuts: the notes of the project,
// the drawings and the stages, then what the whole plan shows. It is never nil.
func (t Text) Warnings() []string {
	out := []string{}
	for _, n := range t.Project.Notes {
		out = append(out, t.Message(n.Text))
	}
	for _, notes := range [][]stage.Note{t.Mix.Notes, t.Cloth.Notes} {
		for _, n := range notes {
			out = append(out, t.Message(n.Text))
		}
	}
	for _, n := range t.Strewn.Layout.Notes {
		out = append(out, t.Message(n.Text))
	}
	for _, some := range [][]string{
		showingPatches(t), stopped(t), uncut(t), missingLetters(t), faults(t), lopsided(t), clothFaults(t), separatePieces(t),
	} {
		out = append(out, some...)
	}
	return out
}

// showingPatches names patches that show behind their cutouts.
func showingPatches(t Text) []string {
	var out []string
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
		out = append(out, t.Say("backing.size: a %s patch of %s shows behind %s, where %s is the widest that stays hidden at any turn; write size = \"auto\" or less",
			shape, geom.Length(t.Mix.Measures[m].Width), t.Mix.Motifs[of].Name, geom.Length(hidden)))
	}
	return out
}

// stopped says what was not finished, or came out smaller than asked for.
func stopped(t Text) []string {
	var out []string
	if t.Laid.Lay.Stopped {
		out = append(out, t.Say("the lay was stopped early and is the best found so far; a full run may need less felt"))
	}
	if y := yielded(t); y != "" {
		out = append(out, y)
	}
	return out
}

// uncut names what is not cut at all.
func uncut(t Text) []string {
	var out []string
	for i, c := range t.Counts {
		if c.Cut() == 0 && !t.Mix.IsPatch(i) {
			out = append(out, t.Say("no %s: its share is less than one cutout", t.Mix.Name(i)))
		}
	}
	if t.LayOnly {
		for _, m := range t.Project.Motifs {
			if m.Cut == 0 {
				out = append(out, t.Say("%s: it has no cut number, so none is laid", m.Name))
			}
		}
	}
	return out
}

// missingLetters lists letters in names that the drawings' font lacks.
func missingLetters(t Text) []string {
	names := []string{t.Project.Title}
	for _, m := range t.Project.Motifs {
		names = append(names, m.Name)
	}
	for _, s := range t.Project.Sheets {
		names = append(names, s.Name)
	}
	var out []string
	for _, name := range sortedOnce(names) {
		if lacks := scene.Regular.Missing(name); len(lacks) > 0 {
			out = append(out, t.Say("%s: the font of the drawings lacks %s and shows a hollow square for each; the lists and plan.json have them", name, strings.Join(strings.Split(string(lacks), ""), " ")))
		}
	}
	return out
}

// faults says what is hard to cut, in a motif's smallest size.
func faults(t Text) []string {
	var out []string
	for m, kind := range smallest(t) {
		if kind < 0 {
			continue
		}
		if faults := t.Mix.Measures[m].Faults(t.Mix.Kinds[kind].Size); len(faults) > 0 {
			out = append(out, t.Say("%s: %s", t.Mix.Name(kind), strings.Join(t.Messages(faults), "; ")))
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
func lopsided(t Text) []string {
	if t.Project.Cutting.TraceOn != project.SideBack {
		return nil
	}
	var names []string
	for m, kind := range smallest(t) {
		if kind >= 0 && t.Mix.Motifs[m].Lopsided(largest(t, m)) {
			names = append(names, t.Mix.Motifs[m].Name)
		}
	}
	switch len(names) {
	case 0:
		return nil
	case 1:
		return []string{t.Say("%s is not symmetrical: you trace on the back of the felt (cutting.trace_on), so draw round the template turned over, as the lay drawings show it, or the cutouts come out mirrored", names[0])}
	}
	return []string{t.Say("%s are not symmetrical: you trace on the back of the felt (cutting.trace_on), so draw round the templates turned over, as the lay drawings show them, or the cutouts come out mirrored", say.Words(names))}
}

// clothFaults says what is wrong between cloth and felt, and whether the skirt can
// be put on.
func clothFaults(t Text) []string {
	if t.LayOnly {
		return nil
	}
	var out []string
	s := t.Cloth.Surface
	for _, f := range t.Cloth.Fabric {
		if f.Part == stage.Net && f.Pieces > s.Panels {
			out = append(out, t.Say("the net is too narrow for a panel in one piece: each layer is sewn from %d pieces, so expect %s that the layout does not show",
				f.Pieces, say.Many(f.Pieces-s.Panels, "%d seam", "%d seams")))
		}
	}
	for _, c := range t.Contrasts() {
		if c.DeltaE < stage.HardlyShows {
			out = append(out, Contrast(t.Printer, c))
		}
	}
	if heavy := heavy(t); heavy != "" {
		out = append(out, heavy)
	}
	if hip := t.Project.Skirt.Hip; s.Cut == skirt.Rectangle && s.Girth(0) < hip {
		out = append(out, t.Say("the layer is %s round and the hips are %s: it does not go over them; raise skirt.fullness", geom.Length(s.Girth(0)), geom.Length(hip)))
	}
	return out
}

// separatePieces names motifs that fall apart into pieces of one felt.
func separatePieces(t Text) []string {
	var out []string
	for _, m := range t.Mix.Motifs {
		colours := map[string]int{}
		for _, pc := range m.Pieces {
			colours[pc.Colour]++
		}
		for _, pc := range m.Pieces {
			if n := colours[pc.Colour]; n > 1 {
				out = append(out, t.Say("%s: it falls into %d separate pieces of the same felt, %s; join them in the drawing if they are one", m.Name, n, pc.Colour))
				colours[pc.Colour] = 0
			}
		}
	}
	return out
}
