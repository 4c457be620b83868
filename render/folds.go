package render

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/scatter/skirt"
)

// How the skirt hangs is a guess; how much cloth hangs there is not. At every height
// the cloth runs along a closed curve seen from above: an ellipse, the skirt's
// envelope, with a wave laid across it. The envelope flares from the waist to a hem
// that lies between the waist and the hem girth; the height of the wave is found by
// bisection, so that the curve, drawn straight across each column of cloth, is as
// long as the girth there. Gathers start as many small waves in the waistband's seam
// and run together into a few large ones. A place on the cloth is found on its curve
// by the length of cloth from the middle of the front, so that nothing is stretched
// sideways, and down the skirt by the slope of the envelope.

// hang is a skirt as it hangs.
type hang struct {
	surface     skirt.Surface
	waist       float64 // girth of the band, millimetres
	hemRadius   float64 // mean radius of the envelope at the hem
	waves, fine float64 // of the wave all round: at the hem, in the gathers
	front       float64 // where the middle of the front is, as a share of the way round
	columns     int     // of cloth, all equally wide; seams lie between two
	outline     []geom.Vec
	outward     []geom.Vec // square to the outline
	big, small  []float64  // the two waves
	rows        []hangRow  // from waist to hem
}

// hangRow is the curve along which the cloth runs at one height.
type hangRow struct {
	down, drop float64    // along the cloth; straight down
	points     []geom.Vec // x to the viewer's right, y towards the viewer of the front
	along      []float64  // length of cloth up to each point, from the middle of the front
	nodes      []geom.Vec // the left edge of each column, from that of panel 1
}

const (
	// bodyRatio is how much wider than deep a body is at waist and hip: from
	// memory, no source.
	bodyRatio = 1.25
	// flareShare is how far the envelope at the hem goes from the waist (0) to
	// the girth (1), as a power: our own choice, by how net looks.
	flareShare = 0.62
	// steepest is the steepest flare that net stands out by itself.
	steepest = 0.75
	// bell bends the flare: it is 1+bell times the mean at the waist.
	bell = 0.4
	// gatherDepth is the share of the drop by which gathers have run together.
	gatherDepth = 0.35
	// smallCrest is the height of the highest of the small waves.
	smallCrest = 1.3
	// columnsPerFold is for a fold that takes up no cloth, and columnsPerGather for
	// a gather.
	columnsPerFold   = 17
	columnsPerGather = 14
	// tighten is how often the height of a wave is corrected.
	tighten = 3
	// wavePoints is how many points draw one fold: its length is then within
	// 0.1 %.
	wavePoints = 36
)

// newHang hangs the surface from a band of the given girth, drawn with detail times
// the usual number of columns; 1 is for print. Outlines do not hang.
func newHang(s skirt.Surface, waist, detail float64) hang {
	h := hang{surface: s, waist: waist, front: 0.5 / float64(max(1, s.Panels))}
	top, hem := s.Girth(0), s.Girth(s.Drop)
	r := waist / (2 * math.Pi)
	girth := math.Min(hem, waist*math.Pow(math.Max(1, hem/waist), flareShare))
	h.hemRadius = math.Min(girth/(2*math.Pi), r+steepest*s.Drop/(1+bell))
	// The more cloth there is to spare, the more folds.
	spare := math.Max(0, hem/(2*math.Pi*h.hemRadius)-1)
	h.waves = math.Round(math.Max(7, math.Min(22, 13*math.Sqrt(spare))))
	h.fine = h.waves
	if top > waist*(1+geom.SameRatio) {
		h.fine = 4 * h.waves
	}
	h.shape()
	n := max(1, s.Panels)
	deep := hem / (2 * math.Pi * h.hemRadius)
	h.columns = max(int(h.waves*max(2, deep)*columnsPerFold), int(h.fine)*columnsPerGather)
	h.columns = (int(float64(h.columns)*detail) + n - 1) / n * n
	steps := func(from, to float64, n int) {
		for i := range n {
			h.rows = append(h.rows, h.row(s.Drop*(from+(to-from)*float64(i)/float64(n))))
		}
	}
	if h.gathered() {
		steps(0, gatherDepth, 22) // where gathers run together rows lie close
		steps(gatherDepth, 1, 5)
	} else {
		steps(0, 1, 10)
	}
	h.rows = append(h.rows, h.row(s.Drop))
	return h
}

// gathered reports whether the cloth is gathered into its band.
func (h hang) gathered() bool { return h.fine > h.waves }

// gathers returns the number of rows in which gathers run together.
func (h hang) gathers() int {
	if !h.gathered() {
		return 0
	}
	return h.rowAt(gatherDepth * h.surface.Drop)
}

// rowAt returns the row of cells at a depth.
func (h hang) rowAt(down float64) int {
	i := 0
	for i < len(h.rows)-2 && h.rows[i+1].down < down {
		i++
	}
	return i
}

