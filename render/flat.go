package render

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// Flat is the top layer spread flat at true size, with its panels joined or
// apart exactly as Skirt draws them. All stretches share one frame, in
// millimetres, x right, y down.
type Flat struct {
	Box   geom.Box // round the cloth and the room kept free about it
	cloth Cloth
	views []view
	real  float64 // millimetres of cloth per page millimetre
}

// FlatOf spreads the cloth. reach, in millimetres, is how far a cutout reaches
// from its anchor: as much is kept free round the cloth, or what the labels
// need if that is more.
func FlatOf(c Cloth, reach float64) Flat {
	how := flatten(c.Surface)
	if how.scale <= 0 {
		return Flat{cloth: c}
	}
	f := Flat{cloth: c, views: views(how.list, geom.Box{}, how.scale, how.cols, how.room, gapBlock), real: 1 / how.scale}
	box := viewsBox(f.views).Grow(math.Max(how.room.left, reach*how.scale))
	f.Box = geom.Box{Min: f.of(box.Min), Max: f.of(box.Max)}
	return f
}

// of returns a point of the page in the frame of the flat picture.
func (f Flat) of(page geom.Vec) geom.Vec { return page.Mul(f.real) }

func (f Flat) rings(page []geom.Ring) []geom.Ring {
	out := make([]geom.Ring, len(page))
	for i, r := range page {
		out[i] = r.Transform(geom.Scaling(f.real, f.real))
	}
	return out
}

func (f Flat) lines(page []scene.Line) []scene.Line {
	out := make([]scene.Line, len(page))
	for i, l := range page {
		out[i] = scene.Line{Points: geom.Ring(l.Points).Transform(geom.Scaling(f.real, f.real)), Closed: l.Closed}
	}
	return out
}

// Stretch is a piece of the flat cloth: one panel, or several joined.
type Stretch struct {
	Outline []geom.Ring  // for the even-odd rule
	Lining  []geom.Ring  // where the lining lies below it, likewise; none without a lining
	Seams   []scene.Line // within it and at its ends
	Hem     []scene.Line // of a drawn panel: its open edges
	Waist   []scene.Line
}

// Stretches returns the pieces of cloth. Arcs are drawn in steps that lie as
// close to them as in the skirt picture.
func (f Flat) Stretches() []Stretch {
	out := make([]Stretch, len(f.views))
	for i, v := range f.views {
		drop, e := v.surface.Drop, v.edgeLines()
		out[i] = Stretch{Outline: f.rings(v.rings(0, drop)), Seams: f.lines(e.seams), Hem: f.lines(e.hem), Waist: f.lines(e.waist)}
		if l := f.cloth.Lining; l != nil && l.ShorterBy < drop {
			out[i].Lining = f.rings(v.rings(0, drop-l.ShorterBy))
		}
	}
	return out
}

// Lying is a mark where it lies in the flat picture.
type Lying struct {
	Number int // of the mark
	At     geom.Vec
	Turn   float64 // radians, clockwise as seen
	// Here is true where the mark's anchor is on the stretch, once for each mark;
	// else this is a copy that reaches in over the seam at which a stretch ends.
	Here bool
}

// Lying returns the marks stretch by stretch, in their order.
func (f Flat) Lying(marks []Mark) []Lying {
	var out []Lying
	for _, v := range f.views {
		for _, l := range v.lying(marks) {
			out = append(out, Lying{l.mark.Number, f.of(v.toPage.Apply(l.at)), l.turn, l.here})
		}
	}
	return out
}

// Role says what a label is about.
type Role string

// The roles.
const (
	PanelLabel  Role = "panel"
	WaistLabel  Role = "waist"
	GatherLabel Role = "gathered" // how long the waist edge is before gathering; a line below the waist's
)

// Label is a short text beside the cloth, centred at At.
type Label struct {
	Text  say.Message
	Short say.Message // instead, where Text is wider than Wide; the zero Message: then none
	At    geom.Vec
	Turn  float64 // radians, clockwise as seen; never upside down
	Role  Role
	Wide  float64 // millimetres that the text may take; 0: any
	Out   int     // At is on the cloth's edge and the text stands beside it: 1 below, -1 above, in its own turn; 0: centred on At
}

