package project

import (
	"bytes"
	"fmt"
	"io/fs"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"strew/motif/geom"
	"strew/motif/say"
)

var threeUnits = []geom.Unit{geom.Millimetre, geom.Centimetre, geom.Inch}

// What is typed, and what then stands in the file; the rest of the file stays. The
// file is in cm, with a bare number for the waist and a text for the length.
func TestType(t *testing.T) {
	for _, c := range []struct{ key, text, want string }{
		{"skirt.waist", "70", "waist = 70 # hers"},
		{"skirt.waist", "70,5", "waist = 70.5 # hers"},
		{"skirt.waist", "70.5 cm", "waist = 70.5 # hers"},
		{"skirt.waist", "27 1/2", `waist = "27 1/2 cm" # hers`},
		{"skirt.waist", "27½in", `waist = "27½in" # hers`},
		{"skirt.waist", "68 cm", "waist = 68 # hers"},
		{"skirt.waist", "680 mm", "waist = 68 # hers"}, // means the same
		{"skirt.waist", "wide", `waist = "wide" # hers`},
		{"skirt.waist", "1,500 mm", `waist = "1,500 mm" # hers`},
		{"skirt.length", "7", `length = "7 cm"`},
		{"skirt.length", "7,5", `length = "7,5 cm"`},
		{"skirt.length", `24 1/2"`, `length = '24 1/2"'`},
		{"skirt.length", "0.6 m", `length = "60 cm"`},
		{"skirt.fullness", "2,5", "fullness = 2.5"},
		{"skirt.circle", "¾", "circle = 0.75"},
		{"skirt.circle", "half", `circle = "half"`},
		{"skirt.panels", "4", "panels = 4"},
		{"skirt.panels", "4.0", "panels = 4"},
		{"skirt.seams", "left = right, a = b", `seams = [["left", "right"], ["a", "b"]]`},
		{"skirt.seams", "left", `seams = ["left"]`},
		{"skirt.waist_edge", "neck", `waist_edge = "neck"`},
		{"skirt.waist_edge", "neck, arm", `waist_edge = ["neck", "arm"]`},
		{"skirt.colour", "#d9a521", `colour = "#d9a521"`},
		{"title", "Tide line, # 2", `title = "Tide line, # 2"`},
		{"seed", "9007199254740993", "seed = 9007199254740993"},
		{"motif.0.sizes", "1, 0.7", "sizes = [1, 0.7]"},
		{"motif.0.sizes", "1; 0,7", "sizes = [1, 0.7]"},
		{"motif.0.sizes", "1, 0,7,", "sizes = [1, 0.7]"},
		{"motif.0.sizes", "[1.0, 0.7]", "sizes = [1, 0.7]"},
		{"motif.0.sizes", "1, big", `sizes = [1, "big"]`},
		{"motif.0.tilt", "−15", "tilt = -15"},
		{"motif.0.direction", "tossed", `direction = "tossed"`},
		{"scatter.stagger", "Yes", "stagger = true"},
		{"scatter.stagger", "false", "stagger = false"},
		{"scatter.stagger", "now and then", `stagger = "now and then"`},
		{"scatter.budget", "25,50", "budget = 25.5"},
		{"scatter.budget", "£25.50", "budget = 25.5"},
		{"skirt.fabric_price", "2,40 €", "fabric_price = 2.4"},
		{"skirt.fabric_price", "dear", `fabric_price = "dear"`},
		{"bare.0.down", "0 – 18 cm", `down = ["0 cm", "18 cm"]`},
		{"bare.0.down", "0-18", `down = ["0 cm", "18 cm"]`},
		{"bare.0.down", "2 1/2 to 6-3/4 in", `down = ["2 1/2 in", "6-3/4 in"]`},
		{"bare.0.down", "0 - 2 - 3/4 in", `down = ["0 in", "2 - 3/4 in"]`},
		{"bare.0.down", "18 – 0", `down = ["18 cm", "0 cm"]`},
		{"bare.0.down", "all", `down = "all"`},
		{"bare.0.around", "0 – 7", "around = [0, 7]"},
		{"cutting.spare", "5 %", `spare = "5%"`},
		{"cutting.spare", "7,5%", `spare = "7.5%"`},
		{"cutting.spare", "2", "spare = 2"},
		{"cutting.spare", "some", `spare = "some"`},
		{"backing.size", "Auto", `size = "auto"`},
		{"backing.size", "2", `size = "2 cm"`},
		{"supplies.glue_stick", "11 x 200 mm", `glue_stick = "11 mm x 200 mm"`},
		{"supplies.glue_stick", "1,1 × 20", `glue_stick = "1,1 cm x 20 cm"`},
		{"supplies.glue_stick", "thick", `glue_stick = "thick"`},
		{"skirt.fabric_price_per", "2", `fabric_price_per = "2 m"`}, // cloth is sold by the metre, though bare lengths are in cm
		{"skirt.fabric_price_per", "50 cm", `fabric_price_per = "50 cm"`},
		{"supplies.thread_reel", "200", `thread_reel = "200 m"`},
		{"sheet.0.colours", "#d9a521, #7a4a21", `colours = ["#d9a521", "#7a4a21"]`},
		{"sheet.0.colours", "#d9a521;#7a4a21", `colours = ["#d9a521", "#7a4a21"]`},
	} {
		d := document(t, "[skirt]\nwaist = 68 # hers\nlength = \"60 cm\"\n[[motif]]\n[[bare]]\naround = [0, 6]\n")
		out, err := d.Type(c.key, c.text)
		if err != nil {
			t.Errorf("%s typed %q: %v", c.key, c.text, err)
			continue
		}
		if !slices.Contains(strings.Split(string(out.Bytes()), "\n"), c.want) {
			t.Errorf("%s typed %q gives\n%swant %s", c.key, c.text, out.Bytes(), c.want)
		}
	}
}

