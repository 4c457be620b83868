package trace

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"strew/motif/geom"
)

// shape is one figure with its rings in pixels of the picture.
type shape struct {
	geom.Region
	stroke float64 // width of the line it was drawn with, 0 for a filled figure
}

// finding is what was found on a page.
type finding struct {
	shapes []shape
	notes  []string
}

func (f *finding) note(format string, args ...any) {
	f.notes = append(f.notes, fmt.Sprintf(format, args...))
}

// Limits of figures.
const (
	// leastSide is the least box, in pixels, of a figure or a hole.
	leastSide = 8
	// speckShare is the share of the largest figure's box below which ink is a
	// speck: 3 mm on a motif of 60 mm, less than scissors can cut out.
	speckShare = 1.0 / 20
	// pageShare is the share of the page's lesser side below which ink is a speck
	// even if nothing larger is there: 2 mm on A4.
	pageShare = 1.0 / 100
	// maxFigures on one page; more are a texture, not motifs.
	maxFigures = 200
	// maxMarks are the most marks looked at, figures, bits of lines and all.
	maxMarks = 1000
	// bandShare is the share of the picture below which a strip along its edge is a
	// scanner's shadow.
	bandShare = 1.0 / 20
)

// stroke tells what a blob is, by its width and length if it is a line.
type stroke struct {
	blob
	field
	level    float32     // between bare page and ink, where its edge is
	rings    []geom.Ring // its edge at level
	width    float64     // mean width, were it a line
	length   float64
	fill     float64 // area, holes filled
	holes    bool    // it has holes that are more than grain
	thickest float64
}

// Shares that tell lines from filled figures.
const (
	edgeShare = 0.5  // of the ink: a filled figure's edge, where half the pixel is covered
	lineShare = 0.35 // a line is followed through its faint places
	// A closed line is at most this wide beside the root of the area in it: a
	// marker of 3 mm round a motif of 25 mm.
	lineWidth = 0.12
	// An open line is at least so many times as long as it is wide: a leaf of
	// kelp is some 15 times.
	lineLength = 25
	// A line is nowhere thicker than this many times its mean width.
	lineThick = 3
	// Ink is of the same pen up to this many times its width.
	samePen = 1.6
)

func (in ink) measure(b blob, share float64) stroke {
	s := stroke{blob: b, field: in.alone(b, 2)}
	s.level = max(in.low, float32(share*in.typical(b)))
	s.rings = s.contours(s.level)
	area, around := 0.0, 0.0
	for _, r := range s.rings {
		a := r.Area()
		area += a
		around += r.Length()
		if a > 0 {
			s.fill += a
		}
	}
	if around > 0 {
		s.width, s.length = 2*area/around, around/2
	}
	for _, r := range s.rings {
		if box := r.Box(); r.Area() < 0 && -r.Area() > math.Max(s.width*s.width, leastSide*leastSide/4) && math.Max(box.Width(), box.Height()) >= leastSide/2 {
			s.holes = true
		}
	}
	return s
}

// typical returns the upper quartile of a blob's ink: the ink itself, its soft
// edge left out.
func (in ink) typical(b blob) float64 {
	var count [inkBins]int
	n := 0
	step := b.pixels/100_000 + 1
	for i := 0; i < len(b.runs); i += step {
		r := b.runs[i]
		for _, v := range in.v[r.y*in.w+r.from : r.y*in.w+r.to] {
			count[max(0, min(inkBins-1, int(v*inkBins)))]++
			n++
		}
	}
	left, k := n*3/4, 0
	for ; k < inkBins-1 && left >= count[k]; k++ {
		left -= count[k]
	}
	return (float64(k) + 0.5) / inkBins
}

// slim reports whether the ink is of one width all along, as a pen's line is.
func (s *stroke) slim() bool {
	way := nearest(s.w, s.h, func(k int) bool { return s.v[k] < s.level })
	most := 0
	for _, o := range way {
		most = max(most, o.square())
	}
	s.thickest = 2 * math.Sqrt(float64(most))
	return s.thickest <= lineThick*math.Max(s.width, 1)
}

