package geom

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The yard is 0.9144 m exactly, so an inch is 25.4 mm and a foot 304.8 mm:
// Federal Register 24 F.R. 5348 (1959), as in NIST SP 811, appendix B.
func TestUnits(t *testing.T) {
	for unit, want := range map[Unit]float64{
		Millimetre: 1, Centimetre: 10, Metre: 1000, Inch: 25.4, Foot: 304.8, Yard: 914.4, "ell": 0, "": 0,
	} {
		if got := unit.MM(); got != want {
			t.Errorf("1 %s is %v mm, want %v", unit, got, want)
		}
	}
	if yard := 3 * Foot.MM(); math.Abs(yard-914.4) > 1e-9 {
		t.Errorf("3 ft are %v mm, want 914.4", yard)
	}
}

func TestParseLength(t *testing.T) {
	tests := []struct {
		text string
		bare Unit
		want float64 // mm
	}{
		{"7", Centimetre, 70},
		{"7.5", Millimetre, 7.5},
		{".5", Inch, 12.7},
		{"7,5 cm", Inch, 75},
		{"7,5", Millimetre, 7.5},
		{"-7,25", Millimetre, -7.25},
		{",5 in", Centimetre, 12.7},
		{"0,125 in", Centimetre, 3.175},
		{"1500,125 mm", Centimetre, 1500.125}, // no thousands are set off like this
		{"1,50 m", Centimetre, 1500},
		{"1,5 m 2,5 cm", Centimetre, 1525},
		{"3.", Centimetre, 30},
		{"2 3/4", Inch, 2.75 * 25.4},
		{"7 cm", Inch, 70},
		{"7cm", Inch, 70},
		{" 65 mm ", Centimetre, 65},
		{"1.5 m", Centimetre, 1500},
		{"0.75m", Centimetre, 750},
		{"7 CM", Inch, 70},
		{"2.5 in", Centimetre, 63.5},
		{"2.5 in.", Centimetre, 63.5},
		{"1 inch", Centimetre, 25.4},
		{"3 inches", Centimetre, 76.2},
		{"2 centimetres", Inch, 20},
		{"4 millimetres", Inch, 4},
		{"1 metre", Inch, 1000},
		{"2 feet", Inch, 609.6},
		{"2 3/4 in", Centimetre, 2.75 * 25.4},
		{`2-3/4"`, Centimetre, 2.75 * 25.4},
		{`2 - 3/4"`, Centimetre, 2.75 * 25.4},
		{"3/4 in", Centimetre, 0.75 * 25.4},
		{"4½in", Centimetre, 4.5 * 25.4},
		{"4 ½ in", Centimetre, 4.5 * 25.4},
		{"½ in", Centimetre, 12.7},
		{"⅝in", Centimetre, 0.625 * 25.4},
		{"2 3⁄4 in", Centimetre, 2.75 * 25.4},
		{`5'4"`, Centimetre, 64 * 25.4},
		{`5' 4"`, Centimetre, 64 * 25.4},
		{"5′4″", Centimetre, 64 * 25.4},
		{"5 ft 4 in", Centimetre, 64 * 25.4},
		{"1 yd", Centimetre, 914.4},
		{"1 1/2 yards", Centimetre, 1.5 * 914.4},
		{"2 yd 1 ft", Centimetre, 7 * 304.8},
		{"2 centimeters", Inch, 20},
		{"5ft 4 1/2in", Centimetre, 64.5 * 25.4},
		{"1 m 20 cm", Inch, 1200},
		{"5'", Centimetre, 5 * 304.8},
		{"7\u00a0cm", Inch, 70},
		{"-3 cm", Inch, -30},
		{"- 3", Millimetre, -3},
		{"0", Centimetre, 0},
	}
	for _, test := range tests {
		got, err := ParseLength(test.text, test.bare)
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
		} else if math.Abs(float64(got)-test.want) > 1e-9 {
			t.Errorf("%q: %v mm, want %v", test.text, float64(got), test.want)
		}
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for text, why := range map[string]string{
		"":                              "there is no number",
		"  ":                            "there is no number",
		"-":                             "there is no number",
		"cm":                            `"cm" is not a length; write it like "7 cm"`,
		"7, cm":                         `"7," is not a number; write one decimal mark and no other, as in 7.5 or 7,5`,
		"7, 5 cm":                       `"7," is not a number`,
		"1,234,567 mm":                  `"1,234,567" is not a number`,
		"1,234.5 mm":                    `"1,234.5" is not a number`,
		"1.234,5 mm":                    `"1.234,5" is not a number`,
		"1,500 mm":                      `"1,500" might be 1.500 or 1500; write 1.500 or 1500`,
		"7,525 cm":                      `"7,525" might be 7.525 or 7525; write 7.525 or 7525`,
		"120,000":                       `"120,000" might be 120.000 or 120000`,
		"1,5/4 in":                      `"1,5/4 in" is not a fraction`,
		"2,5 3/4 in":                    `"2,5 3/4 in" is not a whole number and a fraction`,
		"7 miles":                       `"miles" is not a unit; use mm, cm, m, in (or "), ft or yd; write it like`,
		"7 cmm":                         `"cmm" is not a unit`,
		"7 cm 3":                        "its last number has no unit",
		"7 cm 3 m":                      "larger units must come first",
		"7 in 3 in":                     "larger units must come first",
		"1/0 in":                        "the lower number of a fraction cannot be 0",
		"2 3/0 in":                      "the lower number of a fraction cannot be 0",
		"1.5/4 in":                      `"1.5/4 in" is not a fraction`,
		"2 3 in":                        `"2 3 in" is not a whole number and a fraction`,
		"2.5 3/4 in":                    `"2.5 3/4 in" is not a whole number and a fraction`,
		"1.2.3 cm":                      `"1.2.3" is not a number`,
		"--3 cm":                        `there is no number before "-3 cm"`,
		"nan":                           `"nan" is not a length; write`,
		"inf cm":                        `"inf cm" is not a length; write`,
		"1e3 mm":                        `"e3 mm" is not a unit`,
		"½½ in":                         `"1/2 in" is not a unit`,
		"7 cm of felt":                  `there is no number before "of felt"`,
		strings.Repeat("9", 307) + " m": "the number is too large",
	} {
		_, err := ParseLength(text, Centimetre)
		if err == nil {
			t.Errorf("%q was taken for a length", text)
		} else if !strings.Contains(err.Error(), why) {
			t.Errorf("%q: %v; want %s", text, err, why)
		}
	}
}

