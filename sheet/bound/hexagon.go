package bound

import (
	"context"
	"math"
)

// Hexagons. Convex pieces that do not overlap can each be put into a convex
// polygon of its own, these not overlapping either and all within the sheet; N
// of them in a convex sheet of at most six sides have 6N sides or fewer in all.
// A polygon of n sides round a piece is no smaller than the smallest such one,
// so round pieces waste what their hexagons have over.
//
// L. Fejes Tóth, "Some packing and covering theorems", Acta Scientiarum
// Mathematicarum (Szeged) 12 A, 1950, for pieces all alike; the lemma on the
// sides, cited from memory, holds for any convex pieces. So for any price λ of a
// side the sheets hold at least
//
//	Σ min over n of (a(n) + λ·n) - 6·N·λ
//
// where a(n) is the area of the smallest polygon of n sides round a piece: every
// side above six of one piece is paid for by one less of another.

// byPrice is a kind of piece: how many, and the least area of each by the sides of
// its polygon, from 3; the last for any more.
type byPrice struct {
	n     int
	least [mostSides + 2]float64
}

// hexagons returns a lower bound on the area of sheets, each grown by half the
// gap and all corners kept, that hold the convex shapes among the wants.
func hexagons(ctx context.Context, wants []Want, gap float64) float64 {
	var all []byPrice
	prices := []float64{0}
	total := 0
	for _, x := range wants {
		if ctx.Err() != nil {
			break // those seen so far still need their room
		}
		if !x.isConvex() {
			continue
		}
		k := byPrice{n: x.N}
		total += x.N
		d := gap / 2
		grown := x.Grown(ctx)
		for n, a := range x.around() {
			// A polygon round the grown piece, shrunk by as much, is one round
			// the piece; so it holds that grown again.
			k.least[n] = max(a+d*x.hull.Length()*(1-slack)+math.Pi*d*d, grown)
		}
		k.least[mostSides+1] = grown
		for n := 3; n <= mostSides; n++ {
			prices = append(prices, max(0, k.least[n]-k.least[n+1]))
		}
		all = append(all, k)
	}
	best := 0.0
	for _, price := range prices {
		sum := -6 * float64(total) * price
		for _, k := range all {
			least := math.Inf(1)
			for n := 3; n <= mostSides+1; n++ {
				least = min(least, k.least[n]+price*float64(n))
			}
			sum += float64(k.n) * least
		}
		best = max(best, sum)
	}
	return best
}

// around returns for n = 3 … mostSides a lower bound on the area of the smallest
// polygon of at most n sides round the shape's hull; see smallestAround.
func (s *Shape) around() [mostSides + 1]float64 {
	if s.rounds == nil {
		r := smallestAround(fewCorners(s.hull, mostCorners))
		for n := 3; n <= mostSides; n++ {
			r[n] *= 1 - slack
		}
		s.rounds = &r
	}
	return *s.rounds
}
