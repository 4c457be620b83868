package stage

import (
	"math"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/scatter"
)

// Count is how many of one kind are placed and cut.
type Count struct {
	Kind, Placed, Spare int
}

// Cut returns how many to cut.
func (c Count) Cut() int { return c.Placed + c.Spare }

// CountPlaced counts cutouts by their kinds, as many patches as back them, and
// the spares of both.
func CountPlaced(m Mix, placed []int, cut project.Cutting) []Count {
	out := make([]Count, len(m.Kinds))
	for i := range out {
		out[i] = Count{Kind: i, Placed: placed[m.CutoutOf(i)]}
		if out[i].Placed > 0 {
			out[i].Spare = spares(out[i].Placed, cut)
		}
	}
	return out
}

// spares is how many more than are placed are cut.
func spares(placed int, cut project.Cutting) int {
	if cut.SpareShare > 0 {
		return int(math.Ceil(cut.SpareShare*float64(placed) - geom.SameRatio))
	}
	return cut.SpareCount
}

// CountCuts takes the counts from the motifs' cut numbers. None has a place, so
// all are spare.
func CountCuts(m Mix, motifs []project.Motif) []Count {
	out := make([]Count, len(m.Kinds))
	for i := range out {
		out[i] = Count{Kind: i, Spare: motifs[m.Kinds[m.CutoutOf(i)].Motif].Cut}
	}
	return out
}

// placed counts the placements by their kinds.
func placed(m Mix, l scatter.Layout) []int {
	out := make([]int, len(m.Kinds))
	for _, p := range l.Placements {
		out[p.Kind]++
	}
	return out
}

// Totals counts the cutouts placed and to cut, patches left out.
func (p Plan) Totals() (placed, cut int) {
	for _, c := range p.Counts {
		if !p.Mix.IsPatch(c.Kind) {
			placed += c.Placed
			cut += c.Cut()
		}
	}
	return placed, cut
}
