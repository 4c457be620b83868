// Package skirt models the cloth: how each cut flattens into panels, how the
// panels join at their seams, how far apart two places are on the sewn cloth,
// what the edges keep free, and how the panels are cut from cloth by the length.
//
// A Surface is developable: panel by panel it lies flat without stretching, so
// distances on the sewn cloth are found by carrying a neighbouring panel over
// the seam into the same plane (unrolling).
//
// Each cut is one file that implements shape: circle.go, gores.go,
// rectangle.go, outline.go. Nothing outside this package asks which cut it is
// to find out where something lies.
package skirt

import (
	"math"

	"strew/motif/geom"
)

// Cut names how the cloth is cut.
type Cut string

// The cuts.
const (
	Circle    Cut = "circle"    // ring sectors; any share of a full circle
	Rectangle Cut = "rectangle" // straight panels, gathered at the waist
	Gores     Cut = "gores"     // flared panels, wedges of one cone
	Outline   Cut = "outline"   // flat panels drawn true to size
)

// Surface is the top layer of cloth, sewn. Make one with NewCircle,
// NewRectangle, NewGores or NewOutline; the fields are for reading. Except on
// an outline, panel k's right edge is joined to panel k+1's left edge, and the
// last one's to the first's.
//
// Frames, in millimetres, y down: the panel of a circle or of gores is a wedge
// with its apex at the origin and its middle along +y, so that the point at
// radius r and angle a from the middle (toward +x) is (r sin a, r cos a). A
// rectangle's panel runs from -Width/2 to +Width/2 in x, and y is the distance
// below the waist seam. All panels of an outline share the drawing's frame, its
// top left at the origin, and no two of them overlap.
type Surface struct {
	Cut      Cut
	Panels   int     // at least 1
	Drop     float64 // waist seam to hem along the cloth; outline: height of the drawing
	Angle    float64 // wedges: one panel's angle, radians; 0 elsewhere
	Inner    float64 // wedges: radius of the waist seam; where it is straight, its distance from the apex
	Width    float64 // rectangle: one panel's width; outline: width of the drawing
	Straight bool    // gores: waist and hem edges are straight across each panel

	shape shape
}

// Point is a place on the cloth: a panel, counted from 0, and where in its frame,
// millimetres.
type Point struct {
	Panel int
	At    geom.Vec
}

// Place is a place on the sewn cloth in coordinates that know no panel: the
// share of the way round from the first panel's left edge, from 0 up to 1, and
// the distance below the waist seam. A row of marks has one Down. On an outline
// Round is x as a share of the drawing's width, which does not wrap, and Down
// is y.
type Place struct{ Round, Down float64 }

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

// Wedges reports whether the panels are wedges about an apex.
func (s Surface) Wedges() bool { return s.Cut == Circle || s.Cut == Gores }

// Closed reports whether the cloth goes all the way round: the last panel's
// right edge is sewn to the first one's left edge, rows run from the waist seam
// to the hem and close on themselves, and cutouts may lie over the seams. The
// panels of an outline lie as they are drawn and are covered before they are
// joined.
func (s Surface) Closed() bool { return s.shape.closed() }

// Banded reports whether rows of one Down run parallel to waist and hem all
// round, so that Down alone decides how far a place is from either.
func (s Surface) Banded() bool { return s.shape.banded() }

// Down returns how far below the waist seam, square to the rows, a point of any
// panel lies; on an outline, how far below the drawing's top.
func (s Surface) Down(at geom.Vec) float64 { return s.shape.down(at) }

// PanelGirth returns the width of one panel along the row at down. The panels
// of an outline differ: it is their mean, see RowOf.
func (s Surface) PanelGirth(down float64) float64 { return s.shape.panelGirth(down) }

// Girth returns the length of the whole row at down; on an outline, how much
// cloth a line across the drawing at that height crosses.
func (s Surface) Girth(down float64) float64 {
	if !s.shape.closed() {
		sum := 0.0
		for k := range s.Panels {
			for _, r := range s.RowOf(k, down) {
				sum += r[1] - r[0]
			}
		}
		return sum
	}
	return s.shape.panelGirth(down) * float64(s.Panels)
}

// Span returns the length that Round counts from 0 to 1 along the row at down:
// its girth; on an outline, the width of the drawing.
func (s Surface) Span(down float64) float64 {
	if !s.shape.closed() {
		return s.Width
	}
	return s.Girth(down)
}

// Around returns how far along its row, from its panel's left edge, p lies. On
// an outline the row is level, and where the panel has a bay or a hole the
// tape runs straight on over it.
func (s Surface) Around(p Point) float64 { return s.shape.around(p) }

// PointAt returns the point of a panel that a maker finds by its distance down
// and its distance around from the panel's left edge. It may lie off the cloth.
func (s Surface) PointAt(panel int, down, around float64) Point {
	return Point{panel, s.shape.pointAt(panel, down, around)}
}

// Upright returns the turn by which a motif's top points to the waist along
// the cloth, square to the rows, at a point of any panel.
func (s Surface) Upright(at geom.Vec) float64 { return s.shape.upright(at) }

// Inside reports whether a point lies on its panel's cloth.
func (s Surface) Inside(p Point) bool { return s.shape.inside(p) }

// Edges returns the edges of a panel. Arcs are drawn in steps that lie within
// geom.FlattenTol of them.
func (s Surface) Edges(panel int) []Edge { return s.shape.edges(panel) }

