package scatter

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// room measures evenness between true outlines. Their stand-ins tell which
// neighbours can be the nearest; those are measured from the outlines.
func (j *job) room(f folded, marks []mark, step, oler, area float64) Room {
	f.density.flat = true
	r := j.relaxer(f, marks, step, true)
	r.stand()
	n := len(marks)
	rings := make([][]geom.Ring, n)
	near, even := make([]float64, n), make([]float64, n)
	parallel((n+chunk-1)/chunk, func(k int) {
		for i := k * chunk; i < min(n, (k+1)*chunk); i++ {
			rings[i] = j.shapes[marks[i].kind].turned(marks[i].turn + r.spots.At(i).Upright)
		}
	})
	parallel((n+chunk-1)/chunk, func(k int) {
		var w walker
		for i := k * chunk; i < min(n, (k+1)*chunk); i++ {
			near[i] = j.roomOf(r, rings, i, &w)
			along, across := j.zone.density.at(marks[i].at.Down)
			even[i] = near[i] / math.Sqrt(along*across)
		}
	})
	near, even = finite(near), finite(even)
	out := Room{NearestMin: slices.Min(near), NearestMean: mean(near)}
	if area > 0 {
		out.RelativeRadius = slices.Min(even) / oler
		out.ClarkEvans = mean(even) / (0.5 * math.Sqrt(area/float64(n)))
	}
	equal := 0.0
	for _, m := range marks {
		equal += r.forms[m.kind].equal
	}
	equal /= float64(n)
	reach := 0.0
	for _, f := range r.forms {
		reach = math.Max(reach, f.reach)
	}
	best := r.climb(r.barest(), func(at skirt.Spot, guess float64) float64 {
		least := math.Inf(1)
		for wide := guess + reach; math.IsInf(least, 1); wide *= 2 {
			r.spots.Near(at, wide, func(id int, off geom.Vec, over int) {
				if length(off)-r.forms[marks[id].kind].reach > least {
					return
				}
				p := off.Mul(-1).Rotate(-f.fold.OverTurn(over))
				for _, ring := range rings[id] {
					if ring.Contains(p) {
						least = math.Min(least, 0)
					}
					least = math.Min(least, ring.EdgeDist(p))
				}
			})
			if wide > 2*(f.extent()+f.fold.Drop) {
				break
			}
		}
		return least + equal
	})
	out.BaldRadius, out.BaldAt = best.room, j.surface.Point(best.at.Place)
	return out
}

// roomOf returns the room between mark i and its nearest.
func (j *job) roomOf(r *relaxer, rings [][]geom.Ring, i int, w *walker) float64 {
	here := r.spots.At(i)
	a := laid{rings[i], j.shapes[r.marks[i].kind].reach}
	mine := r.forms[r.marks[i].kind].equal
	own := r.own(i, metric{}, w)
	type guess struct {
		id   int
		off  geom.Vec
		over int
		room float64
	}
	var all []guess
	least := math.Inf(1)
	limit := 2 * (r.zone.extent() + r.zone.fold.Drop)
	for reach := 1.5*r.d + r.beyond(); math.IsInf(least, 1) && reach < limit; reach *= 2 {
		all = all[:0]
		r.spots.Near(here, reach, func(id int, off geom.Vec, over int) {
			if id == i && off == (geom.Vec{}) {
				return
			}
			_, room, _ := r.room(i, id, off, over, own, metric{})
			least = math.Min(least, room)
			all = append(all, guess{id, off, over, room})
		})
	}
	// Discs inside an outline lie no nearer than it does, and no farther than the
	// stand-ins may stray from it.
	best := least
	for _, g := range all {
		stray := r.forms[r.marks[i].kind].stray + r.forms[r.marks[g.id].kind].stray
		if g.room > least+stray {
			continue
		}
		theirs := r.forms[r.marks[g.id].kind].equal
		b := laid{rings[g.id], j.shapes[r.marks[g.id].kind].reach}
		best = math.Min(best, mine+theirs+apart(a, b, g.off, r.zone.fold.OverTurn(g.over), math.Max(0, best-mine-theirs)))
	}
	return best
}
