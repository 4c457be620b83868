package scatter

import (
	"math"

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

// evenness measures the marks at sites; marks holds the same in the same order.
func (j *job) evenness(sites []skirt.Place, marks []Placement, d *draft) (Evenness, error) {
	s := j.surface
	z := j.zone.reached(d.marks)
	area, edge, euler := z.area()
	e := Evenness{Area: area}
	n := len(sites)
	if n < 2 {
		return e, nil
	}
	x := indexOf(s, sites, d.step)
	e.NearestMin = math.Inf(1)
	sum := 0.0
	for i, p := range sites {
		x.Remove(i)
		near, _ := nearestMark(s, p, x, 1.5*d.step)
		x.Move(i, p)
		e.NearestMin = math.Min(e.NearestMin, near)
		sum += near
	}
	e.NearestMean = sum / float64(n)
	if area > 0 {
		e.RelativeRadius = e.NearestMin / OlerSpacing(n, area, edge, euler)
		e.ClarkEvans = e.NearestMean / (0.5 * math.Sqrt(area/float64(n)))
	}
	if err := j.ctx.Err(); err != nil {
		return e, err
	}
	j.bald(&e, z.folded(1), x, d.step)
	j.alike(&e, sites, marks, d.step)
	return e, nil
}

// baldStep is the distance of the samples from which the widest empty circle is
// sought, in steps.
const baldStep = 0.2

// bald finds the widest empty circle: samples a fifth of a step apart, then
// from each of those that could still win a climb by halving steps.
func (j *job) bald(e *Evenness, f folded, x *skirt.Index, step float64) {
	gap := math.Max(step*baldStep, math.Sqrt(e.Area)/2000) // at most some million samples
	s := newSamples(f, gap)
	dist := func(p skirt.Place) float64 {
		d, _ := nearestMark(f.fold, p, x, step)
		return d
	}
	best := -1.0
	at := make([]float64, len(s.at))
	for i, p := range s.at {
		at[i] = dist(p)
		best = math.Max(best, at[i])
	}
	var where skirt.Place
	for i, p := range s.at {
		// The distance to the nearest mark changes no faster than the way walked.
		if at[i] < best-gap {
			continue
		}
		here := at[i]
		for h := gap; h > geom.Touch; h /= 2 {
			for _, dir := range [...]geom.Vec{{X: h}, {X: -h}, {Y: h}, {Y: -h}, {X: h, Y: h}, {X: -h, Y: h}, {X: h, Y: -h}, {X: -h, Y: -h}} {
				q := f.clamp(f.fold.Moved(p, dir))
				if d := dist(q); d > here {
					p, here = q, d
				}
			}
		}
		if here > best || e.BaldRadius == 0 {
			best = math.Max(best, here)
			if here > e.BaldRadius {
				e.BaldRadius, where = here, p
			}
		}
	}
	e.BaldAt = j.surface.Point(where)
}

// alike counts neighbours of the same motif.
func (j *job) alike(e *Evenness, sites []skirt.Place, marks []Placement, step float64) {
	share := map[int]int{}
	for _, m := range marks {
		share[j.shapes[m.Kind].Motif]++
	}
	if len(share) < 2 {
		return
	}
	for i, near := range neighbours(j.surface, sites, neighbourReach*step) {
		for _, k := range near {
			if int(k) <= i {
				continue
			}
			e.Neighbours++
			if j.shapes[marks[i].Kind].Motif == j.shapes[marks[k].Kind].Motif {
				e.Alike++
			}
		}
	}
	n := float64(len(marks))
	for m := range len(j.shapes) {
		c := float64(share[m])
		e.AlikeByChance += c * (c - 1) / (n * (n - 1)) * float64(e.Neighbours)
	}
}
