package plan

import (
	"fmt"
	"slices"
	"strings"

	"strew/motif"
	"strew/render/scene"
)

// warn adds what a maker should know before she cuts.
func (p *Plan) warn() {
	// Of a motif in several sizes, the smallest one is the hardest to cut.
	smallest := make([]int, len(p.Motifs))
	for i := range smallest {
		smallest[i] = -1
	}
	for i, k := range p.Kinds {
		if p.Counts[i].Cut() == 0 {
			if !p.isPatch(k) {
				p.addWarning("%s: its share of so few cutouts comes to none", p.kindName(k))
			}
			continue
		}
		if j := smallest[k.Motif]; j < 0 || k.Size < p.Kinds[j].Size {
			smallest[k.Motif] = i
		}
	}
	if p.LayOnly {
		for _, m := range p.Project.Motifs {
			if m.Cut == 0 {
				p.addWarning("%s: it has no cut number, so none is laid", m.Name)
			}
		}
	}
	p.warnLetters()
	var lopsided []string
	for m, i := range smallest {
		if i < 0 {
			continue
		}
		k := p.Kinds[i]
		if faults := p.Measures[m].Faults(k.Size); len(faults) > 0 {
			p.addWarning("%s: %s", p.kindName(k), strings.Join(p.say().Messages(faults), "; "))
		}
		if p.Project.Cutting.TraceBack && p.Motifs[m].Lopsided(p.largest(m)) {
			lopsided = append(lopsided, p.Motifs[m].Name)
		}
	}
	if len(lopsided) > 0 {
		p.addWarning("%s: not %s; as cutting.trace_on is \"back\", draw round the template turned over, as the lay drawings show it, or the cutouts come out mirrored",
			strings.Join(lopsided, ", "), whose(len(lopsided)))
	}
	for _, f := range p.Fabric {
		if f.Part == "net" && f.Pieces > p.Surface.Panels {
			p.addWarning("the net is too narrow for a panel in one piece: each layer is sewn from %d pieces, so expect %s that the layout does not show",
				f.Pieces, many(f.Pieces-p.Surface.Panels, "seam", "seams"))
		}
	}
	for _, c := range p.Contrasts() {
		if c.DeltaE < hardlyShows {
			p.addWarning("%s", c.Words())
		}
	}
	if text := p.heavyWords(); text != "" {
		p.addWarning("%s", text)
	}
	if s := p.Project.Skirt; !p.LayOnly && s.Cut == "rectangle" && p.Surface.Girth(0) < s.Hip {
		p.addWarning("the layer is %s round and the hips are %s: it does not go over them; raise skirt.fullness", p.show(p.Surface.Girth(0)), p.show(s.Hip))
	}
	for _, m := range p.Motifs {
		colours := map[string]int{}
		for _, pc := range m.Pieces {
			colours[pc.Colour]++
		}
		for _, pc := range m.Pieces {
			if n := colours[pc.Colour]; n > 1 {
				p.addWarning("%s: it falls into %d separate pieces of the same felt, %s; join them in the drawing if they are one", m.Name, n, pc.Colour)
				colours[pc.Colour] = 0
			}
		}
	}
}

// warnLetters names the letters of names that drawings cannot show.
func (p *Plan) warnLetters() {
	names := []string{p.Project.Title}
	for _, m := range p.Project.Motifs {
		names = append(names, m.Name)
	}
	for _, s := range p.Project.Sheets {
		names = append(names, s.Name)
	}
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		if lacks := scene.Regular.Missing(name); len(lacks) > 0 {
			p.addWarning("%s: the font of the drawings lacks %s and shows a hollow square for each; the lists and plan.json have them", name, strings.Join(strings.Split(string(lacks), ""), " "))
		}
	}
}

// largest is the largest size in which a motif is placed: where a lopsided
// outline shows most.
func (p *Plan) largest(m int) float64 {
	size := 0.0
	for i, k := range p.Kinds {
		if k.Motif == m && p.Counts[i].Cut() > 0 {
			size = max(size, k.Size)
		}
	}
	return size
}

func whose(n int) string {
	if n == 1 {
		return "its own mirror image"
	}
	return "their own mirror images"
}

func (p *Plan) addWarning(format string, a ...any) {
	p.Warnings = append(p.Warnings, fmt.Sprintf(format, a...))
}

// Cautions lists the usual cautions that apply to the work, one a line. They
// defer to local rules and to those who are licensed to judge.
func (p *Plan) Cautions() []string {
	var out []string
	if p.Project.Supplies.Fixing == "glue" && !p.LayOnly {
		out = append(out, "Hot glue: glue and nozzle burn skin and melt nylon net. Try a scrap, use a low-temperature gun, lay baking paper under the net and keep the nozzle off it.")
	}
	if !p.LayOnly {
		out = append(out, "Irons: net shrinks and melts. Keep the iron off it, or use the coolest setting through a cloth, and try a scrap.")
	}
	out = append(out,
		"Blades: cut away from your hand, close scissors and knives, keep them from children.",
		"Small parts: cutouts can come off and be swallowed. Not for children under three"+p.smallestWords()+". If you sell, local small-parts rules apply.",
		"Fire: net and felt burn fast. Keep them from candles, heaters and stage effects; local flammability rules, the house's fire officer and the cloth's own label decide, and this plan has tested nothing.",
	)
	return out
}

// smallestWords names the smallest piece, which is the first to be swallowed.
func (p *Plan) smallestWords() string {
	best, name := 0.0, ""
	for i, k := range p.Kinds {
		if p.Counts[i].Cut() == 0 {
			continue
		}
		for _, pc := range p.Motifs[k.Motif].Pieces {
			if d := diameter(pc, k.Size); name == "" || d < best {
				best, name = d, p.kindName(k)
			}
		}
	}
	if name == "" {
		return ""
	}
	return fmt.Sprintf(" (the smallest piece here, of %s, is %s long)", name, p.show(best))
}

func diameter(pc motif.Piece, size float64) float64 {
	far := 0.0
	for _, v := range pc.Region.Outer {
		far = max(far, pc.Region.Outer.Reach(v))
	}
	return far * size
}
