package project

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"strew/motif/geom"
)

// faultOf names what a Project that was called sound breaks of what the
// package promises, or "".
func faultOf(p Project) string {
	hex := regexp.MustCompile(`^#[0-9a-f]{6}$`)
	name := func(s string) bool { return s != "" && utf8.RuneCountInString(s) <= 60 && utf8.ValidString(s) }
	var broken []string
	must := func(ok bool, what string) {
		if !ok {
			broken = append(broken, what)
		}
	}
	above := func(mm float64, what string) { must(mm > 0 && mm <= 20_000, what) }
	notBelow := func(mm float64, what string) { must(mm >= 0 && mm <= 20_000, what) }
	in := func(s, what string, words ...string) { must(slices.Contains(words, s), what) }

	s := p.Skirt
	in(string(p.Unit), "unit", "mm", "cm", "in")
	in(string(s.Cut), "cut", "circle", "rectangle", "gores", "outline")
	drawn := s.Cut == "outline"
	must(drawn || s.Waist >= 100 && s.Waist <= 3000, "waist")
	must(s.Hip == 0 || s.Hip >= 100 && s.Hip <= 3000, "hip")
	if !drawn {
		must(s.Length > 0, "length")
		above(s.Drop, "drop")
	}
	must(!drawn || IsSVG(s.Outline), "outline")
	must(s.Cut != "gores" || s.HemGirth > s.Waist*s.Fullness, "hem girth")
	notBelow(s.Waistband, "waistband")
	must(s.Fullness >= 1 && s.Fullness <= 6, "fullness")
	must(drawn && s.Panels == 0 || s.Panels >= 1 && s.Panels <= 64, "panels")
	must(s.Cut != "circle" || s.Circle >= 0.25 && s.Circle <= 4 && s.Circle <= float64(s.Panels), "circle")
	must(s.Layers >= 1 && s.Layers <= 20, "layers")
	must(s.Opacity >= 0 && s.Opacity <= 1, "opacity")
	must(hex.MatchString(s.Colour), "colour")
	notBelow(s.SeamAllowance, "seam allowance")
	above(s.FabricWidth, "fabric width")
	if l := p.Lining; l != nil {
		must(l.Fullness >= 0.5 && l.Fullness <= 6, "lining fullness")
		must(l.ShorterBy >= 0 && l.ShorterBy < s.Drop, "shorter by")
		must(l.Girth == "waist" || l.Girth == "hip" && s.Hip > 0, "girth")
		in(string(l.Cut), "lining cut", "circle", "rectangle", "gores")
		must(l.Cut != "circle" || l.Circle >= 0.25 && l.Circle <= float64(s.Panels), "lining circle")
		must(hex.MatchString(l.Colour), "lining colour")
		above(l.FabricWidth, "lining fabric width")
	}
	must(len(p.Motifs) > 0, "motifs")
	shares, names := 0.0, map[string]bool{}
	for _, m := range p.Motifs {
		must(name(m.Name) && !names[m.Name], "motif name")
		names[m.Name] = true
		must(m.Outline != "", "outline")
		must(m.Width == 0 || m.Height == 0, "width and height")
		notBelow(m.Width, "width")
		notBelow(m.Height, "height")
		must(m.Line > 0 && m.Share >= 0 && m.Cut >= 0, "line, share, cut")
		must(m.Colour == "" || hex.MatchString(m.Colour), "motif colour")
		in(string(m.Direction), "direction", "one-way", "two-way", "tossed")
		must(math.Abs(m.Tilt) <= 2*math.Pi, "tilt")
		must(len(m.Sizes) > 0, "sizes")
		for i, size := range m.Sizes {
			must(size > 0 && size <= 10 && !slices.Contains(m.Sizes[:i], size), "size")
		}
		shares += m.Share
	}
	must(shares > 0, "shares")
	sc := p.Scatter
	in(string(sc.Pattern), "pattern", "polka", "grid", "hemband")
	wishes := 0
	for _, is := range []bool{sc.Spacing > 0, sc.Cutouts > 0, sc.Sheets > 0, sc.Budget > 0} {
		if is {
			wishes++
		}
	}
	must(wishes == 1, "one of spacing, cutouts, sheets and budget")
	notBelow(sc.Spacing, "spacing")
	notBelow(sc.RowSpacing, "row spacing")
	must(sc.Rise >= 0 && (drawn || sc.Rise < s.Drop), "rise")
	must(sc.Jitter >= 0 && sc.Jitter <= 1, "jitter")
	must(sc.Rows >= 1 && sc.Rows <= 100, "rows")
	must(sc.Repeat >= 1 && (drawn || sc.Repeat%s.Panels == 0 || s.Panels%sc.Repeat == 0), "repeat")
	c := p.Clearance
	for _, mm := range []float64{c.Between, c.Waist, c.Hem, c.Seam, p.Cutting.Gap} {
		notBelow(mm, "clearance or gap")
	}
	must(drawn || c.Waist+c.Hem < s.Drop, "clearance")
	must(p.Cutting.SpareShare >= 0 && p.Cutting.SpareShare <= 1 && p.Cutting.SpareCount >= 0, "spare")
	must(p.Cutting.SpareShare == 0 || p.Cutting.SpareCount == 0, "both spares")
	must(p.Cutting.Effort >= 0 && p.Cutting.Effort <= 10, "effort")
	must(len(p.Sheets) > 0, "sheets")
	for _, sh := range p.Sheets {
		must(name(sh.Name), "sheet name")
		above(sh.Width, "sheet width")
		if sh.Roll {
			must(sh.Height == 0 && sh.PricePer > 0, "roll's height, price_per")
		} else {
			above(sh.Height, "sheet height")
			must(2*sh.Margin < sh.Height, "sheet margin")
		}
		must(sh.Margin >= 0 && 2*sh.Margin < sh.Width, "sheet margin")
		in(string(sh.Nap), "nap", "none", "four-way", "two-way", "one-way")
		must(sh.Price >= 0 && sh.Stock >= 0 && (sh.PriceSet || sh.Price == 0), "price, stock")
		for _, colour := range sh.Colours {
			must(hex.MatchString(colour), "sheet colour")
		}
	}
	in(string(p.Supplies.Fixing), "fixing", "glue", "sew")
	in(string(p.Supplies.Paper), "paper", "A4", "A3", "letter", "tabloid", "large")
	return strings.Join(broken, ", ")
}

