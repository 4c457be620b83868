package scatter

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Evenness measures how evenly marks lie, on the sewn cloth.
type Evenness struct {
	NearestMin, NearestMean float64 // distance from a mark to its nearest, mm
	// RelativeRadius is the closest pair over the widest spacing that so many
	// points can have there: n ≤ 2A/(√3·d²) + P/(2d) + χ (N. Oler, "An inequality
	// in the geometry of numbers", Acta Mathematica 105, 1961).
	RelativeRadius float64
	// ClarkEvans is the mean nearest distance over 0.5·√(A/n): 1 for random
	// points, 2 for a square, 2.149 for a triangular lattice (P. J. Clark, F. C.
	// Evans, Ecology 35, 1954).
	ClarkEvans float64
	BaldRadius float64     // widest circle without a mark, centred in the zone
	BaldAt     skirt.Point // its centre
	// Of all pairs of neighbours with a choice of motif, those alike, and how
	// many a random mix would have. Zero where there is one motif only.
	Alike, Neighbours int
	AlikeByChance     float64
	Area              float64 // of the zone in which marks may lie, mm²
	// Psi6 is the global hexagonal order |mean of ψ6| over all marks with
	// neighbours, ψ6 of a mark being the mean of exp(6iθ) over the directions θ,
	// against its upright, to its six nearest marks: 1 where all marks lie on one
	// triangular lattice, near 0 where no lattice shows (D. R. Nelson, B. I.
	// Halperin, Physical Review B 19, 1979).
	Psi6 float64
	Room Room
}

// Room measures the same between true outlines. The room distance of two marks
// is the gap between their outlines and the radii of discs as large as each;
// for discs it is the distance of their centres.
type Room struct {
	NearestMin, NearestMean float64
	RelativeRadius          float64 // NearestMin over Oler's spacing
	ClarkEvans              float64
	// BaldRadius is the radius of the widest circle centred in the zone that
	// touches no outline, and the mean radius of those discs.
	BaldRadius float64
	BaldAt     skirt.Point
}

// OlerSpacing returns the widest spacing that n points can have in a region of
// the given area, edge length and Euler characteristic, by Oler's inequality.
func OlerSpacing(n int, area, edge float64, euler int) float64 {
	// With u = 1/d: (2A/√3)u² + (P/2)u + χ - n = 0.
	a, b, c := 2*area/math.Sqrt(3), edge/2, float64(euler-n)
	if c >= 0 {
		return math.Inf(1)
	}
	u := 2 * -c / (b + math.Sqrt(b*b-4*a*c))
	return 1 / u
}

// evenness measures marks on the whole cloth.
func (j *job) evenness(marks []mark, d *draft) (Evenness, error) {
	f := j.fold(1)
	f.zone = f.zone.reached(d.marks)
	n := len(marks)
	if n < 2 {
		return Evenness{Area: f.cloth()}, nil
	}
	cloth, area, edge, euler := f.area()
	e := Evenness{Area: cloth}
	oler := OlerSpacing(n, area, edge, euler)
	r := j.relaxer(f, marks, d.step, false)
	near, even := make([]float64, n), make([]float64, n)
	order := make([]complex128, n)
	parallel((n+chunk-1)/chunk, func(k int) {
		var found []geom.Vec
		for i := k * chunk; i < min(n, (k+1)*chunk); i++ {
			near[i], even[i] = r.nearest(i, &found)
			order[i] = hexagonal(found, r.spots.At(i).Upright)
		}
	})
	if err := j.ctx.Err(); err != nil {
		return e, err
	}
	near, even = finite(near), finite(even)
	e.NearestMin = slices.Min(near)
	e.NearestMean = mean(near)
	sum := complex(0, 0)
	for _, o := range order {
		sum += o
	}
	e.Psi6 = cmplx.Abs(sum) / float64(n)
	if area > 0 && oler > 0 {
		e.RelativeRadius = slices.Min(even) / oler
		e.ClarkEvans = mean(even) / (0.5 * math.Sqrt(area/float64(n)))
	}
	e.BaldRadius, e.BaldAt = j.bald(r)
	j.alike(&e, marks, d.step)
	if err := j.ctx.Err(); err != nil {
		return e, err
	}
	if j.round() {
		e.Room = Room{slices.Min(even), mean(even), e.RelativeRadius, e.ClarkEvans, e.BaldRadius, e.BaldAt}
	} else {
		e.Room = j.room(f, marks, d.step, oler, area)
	}
	return e, nil
}

// cloth returns the area of the zone in mm².
func (f folded) cloth() float64 {
	cloth, _, _, _ := f.area()
	return cloth
}

// finite returns the numbers that are: a mark alone on a panel that no seam joins
// has no neighbour. Where no mark has one, all distances are 0.
func finite(xs []float64) []float64 {
	xs = slices.DeleteFunc(xs, func(x float64) bool { return math.IsInf(x, 0) || math.IsNaN(x) })
	if len(xs) == 0 {
		return []float64{0}
	}
	return xs
}

func mean(xs []float64) float64 {
	sum := 0.0
	for _, x := range xs {
		sum += x
	}
	return sum / float64(len(xs))
}

