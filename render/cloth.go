// Package render draws what a plan says: the skirt as it will look, the map of
// where each cutout goes, and where to cut on each sheet of felt. Every picture
// is a function from plain values to a scene; it reads and writes no file.
package render

import (
	"math"
	"slices"
	"strings"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// Cloth is the top layer and what shows through it. Its printer says what is
// written on its pictures and pages.
type Cloth struct {
	say.Printer
	Surface skirt.Surface // of the top layer
	Colour  string        // of the net, "#rrggbb"
	Opacity float64       // of one layer, 0 to 1
	Layers  int           // of net; 0 counts as 1
	Lining  *Lining       // nil: none
	Title   string        // head of every page
	Paper   Paper         // of printed maps; the zero Paper is A4

	Repeat        int     // times the layout comes round, as far as is known; 0 counts as 1
	SeamAllowance float64 // at the side seams, millimetres

	Waist     float64 // round the waistband, millimetres; 0: not known, so the skirt cannot be drawn worn
	Waistband float64 // its height, millimetres
}

// Lining is the plain skirt under the net.
type Lining struct {
	Colour    string  // "#rrggbb"
	ShorterBy float64 // than the top layer, millimetres
}

// Mark is one cutout on the cloth.
type Mark struct {
	Number    int // as the maker counts them, from 1
	Motif     *motif.Motif
	MotifName string      // as the maker calls it
	Size      float64     // 1: as drawn
	Point     skirt.Point // of its anchor
	Turn      float64     // radians, clockwise as seen
	Row       int         // from 1; 0: not in a row
}

// stretch is a part of the cloth spread flat in one piece: everything round
// the skirt from From to To, counted in panels, so that [0, 2] is two panels
// with the seam between them and [0.5, 1] the right half of the first. Its
// frame is that of a panel whose middle is the stretch's middle.
type stretch struct {
	surface  skirt.Surface
	from, to float64
}

// polar reports whether the panels are wedges about an apex.
func (s stretch) polar() bool { return s.surface.Wedges() }

// onto returns the map from the frame of panel k, counted on beyond the last
// and before the first panel, to the stretch's frame.
func (s stretch) onto(k int) geom.Affine {
	steps := float64(k) + 0.5 - (s.from+s.to)/2
	switch {
	case s.drawn():
		return geom.Identity()
	case s.polar():
		return geom.Rotation(-steps * s.surface.Angle)
	}
	return geom.Translation(geom.Vec{X: steps * s.surface.Width})
}

// at returns the place u panels round the skirt and down below the waist.
func (s stretch) at(u, down float64) geom.Vec {
	steps := u - (s.from+s.to)/2
	switch {
	case s.drawn():
		return s.atDrawn(u, down)
	case s.surface.Straight:
		k := s.panel(u)
		y := s.surface.Inner + down
		x := 2 * (u - float64(k) - 0.5) * y * math.Tan(s.surface.Angle/2)
		return s.onto(k).Apply(geom.Vec{X: x, Y: y})
	case s.polar():
		sin, cos := math.Sincos(steps * s.surface.Angle)
		r := s.surface.Inner + down
		return geom.Vec{X: r * sin, Y: r * cos}
	}
	return geom.Vec{X: steps * s.surface.Width, Y: down}
}

// row returns the line along the row at down from u to v, fine enough for any
// page: its steps lie within tol of the arc.
func (s stretch) row(u, v, down, tol float64) []geom.Vec {
	n := 1
	switch {
	case s.surface.Straight: // from seam to seam
		line := []geom.Vec{s.at(u, down)}
		for k := math.Floor(u) + 1; k < v; k++ {
			line = append(line, s.at(k, down))
		}
		return append(line, s.at(v, down))
	case s.polar():
		n = skirt.ArcSteps(s.surface.Inner+down, (v-u)*s.surface.Angle, tol)
	}
	line := make([]geom.Vec, n+1)
	for i := range line {
		line[i] = s.at(u+(v-u)*float64(i)/float64(n), down)
	}
	return line
}

// whole reports whether the stretch closes upon itself: a full circle.
func (s stretch) whole() bool {
	return s.polar() && math.Abs((s.to-s.from)*s.surface.Angle-2*math.Pi) < geom.SameAngle
}

// shape returns the outline between two depths as rings for the even-odd rule.
func (s stretch) shape(top, bottom, tol float64) []geom.Ring {
	if s.drawn() {
		return s.drawnShape()
	}
	waist, hem := s.row(s.from, s.to, top, tol), s.row(s.from, s.to, bottom, tol)
	if s.whole() {
		return []geom.Ring{hem[1:], waist[1:]}
	}
	slices.Reverse(waist)
	return []geom.Ring{append(hem, waist...)}
}

// seams returns where in the stretch panels are joined, and apart from them
// whether its two ends are seams too rather than cuts made for the page.
func (s stretch) seams() (inner []float64, fromSeam, toSeam bool) {
	for k := math.Floor(s.from) + 1; k < s.to; k++ {
		inner = append(inner, k)
	}
	return inner, s.from == math.Floor(s.from), s.to == math.Floor(s.to)
}

// lying is a mark where it lies in a stretch.
type lying struct {
	mark Mark
	at   geom.Vec
	turn float64
	here bool // its anchor is in the stretch; else it reaches in over a seam or cut
}

// placing returns the map from the motif's own frame to the stretch's.
func (l lying) placing() geom.Affine { return geom.Placing(l.at, l.turn, l.mark.Size, false) }

// lying returns all marks of which any part may show in the stretch, in their
// order; one that straddles a seam at which the stretch ends shows at both ends.
func (s stretch) lying(all []Mark) []lying {
	if s.drawn() {
		return s.lyingDrawn(all)
	}
	n := s.surface.Panels
	ends := [2][2]geom.Vec{{s.at(s.from, 0), s.at(s.from, s.surface.Drop)}, {s.at(s.to, 0), s.at(s.to, s.surface.Drop)}}
	type shownPanel struct {
		k    int
		move geom.Affine
		turn float64
	}
	byPanel := make([][]shownPanel, max(1, n))
	for k := int(math.Floor(s.from)) - 1; float64(k) <= s.to; k++ {
		own := (k%len(byPanel) + len(byPanel)) % len(byPanel)
		byPanel[own] = append(byPanel[own], shownPanel{k, s.onto(k), s.turnOf(k)})
	}
	reaches := map[*motif.Motif]float64{}
	var out []lying
	for _, m := range all {
		shown := byPanel[m.Point.Panel]
		if len(shown) == 0 {
			continue
		}
		if _, is := reaches[m.Motif]; !is {
			reaches[m.Motif] = m.Motif.Reach()
		}
		reach, share := reaches[m.Motif]*m.Size, s.share(m.Point)
		for _, p := range shown {
			k, move := p.k, p.move
			u := float64(k) + share
			at := move.Apply(m.Point.At)
			here := u >= s.from && u < s.to || u == s.to && s.to == float64(k+1) && !s.whole()
			if !here {
				// A full circle closes where it ends: what straddles is whole already.
				over := u < s.from && geom.PointSegment(at, ends[0][0], ends[0][1]) < reach ||
					u >= s.to && geom.PointSegment(at, ends[1][0], ends[1][1]) < reach
				// Past a quarter turn a panel may come round to the other end.
				round := s.polar() && math.Max(s.from-u, u-s.to)*s.surface.Angle > math.Pi/2
				if s.whole() || round || !over {
					continue
				}
			}
			out = append(out, lying{m, at, m.Turn + p.turn, here})
		}
	}
	return out
}

// share returns how far across its panel p lies, 0 at the left edge to 1.
func (s stretch) share(p skirt.Point) float64 {
	if s.drawn() {
		b := s.surface.PanelOutline(p.Panel).Box()
		return (p.At.X - b.Min.X) / b.Width()
	}
	if g := s.surface.PanelGirth(s.surface.Down(p.At)); g > 0 {
		return math.Max(0, math.Min(1, s.surface.Around(p)/g))
	}
	return 0.5
}

// turnOf returns by how much panel k is turned in the stretch's frame.
func (s stretch) turnOf(k int) float64 {
	m := s.onto(k)
	return math.Atan2(m.B, m.A)
}

// upright returns the turn of upright words at the row at down, u panels round.
func (s stretch) upright(u, down float64) float64 {
	if s.surface.Straight {
		return s.turnOf(s.panel(u))
	}
	return s.surface.Upright(s.at(u, down))
}

// spread returns the stretches in which the whole cloth is shown: a circle of
// at most 360° in one piece, more than that panel by panel, straight panels
// side by side, as many to a row as perRow says.
func spread(s skirt.Surface, perRow int) []stretch {
	n := max(1, s.Panels)
	if !s.Closed() {
		perRow = 1
	}
	if s.Wedges() {
		perRow = 1
		if float64(n)*s.Angle <= 2*math.Pi+geom.SameAngle {
			perRow = n
		}
	}
	var out []stretch
	for k := 0; k < n; k += perRow {
		out = append(out, stretch{s, float64(k), float64(min(n, k+perRow))})
	}
	return out
}

// Describe says in one line how the cloth is cut and how many cutouts are on it.
func (c Cloth) Describe(cutouts int) string {
	s, n := c.Surface, max(1, c.Surface.Panels)
	all := c.Many(cutouts, "%d cutout", "%d cutouts")
	panels := c.Many(n, "%d panel", "%d panels")
	down := c.Say("%s from waist seam to hem", geom.Length(s.Drop))
	switch s.Cut {
	case skirt.Outline:
		return facts(c.Many(n, "%d panel as drawn", "%d panels as drawn"), all)
	case skirt.Gores:
		return facts(c.Many(n, "%d gore", "%d gores"), c.Say("hem %s round", geom.Length(s.Girth(s.Drop))), down, all)
	case skirt.Circle:
		return facts(c.Message(CircleName(float64(n)*s.Angle/(2*math.Pi))), panels, down, all)
	}
	return facts(c.Say("gathered rectangle %s wide", geom.Length(s.Girth(0))), panels, down, all)
}

// CircleName returns the trade's word for a share of a full circle.
func CircleName(share float64) say.Message {
	for _, n := range []struct {
		share float64
		name  say.Message
	}{
		{0.25, say.New("quarter circle")}, {0.5, say.New("half circle")}, {0.75, say.New("three-quarter circle")},
		{1, say.New("full circle")}, {1.5, say.New("one and a half circles")}, {2, say.New("double circle")},
	} {
		if math.Abs(share-n.share) < geom.SameRatio {
			return n.name
		}
	}
	if share > 1 {
		return say.New("%.3g full circles", share)
	}
	return say.New("%.3g of a full circle", share)
}

// unitOf is the unit in which a printer writes lengths.
func unitOf(p say.Printer) geom.Unit {
	if p.Unit.MM() == 0 {
		return geom.Millimetre
	}
	return p.Unit
}

// facts puts short texts in one line, those that are empty left out.
func facts(list ...string) string {
	list = slices.DeleteFunc(list, func(s string) bool { return s == "" })
	return strings.Join(list, "  ·  ")
}

// net returns the opacity of all layers of net together.
func (c Cloth) net() scene.Colour {
	return felt(c.Colour).Faded(scene.LayersAlpha(c.Opacity, max(1, c.Layers)))
}
