// Package bound computes proven lower bounds on the felt that any lay needs. None
// of them trusts the search.
//
// Area. Let d be half the gap, and grow every piece by d: take all points within
// d of its felt. Pieces on one sheet lie at least the gap apart, so the grown
// pieces do not overlap, and as every piece lies in the sheet's inner area, a
// rectangle w × h, every grown piece lies in that rectangle grown by d, whose
// area is w·h + 2d(w+h) + π·d². So the sum of the grown areas over that area,
// rounded up, is a lower bound on the sheets. It stays one when a grown area is
// replaced by something smaller, which is what Shape.Grown finds.
//
// Big pieces. A piece holds its widest inscribed circle, of radius r. Centres
// of two such circles on one sheet lie in rectangles that leave them at most
// hypot(w-r₁-r₂, h-r₁-r₂) apart, and must be r₁+r₂+gap apart. Where all pieces
// of a set are too wide for that in pairs, each needs its own sheet.
//
// Circles. N points at least s apart in a convex set of area A and perimeter P
// are at most 2A/(√3·s²) + P/(2s) + 1 (N. Oler, "An inequality in the geometry of
// numbers", Acta Mathematica 105, 1961). The centres of the inscribed circles
// of pieces with radius r or more are such points, s = 2r + gap, in the inner
// area less r on every side.
//
// Hexagons. Round convex pieces waste more than that: see hexagon.go.
//
// Every function that takes a context returns a weaker bound, still proven, once
// the context is done.
package bound

import (
	"context"
	"math"

	"strew/motif/geom"
)

// Sheets returns a lower bound on the number of sheets that hold all the wanted
// pieces, each at least gap apart. Inner is a sheet inside its margins.
func Sheets(ctx context.Context, wants []Want, inner geom.Box, gap float64) int {
	if len(wants) == 0 {
		return 0
	}
	w, h, d := inner.Width(), inner.Height(), gap/2
	sum := 0.0
	for _, x := range wants {
		sum += float64(x.N) * x.Grown(ctx)
	}
	best := max(1, up(sum/(w*h+gap*(w+h)+math.Pi*d*d)), up(hexagons(ctx, wants, gap)/((w+gap)*(h+gap))))
	for _, x := range wants {
		n := 0
		for _, y := range wants {
			if y.Inradius() >= x.Inradius() {
				n += y.N
			}
		}
		r, s := x.Inradius(), 2*x.Inradius()+gap
		a, b := math.Max(0, w-2*r), math.Max(0, h-2*r)
		if math.Hypot(a, b) < s-geom.Touch {
			best = max(best, n)
		} else if s > 0 {
			most := math.Floor(2*a*b/(math.Sqrt(3)*s*s) + (a+b)/s + 1 + slack)
			best = max(best, up(float64(n)/most))
		}
	}
	return best
}

// up rounds a quotient up, but for float noise.
func up(q float64) int { return int(math.Ceil(q - slack*math.Max(1, q))) }

// Length returns a lower bound on the inner length, in millimetres, of a roll of the
// given inner width that holds all the wanted pieces, from their area as above. No
// lay is shorter than longest either, the least length of the longest piece.
func Length(ctx context.Context, wants []Want, width, gap, longest float64) float64 {
	d := gap / 2
	sum := 0.0
	for _, x := range wants {
		sum += float64(x.N) * x.Grown(ctx)
	}
	// w·h + gap·(w+h) + πd² ≥ sum, and (w+gap)·(h+gap) ≥ the hexagons.
	least := math.Max((sum-math.Pi*d*d-gap*width)/(width+gap), hexagons(ctx, wants, gap)/(width+gap)-gap)
	return math.Max(longest, least*(1-slack))
}
