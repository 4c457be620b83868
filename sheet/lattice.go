package sheet

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// Lattices: many copies of one shape lie well in rows that repeat. A row holds
// copies side by side along x, as close as they go; the next row lies on it,
// shifted, either of copies at the same turn or of copies turned by half; with
// half turns two rows make the cell that repeats. G. Kuperberg and W. Kuperberg,
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

// cell returns the area that one piece takes in the plane.
func (l lattice) cell() float64 {
	if l.pairs {
		return l.period * l.next.Y / 2
	}
	return l.period * l.next.Y
}

const (
	// latticeTurns is how many directions of the rows are looked at in half a
	// turn, and latticeShifts how many shifts of a row within its period.
	latticeTurns  = 60
	latticeShifts = 64
	// latticeFinest, as a share of the first step, ends the refinement.
	latticeFinest = 1e-4
	// latticesLaid is how many lattices are tried on the sheet with its edges
	// filled up.
	latticesLaid = 8
)

// rower finds rows for a form; same and half are where a copy must not lie, at
// the same turn and turned by half.
type rower struct{ same, half *nofit }

func newRower(f *form, swap bool) rower {
	v := f.view(0, swap)
	return rower{newNofit(v, v), newNofit(v, f.view(math.Pi, swap))}
}

// skyline tells how high over a row of period p the point of another copy must
// lie: rings turned so that the row runs along x.
type skyline struct {
	rings  []geom.Ring
	boxes  []geom.Box
	period float64
	down   bool // the other way up: how far below
}

