package geom

// The tolerances of the project, each with its reason, in millimetres unless
// they say otherwise.
const (
	// FlattenTol is the farthest a drawn curve may lie from the straight steps
	// that replace it: half the edge of a fine pencil line, far below what
	// scissors can follow.
	FlattenTol = 0.05

	// Touch is the distance below which two outlines count as touching, not
	// overlapping. Files are written to a tenth of it.
	Touch = 1e-3

	// Snug is added to every clearance and gap asked for, so that a plan read
	// back from its rounded file still keeps them.
	Snug = 2e-3

	// Press is how deep two outlines on a sheet may overlap, or one a margin:
	// room for rounding where pieces fit exactly, and less than half of Touch, so
	// that what is laid counts as touching.
	Press = 4e-4

	// SamePoint is the distance below which two neighbouring outline points are
	// one: far below the flattening tolerance, far above rounding at the size of
	// a skirt (1e4 mm · 2⁻⁵² ≈ 2e-12).
	SamePoint = 1e-6

	// PoleTol is how near the widest circle in a shape is found: a tenth of the
	// flattening tolerance.
	PoleTol = 0.005

	// SameRatio is the relative difference below which two sizes or factors are
	// one; files carry four decimals of a size.
	SameRatio = 1e-6

	// SameAngle, in radians, is the turn below which two directions are one:
	// 1e-9 rad moves the edge of a 10 m cloth by 1e-5 mm.
	SameAngle = 1e-9

	// SliverArea, in mm², and SliverWidth are the least that scissors can cut
	// and hands can hold; common practice, no source.
	SliverArea  = 1
	SliverWidth = 0.3

	// SizeSlack is the share by which a finished outline may be stretched to
	// exactly the width asked for. Steps along a curve miss its outermost point by
	// up to FlattenTol, a thousandth of a motif of 50 mm; stretching adds no more
	// than that to FlattenTol.
	SizeSlack = 1e-3

	// MirrorTol is how far an outline may differ from its mirror image and still
	// pass for it: scissors stray as far from a drawn line; common practice, no
	// source.
	MirrorTol = 0.5

	// DrawnAlong is how far a line drawn along a panel's edge may lie from it and
	// still name it: a pencil line beside a pencil line; common practice, no
	// source.
	DrawnAlong = 1.0
)
