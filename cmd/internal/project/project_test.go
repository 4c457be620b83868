package project

import (
	"fmt"
	"io/fs"
	"math"
	"reflect"
	"strings"
	"testing"

	"strew/motif/say"
)

// mustParse reads a file that has nothing wrong.
func mustParse(t *testing.T, file string) Project {
	t.Helper()
	p, err := Parse([]byte(file), "p.toml", "folder")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The least file, and all that is filled in.
func TestDefaults(t *testing.T) {
	p := mustParse(t, goodSkirt+goodMotif+goodScatter)
	want := Project{
		Dir: "folder", File: "p.toml", Title: "Skirt", Unit: "cm", Seed: 1,
		Skirt: Skirt{Cut: "circle", Waist: 680, Length: 600, Drop: 600, Fullness: 1, Circle: 1, Panels: 1, SeamAllowance: 12,
			Layers: 1, Colour: "#b9c4c9", Opacity: 0.25, FabricWidth: 1500, FabricPrice: ByLength{Per: 1000}},
		Motifs:    []Motif{{Name: "ginkgo", Outline: "ginkgo.svg", Sizes: []float64{1}, Share: 1, Direction: "one-way", Line: 7}},
		Scatter:   Scatter{Pattern: "polka", Spacing: 110, Even: EvenFlat, Jitter: 0.5, Rows: 1, Repeat: 1},
		Clearance: Clearance{Between: 5, Waist: 10, Hem: 10},
		Cutting:   Cutting{Gap: 3, SpareShare: 0.05, TraceOn: SideBack, Effort: 3},
		Backing:   Backing{Shape: "none"},
		Sheets:    []Sheet{{Name: "craft felt A4", Width: 210, Height: 297, Margin: 4, Nap: "none"}},
		Supplies:  Supplies{Fixing: "glue", Paper: "A4", NetWeight: 20, GluePerPiece: 0.25, ThreadPerPiece: 400, ThreadReel: 100_000},
	}
	p.from = nil
	if !reflect.DeepEqual(p, want) {
		t.Errorf("got  %+v\nwant %+v", p, want)
	}
}

func TestLiningDefaults(t *testing.T) {
	p := mustParse(t, goodSkirt+"hip = 94\ncircle = 0.5\n"+goodMotif+goodScatter+"[lining]\n")
	if want := (Lining{Fullness: 1, Cut: "circle", Circle: 0.5, ShorterBy: 25, Girth: "hip", Colour: "#d9d9d9", FabricWidth: 1400, FabricPrice: ByLength{Per: 1000}}); *p.Lining != want {
		t.Errorf("got %+v, want %+v", *p.Lining, want)
	}
	p = mustParse(t, "[skirt]\ncut = \"rectangle\"\nwaist = 68\nlength = 60\n"+goodMotif+goodScatter+"[lining]\ngirth = \"waist\"\n")
	if p.Lining.Cut != "rectangle" || p.Lining.Circle != 0 {
		t.Errorf("under a rectangle the lining's circle is %v, want 0: cut as the rectangle", p.Lining.Circle)
	}
	if p := mustParse(t, goodSkirt+goodMotif+goodScatter); p.Lining != nil {
		t.Errorf("lining %+v, want none", *p.Lining)
	}
}

func TestDrop(t *testing.T) {
	tests := []struct {
		keys         string
		length, drop float64
	}{
		{"length = 60", 600, 600},
		{"length = 60\nwaistband = 4", 600, 560},
		{"length = 60\nwaistband = 4\ndrop = 57", 600, 570},
		{"waistband = 4\ndrop = 57", 610, 570},
		{"drop = 57", 570, 570},
	}
	for _, test := range tests {
		p := mustParse(t, "[skirt]\ncut = \"circle\"\nwaist = 68\n"+test.keys+"\n"+goodMotif+goodScatter)
		if p.Skirt.Length != test.length || p.Skirt.Drop != test.drop {
			t.Errorf("%q: length %v, drop %v; want %v, %v", test.keys, p.Skirt.Length, p.Skirt.Drop, test.length, test.drop)
		}
	}
}

func TestValues(t *testing.T) {
	p := mustParse(t, `
clearance.hem = 2         # read in inches, though the unit follows
unit = "in"
[skirt]
cut = "circle"
waist = 27
length = "24½in"
waistband = '1 1/2"'
drop = "1 ft 11 in"
panels = 4.0
circle = 2
colour = "#AbC"
hip = "2-3/4 ft"
opacity = 1
[[motif]]
name = " snail "
outline = "../drawings/SNAIL.SVG"
width = "2 3/4 in"
sizes = [1, 0.75]
colour = "#D9A521"
tilt = -90
[scatter]
cutouts = 60.0
repeat = 8
[cutting]
spare = 2
trace_on = "front"
[backing]
shape = "none"
[[sheet]]
name = "felt"
width = 9
height = "12 in"
colours = ["#FFF", "#ffffff", "#000000"]
roll = false
price = 0
[supplies]
glue_stick = "7.2mm×100mm"
`)
	// 1 in is 25.4 mm, 1 ft is 12 in: international yard and pound agreement, 1959.
	for _, test := range []struct {
		what      string
		got, want any
	}{
		{"hem", p.Clearance.Hem, 2 * 25.4},
		{"waist", p.Skirt.Waist, 27 * 25.4},
		{"length", p.Skirt.Length, 24.5 * 25.4},
		{"waistband", p.Skirt.Waistband, 1.5 * 25.4},
		{"drop", p.Skirt.Drop, 304.8 + 11*25.4},
		{"hip", p.Skirt.Hip, 2.75 * 304.8},
		{"panels", p.Skirt.Panels, 4},
		{"circle", p.Skirt.Circle, 2.0},
		{"colour", p.Skirt.Colour, "#aabbcc"},
		{"name", p.Motifs[0].Name, "snail"},
		{"outline", p.Motifs[0].Outline, "../drawings/SNAIL.SVG"},
		{"width", p.Motifs[0].Width, 2.75 * 25.4},
		{"sizes", p.Motifs[0].Sizes, []float64{1, 0.75}},
		{"motif colour", p.Motifs[0].Colour, "#d9a521"},
		{"tilt", p.Motifs[0].Tilt, -math.Pi / 2},
		{"line of the outline", p.Motifs[0].Line, 17},
		{"cutouts", p.Scatter.Cutouts, 60},
		{"spacing", p.Scatter.Spacing, 0.0},
		{"repeat", p.Scatter.Repeat, 8},
		{"repeat set", p.Scatter.RepeatSet, true},
		{"spare", p.Cutting.SpareCount, 2},
		{"spare share", p.Cutting.SpareShare, 0.0},
		{"trace on the back", p.Cutting.TraceOn, SideFront},
		{"sheet width", p.Sheets[0].Width, 9 * 25.4},
		{"colours", p.Sheets[0].Colours, []string{"#ffffff", "#000000"}},
		{"price set", p.Sheets[0].PriceSet, true},
		{"glue stick", p.Supplies.GlueStick, [2]float64{7.2, 100}},
		{"notes", len(p.Notes), 0},
	} {
		g, isFloat := test.got.(float64)
		if w, ok := test.want.(float64); isFloat && ok && math.Abs(g-w) <= 1e-12*math.Abs(w) {
			continue
		}
		if !reflect.DeepEqual(test.got, test.want) {
			t.Errorf("%s: got %v, want %v", test.what, test.got, test.want)
		}
	}
}

func TestRepeatDefaultsToPanels(t *testing.T) {
	for panels, allowed := range map[int][]int{1: {1, 2, 7}, 4: {1, 2, 4, 8, 12}, 6: {1, 2, 3, 6, 12}} {
		skirt := fmt.Sprintf("%spanels = %d\n", goodSkirt, panels)
		if p := mustParse(t, skirt+goodMotif+goodScatter); p.Scatter.Repeat != panels || p.Scatter.RepeatSet {
			t.Errorf("%d panels: repeat %d, set %v", panels, p.Scatter.Repeat, p.Scatter.RepeatSet)
		}
		for _, n := range allowed {
			p := mustParse(t, fmt.Sprintf("%s%s%srepeat = %d\n", skirt, goodMotif, goodScatter, n))
			if p.Scatter.Repeat != n || !p.Scatter.RepeatSet {
				t.Errorf("%d panels, repeat = %d: got %d, set %v", panels, n, p.Scatter.Repeat, p.Scatter.RepeatSet)
			}
		}
	}
}

func TestSpares(t *testing.T) {
	for text, want := range map[string]Cutting{
		`"5%"`:     {SpareShare: 0.05},
		`" 7.5 %"`: {SpareShare: 0.075},
		`"7,5%"`:   {SpareShare: 0.075},
		`"0%"`:     {},
		`"100%"`:   {SpareShare: 1},
		`3`:        {SpareCount: 3},
		`3.0`:      {SpareCount: 3},
		`0`:        {},
	} {
		got := mustParse(t, goodSkirt+goodMotif+goodScatter+"[cutting]\nspare = "+text+"\n").Cutting
		if got.SpareShare != want.SpareShare || got.SpareCount != want.SpareCount {
			t.Errorf("spare = %s: share %v, count %d; want %v, %d", text, got.SpareShare, got.SpareCount, want.SpareShare, want.SpareCount)
		}
	}
}

func TestHarmlessValuesPass(t *testing.T) {
	mustParse(t, goodSkirt+goodMotif+goodScatter+"spacing_waist = \"110 mm\"\neven = \"flat\"\n[backing]\nshape = \"none\"\n[[sheet]]\nname = \"felt\"\nwidth = 20\nheight = 30\nroll = false\n")
}

func TestNotes(t *testing.T) {
	p := mustParse(t, "[skirt]\ncut = \"rectangle\"\nwaist = 68\nhip = 60\nlength = 60\ncircle = 1\n"+
		goodMotif+"tilt = 10\ndirection = \"tossed\"\n"+goodScatter+"pattern = \"grid\"\njitter = 0\nrows = 2\nrise = 6\nrow_spacing = 9\n"+
		"[supplies]\nfixing = \"sew\"\nglue_stick = \"7 mm x 100 mm\"\n[backing]\nsize = \"auto\"\n[[sheet]]\nname = \"felt\"\nwidth = 20\nheight = 30\n")
	want := []string{
		`skirt.circle is only used with cut "circle"`,
		`scatter.jitter is only used with pattern "polka"`,
		`scatter.rows is only used with pattern "hemband"`,
		`scatter.rise is only used with pattern "hemband"`,
		`motif.tilt of "ginkgo" is only used with direction "one-way" or "two-way"`,
		`backing.size is only used with shape "square" or "round"`,
		`supplies.glue_stick is only used with fixing "glue"`,
		`skirt.hip (60 cm) is less than skirt.waist (68 cm)`,
	}
	if got := strings.Join(told(p), "\n"); got != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", got, strings.Join(want, "\n"))
	}
	p = mustParse(t, goodSkirt+goodMotif+goodScatter+"pattern = \"polka\"\nrow_spacing = 9\nstagger = true\n")
	want = []string{
		`scatter.row_spacing is only used with pattern "grid" or "hemband"`,
		`scatter.stagger is only used with pattern "grid" or "hemband"`,
	}
	if !reflect.DeepEqual(told(p)[:2], want) {
		t.Errorf("got %q, want %q", told(p), want)
	}
}

