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
// since they have the fewest places left. A first fit over such ranked places
// is the plain greedy method for point-feature labelling (J. Christensen,
// J. Marks, S. Shieber, "An empirical study of algorithms for point-feature
// label placement", ACM Transactions on Graphics 14(3), 1995).

// wanted is a label that belongs to a point.
type wanted struct {
	at            geom.Vec
	width, height float64
	clear         float64 // half the size of the cross at the point
	shy           bool    // rather goes farther off on a leader than over a line
}

// label is where a wanted label lies.
type label struct {
	box      geom.Box
	leader   [2]geom.Vec
	led      bool // a leader runs from the point to the box
	doubtful bool // so near another cross that a reader may hesitate
	placed   bool
}

const (
	// gapLabel is the white between two labels, in millimetres: half the width
	// of a five-point figure.
	gapLabel = 0.45

	// lonely is how far, in millimetres, a label should stay from every cross
	// but its own, so that nobody takes it for the other's: several times the
	// way to its own.
	lonely = 0.8

	// nearby and farthest are how far from its point, in label heights, a
	// label lies where it can and where it must.
	nearby, farthest = 3.0, 14.0
)

// care is what a place for a label must heed beyond being free.
type care int

const (
	onlyFree care = iota
	andClear      // no other cross so near that the label could be taken for its
	andOff        // and off the drawing's own lines
)

// place lays out the labels, result i for want i, and puts them on the board.
// The crosses of all points must be there already.
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
			b.take(out[i].box)
		}
		if out[i].led {
			b.line(leading, out[i].leader[0], out[i].leader[1])
		}
	}
	return out
}

// first returns the first free place of the label's ranked places.
func (b *board) first(w wanted) label {
	l := b.touching(w, andOff)
	if !l.placed && w.shy {
		l = b.led(w, 0.5, farthest, andOff)
	}
	if !l.placed {
		l = b.touching(w, andClear)
	}
	if !l.placed {
		l = b.led(w, 1, nearby, andOff)
	}
	if !l.placed {
		l = b.led(w, 1, nearby, andClear)
	}
	if l.placed {
		return l
	}
	if l = b.touching(w, onlyFree); !l.placed {
		l = b.led(w, 1, farthest, onlyFree)
	}
	l.doubtful = l.placed
	return l
}

// box returns where the label lies with its middle d off its point.
func (w wanted) box(d geom.Vec) geom.Box {
	half := geom.Vec{X: w.width / 2, Y: w.height / 2}
	c := w.at.Add(d)
	return geom.Box{Min: c.Sub(half), Max: c.Add(half)}
}

// beside returns how far right and below its point the label's middle lies
// where it touches the cross.
func (w wanted) beside() (dx, dy float64) {
	const white = 0.2
	return w.clear + white + w.width/2, w.clear + white + w.height/2
}

// touching tries the places next to the cross: beside it first, then above
// and below, then aslant.
func (b *board) touching(w wanted, c care) label {
	dx, dy := w.beside()
	x, y := w.width/2, w.height/2
	for _, d := range []geom.Vec{{X: dx}, {X: -dx}, {Y: dy}, {Y: -dy},
		{X: dx, Y: y}, {X: dx, Y: -y}, {X: -dx, Y: y}, {X: -dx, Y: -y},
		{X: x, Y: dy}, {X: -x, Y: dy}, {X: x, Y: -dy}, {X: -x, Y: -dy},
		{X: dx, Y: dy}, {X: -dx, Y: dy}, {X: dx, Y: -dy}, {X: -dx, Y: -dy}} {
		if box := w.box(d); b.fits(box, w.at, c) {
			return label{box: box, placed: true}
		}
	}
	return label{}
}

// led tries the places on rings from near to far label heights away, which a
// leader joins to the point.
func (b *board) led(w wanted, near, far float64, c care) label {
	dx, dy := w.beside()
	for ring := near; ring <= far; ring += 0.5 {
		n := 16 + 4*int(ring)
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			box := w.box(geom.Vec{X: cos * (dx + ring*w.height), Y: sin * (dy + ring*w.height)})
			if !b.fits(box, w.at, c) {
				continue
			}
			end := geom.Vec{X: math.Max(box.Min.X, math.Min(box.Max.X, w.at.X)), Y: math.Max(box.Min.Y, math.Min(box.Max.Y, w.at.Y))}
			start := w.at
			if l := end.Dist(w.at); l > w.clear {
				start = w.at.Lerp(end, w.clear/l)
			}
			if leader := [2]geom.Vec{start, end}; b.open(leader, w.at) {
				return label{box: box, leader: leader, led: true, placed: true}
			}
		}
	}
	return label{}
}
