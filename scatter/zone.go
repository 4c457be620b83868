package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// shape is a kind made ready: how far it reaches and by which turns it lies.
type shape struct {
	Kind
	reach float64
	turns []float64 // against the upright frame; nil: any
}

func shapesOf(kinds []Kind) []shape {
	out := make([]shape, len(kinds))
	for i, k := range kinds {
		s := shape{Kind: k}
		for _, r := range k.Outline {
			s.reach = math.Max(s.reach, r.Reach(geom.Vec{}))
		}
		switch k.Direction {
		case TwoWay:
			s.turns = []float64{k.Tilt, k.Tilt + math.Pi}
		case Tossed:
		default:
			s.turns = []float64{k.Tilt}
		}
		out[i] = s
	}
	return out
}

// turned returns the outline turned in the upright frame.
func (s shape) turned(turn float64) []geom.Ring {
	m := geom.Rotation(turn)
	out := make([]geom.Ring, len(s.Outline))
	for i, r := range s.Outline {
		out[i] = r.Transform(m)
	}
	return out
}

// zone is the part of the cloth in which any kind may have its anchor, at any
// of its turns: a band between two rows and, where seams are kept clear, off
// every seam.
type zone struct {
	surface   skirt.Surface // the whole one
	low, high float64       // down, millimetres
	shapes    []shape
	seam      float64   // clearance to seams; 0: cutouts may straddle them
	insets    []float64 // at equal steps from low to high; nil without seam clearance
}

// zoneOf finds the zone, or tells which motif does not fit the cloth.
func zoneOf(s skirt.Surface, shapes []shape, opt Options) (zone, error) {
	c := opt.Clearance
	z := zone{surface: s, low: math.Inf(-1), high: math.Inf(1), shapes: shapes, seam: c.Seam}
	for _, sh := range shapes {
		low, high := math.Inf(-1), math.Inf(1)
		if sh.turns == nil {
			low = c.Waist + sh.reach
			high = s.Drop - c.Hem - sh.reach
		}
		for _, t := range sh.turns {
			l, h := band(s, sh.turned(t), sh.reach, c)
			low, high = math.Max(low, l), math.Min(high, h)
		}
		low, high = low+geom.Snug, high-geom.Snug
		if low > high {
			return zone{}, &Impossible{
				Why: fmt.Sprintf("motif %q does not fit between the waist and hem clearances: it lacks %s", sh.Name, opt.show(math.Ceil(low-high))),
				Try: "make it smaller, or the clearances",
			}
		}
		z.low, z.high = math.Max(z.low, low), math.Min(z.high, high)
	}
	if z.low > z.high {
		return zone{}, &Impossible{
			Why: fmt.Sprintf("the motifs leave no row in common between the waist and hem clearances: they lack %s", opt.show(math.Ceil(z.low-z.high))),
			Try: "make the largest motif smaller, or the clearances",
		}
	}
	// Near the waist a narrow panel may be too narrow for its two seam clearances.
	room := func(down float64) bool { return 2*z.measureInset(down) < 1/float64(s.Panels) }
	if !room(z.high) {
		return zone{}, &Impossible{
			Why: "the panels are too narrow for the motifs and the seam clearance",
			Try: "make the seam clearance or the motifs smaller, or use fewer panels",
		}
	}
	if !room(z.low) {
		z.low = bisect(z.high, z.low, room)
	}
	if z.seam > 0 {
		// Half a millimetre to a millimetre apart on any skirt: the inset bends by
		// less than a thousandth of a millimetre between two.
		const knots = 1024
		z.insets = make([]float64, knots+1)
		for i := range z.insets {
			z.insets[i] = z.measureInset(z.low + (z.high-z.low)*float64(i)/knots)
		}
	}
	return z, nil
}

// band returns the highest and the lowest place, as down, at which an outline
// turned in the upright frame keeps clear of waist and hem.
func band(s skirt.Surface, rings []geom.Ring, reach float64, c Clearance) (low, high float64) {
	if s.Cut == skirt.Rectangle {
		low, high = math.Inf(-1), math.Inf(1)
		for _, r := range rings {
			b := r.Box()
			low = math.Max(low, c.Waist-b.Min.Y)
			high = math.Min(high, s.Drop-c.Hem-b.Max.Y)
		}
		return low, high
	}
	// Distance to the apex grows with down as soon as the apex lies outside the
	// outline's reach; it is nearest on an edge and farthest at a corner.
	waist := func(down float64) bool {
		apex := geom.Vec{Y: -(s.Inner + down)}
		for _, r := range rings {
			if r.EdgeDist(apex) < s.Inner+c.Waist {
				return false
			}
		}
		return true
	}
	hem := func(down float64) bool {
		apex := geom.Vec{Y: -(s.Inner + down)}
		for _, r := range rings {
			if r.Reach(apex) > s.Outer()-c.Hem {
				return false
			}
		}
		return true
	}
	low = bisect(c.Waist+reach, math.Max(c.Waist-reach, reach-s.Inner), waist)
	high = bisect(s.Drop-c.Hem-reach, s.Drop-c.Hem+reach, hem)
	return low, high
}

