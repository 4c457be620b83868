package render

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/render/scene"
	"strew/scatter/skirt"
)

// view is a stretch of cloth where it lies on a page.
type view struct {
	stretch
	scale  float64 // page millimetres per millimetre of cloth
	toPage geom.Affine
	on     contents
}

// contents is what lies on a stretch: its marks, and the lines of equal depth
// that lead to them.
type contents struct {
	marks  []lying
	guides []guide
}

func (s stretch) contents(all []Mark) contents {
	marks := s.lying(all)
	return contents{marks, s.guides(marks)}
}

// arcTol is how far a drawn arc may lie from the true one on the page, in
// millimetres: a sixth of a pixel at 200 dpi.
const arcTol = 0.02

// box returns the smallest box round the stretch in its own frame.
func (s stretch) box() geom.Box {
	b := geom.EmptyBox()
	for _, r := range s.shape(0, s.surface.Drop, s.surface.Drop/2000) {
		b = b.Union(r.Box())
	}
	return b
}

// room is what is kept free round a stretch for what is written there.
type room struct{ left, top, right, bottom float64 }

func evenRoom(d float64) room { return room{d, d, d, d} }

func (r room) pad() geom.Vec { return geom.Vec{X: r.left + r.right, Y: r.top + r.bottom} }

// views lays the stretches out within area, cols to a row, each row centred;
// each has its room about it and gap to the next.
func views(list []stretch, area geom.Box, scale float64, cols int, rm room, gap float64) []view {
	pad := rm.pad()
	out := make([]view, len(list))
	y := area.Min.Y
	for first := 0; first < len(list); first += cols {
		row := list[first:min(len(list), first+cols)]
		wide, high := gap*float64(len(row)-1), 0.0
		for _, s := range row {
			b := s.box()
			wide += b.Width()*scale + pad.X
			high = math.Max(high, b.Height()*scale+pad.Y)
		}
		x := area.Centre().X - wide/2
		for i, s := range row {
			b := s.box()
			at := geom.Vec{X: x + rm.left - b.Min.X*scale, Y: y + rm.top - b.Min.Y*scale}
			out[first+i] = view{stretch: s, scale: scale, toPage: geom.Scaling(scale, scale).Then(geom.Translation(at))}
			x += b.Width()*scale + pad.X + gap
		}
		y += high + gap
	}
	return out
}

// viewsBox returns the box round all views on the page.
func viewsBox(list []view) geom.Box {
	all := geom.EmptyBox()
	for _, v := range list {
		b := v.box()
		all = all.Union(geom.BoxOf(v.toPage.Apply(b.Min), v.toPage.Apply(b.Max)))
	}
	return all
}

// rings returns the outline between two depths on the page.
func (v view) rings(top, bottom float64) []geom.Ring {
	rings := v.shape(top, bottom, arcTol/v.scale)
	for i, r := range rings {
		rings[i] = r.Transform(v.toPage)
	}
	return rings
}

// line returns the row at down on the page, from end to end.
func (v view) line(down float64) []geom.Vec {
	return geom.Ring(v.row(v.from, v.to, down, arcTol/v.scale)).Transform(v.toPage)
}

// edgeLines are a stretch's edges on the page.
type edgeLines struct {
	seams, cuts []scene.Line // cuts: made for the page
	hem, waist  []scene.Line // hem: of a drawn panel, its open edges
}

func (v view) edgeLines() edgeLines {
	if v.drawn() {
		return v.drawnLinesOnPage()
	}
	drop := v.surface.Drop
	across := func(u float64) scene.Line {
		return scene.Line{Points: []geom.Vec{v.toPage.Apply(v.at(u, 0)), v.toPage.Apply(v.at(u, drop))}}
	}
	inner, fromSeam, toSeam := v.seams()
	var out edgeLines
	for _, u := range inner {
		out.seams = append(out.seams, across(u))
	}
	ends := []struct {
		u    float64
		seam bool
	}{{v.from, fromSeam}, {v.to, toSeam}}
	if v.whole() {
		ends = ends[:1] // where it starts it ends
	}
	for _, e := range ends {
		if e.seam {
			out.seams = append(out.seams, across(e.u))
		} else {
			out.cuts = append(out.cuts, across(e.u))
		}
	}
	out.hem, out.waist = scene.Open(v.line(drop)...), scene.Open(v.line(0)...)
	return out
}

