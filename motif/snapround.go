package motif

import (
	"cmp"
	"math"
	"slices"
)

// snapRound cuts the edges wherever they cross or touch and merges equal ones, so
// that the result shares nothing but ends. It is in sweep order of a, then b.
//
// This is snap rounding (J. D. Hobby, "Practical segment intersection with
// finite precision output", Computational Geometry 13, 1999; L. J. Guibas and
// D. H. Marimont, "Rounding arrangements dynamically", 1998): a grid cell that
// holds an end or a crossing is hot, and every edge that passes through a hot
// cell is cut at its centre. Cutting moves edges a little, so rounds are repeated
// until nothing crosses.
func snapRound(edges []edge) ([]edge, error) {
	work := 0
	for range maxRounds {
		edges = merged(edges)
		crossings, err := findCrossings(edges, &work)
		if err != nil {
			return nil, err
		}
		if len(crossings) == 0 {
			return edges, nil
		}
		cuts, err := cutsAtHotCells(edges, crossings, &work)
		if err != nil {
			return nil, err
		}
		edges = applyCuts(edges, cuts)
	}
	return nil, tangled(edges[0].a)
}

// merged sorts the edges and merges equal ones; those along which the loops run
// as often one way as the other are dropped.
func merged(edges []edge) []edge {
	slices.SortFunc(edges, func(e, f edge) int {
		if c := e.a.compare(f.a); c != 0 {
			return c
		}
		return e.b.compare(f.b)
	})
	out := edges[:0]
	for i := 0; i < len(edges); {
		e := edges[i]
		for i++; i < len(edges) && edges[i].a == e.a && edges[i].b == e.b; i++ {
			e.w[0] += edges[i].w[0]
			e.w[1] += edges[i].w[1]
		}
		if e.w != [2]int{} {
			out = append(out, e)
		}
	}
	return out
}

// cut says that an edge is to be cut at a point.
type cut struct {
	edge int
	at   spot
}

// span is the bounding box of an edge or a point: lo to hi along the sweep, low to
// high across it.
type span struct {
	lo, hi, low, high int64
	index             int
}

// sweep calls pair for every two spans whose boxes meet. It stops once work
// exceeds maxWork or pair returns false, and returns false and the index of the
// span it stopped at.
func sweep(spans []span, work *int, pair func(s, t span) bool) (at int, ok bool) {
	slices.SortFunc(spans, func(s, t span) int {
		if c := cmp.Compare(s.lo, t.lo); c != 0 {
			return c
		}
		return cmp.Compare(s.index, t.index)
	})
	var active []span
	for _, s := range spans {
		if *work += len(active); *work > maxWork {
			return s.index, false
		}
		kept := active[:0]
		for _, t := range active {
			if t.hi < s.lo {
				continue
			}
			kept = append(kept, t)
			if t.low <= s.high && s.low <= t.high && !pair(s, t) {
				return s.index, false
			}
		}
		active = append(kept, s)
	}
	return 0, true
}

// spansOf returns the boxes of the edges, turned so that the sweep runs along
// the axis in which the edges are shorter, and whether that is y.
func spansOf(edges []edge) (spans []span, alongY bool) {
	var dx, dy int64
	for _, e := range edges {
		dx += e.b.x - e.a.x
		dy += max(e.b.y-e.a.y, e.a.y-e.b.y)
	}
	spans = make([]span, len(edges))
	for i, e := range edges {
		spans[i] = span{e.a.x, e.b.x, min(e.a.y, e.b.y), max(e.a.y, e.b.y), i}
		if dx > dy {
			spans[i] = spans[i].swapped()
		}
	}
	return spans, dx > dy
}

func (s span) swapped() span { return span{s.low, s.high, s.lo, s.hi, s.index} }

// findCrossings returns cuts of edges at the grid points nearest to where they
// cross, and at ends of other edges that lie on them. There are none where edges
// share nothing but ends.
func findCrossings(edges []edge, work *int) ([]cut, error) {
	spans, _ := spansOf(edges)
	var cuts []cut
	at, ok := sweep(spans, work, func(s, t span) bool {
		cuts = appendCrossings(cuts, edges, s.index, t.index)
		return len(cuts) <= maxCrossings
	})
	if !ok {
		return nil, tangled(edges[at].a)
	}
	return cuts, nil
}

// appendCrossings appends the cuts of edges i and j where they cross or touch.
func appendCrossings(cuts []cut, edges []edge, i, j int) []cut {
	e, f := edges[i], edges[j]
	fa, fb := turn(e.a, e.b, f.a), turn(e.a, e.b, f.b)
	if fa*fb > 0 {
		return cuts
	}
	ea, eb := turn(f.a, f.b, e.a), turn(f.a, f.b, e.b)
	if ea*eb > 0 {
		return cuts
	}
	if fa*fb < 0 && ea*eb < 0 {
		at := crossing(e, f)
		return append(cuts, cut{i, at}, cut{j, at})
	}
	touch := func(side int, p spot, on int) {
		if side == 0 && edges[on].a.compare(p) < 0 && p.compare(edges[on].b) < 0 {
			cuts = append(cuts, cut{on, p})
		}
	}
	touch(fa, f.a, i)
	touch(fb, f.b, i)
	touch(ea, e.a, j)
	touch(eb, e.b, j)
	return cuts
}

