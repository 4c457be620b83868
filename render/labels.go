package render

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// Labels are laid out so that no two boxes overlap, none covers a cross, and
// all stay on the page. Each label tries places round its own point, the
// nearest first: touching it, then on widening rings, from where a thin leader
// runs back to the point. The points with the most neighbours choose first,
// since they have the fewest places left. A first-fit over such ranked places
// is the plain greedy method for point-feature labelling (J. Christensen,
// J. Marks, S. Shieber, "An empirical study of algorithms for point-feature
// label placement", ACM Transactions on Graphics 14(3), 1995).

// board keeps what is already on the page.
type board struct {
	page    geom.Box
	taken   []geom.Box // labels and furniture: nothing may overlap these
	spots   []geom.Box // crosses: no label may cover one
	leaders [][2]geom.Vec
}

// wanted is a label that belongs to a point.
type wanted struct {
	at            geom.Vec
	width, height float64
	clear         float64 // half the size of the cross at the point
	inside        bool    // may lie over its own point, in the middle
}

// label is where a wanted label lies.
type label struct {
	box    geom.Box
	leader [2]geom.Vec
	led    bool // a leader runs from the point to the box
	placed bool
}

// gapLabel is the white between two labels, in millimetres: half the width
// of a five-point figure.
const gapLabel = 0.45

// farthest is how far from its point, in label heights, a label may lie.
const farthest = 14.0

// free reports whether a label may lie in box.
func (b *board) free(box geom.Box) bool {
	if box.Min.X < b.page.Min.X || box.Min.Y < b.page.Min.Y || box.Max.X > b.page.Max.X || box.Max.Y > b.page.Max.Y {
		return false
	}
	for _, t := range b.taken {
		if overlap(box, t, gapLabel) {
			return false
		}
	}
	for _, t := range b.spots {
		if overlap(box, t, 0) {
			return false
		}
	}
	for _, l := range b.leaders {
		if strikes(box, l, gapLabel/2) {
			return false
		}
	}
	return true
}

func overlap(a, b geom.Box, gap float64) bool {
	return a.Min.X < b.Max.X+gap && b.Min.X < a.Max.X+gap && a.Min.Y < b.Max.Y+gap && b.Min.Y < a.Max.Y+gap
}

// strikes reports whether the segment comes within gap of the box.
func strikes(box geom.Box, s [2]geom.Vec, gap float64) bool {
	if !overlap(box, geom.BoxOf(s[0], s[1]), gap) {
		return false
	}
	g := box.Grow(gap)
	if g.Contains(s[0]) || g.Contains(s[1]) {
		return true
	}
	a, c := g.Min, g.Max
	b, d := geom.Vec{X: c.X, Y: a.Y}, geom.Vec{X: a.X, Y: c.Y}
	return geom.SegmentsCross(s[0], s[1], a, c) || geom.SegmentsCross(s[0], s[1], b, d)
}

// place lays out the labels, result i for want i, and adds them to the board.
// The crosses of all points must be on the board already.
func (b *board) place(want []wanted) []label {
	out := make([]label, len(want))
	order := make([]int, len(want))
	crowd := make([]int, len(want))
	for i := range want {
		order[i] = i
		for j := range want {
			if want[i].at.Dist(want[j].at) < 3*want[i].width {
				crowd[i]++
			}
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(crowd[j], crowd[i]) })
	for _, i := range order {
		out[i] = b.first(want[i])
		if out[i].placed {
			b.taken = append(b.taken, out[i].box)
		}
		if out[i].led {
			b.leaders = append(b.leaders, out[i].leader)
		}
	}
	return out
}

// first returns the first free place of the label's ranked places.
func (b *board) first(w wanted) label {
	half := geom.Vec{X: w.width / 2, Y: w.height / 2}
	boxAt := func(c geom.Vec) geom.Box { return geom.Box{Min: c.Sub(half), Max: c.Add(half)} }
	if w.inside {
		if box := boxAt(w.at); b.free(box) {
			return label{box: box, placed: true}
		}
	}
	// Touching: beside the cross first, then at its corners, above and below.
	touch := w.clear + 0.2
	dx, dy := touch+half.X, touch+half.Y
	near := []geom.Vec{{X: dx}, {X: -dx}, {Y: dy}, {Y: -dy},
		{X: dx, Y: half.Y}, {X: dx, Y: -half.Y}, {X: -dx, Y: half.Y}, {X: -dx, Y: -half.Y},
		{X: half.X, Y: dy}, {X: -half.X, Y: dy}, {X: half.X, Y: -dy}, {X: -half.X, Y: -dy},
		{X: dx, Y: dy}, {X: -dx, Y: dy}, {X: dx, Y: -dy}, {X: -dx, Y: -dy}}
	for _, d := range near {
		if box := boxAt(w.at.Add(d)); b.free(box) {
			return label{box: box, placed: true}
		}
	}
	for ring := 1.0; ring <= farthest; ring += 0.5 {
		n := 16 + 4*int(ring)
		for k := range n {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			d := geom.Vec{X: c * (dx + ring*w.height), Y: s * (dy + ring*w.height)}
			box := boxAt(w.at.Add(d))
			if !b.free(box) {
				continue
			}
			end := geom.Vec{X: math.Max(box.Min.X, math.Min(box.Max.X, w.at.X)), Y: math.Max(box.Min.Y, math.Min(box.Max.Y, w.at.Y))}
			start := w.at
			if l := end.Dist(w.at); l > w.clear {
				start = w.at.Lerp(end, w.clear/l)
			}
			if leader := [2]geom.Vec{start, end}; b.open(leader, w.at) {
				return label{box, leader, true, true}
			}
		}
	}
	return label{}
}

// open reports whether a leader that starts at its point from crosses no
// label, no other leader and no other point's cross.
func (b *board) open(leader [2]geom.Vec, from geom.Vec) bool {
	for _, t := range b.taken {
		if strikes(t, leader, gapLabel/2) {
			return false
		}
	}
	for _, t := range b.spots {
		if !t.Contains(from) && strikes(t, leader, 0) {
			return false
		}
	}
	for _, l := range b.leaders {
		if geom.SegmentsCross(leader[0], leader[1], l[0], l[1]) {
			return false
		}
	}
	return true
}
