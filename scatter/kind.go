package scatter

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// kind is a Kind prepared for strewing: how far it reaches, at which turns it lies,
// and its discs.
type kind struct {
	Kind
	reach float64
	turns []float64 // against the upright frame; nil: any
	form  form
	round bool // as good as a disc about its anchor
	// inner are the medial-axis discs shrunk to lie inside the outline for certain, and
	// innerStray how far the outline strays from them at most.
	inner      []skirt.Disc
	innerStray float64
	runs       []run // of the outline's edges
	// period is the turn after which it looks the same again.
	period float64
	// present is set if it may come to lie on the cloth: if it is strewn or placed by
	// hand.
	present bool
}

// form is what is known of a kind's shape: its discs and measures.
type form struct {
	discs []skirt.Disc // inside the outline, in the motif's frame
	reach float64
	equal float64 // radius of a disc as large as the outline
	stray float64 // how far the outline strays from the discs
	outer float64 // how far the discs reach from the anchor
	inset float64 // by how much the farthest disc keeps off the anchor, below 0 where it holds it
	// Of the convex hull.
	hullArea, hullEdge float64
}

// strewn reports whether marks are dealt this kind. One whose share is 0 is only
// placed by hand.
func (k *kind) strewn() bool { return k.Share > 0 }

// strewn reports whether any kind is.
func (all kinds) strewn() bool {
	return slices.ContainsFunc(all, func(k kind) bool { return k.strewn() })
}

// roundness is how much farther than a disc of the same area an outline may reach
// and still pass for that disc: a 48-gon does, a pentagon does not.
const roundness = 1.03

// kinds are all kinds of a layout.
type kinds []kind

// kindsOf prepares kinds, some of which are placed by hand.
func kindsOf(all []Kind, fixed []Fixed) kinds {
	out := make(kinds, len(all))
	for i, in := range all {
		k := kind{Kind: in, present: in.Share > 0}
		area := 0.0
		for _, r := range in.Outline {
			k.reach = math.Max(k.reach, r.Reach(geom.Vec{}))
			area += math.Abs(r.Area())
		}
		switch in.Direction {
		case TwoWay:
			k.turns = []float64{in.Tilt, in.Tilt + math.Pi}
		case Tossed:
		default:
			k.turns = []float64{in.Tilt}
		}
		equal := math.Sqrt(area / math.Pi)
		var points []geom.Vec
		for _, r := range in.Outline {
			points = append(points, r...)
		}
		hull := geom.Hull(points)
		k.form = form{reach: k.reach, equal: equal, hullArea: math.Abs(hull.Area()), hullEdge: hull.Length()}
		k.form.discs, k.form.stray = medialDiscs(in.Outline, k.reach)
		k.form.inset = math.Inf(-1)
		for _, b := range k.form.discs {
			k.form.outer = math.Max(k.form.outer, b.At.Len()+b.Radius)
			k.form.inset = math.Max(k.form.inset, b.At.Len()-b.Radius)
		}
		k.runs = runsOf(in.Outline)
		k.inner, k.innerStray = innerDiscs(in.Outline, k.form.discs, k.reach)
		k.round = k.reach <= roundness*equal
		k.period = periodOf(in.Outline, k.reach)
		out[i] = k
	}
	for _, h := range fixed {
		if h.Kind >= 0 && h.Kind < len(out) {
			out[h.Kind].present = true
		}
	}
	return out
}

// checkKinds refuses a mix in which no motif has a share, unless cutouts are placed by hand.
func checkKinds(all []Kind, fixed []Fixed) error {
	sum := 0.0
	for _, k := range all {
		sum += math.Max(0, k.Share)
	}
	if sum == 0 && len(all) > 0 && len(fixed) > 0 {
		return nil
	}
	if len(all) == 0 || !(sum > 0) || math.IsInf(sum, 1) {
		return &Impossible{
			Key: "motif.0.share",
			Why: say.New("the shares of the motifs add up to 0"), Try: say.New("give at least one motif a share above 0"),
		}
	}
	return nil
}

// turned returns the outline turned in the upright frame.
func (k *kind) turned(turn float64) []geom.Ring {
	m := geom.Rotation(turn)
	out := make([]geom.Ring, len(k.Outline))
	for i, r := range k.Outline {
		out[i] = r.Transform(m)
	}
	return out
}

// cover returns discs that hold the outline at each of its turns, in the upright
// frame: the medial-axis discs, grown by how far the outline strays from them.
func (k *kind) cover() []skirt.Disc {
	if k.turns == nil {
		return []skirt.Disc{{Radius: k.reach}}
	}
	var out []skirt.Disc
	for _, t := range k.turns {
		for _, b := range k.form.discs {
			out = append(out, skirt.Disc{At: b.At.Rotate(t), Radius: b.Radius + k.form.stray})
		}
	}
	return out
}

// extremes returns discs whose distance to a seam on either side is that of the
// outline at any of its turns, in the upright frame: its points, or the circle it
// turns in.
func (k *kind) extremes() []skirt.Disc {
	if k.turns == nil {
		return []skirt.Disc{{Radius: k.reach}}
	}
	var out []skirt.Disc
	for _, t := range k.turns {
		for _, r := range k.turned(t) {
			for _, p := range r {
				out = append(out, skirt.Disc{At: p}, skirt.Disc{At: geom.Vec{X: -p.X, Y: p.Y}})
			}
		}
	}
	return out
}

// round reports whether all kinds on the cloth are discs.
func (all kinds) round() bool {
	for i := range all {
		if all[i].present && !all[i].round {
			return false
		}
	}
	return true
}

// shares returns every motif's part of the mix; they sum to 1, or to 0 where none is
// strewn.
func (all kinds) shares() []float64 {
	var share []float64
	for _, k := range all {
		for len(share) <= k.Motif {
			share = append(share, 0)
		}
		share[k.Motif] = math.Max(0, k.Share)
	}
	sum := 0.0
	for _, x := range share {
		sum += x
	}
	if sum == 0 {
		return share
	}
	for i := range share {
		share[i] /= sum
	}
	return share
}

// counts returns about how many of n marks carry each kind: motifs by share,
// then a motif's sizes equally.
func (all kinds) counts(n int) []int {
	share := all.shares()
	out := make([]int, len(all))
	sizes := make([][]int, len(share))
	for i, k := range all {
		sizes[k.Motif] = append(sizes[k.Motif], i)
	}
	for m, k := range shareOut(n, share) {
		for i, c := range shareOut(k, make([]float64, len(sizes[m]))) {
			out[sizes[m][i]] = c
		}
	}
	return out
}

// Counts returns about how many of n cutouts carry each kind; Run deals them
// panel by panel, and may differ by one for each motif.
func Counts(all []Kind, n int) []int {
	bare := make(kinds, len(all))
	for i, k := range all {
		bare[i].Kind = k
	}
	return bare.counts(n)
}