// cutsAtHotCells adds to the cuts those of edges that pass through a hot cell.
// Cutting there too, not only at the crossings, is what keeps a moved edge from
// passing a point on the wrong side.
func cutsAtHotCells(edges []edge, cuts []cut, work *int) ([]cut, error) {
	var hot []spot
	for _, c := range cuts {
		hot = append(hot, c.at)
	}
	for _, e := range edges {
		hot = append(hot, e.a, e.b)
	}
	slices.SortFunc(hot, spot.compare)
	hot = slices.Compact(hot)
	spans, alongY := spansOf(edges)
	for i, p := range hot {
		s := span{p.x, p.x, p.y, p.y, len(edges) + i}
		if alongY {
			s = s.swapped()
		}
		spans = append(spans, s)
	}
	// An edge may pass through a cell without reaching the column of its centre.
	for i := range spans[:len(edges)] {
		s := &spans[i]
		s.lo, s.hi, s.low, s.high = s.lo-1, s.hi+1, s.low-1, s.high+1
	}
	at, ok := sweep(spans, work, func(s, t span) bool {
		i, j := min(s.index, t.index), max(s.index, t.index)
		if i < len(edges) && j >= len(edges) {
			if e, p := edges[i], hot[j-len(edges)]; p != e.a && p != e.b && passesThrough(e, p) {
				cuts = append(cuts, cut{i, p})
			}
		}
		return len(cuts) <= 4*maxCrossings
	})
	if !ok {
		return nil, tangled(append(hot, edges[min(at, len(edges)-1)].a)[max(0, at-len(edges))])
	}
	return cuts, nil
}

// passesThrough reports whether e passes through the inside of the grid cell
// round p, exactly: coordinates are doubled, so that the corners are integers.
func passesThrough(e edge, p spot) bool {
	x, y := 2*p.x, 2*p.y
	a, b := spot{2 * e.a.x, 2 * e.a.y}, spot{2 * e.b.x, 2 * e.b.y}
	if b.x <= x-1 || a.x >= x+1 || max(a.y, b.y) <= y-1 || min(a.y, b.y) >= y+1 {
		return false
	}
	left, right := false, false
	for _, corner := range [4]spot{{x - 1, y - 1}, {x + 1, y - 1}, {x + 1, y + 1}, {x - 1, y + 1}} {
		switch turn(a, b, corner) {
		case 1:
			right = true
		case -1:
			left = true
		}
	}
	return left && right
}

// crossing returns the grid point nearest to where e and f cross. The products
// are exact; only the division rounds, by much less than a grid step.
func crossing(e, f edge) spot {
	rx, ry, sx, sy := e.b.x-e.a.x, e.b.y-e.a.y, f.b.x-f.a.x, f.b.y-f.a.y
	t := float64((f.a.x-e.a.x)*sy-(f.a.y-e.a.y)*sx) / float64(rx*sy-ry*sx)
	return spot{
		e.a.x + int64(math.Round(t*float64(rx))),
		e.a.y + int64(math.Round(t*float64(ry))),
	}
}

// applyCuts returns the parts of the edges between their cuts.
func applyCuts(edges []edge, cuts []cut) []edge {
	slices.SortFunc(cuts, func(c, d cut) int {
		if k := cmp.Compare(c.edge, d.edge); k != 0 {
			return k
		}
		e := edges[c.edge]
		along := func(p spot) float64 {
			return float64(p.x-e.a.x)*float64(e.b.x-e.a.x) + float64(p.y-e.a.y)*float64(e.b.y-e.a.y)
		}
		if k := cmp.Compare(along(c.at), along(d.at)); k != 0 {
			return k
		}
		return c.at.compare(d.at)
	})
	out := make([]edge, 0, len(edges)+len(cuts))
	k := 0
	for i, e := range edges {
		from := e.a
		piece := func(to spot) {
			part := edge{a: from, b: to, w: e.w}
			switch c := from.compare(to); {
			case c > 0: // rounding may step back by one grid column
				part.a, part.b = to, from
				part.w[0], part.w[1] = -e.w[0], -e.w[1]
				fallthrough
			case c < 0:
				out = append(out, part)
			}
			from = to
		}
		for ; k < len(cuts) && cuts[k].edge == i; k++ {
			piece(cuts[k].at)
		}
		piece(e.b)
	}
	return out
}