// The order of tables and keys does not matter.
func TestOrderDoesNotMatter(t *testing.T) {
	a := mustParse(t, goodSkirt+goodMotif+goodScatter)
	b := mustParse(t, goodScatter+goodMotif+"[skirt]\nlength = 60\nwaist = 68\ncut = \"circle\"\n")
	a.from, b.from = nil, nil
	a.Motifs[0].Line, b.Motifs[0].Line = 0, 0
	if !reflect.DeepEqual(a, b) {
		t.Errorf("%+v\n%+v", a, b)
	}
}

func TestExample(t *testing.T) {
	p, files := Example()
	if _, err := fs.Stat(files, starter); err != nil {
		t.Error(err)
	}
	for _, m := range p.Motifs {
		if _, err := fs.Stat(files, m.Outline); err != nil {
			t.Errorf("motif %s: %v", m.Name, err)
		}
	}
	if err := faultOf(p); err != "" {
		t.Error(err)
	}
	if p.Title != "Ginkgo walk" || p.File != "" || len(p.Motifs) != 2 || p.Lining == nil || len(p.Notes) != 0 {
		t.Errorf("%+v", p)
	}
	again, _ := Example()
	again.Motifs[0].Sizes[0] = 9
	if third, _ := Example(); third.Motifs[0].Sizes[0] == 9 {
		t.Error("a change to one example shows in the next")
	}
}

