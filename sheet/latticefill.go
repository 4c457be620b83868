package sheet

import (
	"cmp"
	"context"
	"math"
	"slices"

	"golang.org/x/sync/errgroup"
	"strew/motif/geom"
	"strew/sheet/shape"
)

// Filling a bed with one kind by lattices.

const (
	// latticesLaid is how many lattices have the edges of the bed filled up.
	latticesLaid = 8
	// rowShifts is how many shifts of the rows along themselves are tried.
	rowShifts = latticeShifts / 4
)

// latticeTry is one direction of rows on a bed.
type latticeTry struct {
	rowsKey
	lattices []lattice
	laid     []shape.Laid
}

// latticeFills lays one kind on a bed by the lattices that hold most, rows along x and
// along y, and fills up the edges piece by piece.
func (p *call) latticeFills(x want, bed shape.Bed) [][]shape.Laid {
	tries := latticeTries(x, bed.Nap)
	rowers := map[bool]rower{false: newRower(x.Form, false), true: newRower(x.Form, true)}
	var g errgroup.Group
	g.SetLimit(p.workers())
	for i := range tries {
		g.Go(func() error {
			if p.ctx.Err() == nil {
				tries[i].lay(p.ctx, x, bed, rowers[tries[i].mirrored])
			}
			return nil
		})
	}
	_ = g.Wait() // no try fails
	for _, y := range tries {
		x.lattices[y.rowsKey] = y.lattices
	}
	// The fullest; where all pieces lie on it, the one that leaves most in one piece.
	slices.SortStableFunc(tries, func(a, b latticeTry) int {
		if len(a.laid) < x.n || len(b.laid) < x.n {
			return cmp.Compare(len(b.laid), len(a.laid))
		}
		return cmp.Compare(shape.EndOf(a.laid, bed), shape.EndOf(b.laid, bed))
	})
	return p.fillEdges(x, bed, tries[:min(latticesLaid, len(tries))])
}

// latticeTries returns the directions of rows to try, each with the lattices known.
func latticeTries(x want, nap Nap) []latticeTry {
	turns := []float64{0}
	if nap == FourWay {
		turns = append(turns, shape.Quarter(1))
	}
	if nap == AnyTurn {
		base := x.LevelTurns(1)[0]
		turns = nil
		for k := range latticeTurns {
			turns = append(turns, base+math.Pi*float64(k)/latticeTurns)
		}
	}
	var tries []latticeTry
	for _, mirrored := range []bool{false, true} {
		for _, t := range turns {
			k := rowsKey{t, mirrored, nap != OneWay}
			tries = append(tries, latticeTry{rowsKey: k, lattices: x.lattices[k]})
		}
	}
	return tries
}

// lay finds the lattices of the direction, unless they are known, and the most pieces
// that one of them holds; nothing once the context is done.
func (y *latticeTry) lay(ctx context.Context, x want, bed shape.Bed, rows rower) {
	if y.mirrored {
		bed = bed.Mirrored()
	}
	a, b := x.View(latticeView(y.turn, 0, y.mirrored), y.mirrored), x.View(latticeView(y.turn, math.Pi, y.mirrored), y.mirrored)
	if !bed.Holds(a.Box) {
		return
	}
	if y.lattices == nil {
		found := []lattice{rows.singles(ctx, y.turn)}
		if y.pairs {
			found = append(found, rows.doubles(ctx, y.turn))
		}
		if ctx.Err() != nil {
			return
		}
		y.lattices = found
	}
	for _, l := range y.lattices {
		if !(l.period > geom.Touch && l.next.Y > geom.Touch) {
			continue
		}
		for k := range rowShifts {
			at := l.on(bed, -a.Box.Min.X-l.period*float64(k)/rowShifts, a, b)
			if len(at) <= len(y.laid) {
				continue
			}
			y.laid = nil
			for _, q := range at[:min(len(at), x.n)] {
				v := a
				if q.half {
					v = b
				}
				y.laid = append(y.laid, shape.Laid{View: v, At: q.at})
			}
		}
	}
}

// fillEdges returns what lies on the bed by each lattice with its edges filled up.
func (p *call) fillEdges(x want, bed shape.Bed, tries []latticeTry) [][]shape.Laid {
	var views, mirrored []*shape.View
	for _, t := range x.Turns(bed, shape.FewTurns) {
		views = append(views, x.View(t, false))
		mirrored = append(mirrored, x.View(t, true))
	}
	out := make([][]shape.Laid, len(tries))
	var g errgroup.Group
	g.SetLimit(p.workers())
	for i, y := range tries {
		g.Go(func() error {
			f := &filler{bed: bed, nfps: p.cache.nfps.local(), laid: y.laid}
			edge := views
			if y.mirrored {
				f.bed, edge = bed.Mirrored(), mirrored
			}
			f.fill(p.ctx, edge, x.n-len(f.laid))
			out[i] = f.laid
			return nil
		})
	}
	_ = g.Wait() // no try fails
	return out
}

// latticeView returns the turn of a view whose outline, mirrored if so, is that of the
// view at turn 0 turned by t and by half.
func latticeView(t, half float64, mirrored bool) float64 {
	t += half
	if mirrored {
		t = -t
	}
	return math.Mod(math.Mod(t, 2*math.Pi)+2*math.Pi, 2*math.Pi)
}