func TestTypeBlanks(t *testing.T) {
	d := document(t, goodSkirt+"hip = \"\" # none\n"+goodMotif+"unit = 3\n")
	for _, c := range []struct{ key, want string }{
		{"skirt.waist", strings.Replace(string(d.Bytes()), "waist = 68\n", "", 1)},
		{"skirt.hip", strings.Replace(string(d.Bytes()), "hip = \"\" ", "", 1)},
		{"skirt.drop", string(d.Bytes())},
		{"skirt.cut", strings.Replace(string(d.Bytes()), `"circle"`, `""`, 1)},
		{"motif.0.name", strings.Replace(string(d.Bytes()), `"ginkgo"`, `""`, 1)},
	} {
		if out, err := d.Type(c.key, " \t"); err != nil || string(out.Bytes()) != c.want {
			t.Errorf("blanks in %s: %v\n%s", c.key, err, out.Bytes())
		}
	}
	for _, key := range []string{"skirt.nothing", "motif.1.width", "nothing", "sheet.1.width"} {
		if _, err := d.Type(key, "1"); err == nil {
			t.Errorf("%s could be typed", key)
		}
	}
}

// The first key typed of the assumed felt writes that felt out.
func TestTypeOfAssumedSheet(t *testing.T) {
	for _, unit := range threeUnits {
		d := document(t, "unit = \""+string(unit)+"\"\n"+strings.NewReplacer("68", `"68 cm"`, "60", `"60 cm"`).Replace(goodSkirt)+goodMotif+goodScatter)
		before := mustParse(t, string(d.Bytes()))
		f := d.Fields(&before)
		if f["sheet.0.name"].Text != "craft felt A4" || f["sheet.0.width"].MM != 210 || f["sheet.0.width"].Written || f["sheet.0.nap"].Text != "none" {
			t.Errorf("the assumed felt shows as %+v, %+v", f["sheet.0.name"], f["sheet.0.width"])
		}
		d, err := d.Type("sheet.0.price", "1,10")
		if err != nil {
			t.Fatal(err)
		}
		after := mustParse(t, string(d.Bytes()))
		want := before.Sheets[0]
		want.Price, want.PriceSet = 1.1, true
		if !reflect.DeepEqual(after.Sheets, []Sheet{want}) {
			t.Errorf("got %+v, want %+v", after.Sheets, want)
		}
		if f := d.Fields(&after)["sheet.0.price"]; f.Text != "1.10" || !f.Written {
			t.Errorf("the price shows as %+v", f)
		}
	}
}

// whole is a file with every table, in a unit.
func whole(t interface{ Fatal(...any) }, unit geom.Unit) Document {
	data, err := fs.ReadFile(exampleFiles(), starter)
	if err != nil {
		t.Fatal(err)
	}
	d := document(t, string(data)+"\n[[bare]]\npanel = 1\n[[fixed]]\nmotif = \"ginkgo\"\npanel = 1\ndown = 40\naround = 52\n")
	if d, err = d.WithUnit(unit); err != nil {
		t.Fatal(err)
	}
	return d
}

// Every key of the schema can be set to its example and left out again, in every
// unit, and all comments stay.
func TestEveryKeyCanBeTyped(t *testing.T) {
	for _, unit := range threeUnits {
		d := whole(t, unit)
		typed := 0
		for _, tb := range Schema(say.Printer{Unit: unit}) {
			own, _ := tableNamed(tb.Name)
			for _, k := range tb.Keys {
				full := keyAt(own.full(k.Name), 0)
				if full == "unit" {
					continue
				}
				typed++
				out, err := d.Type(full, k.Example)
				if err != nil {
					t.Errorf("%s: %v", full, err)
					continue
				}
				described, _ := own.key(k.Name)
				raw, _ := out.Get(full)
				sameMeaning(t, described, full, exampleValue(described.eg), unitsOf(geom.Centimetre), raw, out.units())
				if !slices.Equal(commentsOf(out.Bytes()), commentsOf(d.Bytes())) {
					t.Errorf("%s: comments changed in\n%s", full, out.Bytes())
				}
				if out, err = out.Type(full, ""); err != nil {
					t.Errorf("%s left out: %v", full, err)
				} else if v, written := out.Get(full); written && (k.Needed == "" || v != "") {
					t.Errorf("%s left out is %v", full, v)
				}
			}
		}
		if typed < 80 {
			t.Errorf("only %d keys were typed", typed)
		}
	}
}

