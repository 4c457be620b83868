package scatter

import (
	"cmp"
	"context"
	"math"
	"math/cmplx"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Evenness measures how evenly marks lie, on the sewn cloth.
type Evenness struct {
	NearestMin, NearestMean float64 // distance from a mark to its nearest, mm
	// RelativeRadius is the closest pair over the widest spacing that as
	// many points can have there (OlerSpacing).
	RelativeRadius float64
	// ClarkEvans is the mean nearest distance over 0.5·√(A/n): 1 for random
	// points, 2 for a square, 2.149 for a triangular lattice (P. J. Clark, F. C.
	// Evans, Ecology 35, 1954).
	ClarkEvans  float64
	EmptyRadius float64     // radius of the largest empty circle centred in the band, mm
	EmptyAt     skirt.Point // its centre
	// Of all pairs of neighbours (Neighbours), how many have the same motif (Alike),
	// and how many would in a random mix. Zero where there is one motif only.
	Alike, Neighbours int
	AlikeByChance     float64
	Area              float64 // of the feasible band, mm²
	// Psi6 is the global hexagonal order |mean of ψ6| over all marks with
	// neighbours, ψ6 of a mark being the mean of exp(6iθ) over the directions θ,
	// against its upright, to its six nearest marks: 1 where all marks lie on one
	// triangular lattice, near 0 where no lattice shows (D. R. Nelson, B. I.
	// Halperin, Physical Review B 19, 1979).
	Psi6 float64
	Room Room // the same between true outlines
}

// Room measures the same between true outlines. The room distance of two marks
// is the gap between their outlines and the radii of discs as large as each;
// for discs it is the distance of their centres.
type Room struct {
	NearestMin, NearestMean float64 // room distance to the nearest mark, mm
	RelativeRadius          float64 // NearestMin over Oler's spacing
	ClarkEvans              float64 // as in Evenness, of room distances
	// EmptyRadius is the radius of the largest circle centred in the band that
	// touches no outline, and the mean radius of those discs.
	EmptyRadius float64
	EmptyAt     skirt.Point // the circle's centre
}

// Measure returns how evenly the marks of a layout lie. kinds and opt are those
// that Run was given. It reads the Place, Kind and Turn of the placements, and
// the layout's Spacing and Band, so a layout whose marks were moved since can be
// measured too.
func Measure(ctx context.Context, s skirt.Surface, all []Kind, opt Options, l Layout) (Evenness, error) {
	if err := checkKinds(all, opt.Fixed); err != nil {
		return Evenness{}, err
	}
	b, err := readyBand(ctx, s, kindsOf(all, opt.Fixed), opt)
	if err != nil {
		return Evenness{}, err
	}
	whole := b.domain(1).reached(l.Band[0], l.Band[1])
	f := &whole
	marks := sitesOf(f, l.Placements)
	n := len(marks)
	ext := f.extents()
	e := Evenness{Area: ext.cloth}
	if n < 2 {
		return e, ctx.Err()
	}
	oler := ext.spacing(n)
	near, even := make([]float64, n), make([]float64, n)
	order := make([]complex128, n)
	x, err := f.neighbourhood(ctx, marks, l.Spacing, false)
	if err != nil {
		return e, err
	}
	if err := inChunks(ctx, n, chunk, func(from, to int) {
		var found []geom.Vec
		for i := from; i < to; i++ {
			near[i], even[i] = x.nearest(i, &found)
			order[i] = hexagonal(found, x.spots.At(i).Upright)
		}
	}); err != nil {
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
	if ext.area > 0 && oler > 0 {
		e.RelativeRadius = slices.Min(even) / oler
		e.ClarkEvans = mean(even) / (0.5 * math.Sqrt(ext.area/float64(n)))
	}
	if e.EmptyRadius, e.EmptyAt, err = x.emptyCircle(ctx); err != nil {
		return e, err
	}
	if err := e.countAlike(ctx, f, marks, l.Spacing); err != nil {
		return e, err
	}
	if f.kinds.round() {
		e.Room = Room{slices.Min(even), mean(even), e.RelativeRadius, e.ClarkEvans, e.EmptyRadius, e.EmptyAt}
		return e, nil
	}
	e.Room, err = measureRoom(ctx, f, marks, l.Spacing, ext)
	return e, err
}

// sitesOf returns placements as marks of the whole surface.
func sitesOf(f *domain, all []Placement) []mark {
	out := make([]mark, len(all))
	for i, p := range all {
		out[i] = mark{
			at: p.Place, kind: p.Kind, turn: p.Turn - f.surface.Upright(p.Point.At), row: p.Row, fixed: p.Fixed,
			low: f.low, high: f.high,
		}
	}
	return out
}

// finite returns the finite ones of some distances: a mark alone on a panel that no
// seam joins has no neighbour. If no mark has one, all distances are 0.
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
func (n *neighbourhood) nearest(i int, found *[]geom.Vec) (near, even float64) {
	here := n.spots.At(i)
	den := n.domain.density
	mt := den.metricAt(here.Down, here.Upright)
	stretched := 1.0
	if !den.flat {
		along, across := den.at(here.Down)
		stretched = math.Max(along, across)
	}
	_, near = n.spots.Nearest(here, 1.5*n.d*stretched, i)
	even = math.Inf(1)
	all := (n.domain.fold.Drop + n.domain.extent()) * 2
	for reach := 2 * n.d * stretched; ; reach *= 1.5 {
		*found = (*found)[:0]
		n.spots.Near(here, reach, func(id int, off geom.Vec, _ int) {
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

// countAlike counts neighbours of the same motif.
func (e *Evenness) countAlike(ctx context.Context, f *domain, marks []mark, step float64) error {
	of := make([]int, len(f.kinds.shares())) // marks of every motif
	motifs := 0
	for _, m := range marks {
		motif := f.kinds[m.kind].Motif
		if of[motif]++; of[motif] == 1 {
			motifs++
		}
	}
	if motifs < 2 {
		return nil
	}
	near, err := f.neighbours(ctx, marks, step)
	if err != nil {
		return err
	}
	for i, list := range near {
		for _, k := range list {
			if int(k) <= i {
				continue
			}
			e.Neighbours++
			if f.kinds[marks[i].kind].Motif == f.kinds[marks[k].kind].Motif {
				e.Alike++
			}
		}
	}
	n := float64(len(marks))
	for _, s := range of {
		c := float64(s)
		e.AlikeByChance += c * (c - 1) / (n * (n - 1)) * float64(e.Neighbours)
	}
	return nil
}
