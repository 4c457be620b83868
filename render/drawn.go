package render

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// The panels of an outline lie where they were drawn, so a stretch of them is
// one panel, or of a crowded one a strip from x to x, in the drawing's frame.
// Rows are level, and what is drawn along them is clipped to the cloth.

// drawn reports whether the panels are those of a drawing.
func (s stretch) drawn() bool { return !s.surface.Closed() }

// panel returns the number of the panel that holds u, counted in panels; the
// stretch's right end belongs to the panel that ends there.
func (s stretch) panel(u float64) int {
	k := int(math.Floor(u))
	if u == math.Floor(u) && u == s.to && u > s.from {
		k--
	}
	return k
}

// atDrawn returns the place u panels on, by shares of its panel's width.
func (s stretch) atDrawn(u, y float64) geom.Vec {
	k := s.panel(u)
	b := s.surface.PanelOutline(min(max(k, 0), s.surface.Panels-1)).Box()
	return geom.Vec{X: b.Min.X + (u-float64(k))*b.Width(), Y: y}
}

// strip returns the lines between which a drawn panel is shown, and whether
// they cut it.
func (s stretch) strip() (left, right float64, cut bool) {
	left, right = s.atDrawn(s.from, 0).X, s.atDrawn(s.to, 0).X
	return left, right, s.from != math.Floor(s.from) || s.to != math.Floor(s.to)
}

// drawnShape returns what is shown of the panel as rings for the even-odd rule.
func (s stretch) drawnShape() []geom.Ring {
	rings := s.surface.PanelOutline(s.panel(s.from)).Rings()
	left, right, cut := s.strip()
	if !cut {
		return rings
	}
	var out []geom.Ring
	for _, r := range rings {
		if r = halfPlane(halfPlane(r, left, 1), right, -1); len(r) > 2 {
			out = append(out, r)
		}
	}
	return out
}

// halfPlane returns the part of a ring on one side of the line at x: to the
// right of it where side is 1, to the left where it is -1 (I. E. Sutherland,
// G. W. Hodgman, "Reentrant polygon clipping", Communications of the ACM 17, 1974).
func halfPlane(r geom.Ring, x, side float64) geom.Ring {
	var out geom.Ring
	for i, a := range r {
		b := r.At(i + 1)
		da, db := (a.X-x)*side, (b.X-x)*side
		if da >= 0 {
			out = append(out, a)
		}
		if (da >= 0) != (db >= 0) {
			out = append(out, a.Lerp(b, da/(da-db)))
		}
	}
	return out
}

// drawnEdges returns the panel's edges that are of one of the kinds, as far as
// they are shown.
func (s stretch) drawnEdges(kinds ...skirt.EdgeKind) []scene.Line {
	left, right, cut := s.strip()
	var out []scene.Line
	for _, e := range s.surface.Edges(s.panel(s.from)) {
		of := false
		for _, k := range kinds {
			of = of || e.Kind == k
		}
		switch {
		case !of:
		case !cut:
			out = append(out, scene.Open(e.Line...)...)
		default:
			out = append(out, between(e.Line, left, right)...)
		}
	}
	return out
}

// between returns the parts of a line whose x lies from left to right.
func between(line []geom.Vec, left, right float64) []scene.Line {
	var out []scene.Line
	var part []geom.Vec
	flush := func() {
		if len(part) > 1 {
			out = append(out, scene.Line{Points: part})
		}
		part = nil
	}
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		from, to := 0.0, 1.0
		for _, edge := range [2][2]float64{{left, 1}, {right, -1}} {
			da, db := (a.X-edge[0])*edge[1], (b.X-edge[0])*edge[1]
			switch {
			case da < 0 && db < 0:
				from, to = 1, 0
			case da < 0:
				from = math.Max(from, da/(da-db))
			case db < 0:
				to = math.Min(to, da/(da-db))
			}
		}
		if from > to {
			flush()
			continue
		}
		if from > 0 || part == nil {
			flush()
			part = []geom.Vec{a.Lerp(b, from)}
		}
		part = append(part, a.Lerp(b, to))
		if to < 1 {
			flush()
		}
	}
	flush()
	return out
}

// cuts returns the lines made for the page within the cloth.
func (s stretch) cuts() []scene.Line {
	left, right, cut := s.strip()
	if !cut {
		return nil
	}
	var out []scene.Line
	for i, x := range [2]float64{left, right} {
		if u := [2]float64{s.from, s.to}[i]; u == math.Floor(u) {
			continue
		}
		turned := geom.Ring{}
		g := s.surface.PanelOutline(s.panel(s.from))
		b := g.Box()
		turned = append(turned, geom.Vec{X: x, Y: b.Min.Y}, geom.Vec{X: x, Y: b.Max.Y})
		out = append(out, scene.Line{Points: turned})
	}
	return out
}