func TestLengthIn(t *testing.T) {
	tests := []struct {
		mm   float64
		unit Unit
		want string
	}{
		{216.5, Millimetre, "217 mm"},
		{-0.2, Millimetre, "0 mm"},
		{216.5, Centimetre, "21.7 cm"},
		{570, Centimetre, "57 cm"},
		{-0.2, Centimetre, "0 cm"},
		{2165, Metre, "2.17 m"},
		{63.5, Inch, "2 1/2 in"},
		{69.85, Inch, "2 3/4 in"},
		{3.175, Inch, "1/8 in"},
		{25.3, Inch, "1 in"},
		{0, Inch, "0 in"},
		{-63.5, Inch, "-2 1/2 in"},
		{1625.6, Foot, "5.33 ft"},
	}
	for _, test := range tests {
		if got := Length(test.mm).In(test.unit); got != test.want {
			t.Errorf("%v mm in %s: %q, want %q", test.mm, test.unit, got, test.want)
		}
	}
}

// What In writes, ParseLength reads, within the rounding that In promises.
func TestLengthFine(t *testing.T) {
	for _, c := range []struct {
		l    Length
		u    Unit
		want string
	}{
		{4.06, Millimetre, "4.1 mm"}, {60, Millimetre, "60.0 mm"}, {-0.01, Millimetre, "0.0 mm"},
		{59.44, Centimetre, "5.94 cm"}, {25.4, Inch, "1.000 in"}, {4.1, Inch, "0.161 in"}, {25.4 * 12, Foot, "1.0000 ft"},
	} {
		if got := c.l.Fine(c.u); got != c.want {
			t.Errorf("%g mm in %s: %q, want %q", float64(c.l), c.u, got, c.want)
		}
	}
}