func ExampleParse() {
	file := `unit = "cm"
[skirt]
cut    = "circle"
waist  = 680
lenght = 60
`
	_, err := Parse([]byte(file), "snail meadow.toml", ".")
	for _, e := range err.(Problems) {
		if e.Line > 2 {
			fmt.Println(e)
		}
	}
	// Output:
	// snail meadow.toml:4:1: skirt.waist: 680 cm is too large: a body measures between 10 cm and 3 m round; numbers without a unit are in cm
	// snail meadow.toml:5:1: skirt.lenght: there is no such key; the keys of [skirt] are cut, waist, hip, length, waistband, drop, fullness, circle, panels, hem_girth, hem, outline, seams, waist_edge, seam_allowance, layers, colour, opacity, fabric_width, fabric_price and fabric_price_per; did you mean "length"
}

// Codes of ISO 4217 in any case, signs and words; a word of three letters would
// be taken for a code (bad_test.go).
func TestCurrency(t *testing.T) {
	for in, want := range map[string]string{"EUR": "EUR", "chf": "CHF", "€": "€", "kr": "kr", "zł": "zł", "florins": "florins", "": ""} {
		p := mustParse(t, goodSkirt+goodMotif+goodScatter+"[supplies]\ncurrency = \""+in+"\"\n")
		if p.Supplies.Currency != want {
			t.Errorf("%q is read as %q, want %q", in, p.Supplies.Currency, want)
		}
	}
}

