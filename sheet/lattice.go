package sheet

import (
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/sheet/nfp"
	"strew/sheet/shape"
)

// Lattices and double lattices: many copies of one shape lie well in rows that
// repeat. A row holds copies side by side along x, as close as they go; the next row
// lies on it, shifted, either of copies at the same turn or of copies turned by half;
// with half turns two rows make the cell that repeats. G. Kuperberg and W. Kuperberg,
// "Double-lattice packings of convex bodies in the plane", Discrete &
// Computational Geometry 5, 1990, find the densest such packings of convex
// shapes; here they are searched for, over all directions of the rows, since
// shapes have bays and what counts is how many a real sheet holds.

// lattice is an arrangement of rows: copies at k·(period, 0) + m·next, and with
// pairs half-turned ones at those places shifted by pair.
type lattice struct {
	turn   float64
	period float64
	next   geom.Vec
	pairs  bool
	pair   geom.Vec
}

// rowsKey is which lattices of a form are meant: with rows in that direction,
// mirrored or not, with half-turned copies or without.
type rowsKey struct {
	turn            float64
	mirrored, pairs bool
}

const (
	// latticeTurns is how many directions of the rows are tried in half a turn, 3°
	// apart, and latticeShifts how many shifts of a row within its period.
	latticeTurns  = 60
	latticeShifts = 64
	// latticeFinest, as a share of the first step, ends the refinement: below
	// geom.Press for pieces of up to 250 mm.
	latticeFinest = 1e-4
)

// rower finds rows for a form; same and half are where a copy must not lie, at
// the same turn and turned by half.
type rower struct{ same, half *nfp.Polygon }

func newRower(f *shape.Form, mirrored bool) rower {
	v := f.View(0, mirrored)
	return rower{nfp.New(v.Parts(), v.Parts()), nfp.New(v.Parts(), f.View(math.Pi, mirrored).Parts())}
}

// skyline is how high above a row of that period another copy must lie: rings turned
// so that the row runs along x.
type skyline struct {
	rings  []geom.Ring
	boxes  []geom.Box
	period float64
}

// newSkyline returns the skyline of a row that runs at the angle -turn; half a turn
// more gives how far below it another copy must lie.
func newSkyline(n *nfp.Polygon, turn, period float64) skyline {
	s := skyline{period: period}
	m := geom.Rotation(turn)
	for _, r := range n.Rings {
		r = r.Transform(m)
		s.rings = append(s.rings, r)
		s.boxes = append(s.boxes, r.Box())
	}
	return s
}

// over returns the height at the shift x.
func (s *skyline) over(x float64) float64 {
	top := 0.0
	for i, r := range s.rings {
		b := &s.boxes[i]
		if b.Max.Y <= top {
			continue
		}
		for at := x + s.period*math.Ceil((b.Min.X-x)/s.period); at < b.Max.X; at += s.period {
			a := r[len(r)-1]
			for _, c := range r {
				if (a.X > at) != (c.X > at) {
					top = max(top, a.Y+(c.Y-a.Y)*((at-a.X)/(c.X-a.X)))
				}
				a = c
			}
		}
	}
	return top
}

// period returns the least distance at which copies of a row keep clear of one
// another, the row running at the angle -turn.
func (w rower) period(turn float64) float64 {
	var spans []nfp.Span
	m := geom.Rotation(turn)
	reach := 0.0
	for _, r := range w.same.Rings {
		if s := nfp.Chord(r.Transform(m), 0); s.Lo < s.Hi {
			spans = append(spans, s)
			reach = max(reach, s.Hi)
		}
	}
	best := reach
	for _, s := range spans {
		p := s.Hi
		if p <= 0 || p >= best {
			continue
		}
		free := true
		for k := 1.0; k*p < reach && free; k++ {
			free = !slices.ContainsFunc(spans, func(t nfp.Span) bool { return t.Lo < k*p-nfp.OnEdge && t.Hi > k*p+nfp.OnEdge })
		}
		if free {
			best = p
		}
	}
	return best + geom.Press
}

