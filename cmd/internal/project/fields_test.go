package project

import (
	"bytes"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"strew/motif/geom"
	"strew/motif/say"
)

// What controls show, in a file with values of every kind.
func TestFields(t *testing.T) {
	d := document(t, `title = "Tide line"
[skirt]
cut = "circle"
waist = 68
hip = "37 in"
length = "7,5 dm"
drop = 55.5
waistband = true
fullness = 2.0
seams = [["left", "right"], "b"]
waist_edge = ["neck", "arm"]
colour = "#ABC"
fabric_price = 2.4
[[motif]]
sizes = [1.0, 0.7]
width = [1]
[[bare]]
down = [0, 18]
around = ["1 in", 6]
[cutting]
spare = "5 %"
[supplies]
paper = "a3"
glue_stick = "11 mm x 200"
`)
	for full, want := range map[string]FieldValue{
		"title":                {"Tide line", true, 0, "Skirt"},
		"unit":                 {"cm", false, 0, "cm"},
		"seed":                 {"1", false, 0, "1"},
		"skirt.waist":          {"68 cm", true, 680, ""},
		"skirt.hip":            {"93.98 cm", true, 939.8, ""},
		"skirt.length":         {"7,5 dm", true, 0, ""},
		"skirt.drop":           {"55.5 cm", true, 555, ""},
		"skirt.waistband":      {"true", true, 0, "0 cm"},
		"skirt.fullness":       {"2", true, 0, "1"},
		"skirt.seams":          {"left = right, b", true, 0, ""},
		"skirt.waist_edge":     {"neck, arm", true, 0, ""},
		"skirt.colour":         {"#aabbcc", true, 0, "#b9c4c9"},
		"skirt.fabric_price":   {"2.40", true, 0, ""},
		"skirt.seam_allowance": {"1.2 cm", false, 12, "1.2 cm"},
		"motif.0.sizes":        {"1, 0.7", true, 0, "1"},
		"motif.0.width":        {"1", true, 0, ""},
		"motif.0.name":         {"", false, 0, ""},
		"bare.0.down":          {"0 – 18 cm", true, 0, ""},
		"bare.0.around":        {"2.54 – 6 cm", true, 0, ""},
		"cutting.spare":        {"5 %", true, 0, "5%"},
		"lining.shorter_by":    {"2.5 cm", false, 25, "2.5 cm"},
		"scatter.stagger":      {"false", false, 0, "false"},
		"backing.size":         {"auto", false, 0, "auto"},
		"supplies.paper":       {"A3", true, 0, "A4"},
		"supplies.glue_stick":  {"11 mm x 200 cm", true, 0, ""},
		"sheet.0.width":        {"21 cm", false, 210, "21 cm"},
	} {
		if got, ok := d.Fields(nil)[full]; !ok || got != want {
			t.Errorf("%s shows as %+v, want %+v", full, got, want)
		}
	}
	if _, there := d.Fields(nil)["fixed.0.turn"]; there {
		t.Error("a [[fixed]] that is not there has a control")
	}
}

// Defaults that follow from other keys.
func TestFieldsOfSoundProject(t *testing.T) {
	shown := func(text string) map[string]FieldValue {
		p := mustParse(t, text)
		return document(t, text).Fields(&p)
	}
	grid := shown(goodSkirt + "waistband = 4\npanels = 2\ncolour = \"#123\"\n" + goodMotif + goodScatter + "pattern = \"grid\"\nstagger = true\n")
	roll := shown("unit = \"mm\"\n[skirt]\ncut = \"circle\"\nwaist = 680\ndrop = 560\nwaistband = 40\n" + goodMotif + "[scatter]\ncutouts = 40\n" +
		"[[sheet]]\nname = \"felt\"\nwidth = 900\nroll = true\n[[sheet]]\nname = \"A4\"\nwidth = 210\nheight = 297\n")
	drawn := shown("[skirt]\ncut = \"outline\"\noutline = \"cape.svg\"\n" + goodMotif + goodScatter)
	for _, c := range []struct {
		in   map[string]FieldValue
		key  string
		want FieldValue
	}{
		{grid, "skirt.drop", FieldValue{"56 cm", false, 560, "56 cm"}},
		{grid, "skirt.length", FieldValue{"60 cm", true, 600, ""}},
		{grid, "scatter.spacing_waist", FieldValue{"11 cm", false, 110, "11 cm"}},
		{grid, "scatter.row_spacing", FieldValue{"9.526 cm", false, 110 * math.Sqrt(3) / 2, "9.526 cm"}},
		{grid, "scatter.repeat", FieldValue{"2", false, 0, "2"}},
		{grid, "lining.circle", FieldValue{"1", false, 0, "1"}},
		{grid, "backing.colour", FieldValue{"#112233", false, 0, "#112233"}},
		{grid, "skirt.fabric_price_per", FieldValue{"1 m", false, 1000, "1 m"}},
		{roll, "skirt.length", FieldValue{"600 mm", false, 600, "600 mm"}},
		{roll, "skirt.drop", FieldValue{"560 mm", true, 560, ""}},
		{roll, "scatter.spacing_waist", FieldValue{}},
		{roll, "scatter.row_spacing", FieldValue{}},
		{roll, "sheet.0.price_per", FieldValue{"1 m", false, 1000, "1 m"}},
		{roll, "sheet.1.price_per", FieldValue{}},
		{drawn, "skirt.drop", FieldValue{}},
		{drawn, "scatter.repeat", FieldValue{"1", false, 0, "1"}},
		{drawn, "lining.circle", FieldValue{}},
	} {
		if got, ok := c.in[c.key]; !ok || got != c.want {
			t.Errorf("%s shows as %+v, want %+v", c.key, got, c.want)
		}
	}
}

