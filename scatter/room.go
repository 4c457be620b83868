package scatter

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// outlined is marks whose room is measured from their true outlines. Medial-axis
// discs tell which neighbours can be the nearest; those are measured exactly.
type outlined struct {
	*neighbourhood
	laid []laid // of every mark
}

// measureRoom measures evenness between true outlines, in a band of the given
// extents.
func measureRoom(ctx context.Context, f *domain, marks []mark, step float64, ext extents) (Room, error) {
	flat := *f
	flat.density.flat = true
	n := len(marks)
	hood, err := flat.neighbourhood(ctx, marks, step, true)
	if err != nil {
		return Room{}, err
	}
	x := outlined{hood, make([]laid, n)}
	if err := x.turnDiscs(ctx); err != nil {
		return Room{}, err
	}
	near, even := make([]float64, n), make([]float64, n)
	if err := inChunks(ctx, n, chunk, func(from, to int) {
		for i := from; i < to; i++ {
			x.laid[i] = f.laidAt(marks[i].kind, marks[i].turn, x.spots.At(i))
		}
	}); err != nil {
		return Room{}, err
	}
	if err := inChunks(ctx, n, chunk, func(from, to int) {
		var w walker
		for i := from; i < to; i++ {
			near[i] = x.nearestRoom(i, &w)
			along, across := f.density.at(marks[i].at.Down)
			even[i] = near[i] / math.Sqrt(along*across)
		}
	}); err != nil {
		return Room{}, err
	}
	near, even = finite(near), finite(even)
	out := Room{NearestMin: slices.Min(near), NearestMean: mean(near)}
	if ext.area > 0 {
		out.RelativeRadius = slices.Min(even) / ext.spacing(n)
		out.ClarkEvans = mean(even) / (0.5 * math.Sqrt(ext.area/float64(n)))
	}
	from, err := x.barest(ctx)
	if err != nil {
		return Room{}, err
	}
	best, err := x.climb(ctx, from, x.roomAt())
	out.EmptyRadius, out.EmptyAt = best.room, f.surface.Point(best.at.Place)
	return out, err
}

// roomAt returns the measure of a place's distance from the nearest outline, and
// the mean radius of discs as large as the outlines.
func (x *outlined) roomAt() func(at skirt.Spot, guess float64) float64 {
	equal, reach := 0.0, 0.0
	for _, m := range x.marks {
		equal += x.forms[m.kind].equal
	}
	equal /= float64(len(x.marks))
	for _, f := range x.forms {
		reach = math.Max(reach, f.reach)
	}
	widest := 2 * (x.domain.extent() + x.domain.fold.Drop)
	return func(at skirt.Spot, guess float64) float64 {
		least := math.Inf(1)
		for wide := guess + reach; math.IsInf(least, 1); wide *= 2 {
			x.spots.Near(at, wide, func(id int, off geom.Vec, over int) {
				if length(off)-x.laid[id].reach > least {
					return
				}
				p := off.Mul(-1).Rotate(-x.domain.fold.OverTurn(over))
				for _, ring := range x.laid[id].rings {
					if ring.Contains(p) {
						least = math.Min(least, 0)
					}
					least = math.Min(least, ring.EdgeDist(p))
				}
			})
			if wide > widest {
				break
			}
		}
		return least + equal
	}
}

// nearestRoom returns the room between mark i and its nearest.
func (x *outlined) nearestRoom(i int, w *walker) float64 {
	here := x.spots.At(i)
	mine := &x.forms[x.marks[i].kind]
	own := x.own(i, metric{}, w)
	type candidate struct {
		pair
		room float64
	}
	var all []candidate
	least := math.Inf(1)
	limit := 2 * (x.domain.extent() + x.domain.fold.Drop)
	for reach := 1.5*x.d + x.beyond(); math.IsInf(least, 1) && reach < limit; reach *= 2 {
		all = all[:0]
		x.spots.Near(here, reach, func(id int, off geom.Vec, over int) {
			if id == i && off == (geom.Vec{}) {
				return
			}
			p := pair{i, id, off, over}
			_, room, _ := x.room(p, own, metric{})
			least = math.Min(least, room)
			all = append(all, candidate{p, room})
		})
	}
	// Discs inside an outline lie no nearer than it does, and no farther than the
	// outline may stray from them.
	best := least
	for _, c := range all {
		theirs := &x.forms[x.marks[c.k].kind]
		if c.room > least+mine.stray+theirs.stray {
			continue
		}
		gap := apart(x.laid[i], x.laid[c.k], c.off, x.domain.fold.OverTurn(c.over), math.Max(0, best-mine.equal-theirs.equal))
		best = math.Min(best, mine.equal+theirs.equal+gap)
	}
	return best
}
