package project

// The words of a project file, where a key takes one of a few. A value is the
// word as written in the file. In a Project each key has one of its words, its
// default if none is written; the zero value occurs only where a comment says so.

// Cut is how a skirt or its lining is cut. Zero: there is no skirt, as for
// LoadLay.
type Cut string

// The cuts.
const (
	CutCircle    Cut = "circle"    // panels are parts of a ring
	CutRectangle Cut = "rectangle" // straight panels, gathered into the waist
	CutGores     Cut = "gores"     // panels that flare from waist to hem
	CutOutline   Cut = "outline"   // panels are drawn
)

// Pattern is how cutouts are strewn.
type Pattern string

// The patterns.
const (
	PatternPolka   Pattern = "polka"
	PatternGrid    Pattern = "grid"
	PatternHemBand Pattern = "hemband"
)

// Direction is how a motif may be turned on the skirt.
type Direction string

// The directions.
const (
	DirectionOneWay Direction = "one-way" // upright
	DirectionTwoWay Direction = "two-way" // upright or upside down
	DirectionTossed Direction = "tossed"  // any turn
)

// Nap is how a piece may be turned on felt.
type Nap string

// The naps.
const (
	NapNone    Nap = "none"     // any turn
	NapFourWay Nap = "four-way" // quarter turns
	NapTwoWay  Nap = "two-way"  // half turns
	NapOneWay  Nap = "one-way"  // no turn
)

// Girth is the measure of the body that a lining's seam is cut to.
type Girth string

// The girths.
const (
	GirthHip   Girth = "hip"
	GirthWaist Girth = "waist"
)

// Even is where cutouts lie evenly.
type Even string

// Where cutouts lie evenly.
const (
	EvenFlat Even = "flat" // on the flat panel
	EvenWorn Even = "worn" // once the fullness is gathered in
)

// Patch is the shape of the backing patches.
type Patch string

// The shapes of patches.
const (
	PatchNone   Patch = "none" // there are none
	PatchSquare Patch = "square"
	PatchRound  Patch = "round"
)

// Fixing is how cutouts are fixed to the net.
type Fixing string

// The ways to fix cutouts.
const (
	FixingGlue Fixing = "glue"
	FixingSew  Fixing = "sew"
)

// Side is the side of the felt that outlines are traced on.
type Side string

// The sides.
const (
	SideBack  Side = "back" // lays are drawn mirrored
	SideFront Side = "front"
)

// Paper is a size of paper. Zero, of a motif: no sheet gives its size.
type Paper string

// The papers that both a printer and a photo may have, and the one for a plan
// printed on one page. A photo may show A5 and legal as well.
const (
	PaperA4      Paper = "A4"
	PaperA3      Paper = "A3"
	PaperLetter  Paper = "letter"
	PaperTabloid Paper = "tabloid"
	PaperLarge   Paper = "large" // one page as large as need be
)