// Labels names panels along the hem, and waists.
func (f Flat) Labels() []Label {
	var out []Label
	n := f.cloth.Surface.Panels
	for i, v := range f.views {
		if n > 1 {
			for _, p := range v.panels(0) {
				l := Label{Text: panelName(p.panel, n), At: f.of(v.toPage.Apply(p.at)), Turn: readable(p.turn), Role: PanelLabel, Out: 1}
				if math.Cos(l.Turn-p.turn) < 0 { // it was upside down
					l.Out = -1
				}
				out = append(out, l)
			}
		}
		// Of straight panels above one another the first alone has room above it.
		if i == 0 && !v.drawn() || v.polar() {
			out = append(out, f.waistLabels(v)...)
		}
	}
	return out
}

// waistLabels says how long the waist is where one stretch has all of it.
func (f Flat) waistLabels(v view) []Label {
	label := v.waistLabel()
	label.At, label.Role, label.Text = f.of(v.toPage.Apply(label.At)), WaistLabel, say.New("waist")
	if len(f.views) > 1 || f.cloth.Waist <= 0 {
		return []Label{label}
	}
	waist, edge := say.New("waist %s", geom.Length(f.cloth.Waist)), v.surface.Girth(0)
	label.Short, label.Text = label.Text, waist
	if edge <= f.cloth.Waist*(1+geom.SameRatio) {
		return []Label{label}
	}
	gathered := say.New("gathered from %s", geom.Length(edge))
	if label.Out != 0 {
		label.Text, label.Short = say.New("%s, %s", waist, gathered), waist
		return []Label{label}
	}
	below := label
	below.Text, below.Short, below.Role = gathered, say.New("from %s", geom.Length(edge)), GatherLabel
	return []Label{label, below}
}

// chord is how wide the hole is at the second line of its label, as a share of its
// radius, with room to spare: words that touch the seam are hard to read.
const chord = 1.7

// waistLabel returns where the waist's label goes, in the stretch's frame: above
// the middle of a straight waist, in the middle of a hole that the cloth
// surrounds, half-way into one that it does not.
func (v view) waistLabel() Label {
	s, angle := v.surface, (v.to-v.from)*v.surface.Angle
	switch {
	case !v.polar():
		return Label{At: v.at((v.from+v.to)/2, 0), Wide: v.box().Width(), Out: -1}
	case angle > math.Pi+geom.SameAngle:
		return Label{Wide: chord * s.Inner}
	}
	// Millimetres: so near to the waist that one sees what is named, and half of what
	// two lines of words take on a small screen.
	const deep, half = 150, 60
	y := math.Max(s.Inner/2, s.Inner-deep)
	wide := 2 * math.Sqrt(math.Max(1, s.Inner*s.Inner-(y+half)*(y+half))) // across the hole, at the lower line
	if angle < math.Pi-geom.SameAngle {
		wide = math.Min(wide, 2*y*math.Tan(angle/2))
	}
	return Label{At: geom.Vec{Y: y}, Wide: wide}
}

// Colours returns what is seen of the cloth, "#rrggbb": the
// net's own colour, its layers over the lining, and its layers over white paper.
// Without a lining the last two are the same.
func (c Cloth) Colours() (net, overLining, alone string) {
	layers := c.net()
	below := white()
	if c.Lining != nil {
		below = felt(c.Lining.Colour)
	}
	solid := felt(c.Colour)
	return solid.Hex(), below.Mixed(layers, layers.Alpha).Hex(), white().Mixed(layers, layers.Alpha).Hex()
}

// ClothPiece returns the outline of piece i of a layer whose panels are each
// cut in split equal pieces, without seam allowances: rings for the even-odd
// rule, in a frame of its own whose origin is the top left corner of its box
// with its allowances, of the given size in millimetres.
func ClothPiece(s skirt.Surface, split, i int, box geom.Vec) []geom.Ring {
	const tol = 0.5 // an arc's; such pieces are shown a tenth as large
	from := float64(i) / float64(split)
	part := stretch{s, from, from + 1/float64(split)}
	rings := part.shape(0, s.Drop, tol)
	b := geom.EmptyBox()
	for _, r := range rings {
		b = b.Union(r.Box())
	}
	// A hem takes no allowance, so the piece stands at the foot of its box; a drawn
	// panel has it all round.
	at := geom.Vec{X: (box.X-b.Width())/2 - b.Min.X, Y: box.Y - b.Max.Y}
	if part.drawn() {
		at.Y = (box.Y-b.Height())/2 - b.Min.Y
	}
	for i, r := range rings {
		rings[i] = r.Transform(geom.Translation(at))
	}
	return rings
}
