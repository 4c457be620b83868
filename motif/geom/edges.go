package geom

import "math"

// Edges are rings prepared for many distance queries: rings whose bounding box
// is too far away are skipped.
type Edges []edgeRing

type edgeRing struct {
	ring Ring
	box  Box
}

// EdgesOf returns the edges of the rings, which must not change afterwards.
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
// region, where the rings are those of one. On an edge the answer may be either.
func (e Edges) Contains(p Vec) bool {
	in := false
	for _, r := range e {
		if r.box.Contains(p) && r.ring.Contains(p) {
			in = !in
		}
	}
	return in
}