// bisect returns the number nearest to bad at which ok still holds; ok holds at
// good and, from some point toward bad on, no longer.
func bisect(good, bad float64, ok func(float64) bool) float64 {
	if ok(bad) {
		return bad
	}
	for math.Abs(good-bad) > geom.Touch {
		if mid := (good + bad) / 2; ok(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	return good
}

// inset returns how far from a seam, as a share of the whole way round, an
// anchor must stay at down; 0 where seams need no clearance. Between two knots
// the larger one counts.
func (z zone) inset(down float64) float64 {
	last := len(z.insets) - 1
	if last < 0 {
		return 0
	}
	i := last - 1
	if z.high > z.low {
		i = min(max(int((down-z.low)/(z.high-z.low)*float64(last)), 0), last-1)
	}
	return max(z.insets[i], z.insets[i+1])
}

// measureInset finds the inset from the outlines.
func (z zone) measureInset(down float64) float64 {
	if z.seam <= 0 {
		return 0
	}
	need := 0.0 // circle: an angle; rectangle: millimetres
	for _, sh := range z.shapes {
		if sh.turns == nil {
			need = math.Max(need, z.side(down, geom.Vec{}, z.seam+sh.reach))
			continue
		}
		for _, t := range sh.turns {
			for _, r := range sh.turned(t) {
				for _, p := range r {
					need = math.Max(need, z.side(down, p, z.seam))
					need = math.Max(need, z.side(down, geom.Vec{X: -p.X, Y: p.Y}, z.seam))
				}
			}
		}
	}
	need += geom.Snug / z.unit(down)
	return need / z.total()
}

// side returns how far left of an anchor at down a seam must lie so that the
// outline point p of its upright frame stays clear of it by c: the distance
// from a straight seam is least at a corner.
func (z zone) side(down float64, p geom.Vec, c float64) float64 {
	if z.surface.Cut == skirt.Rectangle {
		return c - p.X
	}
	q := geom.Vec{X: p.X, Y: z.surface.Inner + down + p.Y}
	rho := q.Len()
	if c >= rho {
		return math.Pi
	}
	return math.Asin(c/rho) - math.Atan2(q.X, q.Y)
}

func (z zone) unit(down float64) float64 {
	if z.surface.Cut == skirt.Circle {
		return z.surface.Inner + down
	}
	return 1
}

func (z zone) total() float64 {
	if z.surface.Cut == skirt.Circle {
		return z.surface.Angle * float64(z.surface.Panels)
	}
	return z.surface.Width * float64(z.surface.Panels)
}

// folded is the zone of one repeat.
type folded struct {
	zone
	fold   skirt.Surface
	repeat int
	seams  []float64 // where the fold meets seams, as shares of its way round
}

func (z zone) folded(repeat int) folded {
	f := folded{zone: z, fold: z.surface.Fold(repeat), repeat: repeat}
	if z.seam > 0 {
		f.seams = z.surface.Seams(repeat)
	}
	return f
}

// stretch gives every mark the band of its own kind and turn instead of the one
// that all have in common, and moves it within: a mark at the edge of the zone
// goes to the edge of its own band, one in the middle hardly moves. Small
// cutouts so come as near to waist and hem as large ones.
func (j *job) stretch(d *draft) {
	z := j.zone
	if z.high <= z.low {
		return
	}
	for i := range d.marks {
		m := &d.marks[i]
		s := z.shapes[m.kind]
		low, high := band(j.surface, s.turned(m.turn), s.reach, j.opt.Clearance)
		m.low, m.high = math.Min(low+geom.Snug, z.low), math.Max(high-geom.Snug, z.high)
		m.at.Down = m.low + (m.at.Down-z.low)/(z.high-z.low)*(m.high-m.low)
	}
}

// reached returns the zone widened to the bands of all marks.
func (z zone) reached(marks []mark) zone {
	for _, m := range marks {
		z.low, z.high = math.Min(z.low, m.low), math.Max(z.high, m.high)
	}
	return z
}

// clamp returns the place of the zone nearest to p along its row and column.
func (f folded) clamp(p skirt.Place) skirt.Place { return f.clampTo(p, f.low, f.high) }

// clampTo is clamp with a mark's own band.
func (f folded) clampTo(p skirt.Place, low, high float64) skirt.Place {
	p.Down = math.Min(math.Max(p.Down, low), high)
	if len(f.seams) == 0 {
		return p
	}
	in := f.inset(p.Down) * float64(f.repeat)
	for _, x := range f.seams {
		d := p.Round - x
		d -= math.Round(d)
		if math.Abs(d) < in {
			p.Round = x + math.Copysign(in, d)
			p.Round -= math.Floor(p.Round)
		}
	}
	return p
}

// area returns the area of the zone of the whole surface, the length of its
// edges and its Euler characteristic (seams that may be straddled are no edges).
func (z zone) area() (area, edge float64, euler int) {
	const strips = 256 // Simpson on a smooth integrand: far below a mm²
	n := float64(z.surface.Panels)
	width := func(down float64) float64 {
		return z.surface.Girth(down) * (1 - 2*n*z.inset(down))
	}
	h := (z.high - z.low) / strips
	for i := range strips + 1 {
		w := 2.0 + 2*float64(i%2)
		if i == 0 || i == strips {
			w = 1
		}
		area += w * width(z.low+float64(i)*h) * h / 3
	}
	edge = width(z.low) + width(z.high)
	if z.seam > 0 {
		edge += 2 * n * (z.high - z.low)
		euler = z.surface.Panels
	}
	return area, edge, euler
}
