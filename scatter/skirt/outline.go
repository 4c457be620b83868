package skirt

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// An outline cut is drawn true to size: panels as closed shapes, and lines that
// run along their edges and name parts of them. A named part is a seam where it
// is joined to another one, or the waist edge; all other edges are open.

// Drawing is what a maker drew: panels in their order, and named lines, in the
// drawing's frame, millimetres.
type Drawing struct {
	Panels []geom.Region
	Lines  []Line
}

// Line is a named line along a panel's edge; a closed one is a whole edge.
type Line struct {
	Name   string
	Points []geom.Vec
	Closed bool
}

// NewOutline returns the surface of drawn panels. seams pairs the names of
// lines that are sewn together, start to start; waist names the lines along the
// edges that take the waist clearance. Errors begin with the key they are about,
// seams or waist_edge.
func NewOutline(d Drawing, seams [][2]string, waist []string) (Surface, error) {
	out := &drawn{panels: d.Panels}
	for _, g := range d.Panels {
		box := g.Box()
		out.width, out.height = math.Max(out.width, box.Max.X), math.Max(out.height, box.Max.Y)
		out.rings = append(out.rings, geom.EdgesOf(g.Rings()...))
	}
	s := Surface{Cut: Outline, Panels: len(d.Panels), Width: out.width, Drop: out.height, shape: out}
	sew := seaming{drawn: out, drawing: d}
	for _, name := range waist {
		p, err := sew.find("waist_edge", name)
		if err != nil {
			return Surface{}, err
		}
		p.kind = WaistEdge
		sew.named = append(sew.named, p)
	}
	for _, pair := range seams {
		var side [2]part
		for i, name := range pair {
			p, err := sew.find("seams", name)
			if err != nil {
				return Surface{}, err
			}
			if p.closed {
				return Surface{}, say.Errorf("seams: the line %q goes all the way round an edge; a seam has a start and an end", name)
			}
			p.kind = SeamEdge
			side[i], sew.named = p, append(sew.named, p)
		}
		if err := sew.join(side[0], side[1]); err != nil {
			return Surface{}, err
		}
	}
	sew.split()
	return s, nil
}

// drawn is the panels of an outline. Their plane is the drawing.
type drawn struct {
	unbanded
	panels        []geom.Region
	rings         []geom.Edges // of each panel
	parts         [][]Edge     // of each panel
	joins         []join       // each seam twice running, once from either side
	width, height float64
}

// unbanded is a cut without rows: no row is closed, none is parallel to an edge.
type unbanded struct{}

func (unbanded) closed() bool                           { return false }
func (unbanded) banded() bool                           { return false }
func (unbanded) straight(Spot, float64) bool            { return true }
func (unbanded) holeHalf(float64) float64               { return 0 }
func (unbanded) bends() []float64                       { return nil }
func (unbanded) upright(geom.Vec) float64               { return 0 }
func (unbanded) inset(float64, []Disc, float64) float64 { return 0 }
func (unbanded) seamDist(geom.Vec) float64              { return math.Inf(1) }

func (unbanded) band([]geom.Ring, float64, Margins) (low, high float64) {
	return math.Inf(-1), math.Inf(1)
}

func (unbanded) ends([]geom.Ring, float64) (waist, hem float64) {
	return math.Inf(1), math.Inf(1)
}

func (d *drawn) seams() []join                         { return d.joins }
func (d *drawn) down(at geom.Vec) float64              { return at.Y }
func (d *drawn) inside(p Point) bool                   { return d.rings[p.Panel].Contains(p.At) }
func (d *drawn) edges(panel int) []Edge                { return slices.Clone(d.parts[panel]) }
func (d *drawn) outline(panel int) geom.Region         { return d.panels[panel] }
func (d *drawn) fold(s Surface, n int) (Surface, bool) { return s, n == 1 }
func (d *drawn) half(_ Spot, reach float64) float64    { return reach / d.width }
func (d *drawn) overTurn(over int) float64             { return d.joins[over-1].turn }

// panelGirth is the mean of the panels.
func (d *drawn) panelGirth(down float64) float64 {
	sum := 0.0
	for _, g := range d.panels {
		for _, r := range crossings(g, down) {
			sum += r[1] - r[0]
		}
	}
	return sum / float64(len(d.panels))
}

func (d *drawn) around(p Point) float64 {
	if rows := crossings(d.panels[p.Panel], p.At.Y); len(rows) > 0 {
		return p.At.X - rows[0][0]
	}
	return p.At.X
}

func (d *drawn) pointAt(panel int, down, around float64) geom.Vec {
	if rows := crossings(d.panels[panel], down); len(rows) > 0 {
		around += rows[0][0]
	}
	return geom.Vec{X: around, Y: down}
}

func (d *drawn) point(p Place) Point {
	at := geom.Vec{X: p.Round * d.width, Y: p.Down}
	return Point{d.panelAt(at), at}
}

func (d *drawn) placeOf(p Point) Place { return Place{p.At.X / d.width, p.At.Y} }

// panelAt returns the panel that holds p, else the one nearest to it.
func (d *drawn) panelAt(p geom.Vec) int {
	best, near := 0, math.Inf(1)
	for k, e := range d.rings {
		if e.Contains(p) {
			return k
		}
	}
	for k, e := range d.rings {
		if dist := e.Dist(p); dist < near {
			best, near = k, dist
		}
	}
	return best
}

func (d *drawn) spot(p Place) Spot {
	at := geom.Vec{X: p.Round * d.width, Y: p.Down}
	return Spot{Place: p, At: at, panel: d.panelAt(at)}
}

func (d *drawn) step(p Spot, step geom.Vec) Spot {
	return d.spot(Place{p.Round + step.X/d.width, p.Down + step.Y})
}

func (d *drawn) beside(p Spot, over int) geom.Vec { return d.joins[over-1].there.Apply(p.At) }

func (d *drawn) seen(p, q Place, yield func(off geom.Vec, turn float64)) {
	a, b := d.point(p), d.point(q)
	if a.Panel == b.Panel {
		yield(b.At.Sub(a.At), 0)
	}
	for _, j := range d.joins {
		if j.from == a.Panel && j.to == b.Panel {
			yield(j.back.Apply(b.At).Sub(a.At), j.turn)
		}
	}
}

// dist returns the length of a way within a panel or over one seam, as short
// as any way there can be: the straight line, and where that passes the seam by
// no less than from the one to the seam and on to the other.
func (d *drawn) dist(p, q Spot) float64 {
	best := math.Inf(1)
	if p.panel == q.panel {
		best = p.At.Dist(q.At)
	}
	for i, j := range d.joins {
		if j.from == p.panel && j.to == q.panel {
			over := toLine(p.At, j.line) + toLine(q.At, d.joins[i^1].line)
			best = math.Min(best, math.Max(over, j.back.Apply(q.At).Dist(p.At)))
		}
	}
	return best
}

func toLine(p geom.Vec, line []geom.Vec) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		best = math.Min(best, geom.PointSegment(p, line[i-1], line[i]))
	}
	return best
}

// pieces: a drawn panel is cut as it is drawn, with the allowance all round.
func (d *drawn) pieces(split int, allowance float64) (boxes []geom.Vec, cuttingLength float64, ok bool) {
	boxes = make([]geom.Vec, len(d.panels))
	for k, g := range d.panels {
		b := g.Box().Grow(allowance)
		boxes[k] = geom.Vec{X: b.Width(), Y: b.Height()}
		cuttingLength = math.Max(cuttingLength, boxes[k].Y)
	}
	return boxes, cuttingLength, split == 1
}