// What a control shows can be typed into it: bytes of what is written stay, and
// a default written out means what leaving it out meant.
func TestShownTextTypedBack(t *testing.T) {
	for name, text := range projects(t) {
		for _, unit := range threeUnits {
			d, err := document(t, text).WithUnit(unit)
			if err != nil {
				t.Errorf("%s in %s: %v", name, unit, err)
				continue
			}
			p, err := Parse(d.Bytes(), "p.toml", ".")
			sound := &p
			if err != nil {
				sound = nil
			}
			fields := d.Fields(sound)
			for full, f := range fields {
				out, err := d.Type(full, f.Text)
				switch {
				case err != nil:
					t.Errorf("%s: %s typed %q: %v", name, full, f.Text, err)
				case f.Written || f.Text == "":
					if !bytes.Equal(out.Bytes(), d.Bytes()) {
						t.Errorf("%s: %s typed %q, as shown, changed\n%s\nto\n%s", name, full, f.Text, d.Bytes(), out.Bytes())
					}
				case sound != nil && hasTable(d, full):
					defaultHolds(t, fmt.Sprint(name, " in ", unit, ": ", full), fields, out)
				}
			}
		}
	}
}

// hasTable reports whether the table of a key is written, or assumed.
func hasTable(d Document, full string) bool {
	table, _, in := strings.Cut(full, ".")
	return !in || d.Has(table) || table == "sheet"
}

// defaultHolds fails unless all controls show what they did once a default is
// written out.
func defaultHolds(t *testing.T, what string, before map[string]FieldValue, out Document) {
	after, err := Parse(out.Bytes(), "p.toml", ".")
	if err != nil {
		t.Errorf("%s: its default is refused: %v", what, err)
		return
	}
	for full, f := range out.Fields(&after) {
		if was, there := before[full]; !there || was.Text != f.Text && (f.MM == 0 || !near(was.MM, f.MM)) {
			t.Errorf("%s: with its default, %s is no longer %q, but %q", what, full, was.Text, f.Text)
		}
	}
}

// near reports whether two values mean the same, lengths to what a control in
// inches rounds, 0.05 mm.
func near(x, y any) bool {
	a, ok1 := x.(float64)
	b, ok2 := y.(float64)
	if ok1 && ok2 {
		return math.Abs(a-b) <= max(0.0051, inchShare*math.Abs(b))
	}
	p, ok1 := x.([]float64)
	q, ok2 := y.([]float64)
	if ok1 && ok2 {
		return slices.EqualFunc(p, q, func(a, b float64) bool { return near(a, b) })
	}
	return reflect.DeepEqual(x, y)
}

