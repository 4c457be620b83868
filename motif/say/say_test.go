package say

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"strew/motif/geom"
)

func TestPrinterWritesValues(t *testing.T) {
	cm := Printer{Unit: geom.Centimetre}
	for _, c := range []struct {
		is, want string
	}{
		{Printer{}.Say("print at 100 %"), "print at 100 %"},
		{Printer{}.Say("%s wide", geom.Length(65)), "65 mm wide"},
		{cm.Say("%s wide", geom.Length(65)), "6.5 cm wide"},
		{cm.Say("%s apart", Length(1.26)), "0.13 cm apart"},
		{cm.Say("%s apart", Length(12.6)), "1.3 cm apart"},
		{cm.Many(1, "%d sheet", "%d sheets"), "1 sheet"},
		{cm.Many(2, "%d sheet of %s", "%d sheets of %s", "felt"), "2 sheets of felt"},
		{cm.Many(1, "one more", "%d more"), "one more"},
		{cm.Say("%s are left", List{"a", New("%s of b", geom.Length(10)), "c"}), "a, 1 cm of b and c are left"},
		{cm.Say("%s", Words(nil)), ""},
		{cm.Say("%s", Words([]string{"a"})), "a"},
		{cm.Say("%s", List{"a", "b", "c", "d"}), "a, b, c and d"},
		{cm.Say("%d of %s", 2, List{}), "2 of "},
		{cm.Message(Message{}), ""},
		{cm.Many(0, "%d sheet", "%d sheets"), "0 sheets"},
		{Printer{Unit: "ell"}.Say("%s", Fine(1)), "1.0 mm"},
		{cm.Error(Errorf("leaf: %s", Errorf("%s is too wide", geom.Length(20)))), "leaf: 2 cm is too wide"},
		{cm.Error(fs.ErrNotExist), "file does not exist"},
		{Errorf("%s is too wide", geom.Length(20)).Error(), "20 mm is too wide"},
	} {
		if c.is != c.want {
			t.Errorf("got %q, want %q", c.is, c.want)
		}
	}
}

func TestErrorWrapsItsCauses(t *testing.T) {
	for _, err := range []error{
		Errorf("outline %s: %s", "leaf.svg", fs.ErrNotExist),
		Errorf("outline %s", New("leaf.svg: %s", fs.ErrNotExist)),
		Errorf("outline %s", List{New("leaf.svg: %s", fs.ErrNotExist)}),
		Errorf("outline %s", Errorf("leaf.svg: %s", fs.ErrNotExist)),
	} {
		if !errors.Is(err, fs.ErrNotExist) {
			t.Error("the cause is lost")
		}
		if got := err.Error(); got != "outline leaf.svg: file does not exist" {
			t.Errorf("got %q", got)
		}
	}
}

// table returns a language's texts from a table of English and its own.
func table(texts map[string]string) func(english string) string {
	return func(english string) string {
		if t, ok := texts[english]; ok {
			return t
		}
		return english
	}
}

// A text that package fmt wraps is no message any more and stays English; one
// that wraps nothing is said in the other language.
func TestErrorsInAnotherLanguage(t *testing.T) {
	de := Printer{Language: &Language{Texts: table(map[string]string{
		"no felt":     "kein Filz",
		"%s: %s":      "%s – %s",
		"it is empty": "leer",
	})}}
	inner := Errorf("no felt")
	for _, c := range []struct {
		err  error
		want string
	}{
		{inner, "kein Filz"},
		{Errorf("%s: %s", "leaf", inner), "leaf – kein Filz"},
		{fmt.Errorf("while reading: %w", inner), "while reading: no felt"},
		{errors.Join(inner), "kein Filz"},
		{&geom.LengthError{Text: "it is empty"}, "leer"},
	} {
		if got := de.Error(c.err); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// Polish has three forms: of one, of two to four, of others (Unicode CLDR,
// plural rules of "pl"; only the numbers used here).
func TestAnotherLanguageIsATable(t *testing.T) {
	pl := Printer{Unit: geom.Centimetre, Language: &Language{
		Texts: table(map[string]string{
			"%d sheet|%d sheets":                 "%d arkusz|%d arkusze|%d arkuszy",
			"%s of %s":                           "%[2]s: %[1]s",
			"%s and %s":                          "%s i %s",
			"the felt is too narrow, %s at most": "filc jest za wąski, najwyżej %s",
		}),
		Plural: func(n int) int {
			switch {
			case n == 1:
				return 0
			case n < 5:
				return 1
			}
			return 2
		},
	}}
	for _, c := range []struct {
		is, want string
	}{
		{pl.Many(1, "%d sheet", "%d sheets"), "1 arkusz"},
		{pl.Many(3, "%d sheet", "%d sheets"), "3 arkusze"},
		{pl.Many(5, "%d sheet", "%d sheets"), "5 arkuszy"},
		{pl.Say("%s of %s", Many(5, "%d sheet", "%d sheets"), Words([]string{"a", "b"})), "a i b: 5 arkuszy"},
		{pl.Say("not in the table"), "not in the table"},
		{pl.Many(2, "one more", "%d more"), "2 more"},
		{pl.Error(Errorf("the felt is too narrow, %s at most", geom.Length(55))), "filc jest za wąski, najwyżej 5.5 cm"},
	} {
		if c.is != c.want {
			t.Errorf("got %q, want %q", c.is, c.want)
		}
	}
}

// Whatever stands in a language's table, nothing panics and no placeholder
// shows: what cannot take the values is passed over, and English is written.
func FuzzTable(f *testing.F) {
	for _, text := range []string{"%s %d", "%[2]d: %[1]s", "%d", "%", "%[9]s", "%!", "%s %s %s", "|", "%.3[1]f", "a|b|%s|%[2]d", "%*d", "%-5s%%%d", "%[1]s%[1]s"} {
		f.Add(text, 3)
	}
	f.Fuzz(func(t *testing.T, text string, n int) {
		p := Printer{Language: &Language{
			Texts:  func(string) string { return text },
			Plural: func(n int) int { return n },
		}}
		for _, got := range []string{
			p.Say("%s has %d leaves", geom.Length(20), 7),
			p.Many(n, "%d sheet of %s", "%d sheets of %s", Fine(3)),
			p.Many(n, "one more", "%d more"),
		} {
			if strings.Contains(got, "%!") && !strings.Contains(text, "%%") {
				t.Errorf("the table's %q gives %q", text, got)
			}
		}
	})
}

// verbs agrees with package fmt on which texts can be written: fmt marks what
// it cannot write with "%!".
func FuzzVerbs(f *testing.F) {
	for _, text := range []string{"%d%d", "%d", "%[2]d", "%[2]d%d", "%[1]d%[1]d", "%%%d%d", "%+d % d", "%-08.3d%d", "%d%", "%[3]d", "%[1]", "%[x]d"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		of, ok := verbs(text, 2)
		for _, verb := range of {
			if verb != 'd' {
				return // fmt would refuse the values, not the text
			}
		}
		if got := fmt.Sprintf(text, 1, 2); ok && strings.Contains(got, "%!") && !strings.Contains(text, "%%") {
			t.Errorf("%q passes and gives %q", text, got)
		}
	})
}

func TestRuns(t *testing.T) {
	for want, in := range map[string][]int{"1–3, 5": {1, 2, 3, 5}, "7": {7}, "": nil, "1–2, 4, 6–7": {1, 2, 4, 6, 7}} {
		if got := Runs(in).String(); got != want {
			t.Errorf("Runs(%v) = %q, want %q", in, got, want)
		}
	}
}
