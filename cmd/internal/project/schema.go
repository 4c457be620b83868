package project

import (
	"math"
	"slices"

	"strew/motif/say"
)

// A project file is described by one table of keys for each of its tables.
// The types, ranges, defaults, examples and "did you mean" of every error come from
// here and from nowhere else.

// kind is what a key's value must be.
type kind int

const (
	text      kind = iota // any text, may be empty
	money                 // text; three letters must be a currency's code
	label                 // a name: text that is not empty, without control characters
	word                  // one of key.words
	drawing               // the path of a drawing
	length                // millimetres; above 0
	gap                   // millimetres; 0 or more
	lengthOr              // a length, or one of key.words
	number                // a number from key.min to key.max
	cost                  // a number that is money
	count                 // a whole number from key.min to key.max
	truth                 // true or false
	colour                // "#rrggbb"
	colours               // a list of colours
	sizes                 // a list of numbers without duplicates
	spare                 // "5%" or a count
	span                  // [from, to], two lengths
	pairs                 // [["a", "b"], …], pairs of names
	labels                // a name or a list of names
	glueStick             // "11 mm x 200 mm"
)

// key is one key of a table. Lengths are in millimetres.
type key struct {
	name     string
	is       kind
	min, max float64     // of numbers, counts and lengths; of text, its characters. A length's max of 0 is longest
	why      say.Message // the reason for the range
	words    []string
	anyCase  bool        // of words: "a4" is "A4"
	long     bool        // of lengths: shown and typed in metres or yards, as cloth and thread are sold
	def      any         // what it is when left out; nil where complete decides
	eg       string      // the value of an example, as written in the file
	need     say.Message // set where the key must be given: what it is
}

// table is one table of the file, with its keys in the order a message lists
// them.
type table struct {
	name string      // "" for the keys above all tables
	many bool        // written [[name]], any number of times
	what say.Message // of a table that may stand many times: what each one is
	keys []key
}

const (
	longest    = 20_000     // mm; no skirt, lay or roll is longer, so a longer one is in the wrong unit
	longReel   = 10_000_000 // mm; an industrial cone of thread
	waistLeast = 100        // mm; a doll's
	waistMost  = 3_000      // mm; wider than any body
	nameLength = 60         // characters; more does not fit a label on the placement map

	mostFigures = 200 // on one page; the tracer takes more for a pattern

	titleLength = 100 // characters; more does not fit the head of a page
)

// Reasons for ranges that several keys share.
var (
	whyBody        = say.New("a body measures between 10 cm and 3 m round")
	whyCircle      = say.New("less than a quarter circle hangs like a tube, more than four circles will not gather into one waist seam")
	whyFigures     = say.New("it is the number of a figure in the picture")
	whyFabricPrice = say.New("it is the price of a metre, or of the length that it is said to be for")
	whyPanels      = say.New("each panel is a piece to cut and a seam to sew")
	whyCutouts     = say.New("each one is cut out by hand")
)

