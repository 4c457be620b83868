package skirt

import (
	"math"
	"slices"

	"strew/motif/geom"
)

// shape is what a cut answers for a Surface. Methods named like one of Surface or
// Spots have its contract.
type shape interface {
	flat
	sewn
	unrolled
	trimmed
}

// flat is a panel lying flat, in its frame.
type flat interface {
	closed() bool
	banded() bool
	down(at geom.Vec) float64
	panelGirth(down float64) float64
	around(p Point) float64
	pointAt(panel int, down, around float64) geom.Vec
	upright(at geom.Vec) float64
	inside(p Point) bool
	edges(panel int) []Edge
	outline(panel int) geom.Region
}

// sewn is the panels joined.
type sewn interface {
	point(p Place) Point
	placeOf(p Point) Place
	fold(s Surface, n int) (Surface, bool)
	seen(p, q Place, yield func(offset geom.Vec, turn float64))
	dist(p, q Spot) float64
}

// unrolled is the plane of spots.
type unrolled interface {
	spot(p Place) Spot
	step(p Spot, step geom.Vec) Spot
	overTurn(over int) float64 // over is not 0
	// beside returns where p lies in the plane of what it sees in way over.
	beside(p Spot, over int) geom.Vec
	// straight reports whether no straight line of length reach from p can leave
	// the cloth at the waist and come back.
	straight(p Spot, reach float64) bool
	// half returns how large a share of the way round, to either side of p, what
	// is seen within reach of it can lie; holeHalf, what is reached round the
	// waist hole.
	half(p Spot, reach float64) float64
	holeHalf(reach float64) float64
	// seams returns the joins of an outline.
	seams() []join
}

// trimmed is a panel's edges: what is kept free along them, and how the panel is
// cut from cloth.
type trimmed interface {
	band(rings []geom.Ring, reach float64, m Margins) (low, high float64)
	ends(rings []geom.Ring, down float64) (waist, hem float64)
	// inset returns how large a share of the way round a seam must lie to the
	// left of an anchor at down so that it keeps clear of discs in the upright
	// frame.
	inset(down float64, discs []Disc, clear float64) float64
	// seamDist returns how far a point of a panel lies from the panel's nearer side.
	seamDist(at geom.Vec) float64
	// bends returns where rows bend, as shares of the way round.
	bends() []float64
	// pieces returns the width and height of the box round every piece of one
	// layer, each panel in split equal pieces, and the length that a maker calls
	// the cutting length; false where no such pieces lie flat.
	pieces(split int, allowance float64) (boxes []geom.Vec, cuttingLength float64, ok bool)
}

// rows is what all closed cuts have in common: equal panels, joined all round.
type rows struct {
	panels int
	drop   float64
}

func (r rows) closed() bool                { return true }
func (r rows) banded() bool                { return true }
func (r rows) straight(Spot, float64) bool { return true }
func (r rows) holeHalf(float64) float64    { return 0 }
func (r rows) seams() []join               { return nil }
func (r rows) bends() []float64            { return nil }
func (r rows) within(down float64) bool    { return down >= 0 && down <= r.drop }
func (r rows) place(p Point, part float64) float64 {
	return wrap((float64(p.Panel) + 0.5 + part) / float64(r.panels))
}

// split returns the panel at a share of the way round, and how far along its
// row, from -1/2 at the left edge to 1/2 at the right.
func (r rows) split(round float64) (panel int, part float64) {
	at := round * float64(r.panels)
	panel = min(max(int(at), 0), r.panels-1)
	return panel, at - float64(panel) - 0.5
}

// edgesOf returns the edges of a panel between two rows that run from its left
// side to its right one.
func edgesOf(waist, hem []geom.Vec) []Edge {
	last := len(waist) - 1
	return []Edge{
		{WaistEdge, waist},
		{SeamEdge, []geom.Vec{waist[last], hem[len(hem)-1]}},
		{HemEdge, hem},
		{SeamEdge, []geom.Vec{hem[0], waist[0]}},
	}
}

// outlineOf returns the panel between two rows.
func outlineOf(waist, hem []geom.Vec) geom.Region {
	slices.Reverse(hem) // clockwise as seen: along the waist, and back along the hem
	return geom.Region{Outer: append(waist, hem...)}
}

// ArcSteps returns in how many straight steps an arc is drawn so that none
// strays farther than tol from it.
func ArcSteps(radius, angle, tol float64) int {
	step := 2 * math.Acos(1-math.Min(1, tol/math.Max(tol, radius)))
	return max(1, int(math.Ceil(math.Abs(angle)/step)))
}

// crossings returns the stretches in which the level line at y lies in a region.
func crossings(g geom.Region, y float64) [][2]float64 {
	var xs []float64
	for _, ring := range g.Rings() {
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