func unitsOf(unit geom.Unit) units { return units{bare: unit, known: true} }

// sameMeaning fails unless two values of a key mean the same: lengths to what
// a control in inches rounds.
func sameMeaning(t interface{ Errorf(string, ...any) }, k key, full string, a any, inA units, b any, inB units) {
	complain := func(_ int, f fault) { t.Errorf("%s: %v or %v is refused: %s", full, a, b, f.msg) }
	x, y := k.check(a, inA, complain), k.check(b, inB, complain)
	if !near(x, y) {
		t.Errorf("%s: %v means %v, %v means %v", full, a, x, b, y)
	}
}

// A length that is typed is the length shown, whatever it is written in.
func TestTypeThenFields(t *testing.T) {
	forms := []string{"%s %s", "%s%s", " %s  %s "}
	rapid.Check(t, func(t *rapid.T) {
		d := whole(t, rapid.SampledFrom(threeUnits).Draw(t, "unit of the file"))
		key := rapid.SampledFrom([]string{"skirt.length", "motif.1.width", "clearance.hem", "scatter.rise", "cutting.gap", "lining.fabric_width", "sheet.0.margin"}).Draw(t, "key")
		unit := rapid.SampledFrom([]geom.Unit{geom.Millimetre, geom.Centimetre, geom.Inch, geom.Yard, ""}).Draw(t, "unit typed")
		number := fmt.Sprintf("%.2f", rapid.Float64Range(0.01, 20).Draw(t, "number"))
		bare := unit
		if bare == "" {
			bare = d.Unit()
		}
		n, err := strconv.ParseFloat(number, 64)
		if err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, "decimal comma") {
			number = strings.Replace(number, ".", ",", 1)
		}
		out, err := d.Type(key, fmt.Sprintf(rapid.SampledFrom(forms).Draw(t, "form"), number, unit))
		if err != nil {
			t.Fatal(err)
		}
		want := n * bare.MM()
		f := out.Fields(nil)[key]
		if !f.Written || math.Abs(f.MM-want) > 1e-9*want {
			t.Fatalf("%s %s typed in %s is %+v, want %v mm", number, unit, key, f, want)
		}
		l, err := geom.ParseLength(f.Text, "")
		if err != nil || !near(float64(l), want) {
			t.Errorf("%v mm shows as %q: %v", want, f.Text, err)
		}
		if !slices.Equal(commentsOf(out.Bytes()), commentsOf(d.Bytes())) {
			t.Errorf("comments changed in\n%s", out.Bytes())
		}
	})
}

// Whatever is typed, the document stays readable and all other keys keep their
// values.
func FuzzTyped(f *testing.F) {
	for _, text := range []string{"9 cm", "1, 0.7", "0 – 18 cm", "left = right", "[[1]]", "[1979-05-27]", "\"", "'''\n", "5 %", "11 x 200 mm", "in", "\xff", "-", "=,=;", "½", "1,500"} {
		for _, key := range []string{"scatter.spacing", "motif.0.sizes", "bare.0.down", "skirt.seams", "unit", "supplies.glue_stick", "title"} {
			f.Add(styles["in tables"], key, text)
		}
	}
	for _, style := range styles {
		f.Add(style, "sheet.0.price", "1,10")
	}
	f.Fuzz(func(t *testing.T, file, key, text string) {
		if len(file) > 1<<14 || len(text) > 1<<12 {
			return
		}
		d, err := ReadDocument([]byte(file))
		if err != nil {
			return
		}
		out, err := d.Type(key, text)
		if err != nil {
			return
		}
		again, err := ReadDocument(out.Bytes())
		if err != nil {
			t.Fatalf("%s typed %q leaves no TOML: %v\n%s", key, text, err, out.Bytes())
		}
		now := again.Fields(nil)
		for full, was := range d.Fields(nil) {
			is, there := now[full]
			switch {
			case key == "unit" && d.units().known && was.MM != is.MM:
				t.Fatalf("the unit %q changes %s from %+v to %+v", text, full, was, is)
			case full == key || key == "unit" || strings.HasPrefix(key, "sheet.0.") && strings.HasPrefix(full, "sheet.0."):
			case !there || is != was:
				t.Fatalf("%s typed %q changes %s from %+v to %+v", key, text, full, was, is)
			}
		}
		if shown := now[key]; shown.Written && shown.Text != "" {
			if same, err := again.Type(key, shown.Text); err != nil || !bytes.Equal(same.Bytes(), again.Bytes()) {
				t.Fatalf("%s shows %q, and that typed changes it: %v", key, shown.Text, err)
			}
		}
	})
}
