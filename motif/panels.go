package motif

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
)

// Panels is a drawing of flat cloth, true to size, in millimetres from the top
// left of its page.
type Panels struct {
	// Regions are the panels in the order in which they are drawn; outer rings
	// run clockwise as seen, holes the other way.
	Regions []geom.Region
	Lines   []NamedLine
}

// NamedLine is a line of the drawing that has an id, or a whole ring that has.
type NamedLine struct {
	Name   string
	Points []geom.Vec // curves in steps that stray by at most geom.FlattenTol
	Closed bool
}

// mostPanels is how many pieces one layer may be sewn from.
const mostPanels = 64

// ReadPanels reads a drawing (SVG 1.1 or 2, plain or gzipped) as panels of
// cloth. Filled shapes are panels, and what their fill leaves out are holes; in
// a drawing without fills closed lines are panels, and closed lines within them
// holes. Lines with an id name what they run along. The drawing must state its
// size, since nothing else does. The warnings say what was left out.
func ReadPanels(data []byte) (p Panels, warnings []string, err error) {
	root, err := parseXML(data)
	if err != nil {
		return Panels{}, nil, err
	}
	d, err := readDrawing(root)
	if err != nil {
		return Panels{}, nil, err
	}
	if d.unsized {
		return Panels{}, d.notes.list(), errors.New("the drawing states no size, and panels are cut true to size: give its page a width and height in millimetres")
	}
	rings, err := d.panelRings(&p)
	if err != nil {
		return Panels{}, d.notes.list(), err
	}
	if err := p.nest(rings, d.notes); err != nil {
		return Panels{}, d.notes.list(), err
	}
	return p, d.notes.list(), nil
}

// drawnRing is a closed shape that is a panel or a hole in one.
type drawnRing struct {
	geom.Ring
	from    string
	element int // rings of one element are holes of one another
	filled  bool
	evenOdd bool
	box     geom.Box
}

// panelRings flattens what is drawn and sorts it into rings and named lines.
func (d *drawing) panelRings(p *Panels) ([]drawnRing, error) {
	var rings []drawnRing
	points := 0
	flat := func(s shape, sub subpath) (geom.Ring, error) {
		r, ok := sub.flatten(geom.FlattenTol, nil)
		if points += len(r); !ok || points > maxPoints {
			return nil, manyPoints()
		}
		for _, v := range r {
			if math.Max(math.Abs(v.X), math.Abs(v.Y)) > maxExtent {
				return nil, fmt.Errorf("%s reaches %.3g mm from the page's corner, at most %d mm can be cut: look for a broken coordinate", s.from, v.Len(), maxExtent)
			}
		}
		return withoutRepeats(r), nil
	}
	add := func(s shape, r geom.Ring, element int, filled bool) error {
		if len(r) > 1 && r[0].Dist(r[len(r)-1]) < geom.SamePoint {
			r = r[:len(r)-1]
		}
		empty := fmt.Errorf("%s has no area: draw a closed shape with room inside, or give a line that names an edge no fill", s.from)
		if len(r) < 3 {
			return empty
		}
		if at, crosses := crossesItself(r); crosses {
			return &Fault{Rule: "crossing", At: at, Why: s.from + ": the panel's edge crosses or touches itself there: draw it once round, and a slit with a gap"}
		}
		if math.Abs(r.Area()) < geom.SliverArea {
			return empty
		}
		rings = append(rings, drawnRing{r, s.from, element, filled, s.evenOdd, r.Box()})
		return nil
	}
	for i, s := range d.fills {
		if len(s.clips) > 0 {
			d.notes.add("%s: its clip path was passed over: panels are cut along their own edge", s.from)
		}
		for _, sub := range s.path {
			if len(sub.curves) == 0 {
				continue
			}
			r, err := flat(s, sub)
			if err == nil {
				err = add(s, r, i, true)
			}
			if err != nil {
				return nil, err
			}
			if s.id != "" && len(s.path) == 1 {
				p.Lines = append(p.Lines, NamedLine{s.id, r, true})
			}
		}
	}
	for i, s := range d.lines {
		for _, sub := range s.path {
			if len(sub.curves) == 0 {
				continue
			}
			r, err := flat(s, sub)
			if err != nil {
				return nil, err
			}
			closed := sub.closed || sub.start.Dist(sub.end()) <= geom.Touch
			if closed && len(d.fills) == 0 {
				if err := add(s, r, len(d.fills)+i, false); err != nil {
					return nil, err
				}
			}
			switch {
			case s.id != "" && len(s.path) == 1:
				p.Lines = append(p.Lines, NamedLine{s.id, r, closed})
			case !closed || len(d.fills) > 0:
				d.notes.add("%s names no edge and is left out: a line along an edge needs an id and a path of its own", s.from)
			}
		}
	}
	if len(rings) == 0 {
		return nil, errors.New("the drawing holds no panel: draw each as one closed shape")
	}
	return rings, nil
}

