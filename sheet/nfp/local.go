package nfp

import (
	"math"
	"slices"
	"sync/atomic"

	"strew/motif/geom"
)

// Fields are shared between lays, so what a search does must not depend on which
// cells are known already. A ledger notes what one lay has asked for, and work is
// counted by the ledger alone: a cell that an earlier lay worked out counts like a
// new one.

// Ledger notes which cells of a field a lay has asked for.
type Ledger struct {
	asked []atomic.Uint64 // a bit for each cell
}

// NewLedger returns an empty ledger of the field.
func NewLedger(f *Field) *Ledger {
	return &Ledger{make([]atomic.Uint64, (len(f.cells)+63)/64)}
}

// Local is a worker's own copy of the cells it has asked for. What every position
// reads comes first: that is fetched from memory together.
type Local struct {
	scale   geom.Vec    // columns and rows per millimetre
	origin  geom.Vec    // where the one shape lies seen from the other, in columns and rows
	rows    float32     // as side
	side    int32       // columns and rows
	at      []LocalCell // row by row; none before the first is asked for
	edges   []edge      // of its border cells
	field   *Field      // nil until bound
	ledger  *Ledger
	learned []uint64 // the cells others had asked for, a bit each
	work    *int
}

// LocalCell is a cell as a worker knows it.
type LocalCell struct {
	slope
	from int32 // where its edges begin in Local.edges; unasked, or covered where it has none
}

// What from may be other than an index.
const (
	unasked = 0
	covered = -1
)

// NewLocal returns a worker's copy of a field, not yet bound to it. The work of cells
// new to the ledger is added to work.
func NewLocal(l *Ledger, work *int) *Local {
	return &Local{ledger: l, learned: make([]uint64, len(l.asked)), work: work}
}

// IsBound reports whether the copy has its field.
func (k *Local) IsBound() bool { return k.field != nil }

// Bind gives the copy its field, that of the ledger or one like it.
func (k *Local) Bind(f *Field) {
	k.field, k.rows, k.side, k.scale = f, float32(f.side), int32(f.side), f.scale
	k.origin = geom.Vec{X: -f.box.Min.X * f.scale.X, Y: -f.box.Min.Y * f.scale.Y}
}

// Learn takes over what the whole lay has asked for so far: those cells no longer
// count as work. For a lay to be repeatable no other worker may be busy meanwhile.
func (k *Local) Learn() {
	for i := range k.learned {
		k.learned[i] = k.ledger.asked[i].Load()
	}
}

// Facing maps one shape's position, seen from another, to a cell of their
// penetration field. The zero Facing is not ready.
type Facing struct {
	local        *Local
	uX, uY, u, v float64
	vX, vY       float64
}

// Face returns, for a bound copy, the facing of two shapes whose field is turned by the angle of the
// given sine and cosine; with sign -1 it is seen from the second shape.
func (k *Local) Face(sin, cos, sign float64) Facing {
	sin, cos = sign*sin, sign*cos
	return Facing{
		local: k,
		uX:    cos * k.scale.X, uY: sin * k.scale.X, u: k.origin.X,
		vX: -sin * k.scale.Y, vY: cos * k.scale.Y, v: k.origin.Y,
	}
}

// Ready reports whether the facing has been set.
func (f *Facing) Ready() bool { return f.local != nil }

// Find returns the cell in which the second shape lies, d from the first, and where
// in it; nil outside all.
func (f *Facing) Find(d geom.Vec) (at *LocalCell, pu, pv float32) {
	k := f.local
	u, v := f.uX*d.X+f.uY*d.Y+f.u, f.vX*d.X+f.vY*d.Y+f.v
	if rows := float64(k.rows); !(u > 0 && v > 0 && u < rows && v < rows) {
		return nil, 0, 0
	}
	col, row := int(u), int(v)
	i := row*int(k.side) + col
	if i < len(k.at) {
		at = &k.at[i]
	}
	if at == nil || at.from == unasked {
		at = k.ask(i)
	}
	return at, float32(u - float64(col) - 0.5), float32(v - float64(row) - 0.5)
}

// firstEdges is for how many edges there is room at first: most workers ask for a
// few border cells of a field at least.
const firstEdges = 64

