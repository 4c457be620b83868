package plan

import (
	"fmt"

	"strew/motif"
)

// Sizes below which felt and scissors give trouble (common practice, no
// source): a bridge of felt tears, and a piece too small to hold gets lost.
const (
	thinFelt   = 3.0
	smallPiece = 10.0
)

// warn adds what a maker should know before she cuts.
func (p *Plan) warn() {
	for i, k := range p.Kinds {
		m := p.Motifs[k.Motif]
		if p.Counts[i].Placed == 0 {
			p.addWarning("%s: its share of so few cutouts comes to none", p.kindName(k))
			continue
		}
		if w := m.Measure().Narrowest * k.Size; w < thinFelt {
			p.addWarning("%s: its felt is only %.1f mm wide at the narrowest place; under %.0f mm it tears easily", p.kindName(k), w, thinFelt)
		}
		for n, pc := range m.Pieces {
			b := pc.Region.Box()
			if w := min(b.Width(), b.Height()) * k.Size; w < smallPiece {
				p.addWarning("%s: piece %d is only %.1f mm across; under %.0f mm it is hard to cut and to hold", p.kindName(k), n+1, w, smallPiece)
			}
		}
	}
	for _, f := range p.Fabric {
		if f.Seamed && f.Part == "net" && f.Pieces > p.Surface.Panels {
			p.addWarning("the net is too narrow for %s of one piece: each layer is sewn from %d pieces, so expect %s that the layout does not show",
				many(p.Surface.Panels, "a panel", "panels"), f.Pieces, many(f.Pieces-p.Surface.Panels, "seam", "seams"))
		}
	}
}

func (p *Plan) addWarning(format string, a ...any) {
	p.Warnings = append(p.Warnings, fmt.Sprintf(format, a...))
}

// Cautions lists the usual cautions that apply to the work, one a line. They
// defer to local rules and to those who are licensed to judge.
func (p *Plan) Cautions() []string {
	var out []string
	if p.Project.Supplies.Fixing == "glue" {
		out = append(out, "Hot glue: glue and nozzle burn skin and melt nylon net. Try a scrap, use a low-temperature gun, lay baking paper under the net and keep the nozzle off it.")
	}
	out = append(out,
		"Irons: net shrinks and melts. Keep the iron off it, or use the coolest setting through a cloth, and try a scrap.",
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
		if p.Counts[i].Placed == 0 {
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
