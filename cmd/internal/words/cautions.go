package words

import (
	"slices"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/geom"
)

// Cautions lists the usual cautions that apply to the work, one string each. They
// defer to local rules and to those who are licensed to judge.
func (t Text) Cautions() []string {
	var out []string
	if t.Project.Supplies.Fixing == project.FixingGlue && !t.LayOnly {
		out = append(out, t.Say("Hot glue: glue and nozzle burn skin and melt nylon net. Try a scrap, use a low-temperature gun, lay baking paper under the net and keep the nozzle off it."))
	}
	if !t.LayOnly {
		out = append(out, t.Say("Irons: net shrinks and melts. Keep the iron off it, or use the coolest setting through a cloth, and try a scrap."))
	}
	return append(out,
		t.Say("Blades: cut away from your hand, close scissors and knives, keep them from children."),
		smallParts(t),
		t.Say("Fire: net and felt burn fast. Keep them from candles, heaters and stage effects; local flammability rules, the house's fire officer and the cloth's own label decide, and this plan has tested nothing."),
	)
}

// smallParts warns of small parts, and names the smallest piece, which is the
// first to be swallowed.
func smallParts(t Text) string {
	best, name := 0.0, ""
	for _, it := range t.Laid.Items {
		if t.Counts[it.Kind].Cut() == 0 {
			continue
		}
		if d := diameter(t.Mix.PieceOf(it), t.Mix.Size(it)); name == "" || d < best {
			best, name = d, t.Mix.Name(it.Kind)
		}
	}
	if name == "" {
		return t.Say("Small parts: cutouts can come off and be swallowed. Not for children under three. If you sell, local small-parts rules apply.")
	}
	return t.Say("Small parts: cutouts can come off and be swallowed. Not for children under three (the smallest piece here, of %s, is %s long). If you sell, local small-parts rules apply.", name, geom.Length(best))
}

// diameter returns the longest distance within a piece, millimetres.
func diameter(pc motif.Piece, size float64) float64 {
	far := 0.0
	for _, v := range pc.Region.Outer {
		far = max(far, pc.Region.Outer.Reach(v))
	}
	return far * size
}

// sortedOnce sorts the names and drops repeats.
func sortedOnce(names []string) []string {
	slices.Sort(names)
	return slices.Compact(names)
}
