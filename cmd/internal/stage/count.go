package stage

import (
	"math"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/scatter"
)

// Count is how many of one kind are placed and cut.
type Count struct {
	Kind          int // index into the mix's kinds
	Placed, Spare int // spares are cut beside those placed
}

// Cut returns how many to cut.
func (c Count) Cut() int { return c.Placed + c.Spare }

// CountPlaced returns the count of every kind of the mix: the cutouts placed, by
// kind as given, as many patches behind them, and the spares of both.
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

// spares returns how many to cut beside those placed.
func spares(placed int, cut project.Cutting) int {
	if cut.SpareShare > 0 {
		return int(math.Ceil(cut.SpareShare*float64(placed) - geom.SameRatio))
	}
	return cut.SpareCount
}

// CountCuts returns the counts of a lay without a skirt, from the motifs' cut
// numbers. Nothing is placed, so all are spare.
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

// Totals returns how many cutouts are placed and how many to cut, patches not
// counted.
func (p Plan) Totals() (placed, cut int) {
	for _, c := range p.Counts {
		if !p.Mix.IsPatch(c.Kind) {
			placed += c.Placed
			cut += c.Cut()
		}
	}
	return placed, cut
}
