package shape

import (
	"cmp"
	"math"
	"slices"

	"strew/motif/geom"
)

// Apart reports whether two regions lie at least gap apart, up to geom.Touch.
// Where the gap is 0 outlines may touch, and press into one another by no more
// than geom.Touch.
func Apart(g, h geom.Region, gap float64) bool {
	gb, hb := g.Box(), h.Box()
	if gb.Gap(hb) >= gap && (gap > 0 || boxDepth(gb, hb) <= geom.Touch) {
		return true
	}
	if least := gap - geom.Touch; least > 0 {
		return edgesApart(g, h, least) && !g.Contains(h.Outer[0]) && !h.Contains(g.Outer[0])
	}
	return penetration(g, h) <= geom.Touch && penetration(h, g) <= geom.Touch
}

// boxDepth returns how far two boxes overlap, negative where they do not.
func boxDepth(a, b geom.Box) float64 {
	return math.Min(
		math.Min(a.Max.X-b.Min.X, b.Max.X-a.Min.X),
		math.Min(a.Max.Y-b.Min.Y, b.Max.Y-a.Min.Y))
}

// edgesApart reports whether no edge of g comes within reach of one of h. Only edges
// that lie at about the same height are compared.
func edgesApart(g, h geom.Region, reach float64) bool {
	hb := h.Box()
	gb := g.Box().Grow(reach)
	type edge struct {
		a, b geom.Vec
		box  geom.Box
	}
	var near []edge
	tallest := 0.0
	for _, s := range h.Rings() {
		for j, c := range s {
			d := s.At(j + 1)
			if box := geom.BoxOf(c, d); box.Gap(gb) == 0 {
				near = append(near, edge{c, d, box})
				tallest = max(tallest, box.Height())
			}
		}
	}
	slices.SortFunc(near, func(e, f edge) int { return cmp.Compare(e.box.Min.Y, f.box.Min.Y) })
	for _, r := range g.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			box := geom.BoxOf(a, b).Grow(reach)
			if box.Gap(hb) > 0 {
				continue
			}
			first, _ := slices.BinarySearchFunc(near, box.Min.Y-tallest, func(e edge, y float64) int { return cmp.Compare(e.box.Min.Y, y) })
			for _, e := range near[first:] {
				if e.box.Min.Y > box.Max.Y {
					break
				}
				if e.box.Max.X >= box.Min.X && e.box.Min.X <= box.Max.X && geom.SegmentGap(a, b, e.a, e.b) < reach {
					return false
				}
			}
		}
	}
	return true
}

// penetration returns how deep edges of h reach into g, or some depth over geom.Touch.
// Every edge of h is cut where it meets edges of g; between two cuts it lies on one
// side, and is as deep as its ends and its middle are. Shapes that coincide are found
// out by points inside them.
func penetration(g, h geom.Region) float64 {
	deep := 0.0
	gb := g.Box()
	try := func(p geom.Vec) {
		if gb.Contains(p) && g.Contains(p) {
			deep = math.Max(deep, g.EdgeDist(p))
		}
	}
	for _, s := range h.Rings() {
		for j, c := range s {
			d := s.At(j + 1)
			if geom.BoxOf(c, d).Gap(gb) > 0 {
				continue
			}
			cuts := cutsOf(c, d, g)
			try(c)
			for k := 1; k < len(cuts); k++ {
				if t := (cuts[k-1] + cuts[k]) / 2; t > 0 && t < 1 {
					try(c.Lerp(d, t))
				}
			}
			if deep > geom.Touch {
				return deep
			}
		}
	}
	for _, p := range innerPoints(h) {
		try(p)
	}
	return deep
}

// cutsOf returns where the edge c–d meets edges of g, as shares of its length in order,
// its ends included.
func cutsOf(c, d geom.Vec, g geom.Region) []float64 {
	cuts := []float64{0, 1}
	e := d.Sub(c)
	l := e.Dot(e)
	for _, r := range g.Rings() {
		for i, a := range r {
			b := r.At(i + 1)
			if !(l > 0) || !geom.SegmentsCross(a, b, c, d) {
				continue
			}
			if q, ok := geom.Crossing(c, d, a, b); ok {
				cuts = append(cuts, q.Sub(c).Dot(e)/l)
			} else {
				cuts = append(cuts, a.Sub(c).Dot(e)/l, b.Sub(c).Dot(e)/l)
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}

// chordLevels is how many levels innerPoints takes and offLevel a share of the height
// by which they lie off the even ones, where outlines like to have points.
const (
	chordLevels = 5
	offLevel    = 0.0137
)

// innerPoints returns a few points of the region's felt: the middles of the
// chords on some levels.
func innerPoints(h geom.Region) []geom.Vec {
	var out []geom.Vec
	b := h.Box()
	for k := 1; k <= chordLevels; k++ {
		y := b.Min.Y + b.Height()*(float64(k)/(chordLevels+1)+offLevel)
		var xs []float64
		for _, r := range h.Rings() {
			for i, p := range r {
				q := r.At(i + 1)
				if (p.Y > y) != (q.Y > y) {
					xs = append(xs, p.X+(q.X-p.X)*(y-p.Y)/(q.Y-p.Y))
				}
			}
		}
		slices.Sort(xs)
		for i := 1; i < len(xs); i += 2 {
			out = append(out, geom.Vec{X: (xs[i-1] + xs[i]) / 2, Y: y})
		}
	}
	return out
}
