package motif

import (
	"cmp"

	"strew/motif/geom"
	"strew/motif/say"
)

// Outlines are made sound in four steps, each on integer coordinates, where
// orientation tests are exact:
//
//   - snap rounding (snapround.go): points are rounded to a grid and edges cut
//     wherever they cross or touch, until none cross;
//   - winding numbers (winding.go): a sweep from left to right finds those below
//     and above each edge; edges with felt on one side only are the outline;
//   - faces (faces.go): the outline is walked with the felt on one hand, which
//     closes a ring for each border of each connected face;
//   - pinches (faces.go): a ring that returns to one of its own points is cut
//     apart there.

const (
	// perMM is how many grid steps make a millimetre: a power of two, so that
	// grid points are exact in float64, with a step (0.00012 mm) well below
	// geom.Touch.
	perMM = 8192

	// maxExtent, in mm, keeps twice the product of two grid distances within an
	// int64.
	maxExtent = 50_000

	// maxRounds limits how often edges are cut again and pinches opened. One
	// round is the rule for either.
	maxRounds = 40

	// maxWork limits the pairs of edges compared and the moves in the sweep's
	// status: a second or two of work, hundreds of times what a drawn outline
	// needs.
	maxWork = 1 << 28

	// maxCrossings limits the cuts of one round.
	maxCrossings = 2_000_000
)

// spot is a point of the grid.
type spot struct{ x, y int64 }

// compare puts points in sweep order: by x, then by y.
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

// loop is a closed polygon on the grid, which may cross itself.
type loop []spot

// face is a region on the grid.
type face struct {
	outer loop
	holes []loop
}

func (f face) loops() []loop { return append([]loop{f.outer}, f.holes...) }

// edge runs from a to b, a before b in sweep order. w counts how often loops
// of each of two groups run along it, less how often they run back.
type edge struct {
	a, b spot
	w    [2]int
}

// resolve returns the sound faces of the part of the plane where inside holds
// for the winding numbers of two groups of loops. inside must be false for 0, 0.
// The error is a *Fault of rule Tangled, its place on the grid in mm.
func resolve(groups [2][]loop, inside func(w [2]int) bool) ([]face, error) {
	// How far a pinch is cut back along each edge, in grid steps: far enough
	// that the gap survives rounding in files, too little to be seen.
	back := 10 * geom.Touch * perMM
	for range maxRounds {
		edges, err := snapRound(edgesOf(groups))
		if err != nil {
			return nil, err
		}
		borders, err := bordersOf(edges, inside)
		if err != nil {
			return nil, err
		}
		faces := facesOf(borders)
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

// Rules by which winding numbers say what is inside.
func union(w [2]int) bool     { return w[0]+w[1] > 0 }
func intersect(w [2]int) bool { return w[0] > 0 && w[1] > 0 }
func nonZero(w [2]int) bool   { return w[0] != 0 }
func evenOdd(w [2]int) bool   { return w[0]%2 != 0 }

func tangled(p spot) error {
	return &Fault{Rule: Tangled, At: geom.Vec{X: float64(p.x) / perMM, Y: float64(p.y) / perMM},
		Why: say.New("the outline crosses itself too often to be cut: simplify the path there")}
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