// checkParse asserts the contract of Parse for any bytes.
func checkParse(data []byte) error {
	p, err := Parse(data, "p.toml", ".")
	if err == nil {
		if broken := faultOf(p); broken != "" {
			return fmt.Errorf("called sound, but wrong: %s", broken)
		}
		if again, err := p.With(Overrides{}); err != nil || fmt.Sprint(again.Skirt, again.Motifs, told(again)) != fmt.Sprint(p.Skirt, p.Motifs, told(p)) {
			return fmt.Errorf("no overrides change the project: %v", err)
		}
		return nil
	}
	var es Problems
	if !errors.As(err, &es) || len(es) == 0 {
		return fmt.Errorf("error %v is no Problems", err)
	}
	if len(data) > mostBytes || bytes.Count(data, []byte("\n")) > mostLines {
		return nil // refused as a whole
	}
	lines := strings.Count(string(data), "\n") + 1
	for i, e := range es {
		switch {
		case e.File != "p.toml" || e.Line < 1 || e.Line > lines || e.Column < 1:
			return fmt.Errorf("error without a place in the file: %v", e)
		case i > 0 && (e.Line < es[i-1].Line || e.Line == es[i-1].Line && e.Column < es[i-1].Column):
			return fmt.Errorf("errors out of order: %v", es)
		case e.What.IsZero() || strings.ContainsAny(e.Error(), "\n\r"):
			return fmt.Errorf("message of more or less than one line: %q", e.Error())
		}
	}
	return nil
}