// shape prepares the ellipse of mean circumference 1 and the waves across it.
func (h *hang) shape() {
	n := int(h.fine) * wavePoints / 2
	n = max(n, int(h.waves)*wavePoints) / 4 * 4
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		h.outline = append(h.outline, geom.Vec{X: bodyRatio * sin, Y: cos})
		out := geom.Vec{X: sin, Y: bodyRatio * cos}
		h.outward = append(h.outward, out.Mul(1/out.Len()))
	}
	around := geom.Ring(h.outline).Length()
	for i := range h.outline {
		h.outline[i] = h.outline[i].Mul(1 / around)
		t := 2 * math.Pi * float64(i) / float64(n)
		// No two folds of a real skirt are the same.
		uneven := 0.45*math.Sin(2*t+1) + 0.3*math.Sin(3*t) + 0.2*math.Sin(5*t+2)
		phase := h.waves*t + uneven
		high := 1 + 0.18*math.Cos(2*t+0.5) + 0.12*math.Cos(5*t)
		h.big = append(h.big, high*math.Cos(phase))
		// Crests of gathers run into crests of folds, straight down the cloth.
		h.small = append(h.small, high*math.Cos(phase*h.fine/h.waves))
	}
}

// radius returns the mean radius of the envelope.
func (h hang) radius(down float64) float64 {
	t := down / h.surface.Drop
	r := h.waist / (2 * math.Pi)
	r += (h.hemRadius - r) * t * (1 + bell - bell*t)
	return math.Min(r, h.surface.Girth(down)/(2*math.Pi))
}

// slope is how fast the envelope widens on the way down the cloth.
func (h hang) slope(down float64) float64 {
	r := h.waist / (2 * math.Pi)
	return (h.hemRadius - r) / h.surface.Drop * (1 + bell - 2*bell*down/h.surface.Drop)
}

// row lays the cloth at one height.
func (h hang) row(down float64) hangRow {
	girth, env := h.surface.Girth(down), 2*math.Pi*h.radius(down)
	mix := 0.0
	if h.gathered() {
		mix = math.Max(0, 1-down/(gatherDepth*h.surface.Drop))
		mix *= mix
	}
	wave := make([]float64, len(h.big))
	for i := range wave {
		// Gathers lie inside the band: their crests meet its edge.
		wave[i] = (1-mix)*h.big[i]/h.waves + mix*(h.small[i]-smallCrest)/h.fine
	}
	points := make([]geom.Vec, len(wave))
	lay := func(height float64) float64 {
		for i := range points {
			points[i] = h.outline[i].Mul(env).Add(h.outward[i].Mul(height * wave[i]))
		}
		length, last := 0.0, points[len(points)-1]
		for _, p := range points { // math.Hypot is slow, and nothing here overflows
			d := p.Sub(last)
			length += math.Sqrt(d.Dot(d))
			last = p
		}
		return length
	}
	r := hangRow{down: down, along: make([]float64, len(points)+1), nodes: make([]geom.Vec, h.columns)}
	// Columns cut the corners of the curve, which must be longer by that much.
	want := girth
	for range tighten {
		// A wave of height 2·want is longer than that already.
		low, high := 0.0, 2*want
		for high-low > 1e-6*want {
			if mid := (low + high) / 2; lay(mid) < want {
				low = mid
			} else {
				high = mid
			}
		}
		lay((low + high) / 2)
		r.points = append(slices.Clone(points), points[0])
		for i := 1; i < len(r.points); i++ {
			r.along[i] = r.along[i-1] + r.points[i].Dist(r.points[i-1])
		}
		for j := range r.nodes {
			r.nodes[j] = r.at(float64(j)/float64(h.columns) - h.front)
		}
		want *= girth / geom.Ring(r.nodes).Length()
	}
	const steps = 32
	for i := range steps { // down the envelope
		s := h.slope(down * (float64(i) + 0.5) / steps)
		r.drop += down / steps * math.Sqrt(math.Max(0, 1-s*s))
	}
	return r
}

// at returns the place on the curve at a share of the way round from the middle
// of the front.
func (r hangRow) at(share float64) geom.Vec {
	n := len(r.along) - 1
	length := (share - math.Floor(share)) * r.along[n]
	i, _ := slices.BinarySearch(r.along, length)
	i = max(1, min(n, i))
	step := r.along[i] - r.along[i-1]
	if step <= 0 {
		return r.points[i]
	}
	return r.points[i-1].Lerp(r.points[i], (length-r.along[i-1])/step)
}

// hung is a place in the room: x to the right, y straight down, toward the
// viewer of the front.
type hung struct{ x, y, toward float64 }

// place returns where a point of a panel's flat frame lies: share of the way
// round and down the cloth. near is a point of the same panel not far from it,
// which shows on which side of the apex it lies.
func (h hang) place(panel int, at, near geom.Vec) geom.Vec {
	s := h.surface
	var share float64
	switch {
	case s.Straight:
		share = 0.5 + at.X/(2*at.Y*math.Tan(s.Angle/2))
	case s.Wedges():
		a := math.Atan2(near.X, near.Y)
		a += math.Remainder(math.Atan2(at.X, at.Y)-a, 2*math.Pi)
		share = 0.5 + a/s.Angle
	default:
		share = 0.5 + at.X/s.Width
	}
	return geom.Vec{X: (float64(panel) + share) / float64(max(1, s.Panels)), Y: s.Down(at)}
}
