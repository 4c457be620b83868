package scatter

import (
	"context"
	"math"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// domain is the fundamental domain: the feasible band of one repeat, closed on
// itself where the cloth is. A layout is found on it and copied round.
type domain struct {
	band
	fold      skirt.Surface
	repeat    int
	seams     []float64  // where the fold meets seams to keep off, as shares of its way round
	obstacles *obstacles // nil: none
	hands     []mark     // placed by hand on this repeat
}

// domain returns the fundamental domain of n repeats.
func (b band) domain(repeat int) domain {
	f := domain{band: b, fold: b.surface.Fold(repeat), repeat: repeat}
	if b.seam > 0 {
		f.seams = b.surface.Seams(repeat)
	}
	f.hands = f.byHand()
	f.obstacles = obstaclesOf(&f)
	return f
}

// clampTo returns the place between two rows, and off the seams, nearest to p
// along its row and column.
func (f *domain) clampTo(p skirt.Place, low, high float64) skirt.Place {
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
// are measured by their covering discs, so this is for sharing out the cloth, not
// for keeping a clearance.
func (f *domain) free(at skirt.Spot) bool {
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
	if f.obstacles == nil {
		return true
	}
	return f.obstacles.clearOfDiscs(at, f.cover, f.coverReach, f.coverApart) && f.obstacles.islands.clearOfDiscs(at, f.cover, f.coverReach)
}

// holds is free for the point of the plane at off from a spot.
func (f *domain) holds(from skirt.Spot, off geom.Vec) bool {
	if len(f.seams) == 0 && f.obstacles == nil {
		down := f.fold.Down(from.At.Add(off))
		return down >= f.low-geom.Touch && down <= f.high+geom.Touch
	}
	return f.free(f.fold.Step(from, off))
}

// takes reports whether a mark may lie at a spot of its own band: whether its
// outline keeps clear of every obstacle.
func (f *domain) takes(m *mark, at skirt.Spot) bool {
	if f.obstacles == nil {
		return true
	}
	if m.kind < 0 {
		return f.free(at)
	}
	if !f.obstacles.islands.clearOf(f, m, at) {
		return false
	}
	k := &f.kinds[m.kind]
	if f.obstacles.far(at, k.reach+f.obstacles.widest) >= k.reach+f.obstacles.widest {
		return f.obstacles.open(at)
	}
	return f.obstacles.clearOf(at, k.turned(m.turn+at.Upright), k.reach)
}

// walk returns where a move in the plane takes a mark: within its band and, where
// an obstacle is in the way, along it or only part of the way.
func (f *domain) walk(m *mark, here skirt.Spot, move geom.Vec) skirt.Spot {
	if f.obstacles == nil {
		return f.stepped(m, here, move)
	}
	// Straight on, else at an angle to either side, each time less far.
	for _, way := range [...]struct{ turn, part float64 }{{0, 1}, {0.8, 0.7}, {-0.8, 0.7}, {1.4, 0.5}, {-1.4, 0.5}, {0, 0.3}} {
		if to := f.stepped(m, here, move.Rotate(way.turn).Mul(way.part)); f.takes(m, to) {
			return to
		}
	}
	return here
}

// stepped returns where a move leads within a mark's band.
func (f *domain) stepped(m *mark, here skirt.Spot, move geom.Vec) skirt.Spot {
	to := f.fold.Step(here, move)
	if p := f.clampTo(to.Place, m.low, m.high); p != to.Place {
		return f.fold.Spot(p)
	}
	return to
}

// extent returns the width of the widest row.
func (f *domain) extent() float64 { return math.Max(f.fold.Span(f.low), f.fold.Span(f.high)) }

// samples is roughly how many points sample a domain: their distance is then far
// below a motif's size.
const samples = 20_000

// sampleGap is the distance between samples of the domain.
func (f *domain) sampleGap() float64 {
	return math.Max(2, math.Sqrt(f.extent()*(f.fold.Drop)/samples))
}

// sample calls yield with free spots about gap apart, in rows, until it returns
// false.
func (f *domain) sample(gap float64, yield func(at skirt.Spot) bool) {
	rows := max(1, int(math.Ceil((f.high-f.low)/gap)))
	for i := range rows {
		down := f.low + (f.high-f.low)*(float64(i)+0.5)/float64(rows)
		n := f.across(down, gap)
		for k := range n {
			at := f.fold.Spot(skirt.Place{Round: (float64(k) + 0.5) / float64(n), Down: down})
			if f.free(at) && !yield(at) {
				return
			}
		}
	}
}

// across returns how many samples about gap apart a row holds.
func (f *domain) across(down, gap float64) int {
	return max(1, int(math.Ceil(f.fold.Span(down)/gap)))
}

// span returns the length of a row in the lengths of the density.
func (f *domain) span(down float64) float64 {
	along, _ := f.density.at(down)
	return f.fold.Girth(down) / along
}

// reached returns the domain widened to other rows, which marks with bands of their
// own may reach.
func (f domain) reached(low, high float64) domain {
	f.low, f.high = low, high
	return f
}

// reach returns the rows between which the marks may lie.
func (f *domain) reach(marks []mark) (low, high float64) {
	low, high = f.low, f.high
	for i := range marks {
		if m := &marks[i]; !m.fixed {
			low, high = math.Min(low, m.low), math.Max(high, m.high)
		}
	}
	return low, high
}

// index returns the marks' spots, in an index for searches of about reach.
func (f *domain) index(ctx context.Context, marks []mark, reach float64) (*skirt.Spots, error) {
	low, high := f.low, f.high
	for i := range marks {
		low, high = math.Min(low, marks[i].at.Down), math.Max(high, marks[i].at.Down)
	}
	return f.indexBetween(ctx, marks, low, high, reach)
}

// indexBetween is index for marks between two rows.
func (f *domain) indexBetween(ctx context.Context, marks []mark, low, high, reach float64) (*skirt.Spots, error) {
	x := skirt.NewSpots(f.fold, low, high, reach)
	for i := range marks {
		if i%chunk == 0 && ctx.Err() != nil {
			break
		}
		x.Add(f.fold.Spot(marks[i].at))
	}
	return x, ctx.Err()
}