// edges draws waist seam, hem, seams, and the cuts made for the page.
func (v view) edges() []scene.Op {
	e := v.edgeLines()
	return []scene.Op{
		// A pale line below keeps the dashes visible on dark net.
		scene.Stroke{Lines: append(slices.Clone(e.seams), e.cuts...), Width: scene.Points(2 * lineSeam), Colour: white().Faded(0.5)},
		scene.Stroke{Lines: e.seams, Width: scene.Points(lineSeam), Dash: dashSeam(), Colour: ink()},
		scene.Stroke{Lines: e.cuts, Width: scene.Points(lineSeam), Dash: dashCut(), Colour: soft()},
		scene.Stroke{Lines: e.hem, Width: scene.Points(lineHem), Colour: ink()},
		scene.Stroke{Lines: e.waist, Width: scene.Points(lineWaist), Colour: ink()},
	}
}

// nameAt is where a panel's name goes, in the stretch's frame.
type nameAt struct {
	panel int // counted on beyond the last and before the first
	at    geom.Vec
	turn  float64 // of words whose foot points away from the cloth
}

// panels returns where the panels' names go along the hem: each in the middle of
// what is shown of its panel, off page millimetres outside.
func (v view) panels(off float64) []nameAt {
	var out []nameAt
	for k := int(math.Floor(v.from)); float64(k) < v.to; k++ {
		u := (math.Max(v.from, float64(k)) + math.Min(v.to, float64(k+1))) / 2
		at, turn := v.at(u, v.surface.Drop+off/v.scale), 0.0
		if v.drawn() {
			at = geom.Vec{X: v.box().Centre().X, Y: v.box().Max.Y + off/v.scale}
		} else {
			turn = v.upright(u, v.surface.Drop)
		}
		out = append(out, nameAt{k, at, turn})
	}
	return out
}

// names writes the panels' names.
func (v view) names(p say.Printer, off, size float64) []scene.Text {
	var out []scene.Text
	for _, n := range v.panels(off) {
		out = append(out, along(p.Message(panelName(n.panel, v.surface.Panels)), v.toPage.Apply(n.at), n.turn, size, scene.Bold, ink()))
	}
	return out
}

// panelName names panel k of n, counted on beyond the last and before the first.
func panelName(k, n int) say.Message { return say.New("panel %d", (k%n+n)%n+1) }

// best finds how the whole cloth is shown largest within area: which panels
// stay joined, and in how many columns the stretches stand.
func best(s skirt.Surface, area geom.Vec, rm room, gap float64) (list []stretch, scale float64, cols int) {
	for perRow := 1; perRow <= max(1, s.Panels); perRow++ {
		try := spread(s, perRow)
		// Joined panels are easier to read: they win a tie, and near ties.
		if k, c := arrange(try, area, rm.pad(), gap); k >= 0.97*scale {
			list, scale, cols = try, k, c
		}
	}
	return list, scale, cols
}

// arrange finds in how many columns the stretches are shown largest within
// area, each cell padded by pad and parted by gap, all in page
// millimetres. It returns the scale and the columns.
func arrange(list []stretch, area, pad geom.Vec, gap float64) (scale float64, cols int) {
	big := geom.Vec{}
	for _, s := range list {
		b := s.box()
		big = geom.Vec{X: math.Max(big.X, b.Width()), Y: math.Max(big.Y, b.Height())}
	}
	scale, cols = 0, 1
	for c := 1; c <= len(list); c++ {
		rows := float64((len(list) + c - 1) / c)
		across := (area.X-gap*float64(c-1))/float64(c) - pad.X
		down := (area.Y-gap*(rows-1))/rows - pad.Y
		if k := math.Min(across/big.X, down/big.Y); k > scale {
			scale, cols = k, c
		}
	}
	return scale, cols
}
