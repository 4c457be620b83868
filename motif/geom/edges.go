package geom

import "math"

// Edges are rings made ready to be asked often how far a point is from them:
// rings whose box is too far off are passed over.
type Edges []edgeRing

type edgeRing struct {
	ring Ring
	box  Box
}

// EdgesOf returns the edges of the rings, which must not be changed after.
func EdgesOf(rings ...Ring) Edges {
	out := make(Edges, len(rings))
	for i, r := range rings {
		out[i] = edgeRing{r, r.Box()}
	}
	return out
}

// Dist returns the distance from p to the nearest edge.
func (e Edges) Dist(p Vec) float64 {
	best := math.Inf(1)
	at := Box{p, p}
	for _, r := range e {
		if r.box.Gap(at) < best {
			best = min(best, r.ring.EdgeDist(p))
		}
	}
	return best
}

// Contains reports whether p lies inside an odd number of the rings: in the
// region, where they are one's.
func (e Edges) Contains(p Vec) bool {
	in := false
	for _, r := range e {
		if r.box.Contains(p) && r.ring.Contains(p) {
			in = !in
		}
	}
	return in
}
