package say

import (
	"errors"
	"io/fs"
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
		{cm.Message(Message{}), ""},
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
	err := Errorf("outline %s: %s", "leaf.svg", fs.ErrNotExist)
	if !errors.Is(err, fs.ErrNotExist) {
		t.Error("the cause is lost")
	}
	if got := err.Error(); got != "outline leaf.svg: file does not exist" {
		t.Errorf("got %q", got)
	}
}

// Polish has three forms: of one, of two to four, of others (Unicode CLDR,
// plural rules of "pl"; only the numbers used here).
func TestAnotherLanguageIsATable(t *testing.T) {
	pl := Printer{Unit: geom.Centimetre, Language: &Language{
		Texts: Table(map[string]string{
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
		{pl.Error(Errorf("the felt is too narrow, %s at most", geom.Length(55))), "filc jest za wąski, najwyżej 5.5 cm"},
	} {
		if c.is != c.want {
			t.Errorf("got %q, want %q", c.is, c.want)
		}
	}
}

func TestRuns(t *testing.T) {
	for want, in := range map[string][]int{"1–3, 5": {1, 2, 3, 5}, "7": {7}, "": nil, "1–2, 4, 6–7": {1, 2, 4, 6, 7}} {
		if got := Runs(in).String(); got != want {
			t.Errorf("Runs(%v) = %q, want %q", in, got, want)
		}
	}
}