func newSkyline(n *nofit, turn, period float64, down bool) skyline {
	s := skyline{period: period, down: down}
	m := geom.Rotation(turn)
	if down {
		m = geom.Rotation(turn + math.Pi)
	}
	for _, r := range n.rings {
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
	var spans []span
	m := geom.Rotation(turn)
	reach := 0.0
	for _, r := range w.same.rings {
		if s := chord(r.Transform(m), 0); s.lo < s.hi {
			spans = append(spans, s)
			reach = max(reach, s.hi)
		}
	}
	best := reach
	for _, s := range spans {
		p := s.hi
		if p <= 0 || p >= best {
			continue
		}
		free := true
		for k := 1.0; k*p < reach && free; k++ {
			free = !slices.ContainsFunc(spans, func(t span) bool { return t.lo < k*p-onEdge && t.hi > k*p+onEdge })
		}
		if free {
			best = p
		}
	}
	return best + geom.Press
}

// singles returns the densest lattice at the turn with all copies alike.
func (w rower) singles(turn float64) lattice {
	p := w.period(turn)
	up := newSkyline(w.same, turn, p, false)
	l := lattice{turn: turn, period: p, next: geom.Vec{Y: math.Inf(1)}}
	for k := range latticeShifts {
		x := p * float64(k) / latticeShifts
		if y := up.over(x); y < l.next.Y {
			l.next = geom.Vec{X: x, Y: y}
		}
	}
	x, _ := descend(l.next.X, p/latticeShifts, up.over)
	l.next = geom.Vec{X: x, Y: up.over(x) + geom.Press}
	return l
}

// descend walks from x downhill on f by steps that halve.
func descend(x, step float64, f func(float64) float64) (float64, float64) {
	y := f(x)
	for least := step * latticeFinest; step > least; step /= 2 {
		for _, d := range []float64{step, -step} {
			if z := f(x + d); z < y {
				x, y = x+d, z
				break
			}
		}
	}
	return x, y
}

// doubles returns the densest lattice found at the turn with rows of half-turned
// copies between.
func (w rower) doubles(turn float64) lattice {
	p := w.period(turn)
	up := newSkyline(w.half, turn, p, false)
	back := newSkyline(w.half, turn, p, true)
	same := newSkyline(w.same, turn, p, false)
	var a, b, c [latticeShifts]float64
	for k := range latticeShifts {
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

// densest returns the lattice of the least cell over all turns.
func (w rower) densest() lattice {
	at := func(t float64) lattice {
		l := w.doubles(t)
		if s := w.singles(t); s.cell() < l.cell() {
			return s
		}
		return l
	}
	var all []lattice
	for k := range latticeTurns {
		all = append(all, at(math.Pi*float64(k)/latticeTurns))
	}
	slices.SortStableFunc(all, func(a, b lattice) int { return cmp.Compare(a.cell(), b.cell()) })
	best := all[0]
	for _, l := range all[:latticesLaid] {
		t, _ := descend(l.turn, math.Pi/latticeTurns/2, func(t float64) float64 { return at(t).cell() })
		if m := at(t); m.cell() < best.cell() {
			best = m
		}
	}
	return best
}

// turned is a view's place in a lattice: half says whether it is half-turned.
type turned struct {
	half bool
	at   geom.Vec
}

// on returns the lattice's places on a sheet of inner size w × h for the two
// views, its first row as high as it goes and shifted by x.
func (l lattice) on(w, h, x float64, a, b *view) []turned {
	var out []turned
	row := func(v *view, half bool, from geom.Vec) bool {
		if from.Y+v.box.Max.Y > h+geom.Press {
			return false
		}
		if from.Y+v.box.Min.Y < -geom.Press {
			return true
		}
		first := math.Ceil((-v.box.Min.X-from.X-geom.Press)/l.period)*l.period + from.X
		for at := first; at+v.box.Max.X <= w+geom.Press; at += l.period {
			out = append(out, turned{half, geom.Vec{X: at, Y: from.Y}})
		}
		return true
	}
	from := geom.Vec{X: x, Y: -a.box.Min.Y}
	if l.pairs {
		from.Y = max(from.Y, -b.box.Min.Y-l.pair.Y)
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

// rowsKey is which lattices of a form are meant: with rows in that direction,
// mirrored or not, with half-turned copies or without.
type rowsKey struct {
	turn        float64
	swap, pairs bool
}

// latticeFills lays one kind on a sheet of inner size w × h by the lattices
// that hold most, rows along x and along y, and fills up the edges piece by
// piece; edge are the turns tried there.
func (p *packer) latticeFills(x want, nap Nap, w, h float64, edge []float64) [][]laid {
	type try struct {
		rowsKey
		lattices []lattice
		laid     []laid
	}
	turns := []float64{0}
	if nap == FourWay {
		turns = append(turns, quarter(1))
	}
	if nap == AnyTurn {
		base := x.levelTurns(1)[0]
		turns = nil
		for k := range latticeTurns {
			turns = append(turns, base+math.Pi*float64(k)/latticeTurns)
		}
	}
	var tries []try
	for _, swap := range []bool{false, true} {
		for _, t := range turns {
			k := rowsKey{t, swap, nap != OneWay}
			tries = append(tries, try{rowsKey: k, lattices: x.lattices[k]})
			// The views must be there before the work is shared out.
			x.view(latticeView(t, 0, swap), swap)
			x.view(latticeView(t, math.Pi, swap), swap)
		}
	}
	rowers := [2]rower{newRower(x.form, false), newRower(x.form, true)}
	inParallel(len(tries), p.workers(), func(i int) {
		y := &tries[i]
		if p.ctx.Err() != nil {
			return
		}
		rows, sw, sh := rowers[0], w, h
		if y.swap {
			rows, sw, sh = rowers[1], h, w
		}
		a, b := x.view(latticeView(y.turn, 0, y.swap), y.swap), x.view(latticeView(y.turn, math.Pi, y.swap), y.swap)
		if !fits(a.box, sw, sh) {
			return
		}
		if y.lattices == nil {
			y.lattices = append(y.lattices, rows.singles(y.turn))
			if y.pairs {
				y.lattices = append(y.lattices, rows.doubles(y.turn))
			}
		}
		for _, l := range y.lattices {
			if !(l.period > geom.Touch && l.next.Y > geom.Touch) {
				continue
			}
			for k := range latticeShifts / 4 {
				at := l.on(sw, sh, -a.box.Min.X-l.period*float64(k)/(latticeShifts/4), a, b)
				if len(at) <= len(y.laid) {
					continue
				}
				y.laid = nil
				for _, q := range at[:min(len(at), x.n)] {
					v := a
					if q.half {
						v = b
					}
					y.laid = append(y.laid, laid{v, q.at})
				}
			}
		}
	})
	for _, y := range tries {
		x.lattices[y.rowsKey] = y.lattices
	}
	// The fullest; where all pieces lie on it, the one that leaves most in one piece.
	slices.SortStableFunc(tries, func(a, b try) int {
		if len(a.laid) < x.n || len(b.laid) < x.n {
			return cmp.Compare(len(b.laid), len(a.laid))
		}
		return cmp.Compare(endOf(a.laid, w, h), endOf(b.laid, w, h))
	})
	tries = tries[:min(latticesLaid, len(tries))]
	edges := [2][]*view{}
	for _, t := range edge {
		edges[0] = append(edges[0], x.view(t, false))
		edges[1] = append(edges[1], x.view(t, true))
	}
	out := make([][]laid, len(tries))
	inParallel(len(tries), p.workers(), func(i int) {
		f := &filler{w: w, h: h, nofits: p.known.nofits.local(), laid: tries[i].laid}
		views := edges[0]
		if tries[i].swap {
			f.w, f.h, views = h, w, edges[1]
		}
		f.fill(p.ctx, views, x.n-len(f.laid))
		out[i] = f.laid
	})
	return out
}

// latticeView returns the turn of a view whose outline, mirrored if swap is
// set, is that of the view at turn 0 turned by t and by half.
func latticeView(t, half float64, swap bool) float64 {
	t += half
	if swap {
		t = -t
	}
	return math.Mod(math.Mod(t, 2*math.Pi)+2*math.Pi, 2*math.Pi)
}