func withoutRepeats(r geom.Ring) geom.Ring {
	return slices.CompactFunc(r, func(a, b geom.Vec) bool { return a.Dist(b) < geom.SamePoint })
}

// nest makes panels of rings: those that lie in no other are panels, and those
// that lie in one are its holes.
func (p *Panels) nest(rings []drawnRing, n *notes) error {
	var outers []int
	holes := make([][]geom.Ring, len(rings))
	for i, r := range rings {
		inside := []int{}
		for k, q := range rings {
			if k == i || q.box.Gap(r.box) > 0 {
				continue
			}
			if at, meet := ringsMeet(r.Ring, q.Ring); meet {
				if k > i {
					continue // told from the other side
				}
				return &Fault{Rule: "overlap", At: at, Why: fmt.Sprintf("%s and %s overlap or touch there: draw panels apart, and holes within them", q.from, r.from)}
			}
			if q.Contains(r.Ring[0]) {
				inside = append(inside, k)
			}
		}
		switch {
		case len(inside) == 0:
			outers = append(outers, i)
			continue
		case len(inside) > 1:
			return &Fault{Rule: "nested", At: r.Ring[0], Why: r.from + " lies within a hole: draw each panel beside the others"}
		}
		q := rings[inside[0]]
		switch {
		case r.filled && r.element != q.element:
			return &Fault{Rule: "overlap", At: r.Ring[0], Why: fmt.Sprintf("%s lies on %s: panels may not overlap, and a hole is part of the panel's own path", r.from, q.from)}
		case r.filled && !r.evenOdd && (r.Area() > 0) == (q.Area() > 0):
			n.add("%s: a line within the panel leaves nothing out and is passed over", r.from)
			continue
		}
		hole := r.Ring
		if hole.Area() > 0 {
			hole = hole.Reversed()
		}
		holes[inside[0]] = append(holes[inside[0]], hole)
	}
	if len(outers) > mostPanels {
		return fmt.Errorf("the drawing holds %d panels, at most %d can be sewn", len(outers), mostPanels)
	}
	for _, i := range outers {
		r := rings[i].Ring
		if r.Area() < 0 {
			r = r.Reversed()
		}
		p.Regions = append(p.Regions, geom.Region{Outer: r, Holes: holes[i]})
	}
	return nil
}

// side is an edge of a ring with its extent from left to right.
type side struct {
	a, b     geom.Vec
	from, to float64
	at       int // in the ring
}

func sidesOf(r geom.Ring) []side {
	out := make([]side, len(r))
	for i, a := range r {
		b := r.At(i + 1)
		out[i] = side{a, b, math.Min(a.X, b.X), math.Max(a.X, b.X), i}
	}
	slices.SortFunc(out, func(s, t side) int { return cmp.Compare(s.from, t.from) })
	return out
}

// crossesItself returns where two edges of a ring share more than the corner
// between them.
func crossesItself(r geom.Ring) (geom.Vec, bool) {
	sides := sidesOf(r)
	for i, s := range sides {
		for _, t := range sides[i+1:] {
			if t.from > s.to {
				break
			}
			if !geom.SegmentsCross(s.a, s.b, t.a, t.b) {
				continue
			}
			next, before := (s.at+1)%len(r) == t.at, (t.at+1)%len(r) == s.at
			switch {
			case next && geom.PointSegment(t.b, s.a, s.b) > 0 && geom.PointSegment(s.a, t.a, t.b) > 0,
				before && geom.PointSegment(s.b, t.a, t.b) > 0 && geom.PointSegment(t.a, s.a, s.b) > 0:
				continue
			}
			return s.a.Lerp(s.b, 0.5), true
		}
	}
	return geom.Vec{}, false
}

// ringsMeet returns where the edges of two rings cross or touch.
func ringsMeet(r, q geom.Ring) (geom.Vec, bool) {
	a, b := sidesOf(r), sidesOf(q)
	first := 0
	widest := 0.0
	for _, t := range b {
		widest = math.Max(widest, t.to-t.from)
	}
	for _, s := range a {
		for first < len(b) && b[first].from < s.from-widest {
			first++
		}
		for _, t := range b[first:] {
			if t.from > s.to {
				break
			}
			if geom.SegmentsCross(s.a, s.b, t.a, t.b) {
				return s.a.Lerp(s.b, 0.5), true
			}
		}
	}
	return geom.Vec{}, false
}
