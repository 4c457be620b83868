package motif

import (
	"cmp"
	"fmt"
	"slices"
	"sort"

	"strew/motif/geom"
)

// How outlines become sound. All points are snapped to a fine grid, so that
// every question of left and right is answered exactly in integers. Edges are
// then cut wherever they cross or touch (node), once more if a rounded
// crossing bent an edge over a neighbour, until nothing crosses. A sweep from
// left to right gives the winding number below and above each edge (windings);
// those with felt on one side only are the outline. Walking it with the felt
// on the same hand closes one ring for each border of each connected face
// (trace); a ring that comes back to one of its own points is cut apart there
// (openPinches).

const (
	// perMM is how many grid steps make a millimetre: a power of two, so that
	// grid points are exact in float64, with a step (0.00012 mm) well below geom.Touch.
	perMM = 8192

	// maxExtent, in mm, keeps twice the product of two grid distances within an int64.
	maxExtent = 50_000

	// maxRounds bounds how often edges are cut again and pinches opened. One
	// round cuts all edges, and one is the rule for pinches.
	maxRounds = 40

	// maxWork bounds the pairs of edges compared and the moves in the sweep's
	// list: a second or two of work, hundreds of times what a drawn outline needs.
	maxWork = 1 << 28

	// maxCrossings bounds the cuts of one round.
	maxCrossings = 2_000_000
)

// Fault says that an outline cannot be made sound, by which rule and where.
type Fault struct {
	Rule string   // short name of the rule broken: "tangled", "open"
	At   geom.Vec // place on the drawing's page, mm
	Why  string   // what is wrong and what to do
}

// Error describes the fault and its place.
func (f *Fault) Error() string {
	return fmt.Sprintf("%s (at x %.1f mm, y %.1f mm of the drawing)", f.Why, f.At.X, f.At.Y)
}

// spot is a point of the grid.
type spot struct{ x, y int64 }

func (p spot) compare(q spot) int {
	if c := cmp.Compare(p.x, q.x); c != 0 {
		return c
	}
	return cmp.Compare(p.y, q.y)
}

// turn returns the sign of (b-a) × (c-a): +1 where c lies clockwise as seen.
func turn(a, b, c spot) int {
	return cmp.Compare((b.x-a.x)*(c.y-a.y), (b.y-a.y)*(c.x-a.x))
}

// loop is a closed polygon on the grid.
type loop []spot

// face is a region on the grid.
type face struct {
	outer loop
	holes []loop
}

func (f face) loops() []loop { return append([]loop{f.outer}, f.holes...) }

// edge runs from a to b, a before b in reading order of x then y. w counts how
// often loops of each of two groups run along it, less those that run back.
type edge struct {
	a, b spot
	w    [2]int
}

// resolve returns the sound faces of the part of the plane where inside holds
// for the winding numbers of two groups of loops. inside must be false for 0, 0.
func resolve(groups [2][]loop, inside func(w [2]int) bool) ([]face, error) {
	// How far a pinch is cut back along each edge, in grid steps: far enough
	// that the gap outlives rounding in files, too little to see.
	back := 10 * geom.Touch * perMM
	for range maxRounds {
		edges, err := node(edgesOf(groups))
		if err != nil {
			return nil, err
		}
		swept, err := windings(edges, inside)
		if err != nil {
			return nil, err
		}
		faces := trace(swept)
		pinched := false
		for i := range faces {
			for _, l := range faces[i].all() {
				opened, was := openPinches(*l, back)
				*l, pinched = opened, pinched || was
			}
		}
		if !pinched {
			for i := range faces {
				for _, l := range faces[i].all() {
					*l = dropStraight(*l)
				}
			}
			return faces, nil
		}
		groups = [2][]loop{}
		for _, f := range faces {
			groups[0] = append(groups[0], f.loops()...)
		}
		inside = union
		back *= 1.25
	}
	return nil, tangled(groups[0][0][0])
}

func (f *face) all() []*loop {
	list := []*loop{&f.outer}
	for i := range f.holes {
		list = append(list, &f.holes[i])
	}
	return list
}

func union(w [2]int) bool     { return w[0]+w[1] > 0 }
func intersect(w [2]int) bool { return w[0] > 0 && w[1] > 0 }
func nonZero(w [2]int) bool   { return w[0] != 0 }
func evenOdd(w [2]int) bool   { return w[0]%2 != 0 }

func tangled(p spot) error {
	return &Fault{Rule: "tangled", At: geom.Vec{X: float64(p.x) / perMM, Y: float64(p.y) / perMM},
		Why: "the outline crosses itself too often to be cut: simplify the path there"}
}

func edgesOf(groups [2][]loop) []edge {
	var edges []edge
	for g, loops := range groups {
		for _, l := range loops {
			for i, p := range l {
				q := l[(i+1)%len(l)]
				e := edge{a: p, b: q}
				switch c := p.compare(q); {
				case c == 0:
					continue
				case c < 0:
					e.w[g] = 1
				default:
					e.a, e.b = q, p
					e.w[g] = -1
				}
				edges = append(edges, e)
			}
		}
	}
	return edges
}

// border is an edge of the outline with the felt on one side.
type border struct {
	edge
	swap  bool // felt on the side of smaller y: run from b to a
	below int  // the next border below at its start, -1 for none
}

// windings sweeps over the edges and returns those with felt on one side only.
func windings(edges []edge, inside func([2]int) bool) ([]border, error) {
	type strip struct {
		edge  int
		above [2]int
		top   int // the last border at or below this edge, -1 for none
	}
	ends := make([]spot, 0, 2*len(edges))
	for _, e := range edges {
		ends = append(ends, e.a, e.b)
	}
	slices.SortFunc(ends, spot.compare)
	ends = slices.Compact(ends)

	var (
		borders []border
		status  []strip
		fresh   []strip
		next    int
		work    int
	)
	for _, p := range ends {
		lo := sort.Search(len(status), func(i int) bool {
			e := edges[status[i].edge]
			return turn(e.a, e.b, p) <= 0
		})
		hi := lo
		for hi < len(status) && edges[status[hi].edge].b == p {
			hi++
		}
		fresh = fresh[:0]
		for ; next < len(edges) && edges[next].a == p; next++ {
			fresh = append(fresh, strip{edge: next})
		}
		slices.SortFunc(fresh, func(s, t strip) int {
			return -turn(p, edges[s.edge].b, edges[t.edge].b)
		})
		var w [2]int
		top := -1
		if lo > 0 {
			w, top = status[lo-1].above, status[lo-1].top
		}
		for i := range fresh {
			e := edges[fresh[i].edge]
			was := inside(w)
			w[0] += e.w[0]
			w[1] += e.w[1]
			if is := inside(w); is != was {
				borders = append(borders, border{edge: e, swap: was, below: top})
				top = len(borders) - 1
			}
			fresh[i].above, fresh[i].top = w, top
		}
		if hi-lo != len(fresh) {
			if work += (len(status) - hi) / 8; work > maxWork {
				return nil, tangled(p)
			}
		}
		status = slices.Replace(status, lo, hi, fresh...)
	}
	return borders, nil
}