// lyingDrawn is lying on a drawn panel: none reaches in from another one.
func (s stretch) lyingDrawn(all []Mark) []lying {
	k := s.panel(s.from)
	left, right, cut := s.strip()
	var out []lying
	for _, m := range all {
		if m.Point.Panel != k {
			continue
		}
		x, reach := m.Point.At.X, m.Motif.Reach()*m.Size
		here := !cut || x >= left && (x < right || s.to == float64(k+1))
		if here || x > left-reach && x < right+reach {
			out = append(out, lying{m, m.Point.At, m.Turn, here})
		}
	}
	return out
}

// rowStart returns where on what is shown the row at y starts, at the left.
func (s stretch) rowStart(y float64) (geom.Vec, bool) {
	left, right, _ := s.strip()
	for _, r := range s.surface.RowOf(s.panel(s.from), y) {
		if r[1] > left && r[0] < right {
			return geom.Vec{X: math.Max(left, r[0]), Y: y}, true
		}
	}
	return geom.Vec{}, false
}

// drawnLinesOnPage is edgeLines of a drawn panel.
func (v view) drawnLinesOnPage() edgeLines {
	onPage := func(lines []scene.Line) []scene.Line {
		out := make([]scene.Line, len(lines))
		for i, l := range lines {
			out[i] = scene.Line{Points: geom.Ring(l.Points).Transform(v.toPage), Closed: l.Closed}
		}
		return out
	}
	return edgeLines{
		seams: onPage(v.drawnEdges(skirt.SeamEdge)), cuts: onPage(v.cuts()),
		hem: onPage(v.drawnEdges(skirt.OpenEdge)), waist: onPage(v.drawnEdges(skirt.WaistEdge)),
	}
}

// onCloth returns the row at down on the page: from end to end, or as far as it
// lies on a drawn panel.
func (v view) onCloth(down float64) [][]geom.Vec {
	if !v.drawn() {
		return [][]geom.Vec{v.line(down)}
	}
	left, right, _ := v.strip()
	var out [][]geom.Vec
	for _, r := range v.surface.RowOf(v.panel(v.from), down) {
		if a, b := math.Max(left, r[0]), math.Min(right, r[1]); a < b {
			out = append(out, geom.Ring{{X: a, Y: down}, {X: b, Y: down}}.Transform(v.toPage))
		}
	}
	return out
}

// drawnLines names the edges of a drawn panel. What lays the cloth on its pages
// is its open edges, and the waist edge where it has one.
func (t *truePart) drawnLines() {
	for _, e := range t.surface.Edges(t.Panels[0]) {
		name := say.New("edge")
		switch e.Kind {
		case skirt.SeamEdge:
			name = say.New("seam")
		case skirt.WaistEdge:
			name = say.New("waist edge")
			t.waist = append(t.waist, steps(e.Line)...)
		default:
			t.hem = append(t.hem, steps(e.Line)...)
		}
		t.lines = append(t.lines, named{name, e.Line})
	}
	if len(t.hem) == 0 { // sewn on all sides
		for _, l := range t.drawnEdges(skirt.SeamEdge) {
			t.hem = append(t.hem, steps(l.Points)...)
		}
	}
	if len(t.waist) == 0 {
		t.waist = t.hem
	}
}

// below says how far down a place lies, and from where that is measured.
func (s stretch) below(down float64) say.Message {
	if s.drawn() {
		return say.New("%s below the top of the drawing", geom.Length(down))
	}
	return say.New("%s below the waist seam", geom.Length(down))
}

// tape returns where a row's tape starts and how long it is on a drawn panel:
// from the panel's edge at the left to its edge at the right, over any bay.
func (s stretch) tape(down float64) (left, long float64) {
	rows := s.surface.RowOf(s.panel(s.from), down)
	if len(rows) == 0 {
		return 0, 0
	}
	return rows[0][0], rows[len(rows)-1][1] - rows[0][0]
}

// drawnKey names those kinds of edge that the panels have.
func drawnKey(p say.Printer, s skirt.Surface) []sample {
	has := map[skirt.EdgeKind]bool{}
	for k := range s.Panels {
		for _, e := range s.Edges(k) {
			has[e.Kind] = true
		}
	}
	var out []sample
	for _, e := range []struct {
		kind skirt.EdgeKind
		look sample
	}{
		{skirt.WaistEdge, sample{name: p.Say("waist edge"), width: lineWaist}},
		{skirt.OpenEdge, sample{name: p.Say("edge"), width: lineHem}},
		{skirt.SeamEdge, sample{name: p.Say("seam"), width: lineSeam, dash: dashSeam()}},
	} {
		if has[e.kind] {
			out = append(out, e.look)
		}
	}
	return out
}
