package project

import (
	"errors"
	"strings"
	"testing"
)

// A problem names its key as the control for it does, with the number of its
// table; its text names the key as the file does.
func TestProblemsNameTheirKeys(t *testing.T) {
	file := goodSkirt + goodMotif + "[[motif]]\nname = \"acorn\"\noutline = \"acorn.svg\"\nwidth = -1\nwith = 3\nsizes = [1, 0]\n" + goodScatter + "[[bare]]\n"
	_, err := Parse([]byte(file), "p.toml", ".")
	var ps Problems
	if !errors.As(err, &ps) {
		t.Fatal(err)
	}
	want := []struct{ key, text string }{
		{"motif.1.width", "p.toml:11:1: motif.width: -1 cm is negative; write a length above 0"},
		{"motif", ""},
		{"motif.1.sizes", "p.toml:13:13: motif.sizes: 0 is out of range; a size is above 0 and at most 10 times the drawing"},
		{"bare.0.panel", ""},
	}
	if len(ps) != len(want) {
		t.Fatalf("got\n%v", err)
	}
	for i, w := range want {
		if ps[i].Key != w.key || w.text != "" && ps[i].Error() != w.text {
			t.Errorf("got %s of key %s, want %s of %s", ps[i], ps[i].Key, w.text, w.key)
		}
	}
	p := mustParse(t, goodSkirt+goodMotif+goodScatter)
	_, err = p.With(Overrides{Spacing: new("-3")})
	if !errors.As(err, &ps) || len(ps) != 1 || ps[0].Key != "scatter.spacing" || ps[0].Flag != "--spacing" {
		t.Errorf("got %+v", ps)
	}
}

// Every problem names the control that shows it, or a table, or nothing where the
// line belongs to no key.
func TestProblemsNameAControl(t *testing.T) {
	for _, bad := range badFiles() {
		_, err := Parse([]byte(bad.file), "p.toml", ".")
		var list Problems
		if !errors.As(err, &list) {
			t.Fatalf("%s: %v", bad.name, err)
		}
		d, err := ReadDocument([]byte(bad.file))
		readable := err == nil
		fields := d.Fields(nil)
		for _, p := range list {
			_, control := fields[p.Key]
			_, table := tableNamed(p.Key)
			switch {
			case control || table: // "" too
			case !readable && isKey(p.Key):
			default:
				t.Errorf("%s: %q is the key of no control, in %v", bad.name, p.Key, p)
			}
			if readable && table && isKey(p.name) && !strings.Contains(p.What.Text, "no such key") {
				t.Errorf("%s: %v names a key, and not its control", bad.name, p)
			}
		}
	}
}

// Where a table may stand many times, a problem names the control of the right one.
func TestProblemsOfTheRightElement(t *testing.T) {
	for file, want := range map[string]string{
		goodSkirt + goodMotif + goodScatter + "[[motif]]\nname = \"b\"\noutline = \"b.svg\"\nwidth = -1\n":                                                           "motif.1.width",
		goodSkirt + goodMotif + goodScatter + "[[motif]]\nname = \"b\"\n":                                                                                            "motif.1.outline",
		goodSkirt + goodMotif + goodScatter + "[[motif]]\nname = \"b\"\noutline = \"b.svg\"\nsizes = [1, 0]\n":                                                       "motif.1.sizes",
		goodSkirt + goodMotif + goodScatter + "[[motif]]\nname = \"ginkgo\"\noutline = \"b.svg\"\n":                                                                  "motif.1.name",
		goodSkirt + goodMotif + goodScatter + "[[motif]]\nname = \"b\"\noutline = \"b.svg\"\nwidth = 6 cm\n":                                                         "motif.1.width", // not even TOML
		goodSkirt + goodMotif + "[scatter]\nbudget = 3\n[[sheet]]\nname = \"a\"\nwidth = 9\nheight = 9\nprice = 1\n[[sheet]]\nname = \"b\"\nwidth = 9\nheight = 9\n": "sheet.1.price",
		goodSkirt + goodMotif + "[scatter]\nbudget = 3\n":                                                                                                            "sheet.0.price", // of the felt that is assumed
	} {
		_, err := Parse([]byte(file), "p.toml", ".")
		var list Problems
		if !errors.As(err, &list) || list[0].Key != want {
			t.Errorf("%q is not of %s: %v", file, want, err)
		}
	}
}
