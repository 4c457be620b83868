package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// folded is the zone of one repeat.
type folded struct {
	zone
	fold   skirt.Surface
	repeat int
	seams  []float64 // where the fold meets seams to keep off, as shares of its way round
	ground *ground   // nil: the band is all there is
}

func (z zone) folded(repeat int) folded {
	f := folded{zone: z, fold: z.surface.Fold(repeat), repeat: repeat, ground: groundOf(z.surface, repeat, z.opt)}
	if z.seam > 0 {
		f.seams = z.surface.Seams(repeat)
	}
	return f
}

// clamp returns the place of the band nearest to p along its row and column.
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

// free reports whether an anchor may lie at a spot, whichever its kind. Outlines
// are measured by their stand-ins, so this is for how the cloth is shared out,
// not for what keeps a clearance.
func (f folded) free(at skirt.Spot) bool {
	if at.Down < f.low-geom.Touch || at.Down > f.high+geom.Touch {
		return false
	}
	if len(f.seams) > 0 {
		in := f.inset(at.Down)*float64(f.repeat) - geom.SameAngle
		for _, x := range f.seams {
			d := at.Round - x
			if math.Abs(d-math.Round(d)) < in {
				return false
			}
		}
	}
	if f.ground == nil {
		return true
	}
	return f.ground.takesDiscs(at, f.stand, f.standFar)
}

// holds is free for the point of the plane that lies off from a spot.
func (f folded) holds(from skirt.Spot, off geom.Vec) bool {
	if len(f.seams) == 0 && f.ground == nil {
		down := from.At.Y + off.Y
		if f.fold.Wedges() {
			down = length(from.At.Add(off)) - f.fold.Inner
		}
		return down >= f.low-geom.Touch && down <= f.high+geom.Touch
	}
	return f.free(f.fold.Step(from, off))
}

// takes reports whether a mark may lie at a spot of its own band: whether its
// outline keeps off every hurdle.
func (f folded) takes(m *mark, at skirt.Spot) bool {
	if f.ground == nil {
		return true
	}
	if m.kind < 0 {
		return f.free(at)
	}
	s := &f.shapes[m.kind]
	if f.ground.far(at, s.reach+f.ground.widest) >= s.reach+f.ground.widest {
		return f.ground.open(at)
	}
	return f.ground.takes(at, s.turned(m.turn+at.Upright), s.reach)
}

// walk returns where a mark at a spot gets by a move of the plane: within its
// band, and where a hurdle lies in the way along it or only so far.
func (f folded) walk(m *mark, here skirt.Spot, move geom.Vec) skirt.Spot {
	step := func(move geom.Vec) skirt.Spot {
		to := f.fold.Step(here, move)
		if p := f.clampTo(to.Place, m.low, m.high); p != to.Place {
			return f.fold.Spot(p)
		}
		return to
	}
	if f.ground == nil {
		return step(move)
	}
	// Straight on, else aslant to either side, ever shorter.
	for _, way := range [...]struct{ turn, part float64 }{{0, 1}, {0.8, 0.7}, {-0.8, 0.7}, {1.4, 0.5}, {-1.4, 0.5}, {0, 0.3}} {
		if to := step(move.Rotate(way.turn).Mul(way.part)); f.takes(m, to) {
			return to
		}
	}
	return here
}

// sampleGap is the distance of samples of the zone: some ten thousand of them.
func (f folded) sampleGap() float64 {
	return math.Max(2, math.Sqrt(f.extent()*(f.fold.Drop)/20000))
}

// extent returns the width of the widest row.
func (f folded) extent() float64 {
	if f.fold.Cut == skirt.Outline {
		return f.fold.Width
	}
	return math.Max(f.fold.Girth(f.low), f.fold.Girth(f.high))
}

// sample calls yield with spots of the zone about gap apart, in rows.
func (f folded) sample(gap float64, yield func(at skirt.Spot)) {
	rows := max(1, int(math.Ceil((f.high-f.low)/gap)))
	for i := range rows {
		down := f.low + (f.high-f.low)*(float64(i)+0.5)/float64(rows)
		n := f.across(down, gap)
		for k := range n {
			if at := f.fold.Spot(skirt.Place{Round: (float64(k) + 0.5) / float64(n), Down: down}); f.free(at) {
				yield(at)
			}
		}
	}
}

// across returns how many samples about gap apart a row holds.
func (f folded) across(down, gap float64) int {
	width := f.fold.Width
	if f.fold.Closed() {
		width = f.fold.Girth(down)
	}
	return max(1, int(math.Ceil(width/gap)))
}

// area returns, of the zone of the whole surface, its area in mm², and in the
// lengths of the density its area, the length of its edges and its Euler
// characteristic (seams that may be straddled are no edges).
func (f folded) area() (cloth, area, edge float64, euler int) {
	if g := f.ground; g != nil {
		if g.measured == nil {
			g.measured = &measured{}
			g.measured.cloth, g.measured.area, g.measured.edge, g.measured.euler = f.areaBySamples()
		}
		return g.measured.cloth, g.measured.area, g.measured.edge, g.measured.euler
	}
	z := f.zone
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
		down := z.low + float64(i)*h
		along, across := z.density.at(down)
		part := w * width(down) * h / 3
		cloth += part
		area += part / (along * across)
		if z.seam > 0 {
			edge += w * h / 3 / across * 2 * n
		}
	}
	for _, down := range [2]float64{z.low, z.high} {
		along, _ := z.density.at(down)
		edge += width(down) / along
	}
	if z.seam > 0 {
		euler = z.surface.Panels
	}
	return cloth, area, edge, euler
}

// areaBySamples counts cells of a fine raster. Its edge runs along the cells'
// sides, which are 4/π as long as a line in any direction on average.
func (f folded) areaBySamples() (cloth, area, edge float64, euler int) {
	gap := f.sampleGap()
	rows := max(1, int(math.Ceil((f.high-f.low)/gap)))
	height := (f.high - f.low) / float64(rows)
	var last []bool
	sides := 0.0
	for i := range rows {
		down := f.low + (float64(i)+0.5)*height
		n := f.across(down, gap)
		width := f.fold.Width / float64(n)
		if f.fold.Closed() {
			width = f.fold.Girth(down) / float64(n)
		}
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
			before := row[(k+n-1)%n]
			if !f.fold.Closed() && k == 0 {
				before = false
			}
			if in != before {
				sides += height / across
			}
			if in {
				cloth += width * height
				area += width * height / (along * across)
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
	euler = 0
	if !f.fold.Closed() {
		euler = f.surface.Panels
	}
	n := float64(f.repeat)
	slant := math.Pi / 4
	if f.surface.Closed() {
		slant = 1 // edges run mostly along rows
	}
	return cloth * n, area * n, sides * slant * n, euler
}

// reached returns the zone as far as it is the one in which the marks lie: the
// band from the lowest place any of them may take to the highest.
func (z zone) reached(marks []mark) zone {
	if len(marks) == 0 {
		return z
	}
	low, high := z.low, z.high
	for _, m := range marks {
		if !m.fixed {
			low, high = math.Min(low, m.low), math.Max(high, m.high)
		}
	}
	z.low, z.high = low, high
	return z
}