// singles returns the densest lattice at the turn with all copies alike; some lattice
// once the context is done.
func (w rower) singles(ctx context.Context, turn float64) lattice {
	p := w.period(turn)
	up := newSkyline(w.same, turn, p)
	l := lattice{turn: turn, period: p, next: geom.Vec{Y: math.Inf(1)}}
	for k := range latticeShifts {
		if ctx.Err() != nil {
			return l
		}
		x := p * float64(k) / latticeShifts
		if y := up.over(x); y < l.next.Y {
			l.next = geom.Vec{X: x, Y: y}
		}
	}
	x := descend(l.next.X, p/latticeShifts, up.over)
	l.next = geom.Vec{X: x, Y: up.over(x) + geom.Press}
	return l
}

// descend walks from x downhill on f by steps that halve.
func descend(x, step float64, f func(float64) float64) float64 {
	y := f(x)
	for least := step * latticeFinest; step > least; step /= 2 {
		for _, d := range []float64{step, -step} {
			if z := f(x + d); z < y {
				x, y = x+d, z
				break
			}
		}
	}
	return x
}

// doubles returns the densest lattice found at the turn with rows of half-turned
// copies between; some lattice once the context is done.
func (w rower) doubles(ctx context.Context, turn float64) lattice {
	p := w.period(turn)
	up := newSkyline(w.half, turn, p)
	back := newSkyline(w.half, turn+math.Pi, p)
	same := newSkyline(w.same, turn, p)
	var a, b, c [latticeShifts]float64
	for k := range latticeShifts {
		if ctx.Err() != nil {
			return lattice{}
		}
		x := p * float64(k) / latticeShifts
		a[k], b[k], c[k] = up.over(x), back.over(x), same.over(x)
	}
	i0, j0, best := 0, 0, math.Inf(1)
	for i := range a {
		for j := range b {
			if y := max(a[i]+b[j], c[(i+j)%latticeShifts]); y < best {
				i0, j0, best = i, j, y
			}
		}
	}
	x, z := p*float64(i0)/latticeShifts, p*float64(j0)/latticeShifts
	height := func(x, z float64) float64 { return max(up.over(x)+back.over(z), same.over(x+z)) }
	for step, least := p/latticeShifts, p/latticeShifts*latticeFinest; step > least; step /= 2 {
		for _, d := range [][2]float64{{step, 0}, {-step, 0}, {0, step}, {0, -step}, {step, -step}, {-step, step}} {
			if y := height(x+d[0], z+d[1]); y < best {
				x, z, best = x+d[0], z+d[1], y
				break
			}
		}
	}
	return lattice{
		turn: turn, period: p, pairs: true,
		pair: geom.Vec{X: x, Y: up.over(x) + geom.Press},
		next: geom.Vec{X: x + z, Y: best + 2*geom.Press},
	}
}

// inRow is a view's place in a lattice: half says whether it is half-turned.
type inRow struct {
	half bool
	at   geom.Vec
}

// on returns the lattice's places on a bed for the two views, its first row as high as
// it goes and shifted by x.
func (l lattice) on(bed shape.Bed, x float64, a, b *shape.View) []inRow {
	var out []inRow
	row := func(v *shape.View, half bool, from geom.Vec) bool {
		if from.Y+v.Box.Max.Y > bed.Height()+geom.Press {
			return false
		}
		if from.Y+v.Box.Min.Y < -geom.Press {
			return true
		}
		first := math.Ceil((-v.Box.Min.X-from.X-geom.Press)/l.period)*l.period + from.X
		for at := first; at+v.Box.Max.X <= bed.Width()+geom.Press; at += l.period {
			out = append(out, inRow{half, geom.Vec{X: at, Y: from.Y}})
		}
		return true
	}
	from := geom.Vec{X: x, Y: -a.Box.Min.Y}
	if l.pairs {
		from.Y = max(from.Y, -b.Box.Min.Y-l.pair.Y)
		// A half-turned row may fit over the first one.
		row(b, true, from.Add(l.pair).Sub(l.next))
	}
	for {
		ok := row(a, false, from)
		if l.pairs {
			ok = row(b, true, from.Add(l.pair)) || ok
		}
		if !ok || l.next.Y <= 0 {
			return out
		}
		from = from.Add(l.next)
	}
}
