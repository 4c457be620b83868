package stage

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter"
	"strew/scatter/skirt"
)

// A mark of a loose pattern is located on the flat panel by two tape lengths,
// each from a place that is known already: a corner of the panel or an earlier
// mark. Seen from the first place toward the second, the new mark lies to the
// right, so two lengths fix it.
//
// A rounded length moves the mark by about the rounding over the sine of the
// angle at which the tapes cross (the rule of intersection in surveying). Of all
// pairs the one with the least error is taken, and among pairs nearly as good
// the one with the shortest tapes.

// TapeFrom is a place to measure from: an earlier mark, or a corner.
type TapeFrom struct {
	Mark   int      // the mark's number; 0: a corner
	Corner Corner   // of the panel, where it is no mark
	At     geom.Vec // in the panel's frame, millimetres
}

// Corner names a place on a panel's edge that is known before any mark.
type Corner int

// The corners: none, those of a panel with a waist and a hem, then those of a
// drawn one.
const (
	NoCorner Corner = iota
	WaistLeft
	WaistRight
	WaistMiddle
	HemMiddle
	HemLeft
	HemRight
	TopLeft
	TopRight
	BottomRight
	BottomLeft
)

// Tapes are the two lengths that locate a mark, in millimetres, each from the
// place of the same index; the mark lies to the right as one looks from From[0]
// to From[1]. The zero Tapes locates nothing.
type Tapes struct {
	From   [2]TapeFrom
	Length [2]float64
}

// Finds reports whether there are tapes.
func (t Tapes) Finds() bool { return t.Length[0] > 0 }

// What tapes are good for.
const (
	// tapeLeast is the shortest length worth measuring, millimetres: the tape's
	// end piece takes that much.
	tapeLeast = 25.0
	// tapeSine is the least sine of the angle of crossing, 20°: there an error of
	// a length is tripled. Surveyors keep to 30° where they can (common practice,
	// no source), and so does the cost below.
	tapeSine = 0.34
	// tapeReach is a length in millimetres that counts as much as an error grown
	// by half: longer tapes sag and slip.
	tapeReach = 400.0
	// tapeNear is how many of the nearest places are tried in pairs.
	tapeNear = 14
)

// TapesFor finds tapes for every mark, in the order of the placements. A mark
// whose tapes would all cross badly gets the zero Tapes.
func TapesFor(s skirt.Surface, marks []scatter.Placement) []Tapes {
	out := make([]Tapes, len(marks))
	known := map[int]*places{}
	for i, m := range marks {
		k := m.Point.Panel
		if known[k] == nil {
			known[k] = &places{surface: s, panel: k, cells: map[[2]int][]int{}}
			for _, c := range corners(s, k) {
				known[k].add(c)
			}
		}
		out[i] = bestTapes(m.Point.At, known[k].nearest(m.Point.At))
		known[k].add(TapeFrom{Mark: i + 1, At: m.Point.At})
	}
	return out
}

// corners are the places of panel k that are known before any mark; the middle
// of an edge is found by folding.
func corners(s skirt.Surface, k int) []TapeFrom {
	if !s.Closed() {
		return sharpCorners(s.PanelOutline(k).Outer)
	}
	// A hair inside either edge, so that the places are on this panel.
	const hair = 1e-9
	at := func(share, down float64) geom.Vec {
		return s.Point(skirt.Place{Round: (float64(k) + share) / float64(s.Panels), Down: down}).At
	}
	return []TapeFrom{
		{0, WaistLeft, at(hair, 0)}, {0, WaistRight, at(1-hair, 0)},
		{0, WaistMiddle, at(0.5, 0)}, {0, HemMiddle, at(0.5, s.Drop)},
		{0, HemLeft, at(hair, s.Drop)}, {0, HemRight, at(1-hair, s.Drop)},
	}
}

// places are the places of one panel to measure from, in a grid.
type places struct {
	surface skirt.Surface
	panel   int
	all     []TapeFrom
	cells   map[[2]int][]int // indexes into all
}

// placeCell is the side of a grid cell, millimetres: about the distance between marks.
const placeCell = 60.0

func placeCellOf(at geom.Vec) (x, y int) {
	return int(math.Floor(at.X / placeCell)), int(math.Floor(at.Y / placeCell))
}

func (p *places) add(f TapeFrom) {
	x, y := placeCellOf(f.At)
	p.cells[[2]int{x, y}] = append(p.cells[[2]int{x, y}], len(p.all))
	p.all = append(p.all, f)
}

// tape is a place with its distance in millimetres.
type tape struct {
	TapeFrom
	long float64
}