var schema = []table{
	{name: "", keys: []key{
		{name: "title", is: text, max: titleLength, def: "Skirt", eg: `"Ginkgo walk"`},
		{name: "unit", is: word, words: []string{"mm", "cm", "in"}, def: "cm", eg: `"cm"`},
		{name: "seed", is: count, max: math.MaxInt64, def: 1, eg: `7`},
	}},
	{name: "skirt", keys: []key{
		{name: "cut", is: word, words: []string{"circle", "rectangle", "gores", "outline"}, eg: `"circle"`, need: say.New("how the skirt is cut")},
		{name: "waist", is: length, min: waistLeast, max: waistMost, why: whyBody, eg: `"68 cm"`},
		{name: "hip", is: length, min: waistLeast, max: waistMost, why: whyBody, eg: `"94 cm"`},
		{name: "length", is: length, eg: `"60 cm"`},
		{name: "waistband", is: gap, def: 0.0, eg: `"4 cm"`},
		{name: "drop", is: length, eg: `"56 cm"`},
		{name: "fullness", is: number, min: 1, max: 6, def: 1.0, eg: `2`,
			why: say.New("below 1 the layer does not reach round the waist, above 6 it will not gather into the seam")},
		{name: "circle", is: number, min: 0.25, max: 4, def: 1.0, eg: `1`, why: whyCircle},
		{name: "panels", is: count, min: 1, max: 64, def: 1, eg: `2`, why: whyPanels},
		{name: "hem_girth", is: length, eg: `"2.4 m"`},
		{name: "hem", is: word, words: []string{"curved", "straight"}, def: "curved", eg: `"curved"`},
		{name: "outline", is: drawing, eg: `"cape.svg"`},
		{name: "seams", is: pairs, eg: `[["left", "right"]]`},
		{name: "waist_edge", is: labels, eg: `"neck"`},
		{name: "seam_allowance", is: gap, def: 12.0, eg: `"12 mm"`},
		{name: "layers", is: count, min: 1, max: 20, def: 1, eg: `3`, why: say.New("there is at least one, and more than 20 will not go into one waist seam")},
		{name: "colour", is: colour, def: "#b9c4c9", eg: `"#2d4a3e"`},
		{name: "opacity", is: number, min: 0, max: 1, def: 0.25, eg: `0.25`, why: say.New("0 is clear, 1 hides all that lies under it")},
		{name: "fabric_width", is: length, def: 1500.0, eg: `"150 cm"`},
		{name: "fabric_price", is: cost, min: 0, max: 1e6, eg: `2.40`, why: whyFabricPrice},
		{name: "fabric_price_per", is: length, long: true, eg: `"1 m"`},
	}},
	{name: "lining", keys: []key{
		{name: "fullness", is: number, min: 0.5, max: 6, def: 1.0, eg: `1`,
			why: say.New("below 0.5 it does not close round the body, above 6 it will not gather into the seam")},
		{name: "circle", is: number, min: 0.25, max: 4, eg: `1`, why: whyCircle},
		{name: "shorter_by", is: gap, def: 25.0, eg: `"2.5 cm"`},
		{name: "girth", is: word, words: []string{"hip", "waist"}, def: "hip", eg: `"hip"`},
		{name: "colour", is: colour, def: "#d9d9d9", eg: `"#1f2f28"`},
		{name: "fabric_width", is: length, def: 1400.0, eg: `"140 cm"`},
		{name: "fabric_price", is: cost, min: 0, max: 1e6, eg: `3.90`, why: whyFabricPrice},
		{name: "fabric_price_per", is: length, long: true, eg: `"1 m"`},
	}},
	{name: "motif", many: true, what: say.New("motif"), keys: []key{
		{name: "name", is: label, min: 1, max: nameLength, eg: `"ginkgo"`, need: say.New("what the motif is called")},
		{name: "outline", is: drawing, eg: `"ginkgo.svg"`, need: say.New("the file of its drawing")},
		{name: "width", is: length, eg: `"6 cm"`},
		{name: "height", is: length, eg: `"6 cm"`},
		{name: "paper", is: word, anyCase: true, words: []string{"A3", "A4", "A5", "letter", "legal", "tabloid"}, eg: `"A4"`},
		{name: "pick", is: count, min: 1, max: mostFigures, eg: `2`, why: whyFigures},
		{name: "cut", is: count, max: mostCutouts, def: 0, eg: `12`, why: whyCutouts},
		{name: "sizes", is: sizes, min: 0, max: 10, def: []float64{1}, eg: `[1.0, 0.7]`},
		{name: "share", is: number, min: 0, max: 1000, def: 1.0, eg: `3`, why: say.New("it is a part of the mix, against the other motifs")},
		{name: "colour", is: colour, eg: `"#d9a521"`},
		{name: "direction", is: word, words: []string{"one-way", "two-way", "tossed"}, def: "one-way", eg: `"tossed"`},
		{name: "tilt", is: number, min: -360, max: 360, def: 0.0, eg: `15`, why: say.New("it is an angle in degrees")},
	}},
	{name: "scatter", keys: []key{
		{name: "pattern", is: word, words: []string{"polka", "grid", "hemband"}, def: "polka", eg: `"polka"`},
		{name: "spacing", is: length, eg: `"11 cm"`},
		{name: "spacing_waist", is: length, eg: `"11 cm"`},
		{name: "jitter", is: number, min: 0, max: 1, def: 0.5, eg: `0.5`, why: say.New("0 keeps regular rows, 1 is as loose as the clearance allows")},
		{name: "row_spacing", is: length, eg: `"9.5 cm"`},
		{name: "stagger", is: truth, def: false, eg: `true`},
		{name: "rows", is: count, min: 1, max: 100, def: 1, eg: `2`, why: say.New("a hem band has one row or a few")},
		{name: "rise", is: length, eg: `"6 cm"`},
		{name: "repeat", is: count, min: 1, max: 1000, eg: `2`, why: say.New("it is how often the layout repeats round the skirt")},
		{name: "even", is: word, words: []string{"flat", "worn"}, def: "flat", eg: `"flat"`},
		{name: "cutouts", is: count, min: 1, max: mostCutouts, eg: `60`, why: whyCutouts},
		{name: "sheets", is: count, min: 1, max: 1000, eg: `3`, why: say.New("it is the felt you mean to use up")},
		{name: "budget", is: cost, min: 0.01, max: 1e6, eg: `25`, why: say.New("it is the money you mean to spend on felt")},
	}},
	{name: "clearance", keys: []key{
		{name: "between", is: gap, def: 5.0, eg: `"1.5 cm"`},
		{name: "waist", is: gap, def: 10.0, eg: `"6 cm"`},
		{name: "hem", is: gap, def: 10.0, eg: `"1.5 cm"`},
		{name: "seam", is: gap, def: 0.0, eg: `"1 cm"`},
	}},
	{name: "bare", many: true, what: say.New("place without cutouts"), keys: []key{
		{name: "panel", is: count, min: 1, max: 64, eg: `1`, why: whyPanels, need: say.New("which panel stays bare")},
		{name: "down", is: span, eg: `[0, 18]`},
		{name: "around", is: span, eg: `[0, 6]`},
	}},
	{name: "fixed", many: true, what: say.New("cutout placed by hand"), keys: []key{
		{name: "motif", is: label, min: 1, max: nameLength, eg: `"ginkgo"`, need: say.New("which motif is placed")},
		{name: "panel", is: count, min: 1, max: 64, eg: `1`, why: whyPanels, need: say.New("which panel it lies on")},
		{name: "down", is: gap, eg: `"40 cm"`, need: say.New("how far below the waist seam it lies")},
		{name: "around", is: gap, eg: `"52 cm"`, need: say.New("how far from the panel's left edge it lies")},
		{name: "turn", is: number, min: -360, max: 360, def: 0.0, eg: `15`, why: say.New("it is an angle in degrees")},
		{name: "size", is: number, min: 0, max: 10, def: 1.0, eg: `1`, why: say.New("it is one of the motif's sizes")},
	}},
	{name: "cutting", keys: []key{
		{name: "gap", is: gap, def: 3.0, eg: `"3 mm"`},
		{name: "spare", is: spare, max: mostCutouts, def: spares{share: 0.05}, eg: `"5%"`},
		{name: "trace_on", is: word, words: []string{"back", "front"}, def: "back", eg: `"back"`},
		{name: "effort", is: count, min: 0, max: 10, def: 3, eg: `3`, why: say.New("0 is quick, 10 is thorough")},
	}},
	{name: "backing", keys: []key{
		{name: "shape", is: word, words: []string{"none", "square", "round"}, def: "none", eg: `"none"`},
		{name: "size", is: lengthOr, words: []string{"auto"}, def: "auto", eg: `"auto"`},
		{name: "colour", is: colour, eg: `"#3a3a3a"`},
	}},
	{name: "sheet", many: true, what: say.New("kind of felt"), keys: []key{
		{name: "name", is: label, min: 1, max: nameLength, eg: `"craft felt A4"`, need: say.New("what the felt is called in the shopping list")},
		{name: "width", is: length, eg: `"21 cm"`, need: say.New("how wide the sheet is")},
		{name: "height", is: length, eg: `"29.7 cm"`},
		{name: "margin", is: gap, def: 0.0, eg: `"4 mm"`},
		{name: "colours", is: colours, eg: `["#d9a521"]`},
		{name: "nap", is: word, words: []string{"none", "four-way", "two-way", "one-way"}, def: "none", eg: `"none"`},
		{name: "price", is: cost, min: 0, max: 1e6, eg: `1.10`, why: say.New("it is the price of one sheet, or of a metre of a roll")},
		{name: "stock", is: count, min: 0, max: 10_000, def: 0, eg: `1`, why: say.New("it is how many sheets are in the drawer")},
		{name: "buy", is: truth, def: true, eg: `true`},
		{name: "roll", is: truth, def: false, eg: `true`},
		{name: "price_per", is: length, long: true, eg: `"1 m"`},
		{name: "sold_by", is: length, eg: `"10 cm"`},
	}},
	{name: "supplies", keys: []key{
		{name: "fixing", is: word, words: []string{"glue", "sew"}, def: "glue", eg: `"glue"`},
		{name: "glue_stick", is: glueStick, eg: `"11 mm x 200 mm"`},
		{name: "paper", is: word, anyCase: true, words: []string{"A4", "A3", "letter", "tabloid", "large"}, def: "A4", eg: `"A4"`},
		{name: "currency", is: money, max: 12, def: "", eg: `"EUR"`},
		{name: "fixing_price", is: cost, min: 0, max: 1e6, eg: `0.30`, why: say.New("it is the price of one glue stick or of one reel of thread")},
		{name: "paper_price", is: cost, min: 0, max: 1e6, eg: `0.05`, why: say.New("it is the price of one printed sheet of paper")},
		{name: "felt_weight", is: number, min: 10, max: 3000, eg: `180`, why: say.New("it is in grams per square metre")},
		{name: "net_weight", is: number, min: 1, max: 3000, def: 20.0, eg: `20`, why: say.New("it is in grams per square metre, of one layer")},
		{name: "cutting_speed", is: length, max: 1000, eg: `"6 mm"`},
		{name: "fixing_time", is: number, min: 1, max: 3600, eg: `40`, why: say.New("it is in seconds for each piece")},
		{name: "glue_per_piece", is: number, min: 0.01, max: 100, def: 0.25, eg: `0.25`, why: say.New("it is in cubic centimetres")},
		{name: "thread_per_piece", is: length, def: 400.0, eg: `"40 cm"`},
		{name: "thread_reel", is: length, long: true, max: longReel, def: 100_000.0, eg: `"100 m"`},
	}},
}

// mostCutouts is the most cutouts that can be asked for: years of cutting by hand.
const mostCutouts = 10_000

// tableNamed returns the description of a table of the file.
func tableNamed(name string) (table, bool) {
	i := slices.IndexFunc(schema, func(t table) bool { return t.name == name })
	if i < 0 {
		return table{}, false
	}
	return schema[i], true
}

// key returns the description of one key of t.
func (t table) key(name string) (key, bool) {
	i := slices.IndexFunc(t.keys, func(k key) bool { return k.name == name })
	if i < 0 {
		return key{}, false
	}
	return t.keys[i], true
}

// header is how the table's name stands in the file.
func (t table) header() string {
	if t.many {
		return "[[" + t.name + "]]"
	}
	return "[" + t.name + "]"
}

// full is the key as an error names it.
func (t table) full(name string) string {
	if t.name == "" {
		return name
	}
	return t.name + "." + name
}
