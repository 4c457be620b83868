// Package skirt knows the cloth: how each cut flattens into panels, how the
// panels join at their seams, how far apart two places are on the sewn cloth,
// and how much cloth it takes.
//
// A Surface is developable: panel by panel it lies flat without stretching, so
// distances on the sewn cloth are found by carrying a neighbouring panel over
// the seam into the same plane (unrolling).
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

// Surface is the top layer of cloth, sewn. But for an outline's, panel k's
// right edge is joined to panel k+1's left edge, and the last one's to the first's.
//
// Frames: the panel of a circle or of gores is a wedge with its apex at the
// origin and its middle along +y, so that the point at radius r and angle a
// from the middle (toward +x) is (r sin a, r cos a). A rectangle's panel runs
// from -Width/2 to +Width/2 in x, and y is the distance below the waist seam.
// All panels of an outline share the drawing's frame, its top left at the
// origin, and no two of them overlap.
type Surface struct {
	Cut      Cut
	Panels   int
	Drop     float64 // waist seam to hem along the cloth; outline: height of the drawing
	Angle    float64 // wedges: one panel's angle, radians
	Inner    float64 // wedges: radius of the waist seam; where it is straight, its distance from the apex
	Width    float64 // rectangle: one panel's width; outline: width of the drawing
	Straight bool    // gores: waist and hem edges are straight across each panel
	Drawn    *Drawn  // outline: its panels
}

// Point is a place on the cloth: a panel, counted from 0, and where in its frame.
type Point struct {
	Panel int
	At    geom.Vec
}

// Wedges reports whether the panels are wedges about an apex.
func (s Surface) Wedges() bool { return s.Cut == Circle || s.Cut == Gores }

// Closed reports whether the cloth goes all the way round: the last panel's
// right edge is sewn to the first one's left edge.
func (s Surface) Closed() bool { return s.Cut != Outline }

// Banded reports whether rows of one Down run parallel to waist and hem all
// round, so that Down alone decides how far a place is from either.
func (s Surface) Banded() bool { return s.Cut != Outline && !s.Straight }

// Straddled reports whether cutouts may lie over the seams, where no clearance
// forbids it. The panels of an outline are covered before they are joined.
func (s Surface) Straddled() bool { return s.Cut != Outline }

// Outer returns how far from the apex the hem of wedges lies.
func (s Surface) Outer() float64 { return s.Inner + s.Drop }

// total returns the sewn angle of all panels of wedges.
func (s Surface) total() float64 { return s.Angle * float64(s.Panels) }

// Down returns how far below the waist seam, square to the rows, a point of any
// panel lies; on an outline, how far below the drawing's top.
func (s Surface) Down(at geom.Vec) float64 {
	switch {
	case s.Straight:
		return at.Y - s.Inner
	case s.Wedges():
		return at.Len() - s.Inner
	}
	return at.Y
}

// PanelGirth returns the width of one panel along the row at down. The panels
// of an outline differ: see RowOf.
func (s Surface) PanelGirth(down float64) float64 {
	switch {
	case s.Cut == Outline:
		return s.Girth(down) / float64(s.Panels)
	case s.Straight:
		return 2 * (s.Inner + down) * math.Tan(s.Angle/2)
	case s.Wedges():
		return s.Angle * (s.Inner + down)
	}
	return s.Width
}

// Girth returns the length of the whole row at down; on an outline, how much
// cloth a line across the drawing at that height crosses.
func (s Surface) Girth(down float64) float64 {
	if s.Cut == Outline {
		sum := 0.0
		for k := range s.Panels {
			for _, r := range s.RowOf(k, down) {
				sum += r[1] - r[0]
			}
		}
		return sum
	}
	return s.PanelGirth(down) * float64(s.Panels)
}

// Around returns how far along its row, from its panel's left edge, p lies. On
// an outline the row is level, and where the panel has a bay or a hole the
// tape runs straight on over it.
func (s Surface) Around(p Point) float64 {
	switch {
	case s.Cut == Outline:
		if rows := s.RowOf(p.Panel, p.At.Y); len(rows) > 0 {
			return p.At.X - rows[0][0]
		}
		return p.At.X
	case s.Straight:
		return p.At.X + p.At.Y*math.Tan(s.Angle/2)
	case s.Wedges():
		return p.At.Len() * (math.Atan2(p.At.X, p.At.Y) + s.Angle/2)
	}
	return p.At.X + s.Width/2
}

// PointAt returns the point of a panel that a maker finds by its distance down
// and its distance around from the panel's left edge. It may lie off the cloth.
func (s Surface) PointAt(panel int, down, around float64) Point {
	switch {
	case s.Cut == Outline:
		if rows := s.RowOf(panel, down); len(rows) > 0 {
			around += rows[0][0]
		}
		return Point{panel, geom.Vec{X: around, Y: down}}
	case s.Straight:
		y := s.Inner + down
		return Point{panel, geom.Vec{X: around - y*math.Tan(s.Angle/2), Y: y}}
	case s.Wedges():
		r := s.Inner + down
		sin, cos := math.Sincos(around/r - s.Angle/2)
		return Point{panel, geom.Vec{X: r * sin, Y: r * cos}}
	}
	return Point{panel, geom.Vec{X: around - s.Width/2, Y: down}}
}

// Upright returns the turn by which a motif's top points to the waist along
// the cloth, square to the rows, at a point of any panel.
func (s Surface) Upright(at geom.Vec) float64 {
	if s.Wedges() && !s.Straight {
		return -math.Atan2(at.X, at.Y)
	}
	return 0
}
