package trace

import (
	"cmp"
	"context"
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// shape is one figure with its rings in pixels of the picture.
type shape struct {
	geom.Region
	stroke float64 // width of the line it was drawn with, 0 for a filled figure
}

// finding is what was found on a page.
type finding struct {
	shapes []shape // in reading order
	notes  []say.Message
}

// marks are the marks of a page, sorted by what they are.
type marks struct {
	filled []mark
	closed []mark // lines that go round something
	open   []mark // other lines
}

// find returns the figures on a page.
func find(ctx context.Context, in ink, opt Options) (finding, error) {
	list, touching, notes, err := in.candidates()
	if err != nil {
		return finding{}, err
	}
	found, err := in.classify(ctx, list, opt.Kind)
	if err != nil {
		return finding{}, err
	}
	shapes, open, err := in.shapesOf(ctx, found, opt.Edge)
	if err != nil {
		return finding{}, err
	}
	notes = append(notes, open...)
	if opt.Edge == Middle {
		notes = append(notes, looseEnds(append(found.closed, found.open...), shapes)...)
	}
	shapes = inReadingOrder(holesOf(shapes))
	switch {
	case len(shapes) == 0 && touching:
		return finding{}, errTouches
	case len(shapes) == 0:
		return finding{}, say.Errorf("no figure was found on the page: draw one closed outline, or one filled shape, with a pen that is clearly darker than the paper")
	case len(shapes) > maxFigures:
		return finding{}, say.Errorf("there are %d figures on the page, and at most %d are traced: it looks like a pattern or a photo of something other than a drawing; cut the picture down to the motifs", len(shapes), maxFigures)
	}
	return finding{shapes, notes}, nil
}

// classify decides which components are filled figures and which are lines.
func (in ink) classify(ctx context.Context, list []component, kind Kind) (marks, error) {
	var out marks
	var rest []mark
	pen := 0.0 // the widest line
	for _, c := range list {
		if err := stopped(ctx); err != nil {
			return out, err
		}
		m := in.measure(c, lineShare)
		if kind == Filled || kind == Auto && !m.isLine() {
			rest = append(rest, m)
			continue
		}
		out.add(m)
		pen = math.Max(pen, m.width)
	}
	for _, m := range rest {
		if pen > 0 && m.samePen(pen) {
			out.add(m)
		} else {
			out.filled = append(out.filled, m)
		}
	}
	return out, nil
}

// add adds a line.
func (l *marks) add(m mark) {
	if m.holes {
		l.closed = append(l.closed, m)
	} else {
		l.open = append(l.open, m)
	}
}

// shapesOf returns the figures that marks make, and notes on lines left open. A
// drawing that is itself open is an error.
func (in ink) shapesOf(ctx context.Context, list marks, edge Edge) (shapes []shape, notes []say.Message, err error) {
	for _, m := range list.filled {
		m = in.measure(m.component, edgeShare)
		shapes = append(shapes, nest(m.rings, 0)...)
	}
	for _, m := range list.closed {
		if edge == Outer { // the line's own edge, unless it is too faint there to be whole
			if own := in.measure(m.component, edgeShare); own.holes {
				m = own
			}
		}
		made, err := m.closedLine(ctx, edge)
		if err != nil {
			return nil, nil, err
		}
		shapes = append(shapes, made...)
	}
	if len(list.open) == 0 {
		return shapes, nil, nil
	}
	made, gaps, err := in.joinLines(ctx, list.open, edge)
	if err != nil {
		return nil, nil, err
	}
	shapes = append(shapes, made...)
	largest := 0.0
	for _, s := range shapes {
		largest = math.Max(largest, math.Max(s.Box().Width(), s.Box().Height()))
	}
	for _, g := range gaps {
		switch {
		case g.side > largest: // the drawing itself is open
			return nil, nil, g.error()
		case g.big:
			notes = append(notes, say.New("a line near %s is not closed and was left out", spot(g.at)))
		}
	}
	return shapes, notes, nil
}

// nest makes shapes of the rings of one mark: each outer ring with the holes in
// it. Outer rings that are specks, and pinholes, are dropped.
func nest(rings []geom.Ring, stroke float64) []shape {
	var out []shape
	largest := 0.0
	side := func(r geom.Ring) float64 { b := r.Box(); return math.Max(b.Width(), b.Height()) }
	for _, r := range rings {
		largest = math.Max(largest, side(r))
	}
	least := math.Max(leastSide, speckShare*largest)
	for _, r := range rings {
		if r.Area() > 0 && side(r) >= least {
			out = append(out, shape{Region: geom.Region{Outer: r}, stroke: stroke})
		}
	}
	slices.SortStableFunc(out, func(a, b shape) int { return cmp.Compare(a.Outer.Area(), b.Outer.Area()) })
	for _, r := range rings {
		if r.Area() > 0 || side(r) < least {
			continue
		}
		for i := range out {
			if out[i].Outer.Contains(r[0]) {
				out[i].Holes = append(out[i].Holes, r)
				break
			}
		}
	}
	return out
}

// holesOf makes each figure that lies in the felt of another a hole of it; what
// lies in the hole is a figure of its own again.
func holesOf(shapes []shape) []shape {
	slices.SortStableFunc(shapes, func(a, b shape) int { return cmp.Compare(b.Outer.Area(), a.Outer.Area()) })
	var out []shape
	for len(shapes) > 0 {
		s := shapes[0]
		shapes = shapes[1:]
		in := -1
		for i := range out {
			if out[i].Contains(s.Outer[0]) {
				in = i
			}
		}
		if in < 0 {
			out = append(out, s)
			continue
		}
		out[in].Holes = append(out[in].Holes, s.Outer.Reversed())
		for _, h := range s.Holes {
			island := shape{Region: geom.Region{Outer: h.Reversed()}, stroke: s.stroke}
			at, _ := slices.BinarySearchFunc(shapes, island, func(a, b shape) int { return cmp.Compare(b.Outer.Area(), a.Outer.Area()) })
			shapes = slices.Insert(shapes, at, island)
		}
	}
	return out
}

// inReadingOrder sorts figures by rows from the top, and each row from the left.
// A row is the topmost figure left and those whose middle lies above its lower
// end.
func inReadingOrder(shapes []shape) []shape {
	slices.SortStableFunc(shapes, func(a, b shape) int { return cmp.Compare(a.Box().Min.Y, b.Box().Min.Y) })
	for from := 0; from < len(shapes); {
		end := shapes[from].Box().Max.Y
		to := from + 1
		for to < len(shapes) && shapes[to].Box().Centre().Y < end {
			to++
		}
		slices.SortStableFunc(shapes[from:to], func(a, b shape) int { return cmp.Compare(a.Box().Min.X, b.Box().Min.X) })
		from = to
	}
	return shapes
}

// spot says where a point of the picture is.
func spot(p geom.Vec) say.Message {
	return say.New("pixel %.0f from the left, %.0f from the top", p.X, p.Y)
}
