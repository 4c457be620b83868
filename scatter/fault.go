package scatter

import (
	"strew/motif/geom"
	"strew/scatter/skirt"
)

// Fault is why a cutout may not lie somewhere, apart from its neighbours.
type Fault string

// The faults.
const (
	None     Fault = ""
	OffCloth Fault = "off the cloth" // its anchor lies beyond the panel
	OnBare   Fault = "bare"          // its anchor lies on a bare patch
	AtWaist  Fault = "waist"         // it comes nearer to the waist than its clearance,
	AtHem    Fault = "hem"           // to the hem
	AtSeam   Fault = "seam"          // to a seam
	AtEdge   Fault = "edge"          // to the edge of a panel, or it reaches over a bare patch
)

// fault returns the first reason why a kind may not lie with its anchor at a point
// of the cloth, turned against the upright frame. The domain is that of the whole
// surface.
func (f *domain) fault(k *kind, p skirt.Point, turn float64) Fault {
	s, c := f.surface, f.opt.Clearance
	for _, b := range f.opt.Bare {
		if b.holds(s, p) {
			return OnBare
		}
	}
	if s.Banded() {
		rings := k.turned(turn)
		waist, hem := skirt.Ends(s, rings, s.Down(p.At))
		switch {
		case waist < c.Waist-geom.Snug:
			return AtWaist
		case hem < c.Hem-geom.Snug:
			return AtHem
		case c.Seam > 0 && !c.margins().OffSeams(s, k.placed(p.At, turn+s.Upright(p.At)), geom.Snug):
			return AtSeam
		}
	}
	if f.obstacles == nil {
		return None
	}
	at := f.fold.Spot(s.PlaceOf(p))
	if f.obstacles.far(at, k.reach+f.obstacles.widest) >= k.reach+f.obstacles.widest || f.obstacles.clearOf(at, k.turned(turn+at.Upright), k.reach) {
		return None
	}
	return AtEdge
}
