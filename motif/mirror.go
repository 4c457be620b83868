package motif

import (
	"math"

	"strew/motif/geom"
)

// Whether an outline is its own mirror image. An axis of symmetry runs through
// the centre of gravity, so the outline is mirrored about axes through it in
// all directions, and the distance of the mirrored edge from the edge looked
// at. That changes by no more than twice the reach times the turn of the axis,
// so coarse steps tell which directions are worth looking at closely; most are
// given up at one of the first few points.

const (
	mirrorSteps   = 180 // directions first looked at: every degree
	mirrorPoints  = 160 // points of each ring that are mirrored
	mirrorStride  = 40  // they are looked at in strides, so that the first ones lie all round
	mirrorCorners = 600 // of the outline they are held against
	mirrorHalves  = 16  // closer looks at one direction: 1° / 2¹⁶ is nothing
)

// MirrorsItself reports whether the piece, turned over and laid on itself as
// well as may be, strays from its own outline by no more than tol mm.
func (p Piece) MirrorsItself(tol float64) bool {
	move := geom.Translation(p.Region.Outer.Centroid().Mul(-1))
	var edge geom.Region
	var points []geom.Vec
	for i, ring := range p.Region.Rings() {
		ring = ring.Transform(move)
		points = append(points, subdivide(ring, ring.Length()/mirrorPoints, mirrorPoints)...)
		if len(ring) <= mirrorPoints {
			points = append(points, ring...)
		}
		ring = evenly(ring, mirrorCorners)
		if i == 0 {
			edge.Outer = ring
		} else {
			edge.Holes = append(edge.Holes, ring)
		}
	}
	points = strided(points, mirrorStride)
	// stray returns how far the outline mirrored about one axis strays, or some
	// of it where that is more than enough already.
	stray := func(axis, enough float64) float64 {
		s, c := math.Sincos(2 * axis)
		far := 0.0
		for _, q := range points {
			far = math.Max(far, edge.EdgeDist(geom.Vec{X: c*q.X + s*q.Y, Y: s*q.X - c*q.Y}))
			if far > enough {
				break
			}
		}
		return far
	}
	const width = math.Pi / mirrorSteps
	slack := edge.Outer.Reach(geom.Vec{}) * width
	for i := range mirrorSteps {
		axis := width * float64(i)
		best := stray(axis, tol+slack)
		for half := width / 2; best > tol && best <= tol+slack && half > width/(1<<mirrorHalves); half /= 2 {
			for _, a := range []float64{axis - half, axis + half} {
				if d := stray(a, best); d < best {
					best, axis = d, a
				}
			}
		}
		if best <= tol {
			return true
		}
	}
	return false
}

// strided returns the points in strides: every n-th from the first on, then
// from the second on, and so on.
func strided(points []geom.Vec, n int) []geom.Vec {
	out := make([]geom.Vec, 0, len(points))
	for first := range min(n, len(points)) {
		for i := first; i < len(points); i += n {
			out = append(out, points[i])
		}
	}
	return out
}
