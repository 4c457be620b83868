package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// shape is a kind made ready: how far it reaches, by which turns it lies, and
// what stands in for it.
type shape struct {
	Kind
	reach float64
	turns []float64 // against the upright frame; nil: any
	form  form
	round bool // as good as a disc about its anchor
	// period is the turn after which it looks the same again.
	period float64
}

// roundness is how much farther than a disc as large as itself an outline may
// reach and still pass for that disc: a 48-gon does, a pentagon does not.
const roundness = 1.03

func shapesOf(kinds []Kind) []shape {
	out := make([]shape, len(kinds))
	for i, k := range kinds {
		s := shape{Kind: k}
		area := 0.0
		for _, r := range k.Outline {
			s.reach = math.Max(s.reach, r.Reach(geom.Vec{}))
			area += math.Abs(r.Area())
		}
		switch k.Direction {
		case TwoWay:
			s.turns = []float64{k.Tilt, k.Tilt + math.Pi}
		case Tossed:
		default:
			s.turns = []float64{k.Tilt}
		}
		equal := math.Sqrt(area / math.Pi)
		var all []geom.Vec
		for _, r := range k.Outline {
			all = append(all, r...)
		}
		hull := geom.Hull(all)
		s.form = form{reach: s.reach, equal: equal, hullArea: math.Abs(hull.Area()), hullEdge: hull.Length()}
		s.form.discs, s.form.stray = standIns(k.Outline, s.reach)
		s.round = s.reach <= roundness*equal
		s.period = periodOf(k.Outline, s.reach)
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

// stand returns discs that hold the outline by any of its turns, in the upright
// frame: the stand-ins, grown by what strays from them.
func (s shape) stand() []disc {
	if s.turns == nil {
		return []disc{{radius: s.reach}}
	}
	var out []disc
	for _, t := range s.turns {
		for _, b := range s.form.discs {
			out = append(out, disc{b.at.Rotate(t), b.radius + s.form.stray})
		}
	}
	return out
}

// strewn reports whether marks are dealt this kind. One whose share is 0 is only
// placed by hand.
func (s shape) strewn() bool { return s.Share > 0 }

// zone is the part of the cloth in which any strewn kind may have its anchor, at any
// of its turns: a band between two rows, where seams are kept clear off every
// seam, and where there is ground that a band does not tell of, off its hurdles.
type zone struct {
	surface   skirt.Surface // the whole one
	low, high float64       // down, millimetres
	shapes    []shape
	strewn    []shape // those that are dealt to marks
	density   density
	opt       Options
	seam      float64   // clearance to seams that a band is cut off from; 0: none
	insets    []float64 // at equal steps from low to high; nil without seam clearance
	stand     []disc    // of all kinds and turns, in the upright frame
	standFar  float64   // how far they reach
}

// zoneOf finds the zone, or tells which motif does not fit the cloth.
func zoneOf(s skirt.Surface, shapes []shape, opt Options) (zone, error) {
	c := opt.Clearance
	z := zone{surface: s, low: math.Inf(-1), high: math.Inf(1), shapes: shapes, opt: opt, density: densityOf(opt, s.Drop)}
	for _, sh := range shapes {
		if sh.strewn() {
			z.strewn = append(z.strewn, sh)
		}
	}
	for _, sh := range z.strewn {
		z.stand = append(z.stand, sh.stand()...)
		z.standFar = math.Max(z.standFar, sh.reach)
	}
	if s.Cut == skirt.Outline {
		return z.drawn()
	}
	if c.Waist+c.Hem >= s.Drop {
		return zone{}, &Impossible{
			Why: fmt.Sprintf("%s clear at the waist and %s at the hem leave nothing of a drop of %s", opt.show(c.Waist), opt.show(c.Hem), opt.show(s.Drop)),
			Try: "make the clearances smaller",
		}
	}
	for _, sh := range z.strewn {
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
	if !s.Banded() {
		return z, nil // edges and seams are on the ground
	}
	z.seam = c.Seam
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

// drawn finds the zone of an outline: the heights between which any row holds a
// free anchor.
func (z zone) drawn() (zone, error) {
	z.low, z.high = 0, z.surface.Drop
	f := z.folded(1)
	low, high := math.Inf(1), math.Inf(-1)
	f.sample(f.sampleGap(), func(p skirt.Spot) {
		low, high = math.Min(low, p.Down), math.Max(high, p.Down)
	})
	if low > high {
		return zone{}, &Impossible{
			Why: "no motif fits on the panels with these clearances", Try: "make the motifs or the clearances smaller",
		}
	}
	z.low, z.high = low, high
	return z, nil
}

// band returns the highest and the lowest place, as down, at which an outline
// turned in the upright frame keeps clear of waist and hem.
func band(s skirt.Surface, rings []geom.Ring, reach float64, c Clearance) (low, high float64) {
	if !s.Wedges() || s.Straight {
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
	for _, sh := range z.strewn {
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
	if !z.surface.Wedges() {
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
	if z.surface.Wedges() {
		return z.surface.Inner + down
	}
	return 1
}

func (z zone) total() float64 {
	if z.surface.Wedges() {
		return z.surface.Angle * float64(z.surface.Panels)
	}
	return z.surface.Width * float64(z.surface.Panels)
}
