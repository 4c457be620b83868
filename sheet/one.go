package sheet

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"

	"strew/motif/geom"
)

// fillOne lays one sheet of stock k with as much of the wants as it finds to
// fit; a roll takes them all, and is not yet made shorter.
func (p *packer) fillOne(k int, wants []want) Sheet {
	fills := p.fills(k, wants)
	switch {
	case p.opt.Effort > 0 && !p.stock[k].Roll && len(wants) == 1:
		return p.sheet(k, p.fuller(k, wants[0], fills))
	}
	return p.sheet(k, fills[0])
}

// mostFills is how many fills of a sheet are kept to go on from.
const mostFills = 4

// fills lays a sheet of stock k in several ways and returns the best, best
// first: by the felt laid, and where that is the same by how soon they end.
func (p *packer) fills(k int, wants []want) [][]laid {
	st := p.stock[k]
	w, h := st.inner()
	if st.Roll {
		h = p.rollRoom(wants, w)
	}
	modes := p.modes(wants, st.Nap, w, h)
	kinds := fmt.Sprint(k, wants[0].gap)
	for _, x := range wants {
		kinds += fmt.Sprint(" ", x.item)
	}
	liked := p.known.liked[kinds]
	if liked != nil && p.opt.Effort > 0 && p.opt.Effort <= easyEffort {
		modes = liked
	}
	all := p.fillWays(wants, modes, w, h, p.sides(st) == 2)
	if liked == nil && p.opt.Effort > 0 && len(all[0].laid) < total(wants) {
		p.known.liked[kinds] = best(modes, all)
	}
	if len(wants) == 1 && p.opt.Effort > 0 && !st.Roll && p.ctx.Err() == nil {
		for _, ls := range p.latticeFills(wants[0], st.Nap, w, h, wants[0].turns(st.Nap, w, h, fewTurns)) {
			all = append(all, filled{ls, float64(len(ls)) * wants[0].area, endOf(ls, w, h)})
		}
	}
	slices.SortStableFunc(all, fuller)
	out := make([][]laid, min(mostFills, len(all)))
	for i := range out {
		out[i] = all[i].laid
	}
	return out
}

const (
	// easyEffort is up to which effort a sheet of kinds filled before is filled only
	// by the modes that did best then.
	easyEffort = 5
	// mostLiked is how many modes are remembered.
	mostLiked = 2
)

// best returns the first mode and those that filled most; all begins with the
// modes' own fills, in their order.
func best(modes [][][]float64, all []filled) [][][]float64 {
	order := make([]int, len(modes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return fuller(all[a], all[b]) })
	out := [][][]float64{modes[0]}
	for _, i := range order[:min(mostLiked, len(order))] {
		if i > 0 {
			out = append(out, modes[i])
		}
	}
	return out
}

// filled is a sheet filled one way: the felt laid and how far down it reaches.
type filled struct {
	laid      []laid
	area, end float64
}

// total returns how many pieces are wanted.
func total(wants []want) int {
	n := 0
	for _, x := range wants {
		n += x.n
	}
	return n
}

// endOf returns how far down a sheet of inner size w × h the laid reach; for
// such as were laid from the left, how far to the right by as much felt.
func endOf(ls []laid, w, h float64) float64 {
	end := 0.0
	for _, l := range ls {
		y := l.at.Y + l.box.Max.Y
		if l.swap {
			y *= h / w
		}
		end = max(end, y)
	}
	return end
}

// sideways is how many of the best modes are tried from the left as well.
const sideways = 2

// fillWays fills a sheet from the top by every mode, and from the left by the
// best of them where both is set. Where the first mode lays all it stops there, but
// not with several kinds on a sheet and some effort: others may leave more felt in
// one piece, as lattices do for one kind.
func (p *packer) fillWays(wants []want, modes [][][]float64, w, h float64, both bool) (all []filled) {
	fill := func(ctx context.Context, mode [][]float64, swap bool) filled {
		f := &filler{w: w, h: h, nofits: p.known.nofits.local()}
		if swap {
			f.w, f.h = h, w
		}
		for i, x := range wants {
			var views []*view
			for _, t := range mode[i] {
				views = append(views, x.view(t, swap))
			}
			f.fill(ctx, views, x.n)
		}
		g := filled{laid: f.laid}
		for _, l := range f.laid {
			g.area += l.area
		}
		g.end = endOf(f.laid, w, h)
		return g
	}
	// Views are made here: the ways below only read them.
	for i, x := range wants {
		for _, mode := range modes {
			for _, t := range mode[i] {
				x.view(t, false)
				if both {
					x.view(t, true)
				}
			}
		}
	}
	felt := 0.0
	for _, x := range wants {
		felt += float64(x.n) * x.area
	}
	all = make([]filled, len(modes))
	from := 0
	// The first way is gone to its end even if the work is stopped: everything
	// must be laid.
	first := context.WithoutCancel(p.ctx)
	if felt <= w*h { // it may all go on: try that before the other ways
		all[0] = fill(first, modes[0], false)
		if from = 1; len(all[0].laid) == total(wants) && (len(wants) == 1 || p.opt.Effort == 0 || !both) {
			return all[:1]
		}
	}
	inParallel(len(modes)-from, p.workers(), func(i int) {
		if from+i == 0 {
			all[0] = fill(first, modes[0], false)
			return
		}
		all[from+i] = fill(p.ctx, modes[from+i], false)
	})
	if !both {
		return all
	}
	order := make([]int, len(modes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return fuller(all[a], all[b]) })
	left := make([]filled, min(sideways, len(order)))
	inParallel(len(left), p.workers(), func(i int) { left[i] = fill(p.ctx, modes[order[i]], true) })
	return append(all, left...)
}

