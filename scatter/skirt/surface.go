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
)

// Surface is the top layer of cloth, sewn. Panel k's right edge is joined to
// panel k+1's left edge, and the last one's to the first's.
//
// Frames: a circle's panel has the apex of its wedge at the origin and its
// middle along +y, so that the point at radius r and angle a from the middle
// (toward +x) is (r sin a, r cos a). A rectangle's panel runs from -Width/2 to
// +Width/2 in x, and y is the distance below the waist seam.
type Surface struct {
	Cut    Cut
	Panels int
	Drop   float64 // waist seam to hem along the cloth
	Angle  float64 // circle: one panel's angle, radians
	Inner  float64 // circle: radius of the waist seam
	Width  float64 // rectangle: one panel's width
}

// Point is a place on the cloth: a panel, counted from 0, and where in its frame.
type Point struct {
	Panel int
	At    geom.Vec
}

// Outer returns the radius of a circle's hem.
func (s Surface) Outer() float64 { return s.Inner + s.Drop }

// Down returns how far below the waist seam a point of any panel lies.
func (s Surface) Down(at geom.Vec) float64 {
	if s.Cut == Circle {
		return at.Len() - s.Inner
	}
	return at.Y
}

// PanelGirth returns the width of one panel along the row at down.
func (s Surface) PanelGirth(down float64) float64 {
	if s.Cut == Circle {
		return s.Angle * (s.Inner + down)
	}
	return s.Width
}

// Girth returns the length of the whole row at down.
func (s Surface) Girth(down float64) float64 { return s.PanelGirth(down) * float64(s.Panels) }

// Around returns how far along its row, from its panel's left edge, p lies.
func (s Surface) Around(p Point) float64 {
	if s.Cut == Circle {
		return p.At.Len() * (math.Atan2(p.At.X, p.At.Y) + s.Angle/2)
	}
	return p.At.X + s.Width/2
}

// Upright returns the turn by which a motif's top points to the waist along
// the cloth at a point of any panel.
func (s Surface) Upright(at geom.Vec) float64 {
	if s.Cut == Circle {
		return -math.Atan2(at.X, at.Y)
	}
	return 0
}