// find returns the figures on a page in reading order.
func find(ctx context.Context, in ink, opt Options) (finding, error) {
	var out finding
	blobs, touching, err := in.candidates(&out)
	if err != nil {
		return out, err
	}
	var filled, closed, open []stroke
	pen := 0.0
	for _, b := range blobs {
		if err := stopped(ctx); err != nil {
			return out, err
		}
		s := in.measure(b, lineShare)
		isLine := false
		switch {
		case opt.Kind == Filled:
		case s.holes:
			isLine = opt.Kind == Line || s.width <= lineWidth*math.Sqrt(s.fill) && s.slim()
		default:
			isLine = opt.Kind == Line || s.length >= lineLength*s.width && s.slim()
		}
		switch {
		case !isLine:
			filled = append(filled, s)
			continue
		case s.holes:
			closed = append(closed, s)
		default:
			open = append(open, s)
		}
		pen = math.Max(pen, s.width)
	}
	if pen > 0 { // short strokes and small rings of the same pen are lines too
		rest := filled[:0]
		for _, s := range filled {
			same := s.length > 2*s.width && s.slim() && s.thickest <= samePen*pen+2
			switch {
			case same && s.holes:
				closed = append(closed, s)
			case same:
				open = append(open, s)
			default:
				rest = append(rest, s)
			}
		}
		filled = rest
	}
	var shapes []shape
	for _, s := range filled {
		s = in.measure(s.blob, edgeShare)
		shapes = append(shapes, nest(s.rings, 0)...)
	}
	for _, s := range closed {
		if opt.Edge == Outer { // the line's own edge, unless it is too faint there to be whole
			if own := in.measure(s.blob, edgeShare); own.holes {
				s = own
			}
		}
		made, err := s.closedLine(ctx, opt.Edge)
		if err != nil {
			return out, err
		}
		shapes = append(shapes, made...)
	}
	if len(open) > 0 {
		made, gaps, err := in.joinLines(ctx, open, opt.Edge)
		if err != nil {
			return out, err
		}
		shapes = append(shapes, made...)
		largest := 0.0
		for _, s := range shapes {
			largest = math.Max(largest, math.Max(s.Box().Width(), s.Box().Height()))
		}
		for _, g := range gaps {
			switch {
			case g.side > largest: // the drawing itself is open
				return out, g.error()
			case g.big:
				out.note("a line near %s is not closed and was left out", spot(g.at))
			}
		}
	}
	if opt.Edge == Middle {
		out.noteLoose(append(closed, open...), shapes)
	}
	out.shapes = inReadingOrder(holesOf(shapes))
	switch {
	case len(out.shapes) == 0 && touching:
		return out, errTouches
	case len(out.shapes) == 0:
		return out, errors.New("no figure was found on the page: draw one closed outline, or one filled shape, with a pen that is clearly darker than the paper")
	case len(out.shapes) > maxFigures:
		return out, fmt.Errorf("there are %d figures on the page, and at most %d are traced: it looks like a pattern or a photo of something else than a drawing; cut the picture down to the motifs", len(out.shapes), maxFigures)
	}
	return out, nil
}

var errTouches = errors.New("the drawing reaches the edge of the picture, so its outline is not whole: leave some bare paper all round it")

// candidates returns the blobs that may be figures: specks and shadows along
// the picture's edge are left out, and so are figures that touch it.
func (in ink) candidates(out *finding) (blobs []blob, touching bool, err error) {
	all := in.blobs()
	if len(all) == 0 {
		return nil, false, errBlank
	}
	side := func(b blob) int { return max(b.box.Dx(), b.box.Dy()) }
	largest, cut, specks := 0, 0, 0
	for _, b := range all {
		switch {
		case !b.touches:
			largest = max(largest, side(b))
		case float64(min(b.box.Dx(), b.box.Dy())) > bandShare*float64(min(in.w, in.h)):
			cut = max(cut, side(b))
		}
	}
	if cut > 3*largest {
		return nil, true, errTouches
	}
	if cut > 0 {
		out.note("a figure that reaches the edge of the picture was left out: its outline is not whole")
	}
	least := max(leastSide, int(speckShare*float64(largest)), int(pageShare*float64(min(in.w, in.h))))
	for _, b := range all {
		switch {
		case b.touches:
		case side(b) >= least:
			blobs = append(blobs, b)
		default:
			specks++
		}
	}
	if len(blobs) == 0 && specks > 0 {
		return nil, false, fmt.Errorf("there are only specks on the page, %d of them and none over %d pixels: draw one closed outline, or one filled shape", specks, least)
	}
	if len(blobs) > maxMarks {
		return nil, false, fmt.Errorf("there are %d separate marks on the page: it looks like a pattern or a photo of something else than a drawing; cut the picture down to the motifs", len(blobs))
	}
	if specks > 0 {
		out.note("%d specks were left out", specks)
	}
	return blobs, cut > 0, nil
}

// nest turns rings of one blob into shapes: each outer ring with the holes in
// it. Specks of outer rings and pinholes are dropped.
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

// holesOf turns each figure that lies in the felt of another into a hole of
// it; what is cut from such a hole again is a figure of its own.
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

// inReadingOrder sorts figures by rows from the top, and from the left in each
// row: a figure is of the row of the topmost one whose height its middle meets.
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
func spot(p geom.Vec) string {
	return fmt.Sprintf("pixel %.0f from the left, %.0f from the top", p.X, p.Y)
}
