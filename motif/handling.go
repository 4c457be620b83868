package motif

// Allowances are what weight and cutting time are estimated from.
type Allowances struct {
	FeltWeight float64 // g/m²
	Speed      float64 // of scissors along the edge, mm/s
	Corner     float64 // seconds to turn at each corner
	Hole       float64 // seconds to pierce the felt for each hole
}

// DefaultAllowances returns the weight of craft felt 1 mm thick (from memory, no
// source; 150 to 200 g/m² are sold) and a careful pace by hand (our own guess, no
// source).
func DefaultAllowances() Allowances {
	return Allowances{FeltWeight: 180, Speed: 6, Corner: 2, Hole: 10}
}

// Weight returns the weight of one piece in grams.
func (a Allowances) Weight(p PieceMeasures) float64 { return p.Area * 1e-6 * a.FeltWeight }

// Seconds returns how long one piece takes to cut out: along its edge, at its
// corners and for its holes.
func (a Allowances) Seconds(p PieceMeasures) float64 {
	return p.Edge/a.Speed + a.Corner*float64(p.Corners) + a.Hole*float64(p.Holes)
}

// CylinderDepth is the greatest depth, in mm, of the small-parts cylinder of
// 16 CFR 1501.4, which is 1.25 in across with a floor that slants from 1 in to
// 2.25 in below the rim.
const CylinderDepth = 2.25 * 25.4

// IsSmallPart reports whether the piece at the given size may fit into the
// small-parts cylinder of 16 CFR 1501.4: whole, in any direction, without being
// compressed. Felt is flat and limp, so it is assumed to roll up as tightly as need
// be: the piece fits where its narrowest direction is no wider than the cylinder
// is deep at its deepest. That is on the safe side, as it ignores the slanted
// floor and the felt's thickness and stiffness; folding is not considered. It is
// our own reading of the rule, and no test.
func (p PieceMeasures) IsSmallPart(size float64) bool {
	return p.LeastWidth*size <= CylinderDepth
}