// PanelOutline returns a panel's shape in its frame. A whole ring has its waist
// as a hole.
func (s Surface) PanelOutline(panel int) geom.Region { return s.shape.outline(panel) }

// RowOf returns the stretches of x, from left to right, in which the level line
// at y lies on a panel.
func (s Surface) RowOf(panel int, y float64) [][2]float64 {
	return crossings(s.PanelOutline(panel), y)
}

// Cloth returns the area of all panels together and the length of their edges,
// seams counted from both sides.
func (s Surface) Cloth() (area, edge float64) {
	if s.shape.closed() { // the panels are equal
		n := float64(s.Panels)
		g := s.PanelOutline(0)
		return n * g.Area(), n * g.EdgeLength()
	}
	for k := range s.Panels {
		g := s.PanelOutline(k)
		area, edge = area+g.Area(), edge+g.EdgeLength()
	}
	return area, edge
}

// Point returns the panel and the point in its frame at a place. On an outline
// a place off the cloth belongs to the nearest panel.
func (s Surface) Point(p Place) Point { return s.shape.point(p) }

// PlaceOf returns the place at a point of a panel, the inverse of Point.
func (s Surface) PlaceOf(p Point) Place { return s.shape.placeOf(p) }

// Folds reports whether s is n equal copies of one part, and so has a Fold(n).
func (s Surface) Folds(n int) bool {
	_, ok := s.shape.fold(s, n)
	return ok
}

// Fold returns the fundamental domain of n repeats: the surface that n equal
// parts of s are copies of, closed on itself where s is. What is even on it is
// even all round s when repeated n times. s.Folds(n) must hold.
func (s Surface) Fold(n int) Surface {
	f, ok := s.shape.fold(s, n)
	if !ok {
		panic("skirt: a surface folded where its copies differ")
	}
	return f
}

// Seams returns the shares of the way round at which s.Fold(n) meets a seam of
// s: one for each seam that no copy shares. An outline's seams are no such
// shares; they are among its edges.
func (s Surface) Seams(n int) []float64 {
	if !s.shape.closed() {
		return nil
	}
	g := gcd(n, s.Panels)
	out := make([]float64, s.Panels/g)
	for i := range out {
		out[i] = float64(i) / float64(len(out))
	}
	return out
}

// Seen calls yield for every way in which q lies flat beside p when the cloth
// between them is unrolled: the offset from p to q in p's upright frame, and by
// how much q's upright frame is turned there. A closed surface shows a place
// once for each way round that stays under half a turn about the apex; beyond
// that no straight line along the cloth joins the two. An outline shows it on
// the same panel, and over each seam that joins the two panels. Where p equals
// q, the place itself comes first, with offset zero.
func (s Surface) Seen(p, q Place, yield func(offset geom.Vec, turn float64)) {
	s.shape.seen(p, q, yield)
}

// Dist returns the length of the shortest way along the cloth from p to q.
// Where the straight line would leave the cloth at the waist, the way runs
// along tangents to the waist seam and along the seam between them; a straight
// waist seam counts as the circle that touches its middle, a hair inside it.
// On an outline it is the straight line within a panel or over one seam, the
// shortest a way can be even where a bay or a hole lies between, and infinite
// where no seam joins the panels.
func (s Surface) Dist(p, q Spot) float64 { return s.shape.dist(p, q) }

// Spot makes a place ready for measuring.
func (s Surface) Spot(p Place) Spot { return s.shape.spot(p) }

// Step returns the spot reached from p by a step along the cloth, measured in
// the plane of spots. It may leave the cloth; Round stays in [0, 1) on a closed
// surface.
func (s Surface) Step(p Spot, step geom.Vec) Spot { return s.shape.step(p, step) }

// OverTurn returns the turn, against how it lies in the plane of spots, of what
// is seen in way over: as it lies there (0), k times round the cloth to the
// right (k), or on an outline over a seam (1 and up).
func (s Surface) OverTurn(over int) float64 {
	if over == 0 {
		return 0
	}
	return s.shape.overTurn(over)
}

// Settled returns the place with rounding noise at seams taken out: one on a
// seam belongs to the panel that begins there.
func Settled(s Surface, p Place) Place {
	// noise is the share of the way round within which a place counts as lying
	// on a seam.
	const noise = 1e-12
	if !s.Closed() {
		return p
	}
	n := float64(s.Panels)
	if k := math.Round(p.Round * n); math.Abs(p.Round*n-k) < noise*n {
		p.Round = k / n
		if p.Round >= 1 {
			p.Round = 0
		}
		if s.Angle >= 2*math.Pi-geom.SameAngle {
			// Both edges of a whole ring lie on one line: a hair inside the left one
			// the place says which it is, in files too.
			p.Round += 10 * geom.SamePoint / s.Girth(p.Down)
		}
	}
	return p
}

// Repeated returns where copy k of n of a place on s.Fold(n) lies on s.
func (p Place) Repeated(k, n int) Place {
	if n == 1 {
		return p
	}
	return Place{wrap((p.Round + float64(k)) / float64(n)), p.Down}
}

// Folded returns where a place of s lies on s.Fold(n): the inverse of Repeated,
// for whichever copy it lies on.
func (p Place) Folded(n int) Place {
	if n > 1 {
		p.Round *= float64(n)
		p.Round -= math.Floor(p.Round)
	}
	return p
}

// wrap returns x less its whole part, in [0, 1).
func wrap(x float64) float64 {
	x -= math.Floor(x)
	if x >= 1 { // a tiny negative x rounds up to 1
		return 0
	}
	return x
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
