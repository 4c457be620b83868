package trace

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
)

// Limits of figures.
const (
	// leastSide is the least box, in pixels, of a figure or a hole.
	leastSide = 8
	// speckShare is the share of the largest figure's size below which ink is a
	// speck: 3 mm on a motif of 60 mm, less than scissors can cut out.
	speckShare = 1.0 / 20
	// pageShare is the share of the page's shorter side below which ink is a speck
	// even where nothing larger is found: 2 mm on A4.
	pageShare = 1.0 / 100
	// maxFigures on one page; more are a texture, not motifs.
	maxFigures = 200
	// maxMarks is the most marks on one page, figures and bits of lines together.
	maxMarks = 1000
	// bandShare is the share of the picture below which ink along its edge is a
	// scanner's shadow.
	bandShare = 1.0 / 20
)

// mark is a connected component of ink with its edge, and its width and length
// were it a line.
type mark struct {
	component
	field
	level    float32     // of ink at its edge
	rings    []geom.Ring // its edge at level
	width    float64     // mean width
	length   float64
	fill     float64 // area, holes filled
	holes    bool    // it has holes larger than grain
	thickest float64
}

// Shares and ratios by which lines and filled figures are told apart.
const (
	edgeShare = 0.5  // of the ink: a filled figure's edge, where half the pixel is covered
	lineShare = 0.35 // a line is followed through its faint places
	// A closed line is at most this wide as a share of the root of the area within
	// it: a marker of 3 mm round a motif of 25 mm.
	lineWidth = 0.12
	// An open line is at least this many times as long as wide: a leaf of kelp is
	// about 15 times.
	lineLength = 25
	// A line is nowhere thicker than this many times its mean width.
	lineThick = 3
	// Ink is of the same pen up to this many times its width.
	penSpread = 1.6
)

// measure returns a component with its edge, which is where the ink is share of
// what is typical of it.
func (in ink) measure(c component, share float64) mark {
	m := mark{component: c, field: in.alone(c, 2)}
	m.level = max(in.low, float32(share*in.typical(c)))
	m.rings = m.contours(m.level)
	area, around := 0.0, 0.0
	for _, r := range m.rings {
		a := r.Area()
		area += a
		around += r.Length()
		if a > 0 {
			m.fill += a
		}
	}
	if around > 0 {
		m.width, m.length = 2*area/around, around/2
	}
	for _, r := range m.rings {
		if box := r.Box(); r.Area() < 0 && -r.Area() > m.leastPocket() && math.Max(box.Width(), box.Height()) >= leastSide/2 {
			m.holes = true
		}
	}
	return m
}

// leastPocket is the least area, in pixels, of bare page inside a line that is
// more than grain.
func (m *mark) leastPocket() float64 { return math.Max(m.width*m.width, leastSide*leastSide/4) }

// typical returns the upper quartile of a component's ink: the ink itself, without
// its soft edge.
func (in ink) typical(c component) float64 {
	var count [inkBins]int
	n := 0
	step := c.pixels/100_000 + 1
	for i := 0; i < len(c.runs); i += step {
		r := c.runs[i]
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

// slim reports whether the ink is of about one width all along, as a pen's line
// is: by the distance transform, it is nowhere much thicker than on average.
func (m *mark) slim() bool {
	way := distanceTransform(m.w, m.h, func(k int) bool { return m.v[k] < m.level })
	most := 0
	for _, o := range way {
		most = max(most, o.square())
	}
	m.thickest = 2 * math.Sqrt(float64(most))
	return m.thickest <= lineThick*math.Max(m.width, 1)
}

// isLine reports whether a mark is a drawn line by its shape alone.
func (m *mark) isLine() bool {
	if m.holes {
		return m.width <= lineWidth*math.Sqrt(m.fill) && m.slim()
	}
	return m.length >= lineLength*m.width && m.slim()
}

// samePen reports whether a mark that is no line by its shape was drawn with a pen
// of that width: a short stroke or a small ring.
func (m *mark) samePen(pen float64) bool {
	return m.length > 2*m.width && m.slim() && m.thickest <= penSpread*pen+2
}

// candidates returns the components that may be figures, and what was left out:
// specks, shadows along the picture's edge, and figures that touch it; touching
// says that there was one of those.
func (in ink) candidates() (list []component, touching bool, notes []say.Message, err error) {
	all := in.components()
	if len(all) == 0 {
		return nil, false, nil, errBlank
	}
	side := func(c component) int { return max(c.box.Dx(), c.box.Dy()) }
	largest, cut, specks := 0, 0, 0
	for _, c := range all {
		switch {
		case !c.touches:
			largest = max(largest, side(c))
		case float64(min(c.box.Dx(), c.box.Dy())) > bandShare*float64(min(in.w, in.h)):
			cut = max(cut, side(c))
		}
	}
	if cut > 3*largest { // the drawing itself is cut off
		return nil, true, nil, errTouches
	}
	if cut > 0 {
		notes = append(notes, say.New("a figure that reaches the edge of the picture was left out: its outline is not whole"))
	}
	least := max(leastSide, int(speckShare*float64(largest)), int(pageShare*float64(min(in.w, in.h))))
	for _, c := range all {
		switch {
		case c.touches:
		case side(c) >= least:
			list = append(list, c)
		default:
			specks++
		}
	}
	if len(list) == 0 && specks > 0 {
		return nil, false, nil, say.Errorf("%s: draw one closed outline, or one filled shape",
			say.Many(specks, "there is only %d speck on the page, under %d pixels", "there are only %d specks on the page, all under %d pixels", least))
	}
	if len(list) > maxMarks {
		return nil, false, nil, say.Errorf("there are %d separate marks on the page: it looks like a pattern or a photo of something other than a drawing; cut the picture down to the motifs", len(list))
	}
	if specks > 0 {
		notes = append(notes, say.Many(specks, "%d speck was left out", "%d specks were left out"))
	}
	return list, cut > 0, notes, nil
}

var errTouches = say.Errorf("the drawing reaches the edge of the picture, so its outline is not whole: leave some bare paper all round it")