// What Typed writes, ParseLength gives back, within the rounding that it promises.
func TestLengthTyped(t *testing.T) {
	for _, c := range []struct {
		l    Length
		u    Unit
		want string
	}{
		{680, Centimetre, "68 cm"}, {95.26279, Centimetre, "9.526 cm"}, {95.26279, Millimetre, "95.26 mm"}, {0, Inch, "0 in"},
		{69.85, Inch, "2 3/4 in"}, {27, Inch, "1 1/16 in"}, {25, Inch, "0.9843 in"}, {15, Inch, "19/32 in"}, {550, Inch, "21 5/8 in"}, {0.03, Inch, "0.00118 in"}, {0.0004, Millimetre, "0.0004 mm"},
		{-63.5, Inch, "-2 1/2 in"}, {1525, Metre, "1.525 m"},
	} {
		if got := c.l.Typed(c.u); got != c.want {
			t.Errorf("%g mm in %s: %q, want %q", float64(c.l), c.u, got, c.want)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		mm := rapid.Float64Range(-20_000, 20_000).Draw(rt, "mm")
		unit := rapid.SampledFrom([]Unit{Millimetre, Centimetre, Metre, Inch, Foot, Yard}).Draw(rt, "unit")
		within := 0.005
		if unit == Inch {
			within = max(within, onTape*math.Abs(mm))
		}
		text := Length(mm).Typed(unit)
		if got, err := ParseLength(text, Metre); err != nil || math.Abs(float64(got)-mm) > within+1e-9 {
			rt.Errorf("%v mm written %q came back as %v: %v", mm, text, float64(got), err)
		}
	})
}

func TestLengthRoundTrip(t *testing.T) {
	half := map[Unit]float64{Millimetre: 0.5, Centimetre: 0.5, Metre: 5, Inch: 25.4 / 16, Foot: 304.8 * 0.005}
	rapid.Check(t, func(rt *rapid.T) {
		mm := rapid.Float64Range(-20_000, 20_000).Draw(rt, "mm")
		unit := rapid.SampledFrom([]Unit{Millimetre, Centimetre, Metre, Inch, Foot}).Draw(rt, "unit")
		text := Length(mm).In(unit)
		got, err := ParseLength(text, Metre)
		if err != nil {
			rt.Fatalf("%v mm in %s: %v", mm, unit, err)
		}
		if math.Abs(float64(got)-mm) > half[unit]+1e-6 {
			rt.Errorf("%v mm written %q came back as %v", mm, text, float64(got))
		}
	})
}

// Any text is a finite length or refused; a unit written out does not depend
// on the bare one.
func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"7 cm", "2 3/4 in", `5'4"`, "4½in", "-.5", "7,5 cm", "1,500", "1/2", "2-3/4\"", "9e9", "ſ", "7 K"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParseLength(text, Centimetre)
		if err != nil {
			if !strings.Contains(err.Error(), "is not a length") {
				t.Errorf("%q: %v", text, err)
			}
			return
		}
		if math.IsNaN(float64(got)) || math.IsInf(float64(got), 0) {
			t.Errorf("%q: %v", text, float64(got))
		}
		inches, err := ParseLength(text, Inch)
		if err != nil {
			t.Errorf("%q is a length in cm, but not in inches: %v", text, err)
		} else if got != inches && math.Abs(float64(inches)-2.54*float64(got)) > 1e-9*math.Abs(float64(inches)) {
			t.Errorf("%q: %v mm where bare numbers are cm, %v mm where they are inches", text, float64(got), float64(inches))
		}
	})
}
