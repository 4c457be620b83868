package project

import (
	"errors"
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
		{"motif.1.with", ""},
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