func TestFelt(t *testing.T) {
	p := mustParse(t, goodSkirt+"colour = \"#aabbcc\"\n"+goodMotif+goodScatter+"[backing]\nshape = \"round\"\n"+
		"[[sheet]]\nname = \"a\"\nwidth = 45\nroll = true\nprice = 6\nprice_per = \"1.2 m\"\nsold_by = \"5 cm\"\n[[sheet]]\nname = \"b\"\nwidth = 90\nroll = true\nheight = 3\nprice_per = 50\n")
	if want := (Backing{Shape: "round", Colour: "#aabbcc"}); p.Backing != want {
		t.Errorf("backing %+v, want %+v", p.Backing, want)
	}
	want := []Sheet{
		{Name: "a", Width: 450, Roll: true, PricePer: 1200, SoldBy: 50, Nap: "none", Price: 6, PriceSet: true},
		{Name: "b", Width: 900, Roll: true, PricePer: 500, Nap: "none"},
	}
	if !reflect.DeepEqual(p.Sheets, want) {
		t.Errorf("got %+v, want %+v", p.Sheets, want)
	}
	notes := []string{
		`sheet.price_per of "b" is not used: there is no price`,
		`sheet.height of "b" is not used: a roll's length is found`,
	}
	if !reflect.DeepEqual(told(p), notes) {
		t.Errorf("got %q, want %q", told(p), notes)
	}
	p = mustParse(t, goodSkirt+goodMotif+goodScatter+"[backing]\nshape = \"square\"\nsize = \"2 cm\"\ncolour = \"#123\"\n[[sheet]]\nname = \"c\"\nwidth = 45\nroll = true\n")
	if want := (Backing{Shape: "square", Size: 20, Colour: "#112233"}); p.Backing != want || p.Sheets[0].PricePer != 1000 || len(p.Notes) != 0 {
		t.Errorf("backing %+v, want %+v; roll %+v; notes %q", p.Backing, want, p.Sheets[0], told(p))
	}
}

// told is the notes of a project as its maker reads them.
func told(p Project) []string {
	out := []string{}
	for _, n := range p.Notes {
		out = append(out, say.Printer{Unit: p.from.units.bare}.Message(n.Text))
	}
	return out
}

// All shares may be 0 where cutouts are placed by hand, but not where the felt is
// to decide how many more there are.
func TestSharesOfNoneByHand(t *testing.T) {
	const text = "[skirt]\ncut = \"circle\"\nwaist = 68\nlength = 60\n[[motif]]\nname = \"leaf\"\noutline = \"leaf.svg\"\nwidth = 5\nshare = 0\n[[fixed]]\nmotif = \"leaf\"\npanel = 1\ndown = 30\naround = 20\n[scatter]\n"
	if _, err := Parse([]byte(text+"spacing = 11\n"), "p.toml", ""); err != nil {
		t.Errorf("by hand alone: %v", err)
	}
	for _, wish := range []string{"sheets = 3\n", "budget = 9\n"} {
		if _, err := Parse([]byte(text+wish), "p.toml", ""); err == nil || !strings.Contains(err.Error(), "every motif has share 0") {
			t.Errorf("%s: %v", wish, err)
		}
	}
}

// What the maker wrote, in the file or by a flag, is told from defaults.
func TestWritten(t *testing.T) {
	p := mustParse(t, goodSkirt+goodMotif+goodScatter+"[[sheet]]\nname = \"a\"\nwidth = 45\nheight = 30\n[[sheet]]\nname = \"b\"\nwidth = 90\nheight = 30\nmargin = 0\n")
	spare := 2
	flagged, err := p.With(Overrides{Effort: &spare})
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]bool{
		"skirt.waist": true, "skirt.fullness": false, "title": false, "lining.colour": false, "motif.0.outline": true, "motif.0.width": false,
		"motif.1.outline": false, "sheet.0.margin": false, "sheet.1.margin": true, "cutting.effort": false, "motif.x.width": false, "no.such": false,
	} {
		if got := p.Written(key); got != want {
			t.Errorf("%s is written: %t, want %t", key, got, want)
		}
	}
	if !flagged.Written("cutting.effort") || !(Project{}).Written("skirt.waist") {
		t.Error("a flag's value and those of a project without a file are not taken for defaults")
	}
}