func FuzzParse(f *testing.F) {
	_, files := Example()
	if example, err := files.Open(starter); err == nil {
		defer example.Close()
		buf := make([]byte, mostBytes)
		n, _ := example.Read(buf)
		f.Add(buf[:n])
	}
	f.Add([]byte(goodSkirt + goodMotif + goodScatter))
	f.Add([]byte("skirt = {cut = \"rectangle\", waist = \"2 ft 3 in\", drop = 20}\nmotif = [{name = \"a\", outline = \"a.svg\"}]\nscatter.cutouts = 3"))
	f.Add([]byte("[skirt]\nwaist = 68 cm\n[[motif]\nsizes = [1,\n'''"))
	f.Add([]byte("[a.b]\n[[a.c]]\nd.e.f = {g = [[1], {h = 2}]}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := checkParse(data); err != nil {
			t.Error(err)
		}
	})
}

// Files made of the schema's own keys, with values good and bad, reach further
// than bytes at random.
func TestAnyFileIsSoundOrRefused(t *testing.T) {
	values := []string{"-1", "0", "0.5", "1", "2", "3", "68", "1e6", "nan", "true", `""`, `"2 cm"`, `"4½in"`, `"5'4"`, `"a.svg"`, `"#abc"`, `"5%"`, "[]", "[1, 0.5]", `["#abc"]`, "{}", "{a = 1}"}
	const bad, leftOut = 41, 40 // draws: one in a hundred is faulty; most keys stay away
	// What a skirt cannot do without though no key alone is needed, and what is
	// refused beside them: a second measure of size or count, and what belongs
	// to a motif read from a picture.
	basic := []string{"waist", "length", "hip", "spacing", "height"}
	atOdds := []string{"cutouts", "height", "sheets", "budget", "roll", "price_per", "sold_by", "paper", "pick"}
	sound := 0
	rapid.Check(t, func(rt *rapid.T) {
		faulty := rapid.Bool().Draw(rt, "faulty")
		var b strings.Builder
		for _, tb := range schema {
			times := 1
			switch {
			case tb.name == "bare" || tb.name == "fixed" || faulty && rapid.IntRange(0, 9).Draw(rt, "no table") == 5:
				times = 0
			case tb.many:
				times = rapid.IntRange(1, 3).Draw(rt, "times")
			}
			for i := range times {
				if tb.name != "" {
					b.WriteString(tb.header() + "\n")
				}
				for _, k := range tb.keys {
					draw := rapid.IntRange(0, 99).Draw(rt, k.name)
					needed := !k.need.IsZero() || slices.Contains(basic, k.name) && tb.name != "motif"
					switch {
					case faulty && draw == bad:
						fmt.Fprintf(&b, "%s = %s\n", k.name, rapid.SampledFrom(values).Draw(rt, "value"))
					case k.is == label:
						fmt.Fprintf(&b, "%s = \"%s %d\"\n", k.name, tb.name, i)
					case needed || draw > leftOut && slices.Contains(tb.names(), k.name) && !slices.Contains(atOdds, k.name):
						fmt.Fprintf(&b, "%s = %s\n", k.name, k.eg)
					}
				}
			}
		}
		data := []byte(b.String())
		if err := checkParse(data); err != nil {
			rt.Fatalf("%v\n%s", err, data)
		}
		if _, err := Parse(data, "p.toml", "."); err == nil {
			sound++
		}
	})
	if sound == 0 {
		t.Error("no file drawn was sound, so the test looked at refusals only")
	}
}

// A length survives being written in any unit and read back.
func TestLengthsRoundTrip(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		mm := rapid.Float64Range(1, 500).Draw(rt, "mm")
		unit := rapid.SampledFrom([]geom.Unit{"mm", "cm", "m", "in", "ft"}).Draw(rt, "unit")
		n := strconv.FormatFloat(mm/unit.MM(), 'f', -1, 64)
		form := rapid.SampledFrom([]string{"%s %s", "%s%s", " %s  %s "}).Draw(rt, "form")
		p, err := Parse([]byte(goodSkirt+goodMotif+"width = \""+fmt.Sprintf(form, n, unit)+"\"\n"+goodScatter), "p.toml", ".")
		if err != nil {
			rt.Fatal(err)
		}
		// Two roundings of a double: one to divide, one to multiply.
		if got := p.Motifs[0].Width; math.Abs(got-mm) > 2*mm*0x1p-52 {
			rt.Errorf("%v mm as %s %s came back as %v", mm, n, unit, got)
		}
	})
}
