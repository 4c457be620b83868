package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/cmd/internal/stage"
	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// Notes about the plan as a whole: the lay, the names and the cloth.

// stopped says what was not finished, or came out smaller than asked for.
func stopped(t Text) []Note {
	var out []Note
	if t.Laid.Lay.Stopped {
		out = append(out, t.about(t.Say("the lay was stopped early and is the best found so far; a full run may need less felt"))...)
	}
	if y := yielded(t); y != "" {
		out = append(out, t.about(y, densityKey(t.Project))...)
	}
	return out
}

// missingLetters lists letters in names that the drawings' font lacks, for each
// name once.
func missingLetters(t Text) []Note {
	keys := map[string]string{t.Project.Title: "title"}
	names := []string{t.Project.Title}
	add := func(name, key string) {
		if keys[name] == "" {
			keys[name] = key
		}
		names = append(names, name)
	}
	for i, m := range t.Project.Motifs {
		add(m.Name, motifKey(i, "name"))
	}
	for i, s := range t.Project.Sheets {
		add(s.Name, fmt.Sprintf("sheet.%d.name", i))
	}
	var out []Note
	for _, name := range sortedOnce(names) {
		if lacks := scene.Regular.Missing(name); len(lacks) > 0 {
			out = append(out, t.about(t.Say("%s: the font of the drawings lacks %s and shows a hollow square for each; the lists and plan.json have them", name, strings.Join(strings.Split(string(lacks), ""), " ")), keys[name])...)
		}
	}
	return out
}

// clothFaults says what is wrong between cloth and felt, and whether the skirt can
// be put on.
func clothFaults(t Text) []Note {
	if t.LayOnly {
		return nil
	}
	var out []Note
	s, p := t.Cloth.Surface, t.Project
	for _, f := range t.Cloth.Fabric {
		if f.Part == stage.Net && f.Pieces > s.Panels {
			out = append(out, t.about(t.Say("the net is too narrow for a panel in one piece: each layer is sewn from %d pieces, so expect %s that the layout does not show",
				f.Pieces, say.Many(f.Pieces-s.Panels, "%d seam", "%d seams")), "skirt.fabric_width", "skirt.panels")...)
		}
	}
	out = append(out, faint(t)...)
	if heavy := heavy(t); heavy != "" {
		out = append(out, t.about(heavy, "supplies.net_weight", "supplies.felt_weight", densityKey(p))...)
	}
	if hip := p.Skirt.Hip; s.Cut == skirt.Rectangle && s.Girth(0) < hip {
		out = append(out, t.about(t.Say("the layer is %s round and the hips are %s: it does not go over them; gather in more cloth, by a fullness of %s or more",
			geom.Length(s.Girth(0)), geom.Length(hip), number(math.Ceil(100*hip/p.Skirt.Waist)/100)), "skirt.fullness", "skirt.hip")...)
	}
	return out
}

// faint names felt that hardly shows, where the maker chose the colour of the net
// or of what lies under it.
func faint(t Text) []Note {
	ground := firstWritten(t.Project, "skirt.colour", "lining.colour")
	if ground == "" {
		return nil
	}
	var out []Note
	for _, c := range t.Contrasts() {
		if c.DeltaE >= stage.HardlyShows {
			continue
		}
		n := Note{Text: Contrast(t.Printer, c), Key: ground}
		for i, m := range t.Mix.Motifs[:len(t.Project.Motifs)] {
			if n.Motif == "" && slices.ContainsFunc(m.Pieces, func(pc motif.Piece) bool { return pc.Colour == c.Colour }) {
				n.Motif = m.Name
				if key := motifKey(i, "colour"); t.Project.Written(key) {
					n.Key = key
				}
			}
		}
		out = append(out, n)
	}
	return out
}