// nearest returns the distance from mark i to the nearest along the cloth, and
// the same in the lengths of the density, and finds its six nearest neighbours.
func (r *relaxer) nearest(i int, found *[]geom.Vec) (near, even float64) {
	here := r.spots.At(i)
	den := r.zone.density
	mt := den.metricAt(here.Down, here.Upright)
	stretched := 1.0
	if !den.flat {
		along, across := den.at(here.Down)
		stretched = math.Max(along, across)
	}
	_, near = r.spots.Nearest(here, 1.5*r.d*stretched, i)
	even = math.Inf(1)
	all := (r.zone.fold.Drop + r.zone.extent()) * 2
	for reach := 2 * r.d * stretched; ; reach *= 1.5 {
		*found = (*found)[:0]
		r.spots.Near(here, reach, func(id int, off geom.Vec, _ int) {
			if id == i && off == (geom.Vec{}) {
				return
			}
			if !den.flat {
				off = mt.to.Linear(off).Rotate(here.Upright)
			}
			even = math.Min(even, length(off))
			*found = append(*found, off)
		})
		if len(*found) >= 6 || reach > all {
			break
		}
	}
	if den.flat {
		even = near
	}
	slices.SortFunc(*found, func(a, b geom.Vec) int { return cmp.Compare(a.Dot(a), b.Dot(b)) })
	*found = (*found)[:min(6, len(*found))]
	return near, even
}

// hexagonal returns ψ6 over neighbours' directions, against the upright.
func hexagonal(found []geom.Vec, upright float64) complex128 {
	if len(found) == 0 {
		return 0
	}
	sum := complex(0, 0)
	for _, off := range found {
		a := 6 * (math.Atan2(off.Y, off.X) - upright)
		sin, cos := math.Sincos(a)
		sum += complex(cos, sin)
	}
	return sum / complex(float64(len(found)), 0)
}

// bare is a place of the zone far from any mark.
type bare struct {
	at   skirt.Spot
	room float64
}

// climbs is how many of the barest places are followed to their tops: two
// neighbouring cells tell of the same one, and more than a few are never close
// enough to each other for the order to change.
const climbs = 12

// bald finds the widest empty circle: the corners of all cells in the zone, the
// barest of which are climbed from by halving steps.
func (j *job) bald(r *relaxer) (float64, skirt.Point) {
	z := *r
	z.zone.density.flat = true
	best := z.climb(z.barest(), func(at skirt.Spot, guess float64) float64 {
		_, d := z.spots.Nearest(at, math.Max(guess, z.d/4), -1)
		return d
	})
	return best.room, j.surface.Point(best.at.Place)
}

// barest returns the barest places that cells tell of, the barest first. Where
// marks lie too far apart for cells to close, the zone is sampled instead.
func (r *relaxer) barest() []bare {
	n := len(r.marks)
	found := make([]bare, n)
	cutOff := make([]bool, n)
	parallel((n+chunk-1)/chunk, func(k int) {
		var w walker
		for i := k * chunk; i < min(n, (k+1)*chunk); i++ {
			here := r.spots.At(i)
			best := geom.Vec{}
			found[i].room = -1
			own := r.look(i, here, metric{}, &w, func(geom.Vec, float64) {})
			r.corners(here, &w, metric{}, func(c geom.Vec) {
				if _, l := nearestOf(own, c); l > found[i].room {
					found[i].room, best = l, c
				}
			})
			cutOff[i] = found[i].room > sight/2*r.d
			found[i].at = r.zone.fold.Step(here, best)
		}
	})
	if slices.Contains(cutOff, true) || r.zone.ground != nil {
		gap := math.Max(r.d/5, math.Sqrt(r.zone.cloth())/2000) // at most some million samples
		r.zone.sample(gap, func(at skirt.Spot) {
			if _, l := r.spots.Nearest(at, r.d, -1); l > 0.5*r.d {
				found = append(found, bare{at, l})
			}
		})
	}
	found = slices.DeleteFunc(found, func(b bare) bool { return b.room < 0 }) // no corner of its cell lies in the zone
	slices.SortStableFunc(found, func(a, b bare) int { return cmp.Compare(b.room, a.room) })
	return found[:min(climbs, len(found))]
}

// climb follows the barest places uphill and returns the best.
func (r *relaxer) climb(from []bare, room func(at skirt.Spot, guess float64) float64) bare {
	best := bare{r.spots.At(0), 0}
	for _, b := range from {
		at, here := b.at, room(b.at, b.room)
		for h := r.d / 8; h > geom.Touch; h /= 2 {
			for _, dir := range [...]geom.Vec{{X: h}, {X: -h}, {Y: h}, {Y: -h}, {X: h, Y: h}, {X: -h, Y: h}, {X: h, Y: -h}, {X: -h, Y: -h}} {
				to := r.zone.fold.Step(at, dir)
				to = r.zone.fold.Spot(r.zone.clamp(to.Place))
				if !r.zone.free(to) {
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
	return best
}

// alike counts neighbours of the same motif.
func (j *job) alike(e *Evenness, marks []mark, step float64) {
	share := make([]int, len(j.shareOfMotif()))
	motifs := 0
	for _, m := range marks {
		if share[j.shapes[m.kind].Motif]++; share[j.shapes[m.kind].Motif] == 1 {
			motifs++
		}
	}
	if motifs < 2 {
		return
	}
	for i, near := range neighbours(j.fold(1), marks, step) {
		for _, k := range near {
			if int(k) <= i {
				continue
			}
			e.Neighbours++
			if j.shapes[marks[i].kind].Motif == j.shapes[marks[k].kind].Motif {
				e.Alike++
			}
		}
	}
	n := float64(len(marks))
	for _, s := range share {
		c := float64(s)
		e.AlikeByChance += c * (c - 1) / (n * (n - 1)) * float64(e.Neighbours)
	}
}
