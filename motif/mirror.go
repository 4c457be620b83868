package motif

import (
	"math"

	"strew/motif/geom"
)

// An axis of symmetry runs through the centroid, so an outline is mirrored about
// axes through it, and the distance of the mirrored outline from the outline is
// measured. Where the axis turns by an angle, that distance changes by at most
// twice the reach times the angle (it is Lipschitz): a distance larger than that
// allows rules out a whole fan of axes, otherwise the fan is halved (branch and
// bound). Most are ruled out by one of the first few points.

const (
	mirrorPoints  = 320 // points mirrored, divided among the rings by length
	mirrorStride  = 40  // points are tried in strides, so that the first few lie all round
	mirrorCorners = 600 // corners of the outline they are compared with, divided likewise
	mirrorLeast   = 8   // points and corners of any ring at least
	mirrorFans    = 90  // fans of axes to begin with: 2° each

	// mirrorFinest: a fan is no longer halved once its axes differ by less than
	// this share of the tolerance.
	mirrorFinest = 0.25
)

// MirrorsItself reports whether the piece, turned over and laid on itself as well
// as possible, differs from its outline by at most tol mm.
func (p Piece) MirrorsItself(tol float64) bool {
	move := geom.Translation(p.Region.Outer.Centroid().Mul(-1))
	whole := p.Region.EdgeLength()
	var points []geom.Vec
	var rings []geom.Ring
	for _, ring := range p.Region.Rings() {
		ring = ring.Transform(move)
		share := ring.Length() / whole
		n := max(mirrorLeast, int(mirrorPoints*share))
		points = append(points, ring.Resampled(n)...)
		if len(ring) <= n {
			points = append(points, ring...)
		}
		rings = append(rings, evenly(ring, max(mirrorLeast, int(mirrorCorners*share))))
	}
	edges := geom.EdgesOf(rings...)
	points = strided(points, max(mirrorStride, len(points)/(2*mirrorPoints)))
	points = points[:min(len(points), 2*mirrorPoints)]

	// stray returns how far the outline mirrored about an axis lies from the
	// outline, or a part of that which is more than enough.
	stray := func(axis, enough float64) float64 {
		s, c := math.Sincos(2 * axis)
		far := 0.0
		for _, q := range points {
			far = math.Max(far, edges.Dist(geom.Vec{X: c*q.X + s*q.Y, Y: s*q.X - c*q.Y}))
			if far > enough {
				break
			}
		}
		return far
	}
	reach := rings[0].Reach(geom.Vec{})
	var within func(axis, half float64) bool
	within = func(axis, half float64) bool {
		slack := 2 * reach * half
		d := stray(axis, tol+slack)
		if d <= tol || d > tol+slack || slack < mirrorFinest*tol {
			return d <= tol
		}
		return within(axis-half/2, half/2) || within(axis+half/2, half/2)
	}
	const half = math.Pi / mirrorFans / 2
	for i := range mirrorFans {
		if within(half*float64(2*i), half) {
			return true
		}
	}
	return false
}

// strided returns the points in strides: every n-th from the first on, then every
// n-th from the second on, and so on.
func strided(points []geom.Vec, n int) []geom.Vec {
	out := make([]geom.Vec, 0, len(points))
	for first := range min(n, len(points)) {
		for i := first; i < len(points); i += n {
			out = append(out, points[i])
		}
	}
	return out
}
