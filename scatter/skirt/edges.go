package skirt

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// EdgeKind says which clearance an edge takes.
type EdgeKind string

// The kinds of edge.
const (
	WaistEdge EdgeKind = "waist"
	HemEdge   EdgeKind = "hem"
	SeamEdge  EdgeKind = "seam" // sewn to another edge
	OpenEdge  EdgeKind = "open" // of an outline: takes the hem clearance
)

// Edge is a stretch of a panel's edge, as a line in the panel's frame. A line
// round a hole, or all round a panel, ends where it starts.
type Edge struct {
	Kind EdgeKind
	Line []geom.Vec
}

// Edges returns the edges of a panel. Arcs are drawn in steps that lie within
// geom.FlattenTol of them.
func (s Surface) Edges(panel int) []Edge {
	if s.Cut == Outline {
		return slices.Clone(s.Drawn.edges[panel])
	}
	waist, hem := s.across(0), s.across(s.Drop)
	if s.Wedges() && s.Panels == 1 && s.Angle >= 2*math.Pi-geom.SameAngle {
		return []Edge{{WaistEdge, waist}, {HemEdge, hem}, {SeamEdge, []geom.Vec{hem[0], waist[0]}}}
	}
	last := len(waist) - 1
	return []Edge{
		{WaistEdge, waist},
		{SeamEdge, []geom.Vec{waist[last], hem[len(hem)-1]}},
		{HemEdge, hem},
		{SeamEdge, []geom.Vec{hem[0], waist[0]}},
	}
}

// across returns the row at down from a panel's left edge to its right one.
func (s Surface) across(down float64) []geom.Vec {
	n := 1
	if s.Wedges() && !s.Straight {
		n = ArcSteps(s.Inner+down, s.Angle, geom.FlattenTol)
	}
	line := make([]geom.Vec, n+1)
	for i := range line {
		part := float64(i)/float64(n) - 0.5
		switch {
		case s.Straight:
			y := s.Inner + down
			line[i] = geom.Vec{X: 2 * part * y * math.Tan(s.Angle/2), Y: y}
		case s.Wedges():
			sin, cos := math.Sincos(part * s.Angle)
			line[i] = geom.Vec{X: (s.Inner + down) * sin, Y: (s.Inner + down) * cos}
		default:
			line[i] = geom.Vec{X: part * s.Width, Y: down}
		}
	}
	return line
}

// ArcSteps returns in how many straight steps an arc is drawn so that none
// strays farther than tol from it.
func ArcSteps(radius, angle, tol float64) int {
	step := 2 * math.Acos(1-math.Min(1, tol/math.Max(tol, radius)))
	return max(1, int(math.Ceil(math.Abs(angle)/step)))
}

// PanelOutline returns a panel's shape in its frame. A whole ring has its waist
// as a hole.
func (s Surface) PanelOutline(panel int) geom.Region {
	if s.Cut == Outline {
		return s.Drawn.panels[panel]
	}
	waist, hem := s.across(0), s.across(s.Drop)
	slices.Reverse(hem) // clockwise as seen: along the waist, and back along the hem
	if s.Wedges() && s.Angle >= 2*math.Pi-geom.SameAngle {
		g := geom.Region{Outer: hem[1:]}
		if s.Inner > 0 {
			g.Holes = []geom.Ring{waist[1:]}
		}
		return g
	}
	return geom.Region{Outer: append(waist, hem...)}
}

// Inside reports whether a point lies on its panel's cloth.
func (s Surface) Inside(p Point) bool {
	if s.Cut == Outline {
		return s.Drawn.rings[p.Panel].Contains(p.At)
	}
	if down := s.Down(p.At); down < 0 || down > s.Drop {
		return false
	}
	if s.Wedges() {
		return math.Abs(math.Atan2(p.At.X, p.At.Y)) <= s.Angle/2
	}
	return math.Abs(p.At.X) <= s.Width/2
}

// RowOf returns the stretches of x, from left to right, in which the level line
// at y lies on a panel of an outline.
func (s Surface) RowOf(panel int, y float64) [][2]float64 {
	var xs []float64
	for _, ring := range s.Drawn.panels[panel].Rings() {
		for i, a := range ring {
			if b := ring.At(i + 1); (a.Y > y) != (b.Y > y) {
				xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
			}
		}
	}
	slices.Sort(xs)
	out := make([][2]float64, 0, len(xs)/2)
	for i := 1; i < len(xs); i += 2 {
		out = append(out, [2]float64{xs[i-1], xs[i]})
	}
	return out
}

// Cloth returns the area of all panels together and the length of their edges,
// seams counted from both sides.
func (s Surface) Cloth() (area, edge float64) {
	if s.Cut == Outline {
		for _, g := range s.Drawn.panels {
			area, edge = area+g.Area(), edge+g.EdgeLength()
		}
		return area, edge
	}
	n := float64(s.Panels)
	g := s.PanelOutline(0)
	return n * g.Area(), n * g.EdgeLength()
}