// fuller orders fills by the felt laid, and where that is the same by how soon
// they end.
func fuller(a, b filled) int {
	if math.Abs(a.area-b.area) > geom.Touch {
		return cmp.Compare(b.area, a.area)
	}
	return cmp.Compare(a.end, b.end)
}

// sides returns in how many directions a stock is filled: from the top, and
// from the left; a roll only from the top.
func (p *packer) sides(st Stock) int {
	if st.Roll {
		return 1
	}
	return 2
}

// sheet returns the sheet of stock k on which the pieces lie.
func (p *packer) sheet(k int, pieces []laid) Sheet {
	st := p.stock[k]
	s := Sheet{Stock: k, Height: st.Height}
	area, end := 0.0, 0.0
	for _, l := range pieces {
		l = l.upright()
		area += l.area
		end = max(end, l.at.Y+l.box.Max.Y)
		s.Pieces = append(s.Pieces, Placed{l.item, l.at.Add(geom.Vec{X: st.Margin, Y: st.Margin}), l.turn})
	}
	if st.Roll {
		s.Height = st.cutAt(end + 2*st.Margin)
	}
	s.Used = area / (st.Width * s.Height)
	s.Pieces = p.cuttingOrder(s.Pieces)
	return s
}

func (p *packer) workers() int {
	if p.opt.Workers > 0 {
		return p.opt.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// cutAt returns the length of roll to buy for the length needed.
func (s Stock) cutAt(length float64) float64 {
	if s.SoldBy <= 0 {
		return length
	}
	return math.Ceil((length-geom.Press)/s.SoldBy) * s.SoldBy
}

// rollRoom returns a length of roll that is enough for all pieces.
func (p *packer) rollRoom(wants []want, w float64) float64 {
	l := 0.0
	for _, x := range wants {
		b := x.hull.Box()
		l += float64(x.n) * (math.Hypot(b.Width(), b.Height()) + p.opt.Gap)
	}
	return l
}

// modes returns sets of turns to fill with: for each want, the turns tried for
// its pieces. The first lets all turn freely; the others hold the largest
// kind to one turn, or to that and its half turn, which makes rows.
func (p *packer) modes(wants []want, nap Nap, w, h float64) [][][]float64 {
	all := make([][]float64, len(wants))
	for i, x := range wants {
		all[i] = x.turns(nap, w, h, fewTurns)
	}
	modes := [][][]float64{all}
	if p.opt.Effort == 0 || len(all[0]) == 1 || p.ctx.Err() != nil {
		return modes
	}
	steps := coarseTurns
	if len(wants) > 1 {
		// Rows of one kind matter less where others fill up.
		steps = coarseTurns / 4
	}
	many := wants[0].turns(nap, w, h, steps)
	for _, t := range many {
		one := slices.Clone(all)
		one[0] = []float64{t}
		modes = append(modes, one)
		if nap == OneWay || wants[0].sameAt(t, t+math.Pi) {
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

// cuttingOrder sorts pieces as one reads: rows from the top, each from the
// left. A row holds the pieces whose middle lies above the lower edge of its
// topmost piece's middle half.
func (p *packer) cuttingOrder(pieces []Placed) []Placed {
	type boxed struct {
		Placed
		box geom.Box
	}
	bs := make([]boxed, len(pieces))
	for i, q := range pieces {
		bs[i] = boxed{q, placedRegion(p.items, q).Box()}
	}
	slices.SortStableFunc(bs, func(a, b boxed) int {
		return cmp.Or(cmp.Compare(a.box.Centre().Y, b.box.Centre().Y), cmp.Compare(a.box.Centre().X, b.box.Centre().X))
	})
	out := make([]Placed, 0, len(bs))
	for len(bs) > 0 {
		limit := bs[0].box.Centre().Y + bs[0].box.Height()/4
		n := 1
		for n < len(bs) && bs[n].box.Centre().Y <= limit {
			n++
		}
		row := bs[:n]
		slices.SortStableFunc(row, func(a, b boxed) int { return cmp.Compare(a.box.Centre().X, b.box.Centre().X) })
		for _, b := range row {
			out = append(out, b.Placed)
		}
		bs = bs[n:]
	}
	return out
}