// A unit changes the text of lengths and no length, and no comment.
func TestWithUnit(t *testing.T) {
	for name, text := range projects(t) {
		d := document(t, text)
		before, unsound := Parse(d.Bytes(), "p.toml", ".")
		for _, unit := range threeUnits {
			out, err := d.WithUnit(unit)
			if err != nil {
				t.Errorf("%s in %s: %v", name, unit, err)
				continue
			}
			if out.Unit() != unit || !slices.Equal(commentsOf(out.Bytes()), commentsOf(d.Bytes())) {
				t.Errorf("%s in %s gives\n%s", name, unit, out.Bytes())
			}
			if unsound != nil {
				continue
			}
			after := mustParse(t, string(out.Bytes()))
			want := before
			want.Unit, after.Dir = unit, want.Dir
			for _, p := range []*Project{&want, &after} { // a new line for the unit moves the rest
				p.from, p.Skirt.Line, p.Motifs = nil, 0, slices.Clone(p.Motifs)
				for i := range p.Motifs {
					p.Motifs[i].Line = 0
				}
			}
			if !reflect.DeepEqual(after, want) {
				t.Errorf("%s in %s is\n%+v\nwas\n%+v", name, unit, after, want)
			}
		}
	}
}

func TestUnitTyped(t *testing.T) {
	for _, c := range []struct{ file, unit, want string }{
		{
			"unit = \"cm\" # mine\n[skirt]\nwaist = 68.5 # hers\nhip = \"37 in\"\ndrop = \"½\"\n[[bare]]\npanel = 1\ndown = [0, \"18 mm\"]\n[supplies]\nglue_stick = \"1 x 200 mm\"\n[backing]\nsize = \"auto\"\n", "in",
			"unit = \"in\" # mine\n[skirt]\nwaist = \"68.5 cm\" # hers\nhip = \"37 in\"\ndrop = \"½ cm\"\n[[bare]]\npanel = 1\ndown = [\"0 cm\", \"18 mm\"]\n[supplies]\nglue_stick = \"1 cm x 200 mm\"\n[backing]\nsize = \"auto\"\n",
		},
		{"unit = \"inch\"\n[skirt]\nwaist = 27\n", "in", "unit = \"in\"\n[skirt]\nwaist = 27\n"}, // nobody knows what 27 is
		{"unit = \"in\"\n[skirt]\nwaist = 27\n", "", "[skirt]\nwaist = \"27 in\"\n"},
		{"[skirt]\nwaist = 68\n", "cm", "[skirt]\nwaist = 68\n"},
		{"skirt = {waist = 68, hip = 94}\n", "mm", "skirt = {waist = \"68 cm\", hip = \"94 cm\"}\nunit = \"mm\"\n"},
	} {
		got, err := document(t, c.file).Type("unit", c.unit)
		if err != nil || string(got.Bytes()) != c.want {
			t.Errorf("%q in %q gives %v\n%s", c.file, c.unit, err, got.Bytes())
		}
	}
}

// inchShare is how far what a control shows in inches may lie from the value, as a
// share: geom.Length.Typed.
const inchShare = 0.016

// onTape reports whether two lengths are the same to the nearest sixteenth of an inch.
func onTape(a, b any) bool {
	x, ok := a.(float64)
	y, is := b.(float64)
	return ok && is && math.Abs(x-y) <= sixteenth/2+1e-9
}

// The description is that of the schema, in the unit asked for.
func TestSchemaDescribed(t *testing.T) {
	all := Schema(say.Printer{Unit: geom.Inch})
	if len(all) != len(schema) {
		t.Fatalf("%d tables are described, of %d", len(all), len(schema))
	}
	for i, tb := range all {
		if tb.Name != schema[i].name || tb.Many != schema[i].many || tb.Many == (tb.What == "") || len(tb.Keys) != len(schema[i].keys) {
			t.Errorf("table %+v", tb)
		}
		for j, k := range tb.Keys {
			own := schema[i].keys[j]
			if k.Name != own.name || k.Kind == "" || k.Example == "" || (k.Needed == "") != own.need.IsZero() || (k.Kind == "choice") != (own.is == word) {
				t.Errorf("%s: %+v", schema[i].full(own.name), k)
			}
			if own.def != nil && own.def != "" {
				typed, _, _ := encode(own.typed(k.Default, nil, geom.Inch))
				if got := own.check(typed, unitsOf(geom.Inch), func(int, fault) {}); !near(got, own.def) && !onTape(got, own.def) {
					t.Errorf("%s: the default %q means %v, not %v", schema[i].full(own.name), k.Default, got, own.def)
				}
			}
		}
	}
	waist := all[1].Keys[1]
	if waist.Kind != "length" || waist.Min != 100 || waist.Max != 3000 || waist.Zero || !strings.Contains(waist.Why, "between 10 cm and 3 m") || waist.Example != "26 3/4 in" {
		t.Errorf("the waist is described as %+v", waist)
	}
}
