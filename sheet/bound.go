package sheet

import (
	"math"

	"strew/motif/geom"
)

// Bounds on how many sheets any lay needs. None of them trusts the search.
//
// Area. Let d be half the gap, and grow every piece by d: take all points within
// d of its felt. Pieces on one sheet lie at least the gap apart, so the grown
// pieces do not overlap, and as every piece lies in the sheet's inner area, a
// rectangle w × h, every grown piece lies in that rectangle grown by d, whose
// area is w·h + 2d(w+h) + π·d². So the sum of the grown areas over that area,
// rounded up, is a lower bound on the sheets. It stays one when a grown area is
// replaced by something smaller, which is what grownArea finds.
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

// Hexagons. Round convex pieces waste more than that: see hexagon.go.

// boundSlack is taken off each quotient before it is rounded up, so that float
// noise in the areas cannot raise a bound; relative.
const boundSlack = 1e-6

// grownArea returns a lower bound on the area of all points within d of g.
//
// Three are tried. The Brunn–Minkowski inequality gives (√A + d√π)² for any
// shape. For a convex shape without holes Steiner's formula is exact:
// A + L·d + π·d². For others squares are halved until they lie in the grown
// shape, and those that do are counted.
func grownArea(g geom.Region, d float64) float64 {
	a := g.Area()
	if d <= 0 || a <= 0 {
		return a
	}
	least := math.Sqrt(a) + d*math.Sqrt(math.Pi)
	least *= least
	if h := hull(g.Outer); len(g.Holes) == 0 && math.Abs(h.Area())-a <= geom.Press*geom.Press {
		// The ring's length is the hull's up to the noise allowed above; the
		// hull's own is never longer than a boundary round the same shape.
		return math.Max(least, a+h.Length()*d+math.Pi*d*d)
	}
	return math.Max(least, counted(g, d))
}

// countedFinest is the side of the smallest square counted by, as a share of
// the distance grown: what is lost stays near a hundredth of the strip gained.
const countedFinest = 1.0 / 16

// counted sums squares that lie within d of g.
func counted(g geom.Region, d float64) float64 {
	type edge struct{ a, b geom.Vec }
	var all []edge
	for _, r := range g.Rings() {
		for i, a := range r {
			all = append(all, edge{a, r.At(i + 1)})
		}
	}
	box := g.Box().Grow(d)
	side := math.Max(box.Width(), box.Height())
	// Not finer than a 4096th of the shape, whatever the gap.
	finest := math.Max(d*countedFinest, side/4096)
	sum := 0.0
	var visit func(c geom.Vec, half float64, in []edge)
	visit = func(c geom.Vec, half float64, in []edge) {
		reach := half * math.Sqrt2
		near := math.Inf(1)
		for _, e := range in {
			near = math.Min(near, geom.PointSegment(c, e.a, e.b))
		}
		switch {
		case near <= d-reach:
			// All within d of an edge, and edges are felt.
			sum += 4 * half * half
			return
		case near > reach && g.Contains(c):
			// No edge comes into the square: it is felt throughout.
			sum += 4 * half * half
			return
		case near > reach+d:
			return
		}
		if 2*half <= finest {
			return
		}
		var keep []edge
		for _, e := range in {
			if geom.PointSegment(c, e.a, e.b) <= near+2*reach {
				keep = append(keep, e)
			}
		}
		h := half / 2
		for _, k := range []geom.Vec{{X: -h, Y: -h}, {X: h, Y: -h}, {X: -h, Y: h}, {X: h, Y: h}} {
			visit(c.Add(k), h, keep)
		}
	}
	visit(box.Centre(), side/2, all)
	return sum
}

// want is a form with the number of copies asked for.
type want struct {
	*form
	n int
}

// sheetsAtLeast returns a proven lower bound on the sheets of inner size w × h
// that hold all the wanted pieces.
func sheetsAtLeast(wants []want, w, h, gap float64) int {
	if len(wants) == 0 {
		return 0
	}
	d := gap / 2
	sum, total := 0.0, 0
	type disc struct {
		r float64
		n int
	}
	var discs []disc
	for _, x := range wants {
		sum += float64(x.n) * x.grown()
		total += x.n
		discs = append(discs, disc{x.inscribed(), x.n})
	}
	up := func(q float64) int { return int(math.Ceil(q - boundSlack*math.Max(1, q))) }
	best := max(1, up(sum/(w*h+gap*(w+h)+math.Pi*d*d)), up(hexagons(wants, gap)/((w+gap)*(h+gap))))
	for _, x := range discs {
		n := 0
		for _, y := range discs {
			if y.r >= x.r {
				n += y.n
			}
		}
		r, s := x.r, 2*x.r+gap
		a, b := math.Max(0, w-2*r), math.Max(0, h-2*r)
		if math.Hypot(a, b) < s-geom.Touch {
			best = max(best, n)
		} else if s > 0 {
			cap := math.Floor(2*a*b/(math.Sqrt(3)*s*s) + (a+b)/s + 1 + boundSlack)
			best = max(best, up(float64(n)/cap))
		}
	}
	return best
}

// grown returns a lower bound on the area of the form grown by half the gap.
func (f *form) grown() float64 {
	if f.grownBy == 0 {
		f.grownBy = grownArea(f.true, f.gap/2)
	}
	return f.grownBy
}

// inscribed returns a radius no wider than the widest circle in the form.
func (f *form) inscribed() float64 {
	if !f.hasRadius {
		f.radius, f.hasRadius = inscribed(f.true), true
	}
	return f.radius
}

func inscribed(g geom.Region) float64 {
	_, r := geom.Pole([]geom.Region{g}, geom.PoleTol)
	// Inscribed returns the distance of a real point to the edge: it may be
	// short by its tolerance, never over.
	return math.Max(0, r-geom.Press)
}

// lengthAtLeast returns a proven lower bound on the inner length of a roll of
// inner width w that holds all the wanted pieces: from the area as above, and
// from the longest piece, which is at least as long as its narrowest width
// over all turns allowed.
func lengthAtLeast(wants []want, w, gap float64, nap Nap) float64 {
	d := gap / 2
	sum, longest := 0.0, 0.0
	for _, x := range wants {
		sum += float64(x.n) * x.grown()
		longest = math.Max(longest, x.shortest(nap))
	}
	// w·h + gap·(w+h) + πd² ≥ sum, and (w+gap)·(h+gap) ≥ the hexagons.
	least := math.Max((sum-math.Pi*d*d-gap*w)/(w+gap), hexagons(wants, gap)/(w+gap)-gap)
	return math.Max(longest, least*(1-boundSlack))
}

// shortest returns the least height of the form's box over the turns allowed.
// Over all turns it is the width of the hull, found with one side level.
func (f *form) shortest(nap Nap) float64 {
	turns := napTurns(nap)
	if turns == nil {
		for i, p := range f.hull {
			d := f.hull.At(i + 1).Sub(p)
			turns = append(turns, -math.Atan2(d.Y, d.X))
		}
	}
	least := math.Inf(1)
	for _, t := range turns {
		least = math.Min(least, f.turned(t).Height())
	}
	return least
}
