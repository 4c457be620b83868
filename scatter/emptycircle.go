package scatter

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// The largest empty circle: the widest one centred in the feasible band that
// holds no mark. Its centre is a corner of a Voronoi cell, or lies where the
// edge of the band cuts one (M. I. Shamos, D. Hoey, "Closest-point problems",
// 16th Symposium on Foundations of Computer Science, 1975). Cells here are cut
// out one by one and bounded, so the best corners are refined by hill climbing.

// bare is a place of the band far from any mark.
type bare struct {
	at   skirt.Spot
	room float64
}

const (
	// climbs is how many candidates are refined by hill climbing: two neighbouring
	// cells share each of them, and more than a few are never close enough to each
	// other for the order to change.
	climbs = 12
	// bareSamples is the most samples of the band to a side.
	bareSamples = 2000
)

// emptyCircle returns the radius of the largest empty circle about marks taken as
// points, and its centre.
func (n *neighbourhood) emptyCircle(ctx context.Context) (float64, skirt.Point, error) {
	flat := *n.domain
	flat.density.flat = true
	z := *n
	z.domain = &flat
	from, err := z.barest(ctx)
	if err != nil {
		return 0, skirt.Point{}, err
	}
	best, err := z.climb(ctx, from, func(at skirt.Spot, guess float64) float64 {
		_, d := z.spots.Nearest(at, math.Max(guess, z.d/4), -1)
		return d
	})
	return best.room, z.domain.surface.Point(best.at.Place), err
}

// barest returns the barest corners of all cells, the barest first. Where marks
// lie too far apart for cells to close, the band is sampled as well.
func (n *neighbourhood) barest(ctx context.Context) ([]bare, error) {
	count := len(n.marks)
	found := make([]bare, count)
	cutOff := make([]bool, count)
	err := inChunks(ctx, count, chunk, func(from, to int) {
		var w walker
		for i := from; i < to; i++ {
			here := n.spots.At(i)
			best := geom.Vec{}
			found[i].room = -1
			own := n.voronoi(i, here, metric{}, &w, 0, func(geom.Vec, float64) {})
			n.corners(here, &w, metric{}, func(c geom.Vec) {
				if _, l := nearestOf(own, c); l > found[i].room {
					found[i].room, best = l, c
				}
			})
			cutOff[i] = found[i].room > gatherWithin/2*n.d
			found[i].at = n.domain.fold.Step(here, best)
		}
	})
	if err != nil {
		return nil, err
	}
	if slices.Contains(cutOff, true) || n.domain.obstacles != nil {
		gap := math.Max(n.d/5, math.Sqrt(n.domain.extents().cloth)/bareSamples)
		n.domain.sample(gap, func(at skirt.Spot) bool {
			if _, l := n.spots.Nearest(at, n.d, -1); l > 0.5*n.d {
				found = append(found, bare{at, l})
			}
			return ctx.Err() == nil
		})
	}
	var best []bare
	for _, b := range found {
		if b.room < 0 || len(best) == climbs && b.room <= best[climbs-1].room {
			continue // below 0: no corner of its cell is free
		}
		i, _ := slices.BinarySearchFunc(best, b, func(a, b bare) int {
			if a.room >= b.room {
				return -1 // equals stay in their order
			}
			return 1
		})
		best = slices.Insert(best, i, b)
		best = best[:min(climbs, len(best))]
	}
	return best, ctx.Err()
}

// climb follows the barest places uphill by halving steps and returns the best.
func (n *neighbourhood) climb(ctx context.Context, from []bare, room func(at skirt.Spot, guess float64) float64) (bare, error) {
	best := bare{n.spots.At(0), 0}
	z := n.domain
	for _, b := range from {
		at, here := b.at, room(b.at, b.room)
		for h := n.d / 8; h > geom.Touch; h /= 2 {
			if err := ctx.Err(); err != nil {
				return best, err
			}
			for _, dir := range [...]geom.Vec{{X: h}, {X: -h}, {Y: h}, {Y: -h}, {X: h, Y: h}, {X: -h, Y: h}, {X: h, Y: -h}, {X: -h, Y: -h}} {
				to := z.fold.Step(at, dir)
				to = z.fold.Spot(z.clampTo(to.Place, z.low, z.high))
				if !z.free(to) {
					continue
				}
				if l := room(to, here); l > here {
					at, here = to, l
				}
			}
		}
		if here > best.room && !math.IsInf(here, 1) {
			best = bare{at, here}
		}
	}
	return best, nil
}
