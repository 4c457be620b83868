package geom

// Every tolerance of the project stands here with its reason. All are in
// millimetres unless they say otherwise.
const (
	// FlattenTol is the farthest a drawn curve may lie from the straight steps
	// it is cut along: half of a fine pencil line's edge, far below what
	// scissors can follow.
	FlattenTol = 0.05

	// Touch is the distance under which two outlines count as touching rather
	// than overlapping. Files are written to a tenth of it.
	Touch = 1e-3

	// Snug is the slack given away on every clearance and gap, so that a plan
	// read back from its rounded file still keeps what was asked.
	Snug = 2e-3

	// Press is how far the lay engine lets two outlines press into one another
	// or into a margin: room for float noise where pieces fit exactly, and
	// under half of Touch, so that what it lays passes as touching.
	Press = 4e-4

	// SamePoint is the distance under which two neighbouring outline points
	// are one: far below the flattening tolerance, far above float noise at
	// the size of a skirt (1e4 mm · 2⁻⁵² ≈ 2e-12).
	SamePoint = 1e-6

	// InscribedTol is how near the widest circle in a shape is found: a tenth
	// of the flattening tolerance.
	InscribedTol = 0.005

	// SameRatio is the relative difference under which two sizes or factors
	// are one; files carry four decimals of a size.
	SameRatio = 1e-6

	// SameAngle, in radians, is the turn under which two directions are one:
	// 1e-9 rad moves the edge of a 10 m cloth by 1e-5 mm.
	SameAngle = 1e-9

	// SliverArea, in mm², and SliverWidth are the least that scissors can cut
	// and hands can hold; common practice, no source.
	SliverArea  = 1
	SliverWidth = 0.3

	// SizeSlack is the share by which a finished outline may be stretched to
	// the very width asked. Steps along a curve miss its outermost point by up
	// to FlattenTol, a thousandth on a motif of 50 mm; FlattenTol grows by no
	// more than that.
	SizeSlack = 1e-3

	// MirrorTol is how far an outline may stray from its own mirror image and
	// still pass for it: scissors stray as far from a drawn line; common
	// practice, no source.
	MirrorTol = 0.5

	// DrawnAlong is how far a line drawn along a panel's edge may stray from it
	// and still name it: a pencil line beside a pencil line; common practice, no
	// source.
	DrawnAlong = 1.0
)
