package scatter

import (
	"math"

	"strew/scatter/skirt"
)

// extents measure a feasible band: its area in mm² and, in the lengths of the
// density, its area, the length of its edges and its Euler characteristic. Seams
// that cutouts may straddle do not count as edges.
type extents struct {
	cloth, area, edge float64
	euler             int
}

// spacing returns the widest spacing that n points can have in them.
func (e extents) spacing(n int) float64 { return OlerSpacing(n, e.area, e.edge, e.euler) }

// OlerSpacing returns the widest spacing that n points can have in a region of
// the given area, edge length and Euler characteristic: n ≤ 2A/(√3·d²) + P/(2d)
// + χ (N. Oler, "An inequality in the geometry of numbers", Acta Mathematica
// 105, 1961).
func OlerSpacing(n int, area, edge float64, euler int) float64 {
	// With u = 1/d: (2A/√3)u² + (P/2)u + χ - n = 0.
	a, b, c := 2*area/math.Sqrt(3), edge/2, float64(euler-n)
	if c >= 0 {
		return math.Inf(1)
	}
	u := 2 * -c / (b + math.Sqrt(b*b-4*a*c))
	return 1 / u
}

// extents returns those of the band of the whole surface. Among obstacles they
// are measured once, by samples.
func (f *domain) extents() extents {
	if o := f.obstacles; o != nil {
		if o.measured == nil {
			e := f.sampledExtents()
			o.measured = &e
		}
		return *o.measured
	}
	const strips = 256 // Simpson on a smooth integrand: far below a mm²
	n := float64(f.surface.Panels)
	width := func(down float64) float64 {
		return f.surface.Girth(down) * (1 - 2*n*f.inset(down))
	}
	var e extents
	h := (f.high - f.low) / strips
	for i := range strips + 1 {
		w := 2.0 + 2*float64(i%2)
		if i == 0 || i == strips {
			w = 1
		}
		down := f.low + float64(i)*h
		along, across := f.density.at(down)
		part := w * width(down) * h / 3
		e.cloth += part
		e.area += part / (along * across)
		if f.seam > 0 {
			e.edge += w * h / 3 / across * 2 * n
		}
	}
	for _, down := range [2]float64{f.low, f.high} {
		along, _ := f.density.at(down)
		e.edge += width(down) / along
	}
	if f.seam > 0 {
		e.euler = f.surface.Panels
	}
	return e
}

// sampledExtents counts cells of a fine raster. Its edge runs along the cells'
// sides, which are 4/π as long as a line in any direction on average.
func (f *domain) sampledExtents() extents {
	gap := f.sampleGap()
	rows := max(1, int(math.Ceil((f.high-f.low)/gap)))
	height := (f.high - f.low) / float64(rows)
	closed := f.fold.Closed()
	var e extents
	var last []bool
	sides := 0.0
	for i := range rows {
		down := f.low + (float64(i)+0.5)*height
		n := f.across(down, gap)
		width := f.fold.Span(down) / float64(n)
		along, across := f.density.at(down)
		row := make([]bool, n)
		for k := range row {
			row[k] = f.free(f.fold.Spot(skirt.Place{Round: (float64(k) + 0.5) / float64(n), Down: down}))
		}
		for k, in := range row {
			above := last != nil && last[k*len(last)/n]
			if in != above {
				sides += width / along
			}
			if before := (k > 0 || closed) && row[(k+n-1)%n]; in != before {
				sides += height / across
			}
			if in {
				e.cloth += width * height
				e.area += width * height / (along * across)
			}
		}
		if i == rows-1 {
			for _, in := range row {
				if in {
					sides += width / along
				}
			}
		}
		last = row
	}
	n := float64(f.repeat)
	slant := 1.0 // edges run mostly along rows
	if !closed {
		e.euler = f.surface.Panels
		slant = math.Pi / 4
	}
	e.cloth, e.area, e.edge = e.cloth*n, e.area*n, sides*slant*n
	return e
}

// rowsFill is how many marks rows that close hold, as a share of the most that
// lie a spacing apart: what they lose by rounding, measured on whole rings.
const rowsFill = 0.95

// about returns roughly how many marks a spacing apart one repeat holds: Oler's
// bound, less what rows lose.
func (f *domain) about(spacing float64) int {
	e := f.extents()
	most := 2*e.area/(math.Sqrt(3)*spacing*spacing) + e.edge/(2*spacing) + float64(e.euler)
	return int(rowsFill * most / float64(f.repeat))
}

// areaHolds reports whether n marks can fit by their areas at all: outlines
// grown by half the clearance lie apart, in the band between waist and hem
// clearance grown by as much. A shape of area A grown by r covers at least
// (√A + √π·r)² (Brunn–Minkowski), so false is proven.
func areaHolds(s skirt.Surface, all kinds, opt Options, n int) bool {
	r := opt.Clearance.Between / 2
	covers := make([]float64, len(all))
	for i, k := range all {
		area := 0.0
		for _, ring := range k.Outline {
			area = math.Max(area, math.Abs(ring.Area()))
		}
		side := math.Sqrt(area) + math.Sqrt(math.Pi)*r
		covers[i] = side * side
	}
	need := 0.0
	for i, k := range all.leastCounts(n, opt.Fixed, covers) {
		need += float64(k) * covers[i]
	}
	return need <= opt.Clearance.margins().Room(s, r)
}

// crowding returns the share of the cloth that the convex hulls of n marks cover,
// grown by half the clearance. It exceeds 1 only if outlines reach into each
// other's bays.
func crowding(s skirt.Surface, all kinds, opt Options, n float64) float64 {
	r := opt.Clearance.Between / 2
	covers, sum := 0.0, 0.0
	share := all.shares()
	sizes := make([]int, len(share))
	for _, k := range all {
		sizes[k.Motif]++
	}
	for _, k := range all {
		part := share[k.Motif] / float64(sizes[k.Motif])
		// A convex shape of area A and edge P grown by r covers A + P·r + π·r² (J.
		// Steiner 1840).
		covers += part * (k.form.hullArea + k.form.hullEdge*r + math.Pi*r*r)
		sum += part
	}
	return n * covers / sum / opt.Clearance.margins().Room(s, r)
}

// leastCounts returns how many of n cutouts are of each kind in the deal that
// covers least and keeps those placed by hand: where more of a kind are placed by
// hand than its share, there are fewer of the kinds that cover most.
func (all kinds) leastCounts(n int, fixed []Fixed, covers []float64) []int {
	counts := all.counts(n)
	hands := make([]int, len(counts))
	for _, h := range fixed {
		if h.Kind >= 0 && h.Kind < len(hands) {
			hands[h.Kind]++
		}
	}
	over := 0
	for k, h := range hands {
		over += max(0, h-counts[k])
		counts[k] = max(counts[k], h)
	}
	for ; over > 0; over-- {
		widest := -1
		for k := range counts {
			if counts[k] > hands[k] && (widest < 0 || covers[k] > covers[widest]) {
				widest = k
			}
		}
		if widest < 0 {
			break // fewer are asked for than are placed by hand
		}
		counts[widest]--
	}
	return counts
}
