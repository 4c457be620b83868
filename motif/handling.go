package motif

// Allowances say what a piece weighs and how long it takes to cut.
type Allowances struct {
	FeltWeight float64 // g/m²
	Speed      float64 // of scissors along the edge, mm/s
	Corner     float64 // seconds to turn at each corner
	Hole       float64 // seconds to pierce the felt for each hole
}

// DefaultAllowances returns the weight of craft felt 1 mm thick, from memory,
// without a source (150 to 200 g/m² are sold), and a careful pace by hand: our
// own guess, without a source.
func DefaultAllowances() Allowances {
	return Allowances{FeltWeight: 180, Speed: 6, Corner: 2, Hole: 10}
}

// Weight returns the weight of one piece in grams.
func (a Allowances) Weight(p PieceMeasures) float64 { return p.Area * 1e-6 * a.FeltWeight }

// Seconds returns how long one piece takes to cut out: the way along its
// edge, and what its corners and holes take.
func (a Allowances) Seconds(p PieceMeasures) float64 {
	return p.Edge/a.Speed + a.Corner*float64(p.Corners) + a.Hole*float64(p.Holes)
}

// CylinderDepth is how deep the small-parts cylinder of 16 CFR 1501.4 is at
// its deepest, in mm: it is 1.25 in across, and its floor slants from 1 in to
// 2.25 in below the rim.
const CylinderDepth = 2.25 * 25.4

// IsSmallPart reports whether the piece at the given size is to be taken for
// one that fits into the small-parts cylinder of 16 CFR 1501.4, in which a part
// must fit whole, in any direction, without being pressed. Felt is flat and
// limp, so it is taken to roll up however thin: the piece fits where its
// narrowest direction is no wider than the cylinder is deep at its deepest.
// That is on the safe side, as it makes nothing of the slant, of the felt's
// thickness and of its stiffness; folding is not reckoned with. It is our own
// reading and no test.
func (p PieceMeasures) IsSmallPart(size float64) bool {
	return p.LeastWidth*size <= CylinderDepth
}