// nearest returns the tapeNear nearest places to which a tape from at lies flat
// on the cloth, the nearest first; fewer if there are no more.
func (p *places) nearest(at geom.Vec) []tape {
	for rings := 2; ; rings *= 2 {
		around, all := p.within(at, rings)
		near := make([]tape, 0, tapeNear)
		for _, i := range around {
			f := p.all[i]
			if d := f.At.Dist(at); d >= tapeLeast && onCloth(p.surface, p.panel, f.At, at) {
				near = append(near, tape{f, d})
			}
			if len(near) == tapeNear {
				break
			}
		}
		if all || len(near) == tapeNear {
			return near
		}
	}
}

// within returns the indexes of the places at most rings cells away, nearest
// first (of equally near ones the one added first), and whether these are all
// places.
func (p *places) within(at geom.Vec, rings int) (out []int, all bool) {
	if across := 2*rings + 1; across*across >= len(p.all) { // no cells to be saved
		for i := range p.all {
			out = append(out, i)
		}
		return p.byDistance(at, out), true
	}
	x, y := placeCellOf(at)
	seen := 0
	for cx := x - rings; cx <= x+rings; cx++ {
		for cy := y - rings; cy <= y+rings; cy++ {
			for _, i := range p.cells[[2]int{cx, cy}] {
				seen++
				out = append(out, i)
			}
		}
	}
	if all = seen == len(p.all); !all {
		out = slices.DeleteFunc(out, func(i int) bool { return p.all[i].At.Dist(at) > float64(rings)*placeCell })
	}
	return p.byDistance(at, out), all
}

// byDistance sorts indexes of places by how near they are.
func (p *places) byDistance(at geom.Vec, list []int) []int {
	slices.SortFunc(list, func(i, j int) int {
		return cmp.Or(cmp.Compare(p.all[i].At.Dist(at), p.all[j].At.Dist(at)), cmp.Compare(i, j))
	})
	return list
}

// bestTapes returns the two of the places from which at is located with the
// least cost; the zero Tapes where no two cross well.
func bestTapes(at geom.Vec, near []tape) Tapes {
	var best Tapes
	least := math.Inf(1)
	for i, a := range near {
		for _, b := range near[i+1:] {
			sine := a.At.Sub(at).Cross(b.At.Sub(at)) / (a.long * b.long)
			if math.Abs(sine) < tapeSine {
				continue
			}
			cost := 1/math.Abs(sine) + (a.long+b.long)/(2*tapeReach)
			if cost >= least {
				continue
			}
			least = cost
			first, second := a, b
			// Looking from first to second, y down, the right is where this is positive.
			if second.At.Sub(first.At).Cross(at.Sub(first.At)) < 0 {
				first, second = b, a
			}
			best = Tapes{[2]TapeFrom{first.TapeFrom, second.TapeFrom}, [2]float64{first.long, second.long}}
		}
	}
	return best
}

// onCloth reports whether the straight line between two places of a panel lies
// on it: past a waist that is hollow or a panel beyond half a turn it does not.
func onCloth(s skirt.Surface, panel int, a, b geom.Vec) bool {
	const tries = 24
	for i := 1; i < tries; i++ {
		at := a.Lerp(b, float64(i)/tries)
		if !s.Closed() {
			if !s.Inside(skirt.Point{Panel: panel, At: at}) {
				return false
			}
			continue
		}
		down := s.Down(at)
		if down < -geom.Touch || down > s.Drop+geom.Touch {
			return false
		}
		if around := s.Around(skirt.Point{Panel: panel, At: at}); around < -geom.Touch || around > s.PanelGirth(down)+geom.Touch {
			return false
		}
	}
	return true
}

// sharpTurn is the least turn, in radians, by which a drawn edge has a corner
// that can be seen on the cloth; common practice, no source.
const sharpTurn = math.Pi / 6

// sharpCorners are the corners of a drawn panel that lie farthest out to the
// top left, top right, bottom right and bottom left, where they are corners.
func sharpCorners(edge geom.Ring) []TapeFrom {
	var out []TapeFrom
	for _, c := range []struct {
		name Corner
		way  geom.Vec
	}{{TopLeft, geom.Vec{X: -1, Y: -1}}, {TopRight, geom.Vec{X: 1, Y: -1}}, {BottomRight, geom.Vec{X: 1, Y: 1}}, {BottomLeft, geom.Vec{X: -1, Y: 1}}} {
		far := 0
		for i, p := range edge {
			if p.Dot(c.way) > edge[far].Dot(c.way) {
				far = i
			}
		}
		in, on := edge[far].Sub(edge.At(far-1)), edge.At(far+1).Sub(edge[far])
		known := slices.ContainsFunc(out, func(f TapeFrom) bool { return f.At == edge[far] })
		if math.Abs(math.Atan2(in.Cross(on), in.Dot(on))) >= sharpTurn && !known {
			out = append(out, TapeFrom{Corner: c.name, At: edge[far]})
		}
	}
	return out
}