// ask notes what a cell is.
func (k *Local) ask(i int) *LocalCell {
	if k.at == nil {
		k.at = make([]LocalCell, k.side*k.side)
		k.edges = make([]edge, 1) // 0 is no index of an edge
	}
	c := k.field.cell(i)
	if bit := uint64(1) << (i % 64); k.learned[i/64]&bit == 0 {
		*k.work += int(c.work)
		k.ledger.asked[i/64].Or(bit)
	}
	at := &k.at[i]
	at.slope, at.from = c.slope, covered
	if len(c.edges) > 0 {
		from := int32(len(k.edges))
		at.from = from
		if len(k.edges)+len(c.edges) > cap(k.edges) {
			k.edges = slices.Grow(k.edges, max(firstEdges, len(k.edges))) // doubled, since many more come
		}
		k.edges = append(k.edges, c.edges...)
		for j := range c.edges {
			e := &k.edges[int(from)+j]
			if e.end += from; c.edges[j].end < 0 {
				e.end -= 2 * from
			}
		}
	}
	return at
}

// Covered reports whether all of the cell is covered, or all free.
func (at *LocalCell) Covered() bool { return at.from == covered }

// Depth returns the depth of a point of a covered cell; 0 in a free one.
func (at *LocalCell) Depth(u, v float32) float64 {
	return float64(max(at.depth+at.x*u+at.y*v, shallow*at.depth))
}

// BorderDepth returns the depth of a point of a border cell, or any depth that is
// enough.
func (f *Facing) BorderDepth(at *LocalCell, u, v float32, enough float64) float64 {
	k := f.local
	best, most := float32(0), float32(enough)
	for i := at.from; i > 0 && best < most; {
		var of []edge
		of, i = k.polygon(i)
		least := float32(math.MaxFloat32)
		for _, e := range of {
			if d := e.c - e.x*u - e.y*v; d < least {
				if least = d; d <= best {
					break
				}
			}
		}
		best = max(best, least)
	}
	return float64(best)
}

// polygon returns the edges of the polygon that begin at i, and where those of the
// next one begin; 0 after the last.
func (k *Local) polygon(i int32) (of []edge, next int32) {
	next = k.edges[i].end
	if next < 0 {
		return k.edges[i:-next], 0
	}
	return k.edges[i:next], next
}

// Depth returns the penetration depth of the second shape in the first, d from the
// one to the other; 0 where they do not overlap.
func (f *Facing) Depth(d geom.Vec) float64 {
	at, u, v := f.Find(d)
	switch {
	case at == nil:
		return 0
	case at.Covered():
		return at.Depth(u, v)
	}
	return f.BorderDepth(at, u, v, math.Inf(1))
}

// Translation returns the penetration depth, as Depth does, and the direction of
// the minimum translation vector, of unit length or 0.
func (f *Facing) Translation(d geom.Vec) (depth float64, way geom.Vec) {
	at, u, v := f.Find(d)
	if at == nil {
		return 0, geom.Vec{}
	}
	n := geom.Vec{X: -float64(at.x), Y: -float64(at.y)}
	if at.Covered() {
		depth = at.Depth(u, v)
	} else {
		depth, n = f.local.nearestEdge(at, u, v, n)
	}
	way = geom.Vec{X: n.X*f.uX + n.Y*f.vX, Y: n.X*f.uY + n.Y*f.vY}
	if l := way.Len(); l > 0 {
		way = way.Mul(1 / l)
	}
	return depth, way
}

// nearestEdge returns the depth of a point of a border cell and the normal of the
// edge that decides it; outside, that given.
func (k *Local) nearestEdge(at *LocalCell, u, v float32, outside geom.Vec) (float64, geom.Vec) {
	best, n := float32(0), outside
	for i := at.from; i > 0; {
		var of []edge
		of, i = k.polygon(i)
		least, nearest := float32(math.MaxFloat32), 0
		for j, e := range of {
			if d := e.c - e.x*u - e.y*v; d < least {
				if least, nearest = d, j; d <= best {
					break
				}
			}
		}
		if least > best {
			best = least
			n = geom.Vec{X: float64(of[nearest].x), Y: float64(of[nearest].y)}
		}
	}
	return float64(best), n
}
