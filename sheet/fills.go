package sheet

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"strew/motif/geom"
	"strew/sheet/shape"
)

// Filling one sheet in several ways: by sets of turns, from the top and from the left,
// and where there is one kind by lattices.

const (
	// mostFills is how many fills of a sheet are kept to go on from: twice as many as
	// the search has workers.
	mostFills = 4
	// easyEffort is the effort up to which a sheet of kinds filled before is filled only
	// by the modes that did best then.
	easyEffort = 5
	// mostModes is how many modes beside the first the hints keep.
	mostModes = 2
	// sideways is how many of the best modes are tried from the left as well.
	sideways = 2
)

// filled is a sheet filled one way: the felt laid and how far down it reaches.
type filled struct {
	laid      []shape.Laid
	area, end float64
}

// fuller orders fills by the felt laid, and where that is the same by how soon
// they end.
func fuller(a, b filled) int {
	if math.Abs(a.area-b.area) > geom.Touch {
		return cmp.Compare(b.area, a.area)
	}
	return cmp.Compare(a.end, b.end)
}

// filling fills sheets.
type filling struct{ *call }

// fills lays a sheet of stock k in several ways and returns the fullest of them, best
// first; a roll is long enough for all.
func (p filling) fills(k int, wants []want) [][]shape.Laid {
	bed := p.stock[k].bed()
	roll := bed.IsOpen()
	if roll {
		bed = bed.CutAt(roomFor(wants, p.opt.Gap))
	}
	modes := p.modes(wants, bed)
	kinds := fmt.Sprint(k, p.stock[k].bed())
	for _, x := range wants {
		kinds += x.kind
	}
	known := p.hints.modes[kinds]
	if known != nil && p.opt.Effort > 0 && p.opt.Effort <= easyEffort {
		modes = known
	}
	all := p.fillWays(wants, modes, bed, !roll)
	if known == nil && p.opt.Effort > 0 && p.ctx.Err() == nil && len(all[0].laid) < total(wants) {
		p.hints.modes[kinds] = best(modes, all)
	}
	if len(wants) == 1 && p.opt.Effort > 0 && !roll && p.ctx.Err() == nil {
		for _, ls := range p.latticeFills(wants[0], bed) {
			all = append(all, filled{ls, float64(len(ls)) * wants[0].Area, shape.EndOf(ls, bed)})
		}
	}
	slices.SortStableFunc(all, fuller)
	out := make([][]shape.Laid, min(mostFills, len(all)))
	for i := range out {
		out[i] = all[i].laid
	}
	return out
}

// modes returns the modes to fill with. The first lets all pieces turn freely; the
// others hold the largest kind to one turn, or to that and its half turn, which makes
// rows.
func (p filling) modes(wants []want, bed shape.Bed) []mode {
	all := make(mode, len(wants))
	for i, x := range wants {
		all[i] = x.Turns(bed, shape.FewTurns)
	}
	modes := []mode{all}
	if p.opt.Effort == 0 || len(all[0]) == 1 || p.ctx.Err() != nil {
		return modes
	}
	steps := shape.CoarseTurns
	if len(wants) > 1 {
		// Rows of one kind matter less where others fill up.
		steps = shape.CoarseTurns / 4
	}
	many := wants[0].Turns(bed, steps)
	for _, t := range many {
		one := slices.Clone(all)
		one[0] = []float64{t}
		modes = append(modes, one)
		if bed.Nap == OneWay || wants[0].SameAt(t, t+math.Pi) {
			continue
		}
		for _, u := range many {
			if u > t && math.Abs(u-t-math.Pi) < geom.SameAngle {
				two := slices.Clone(all)
				two[0] = []float64{t, u}
				modes = append(modes, two)
			}
		}
	}
	return modes
}

// best returns the first mode and those that filled most; all begins with the
// modes' own fills, in their order.
func best(modes []mode, all []filled) []mode {
	order := byFill(all[:len(modes)])
	out := []mode{modes[0]}
	for _, i := range order[:min(mostModes, len(order))] {
		if i > 0 {
			out = append(out, modes[i])
		}
	}
	return out
}

// byFill returns the numbers of the fills, the fullest first.
func byFill(all []filled) []int {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return fuller(all[a], all[b]) })
	return order
}

// fillWays fills a bed from the top by every mode, and from the left by the best of
// them where both is set. Where the first mode lays all it stops there, but not with
// several kinds on a sheet and some effort: others may leave more felt in one piece,
// as lattices do for one kind.
func (p filling) fillWays(wants []want, modes []mode, bed shape.Bed, both bool) []filled {
	felt := 0.0
	for _, x := range wants {
		felt += float64(x.n) * x.Form.Area
	}
	all := make([]filled, len(modes))
	from := 0
	if felt <= bed.Width()*bed.Height() { // it may all go on: try that before the other ways
		all[0] = p.fillBy(p.ctx, wants, modes[0], bed)
		if from = 1; len(all[0].laid) == total(wants) && (len(wants) == 1 || p.opt.Effort == 0 || !both) {
			return all[:1]
		}
	}
	var g errgroup.Group
	g.SetLimit(p.workers())
	for i := from; i < len(modes); i++ {
		g.Go(func() error {
			all[i] = p.fillBy(p.ctx, wants, modes[i], bed)
			return nil
		})
	}
	_ = g.Wait() // no fill fails
	if !both {
		return all
	}
	order := byFill(all)
	left := make([]filled, min(sideways, len(order)))
	for i := range left {
		g.Go(func() error {
			left[i] = p.fillFromLeft(p.ctx, wants, modes[order[i]], bed)
			return nil
		})
	}
	_ = g.Wait()
	return append(all, left...)
}

// fillBy fills a bed from the top by a mode.
func (p filling) fillBy(ctx context.Context, wants []want, m mode, bed shape.Bed) filled {
	return p.fillViews(ctx, wants, m, &filler{bed: bed}, false)
}

// fillFromLeft fills a bed from the left by a mode.
func (p filling) fillFromLeft(ctx context.Context, wants []want, m mode, bed shape.Bed) filled {
	g := p.fillViews(ctx, wants, m, &filler{bed: bed.Mirrored()}, true)
	g.end = shape.EndOf(g.laid, bed)
	return g
}

func (p filling) fillViews(ctx context.Context, wants []want, m mode, f *filler, mirrored bool) filled {
	f.nfps = p.cache.nfps.local()
	for i, x := range wants {
		var views []*shape.View
		for _, t := range m[i] {
			views = append(views, x.View(t, mirrored))
		}
		f.fill(ctx, views, x.n)
	}
	g := filled{laid: f.laid, end: shape.EndOf(f.laid, f.bed)}
	for _, l := range f.laid {
		g.area += l.Area
	}
	return g
}

// roomFor returns a length of roll that is enough for all pieces.
func roomFor(wants []want, gap float64) float64 {
	l := 0.0
	for _, x := range wants {
		b := x.Hull.Box()
		l += float64(x.n) * (math.Hypot(b.Width(), b.Height()) + gap)
	}
	return l
}

// total returns how many pieces are wanted.
func total(wants []want) int {
	n := 0
	for _, x := range wants {
		n += x.n
	}
	return n
}
