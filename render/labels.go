package render

import (
	"cmp"
	"context"
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
	shy           bool    // prefers a place farther off, on a leader, to one over a line
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

// grade is how well a label would lie at a place.
type grade int

const (
	notFree  grade = iota - 1
	onlyFree       // free, and no more
	andClear       // no other cross so near that the label could be taken for its
	andOff         // and off the drawing's own lines
)

// sacrifice is how much of a layout's legibility may be given up before it is
// not worth finishing: labels on leaders, and labels that may be misread or
// have no place at all.
type sacrifice struct{ led, doubtful int }

// anything lets a layout be finished, whatever it is like.
func anything() sacrifice { return sacrifice{math.MaxInt, math.MaxInt} }

// place lays out the labels, result i for want i, and puts them on the board.
// The crosses of all points must be there already. It gives up and returns nil
// as soon as more is sacrificed than allowed, or when the context ends.
func (b *board) place(ctx context.Context, want []wanted, most sacrifice) []label {
	if most != anything() && b.tooFull(want) {
		return nil
	}
	out := make([]label, len(want))
	t := tries{b: b}
	for _, i := range crowdedFirst(want) {
		if ctx.Err() != nil {
			return nil
		}
		l := t.first(want[i])
		out[i] = l
		switch {
		case !l.placed || l.doubtful:
			most.doubtful--
		case l.led:
			most.led--
		}
		if most.doubtful < 0 || most.led < 0 {
			return nil
		}
		if l.placed {
			b.take(l.box)
		}
		if l.led {
			b.leader(l.leader[0], l.leader[1])
		}
	}
	return out
}

// tooFull reports whether the labels with the white between them have more area
// than the page, so that some can have no place.
func (b *board) tooFull(want []wanted) bool {
	area := 0.0
	for _, w := range want {
		area += (w.width + gapLabel) * (w.height + gapLabel)
	}
	return area > (b.page.Width()+gapLabel)*(b.page.Height()+gapLabel)
}

// crowdedFirst returns the order in which labels choose: those with the most
// points within three times their width first.
func crowdedFirst(want []wanted) []int {
	order, crowd := make([]int, len(want)), make([]int, len(want))
	reach := 1.0 // of the widest, the side of a cell
	for _, w := range want {
		reach = math.Max(reach, 3*w.width)
	}
	type cell [2]int
	at := func(p geom.Vec) cell { return cell{int(math.Floor(p.X / reach)), int(math.Floor(p.Y / reach))} }
	points := map[cell][]geom.Vec{}
	for _, w := range want {
		points[at(w.at)] = append(points[at(w.at)], w.at)
	}
	for i, w := range want {
		order[i] = i
		c := at(w.at)
		for x := c[0] - 1; x <= c[0]+1; x++ {
			for y := c[1] - 1; y <= c[1]+1; y++ {
				for _, p := range points[cell{x, y}] {
					if p.Dist(w.at) < 3*w.width {
						crowd[i]++
					}
				}
			}
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(crowd[j], crowd[i]) })
	return order
}

// tries are the places that one label after another tries, each graded once.
type tries struct {
	b     *board
	w     wanted
	near  []try                           // touching the cross
	rings [int(2*farthest) + 1][]try      // ring k is k/2 label heights away
	ways  [int(2*farthest) + 1][]geom.Vec // to the places on a ring, from the middle of it
}

// try is a place for a label with its grade.
type try struct {
	box   geom.Box
	grade grade
}

// first returns the first free place of the label's ranked places.
func (t *tries) first(w wanted) label {
	t.w, t.near = w, t.near[:0]
	for k := range t.rings {
		t.rings[k] = t.rings[k][:0]
	}
	l := t.touching(andOff)
	if !l.placed && w.shy {
		l = t.led(0.5, farthest, andOff)
	}
	if !l.placed {
		l = t.touching(andClear)
	}
	if !l.placed {
		l = t.led(1, nearby, andOff)
	}
	if !l.placed {
		l = t.led(1, nearby, andClear)
	}
	if l.placed {
		return l
	}
	if l = t.touching(onlyFree); !l.placed {
		l = t.led(1, farthest, onlyFree)
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
func (t *tries) touching(g grade) label {
	dx, dy := t.w.beside()
	x, y := t.w.width/2, t.w.height/2
	for i, d := range [...]geom.Vec{{X: dx}, {X: -dx}, {Y: dy}, {Y: -dy},
		{X: dx, Y: y}, {X: dx, Y: -y}, {X: -dx, Y: y}, {X: -dx, Y: -y},
		{X: x, Y: dy}, {X: -x, Y: dy}, {X: x, Y: -dy}, {X: -x, Y: -dy},
		{X: dx, Y: dy}, {X: -dx, Y: dy}, {X: dx, Y: -dy}, {X: -dx, Y: -dy}} {
		if i == len(t.near) {
			box := t.w.box(d)
			t.near = append(t.near, try{box, t.b.grade(box, t.w.at)})
		}
		if t.near[i].grade >= g {
			return label{box: t.near[i].box, placed: true}
		}
	}
	return label{}
}

// led tries the places on rings from near to far label heights away, which a
// leader joins to the point.
func (t *tries) led(near, far float64, g grade) label {
	for k := int(2 * near); k <= int(2*far); k++ {
		for i := range ringPlaces(k) {
			p := t.onRing(k, i)
			if p.grade < g {
				continue
			}
			end := geom.Vec{X: math.Max(p.box.Min.X, math.Min(p.box.Max.X, t.w.at.X)), Y: math.Max(p.box.Min.Y, math.Min(p.box.Max.Y, t.w.at.Y))}
			start := t.w.at
			if l := end.Dist(t.w.at); l > t.w.clear {
				start = t.w.at.Lerp(end, t.w.clear/l)
			}
			if leader := [2]geom.Vec{start, end}; t.b.open(leader, t.w.at) {
				return label{box: p.box, leader: leader, led: true, placed: true}
			}
		}
	}
	return label{}
}

// ringPlaces returns how many places there are on ring k.
func ringPlaces(k int) int { return 16 + 4*(k/2) }

// onRing returns the i-th place on ring k. They are asked for in their order.
func (t *tries) onRing(k, i int) try {
	if i < len(t.rings[k]) {
		return t.rings[k][i]
	}
	if t.ways[k] == nil {
		n := ringPlaces(k)
		t.ways[k] = make([]geom.Vec, n)
		for j := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(n))
			t.ways[k][j] = geom.Vec{X: cos, Y: sin}
		}
	}
	dx, dy := t.w.beside()
	ring, way := float64(k)/2, t.ways[k][i]
	box := t.w.box(geom.Vec{X: way.X * (dx + ring*t.w.height), Y: way.Y * (dy + ring*t.w.height)})
	t.rings[k] = append(t.rings[k], try{box, t.b.grade(box, t.w.at)})
	return t.rings[k][i]
}
