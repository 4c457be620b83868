package project

import (
	"io/fs"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

// Every row of the schema is whole and agrees with itself.
func TestSchema(t *testing.T) {
	seen := map[string]bool{}
	for _, tb := range schema {
		if seen[tb.name] {
			t.Errorf("table %s is there twice", tb.name)
		}
		seen[tb.name] = true
		if tb.many == tb.what.IsZero() {
			t.Errorf("table %s: many is %v, what is %q", tb.name, tb.many, tb.what.String())
		}
		for _, k := range tb.keys {
			full := tb.full(k.name)
			if tb.name != "" && seen[full] {
				t.Errorf("%s is there twice", full)
			}
			seen[full] = true

			var file struct{ V any }
			if err := toml.Unmarshal([]byte("v = "+k.eg), &file); err != nil {
				t.Errorf("%s: the example %s is not TOML: %v", full, k.eg, err)
				continue
			}
			v := k.check(file.V, units{bare: "cm", known: true}, func(_ int, f fault) {
				t.Errorf("%s: the example %s is refused: %s", full, k.eg, f.msg)
			})
			if k.def != nil && reflect.TypeOf(k.def) != reflect.TypeOf(v) {
				t.Errorf("%s: the default is a %T, a value of the file a %T", full, k.def, v)
			}
			if k.def != nil && !k.need.IsZero() {
				t.Errorf("%s must be given and has a default", full)
			}
			if (k.is == number || k.is == cost || k.is == count) && k.why.IsZero() && k.name != "seed" {
				t.Errorf("%s has a range without a reason", full)
			}
			if (k.is == text || k.is == label) && k.max == 0 {
				t.Errorf("%s may hold no characters", full)
			}
			if (k.is == word) != (len(k.words) > 0) && k.is != lengthOr {
				t.Errorf("%s: words %q", full, k.words)
			}
			if d, ok := k.def.(string); ok && k.is == word && !slices.Contains(k.words, d) {
				t.Errorf("%s: the default %q is not supported", full, d)
			}
		}
	}
	for _, i := range idles {
		tb, _ := tableNamed(i.table)
		k, ok := tb.key(i.beside)
		if _, known := tb.key(i.key); !known || !ok {
			t.Errorf("a note on %s.%s beside %s, which the schema lacks", i.table, i.key, i.beside)
		}
		for _, w := range i.words {
			if !slices.Contains(k.words, w) {
				t.Errorf("a note on %s.%s: %s has no word %q", i.table, i.key, i.beside, w)
			}
		}
	}
}

// The starter file shows every key that can be used, under its table, and no
// other.
func TestStarterShowsEveryKey(t *testing.T) {
	data, err := fs.ReadFile(exampleFiles(), starter)
	if err != nil {
		t.Fatal(err)
	}
	header := regexp.MustCompile(`^(?:# )?\[\[?([a-z]+)\]`)
	keyShown := regexp.MustCompile(`^(?:# )?([a-z_]+) *= \S`)
	shown := map[string]bool{}
	table := ""
	for line := range strings.Lines(string(data)) {
		if m := header.FindStringSubmatch(line); m != nil {
			table = m[1]
		} else if m := keyShown.FindStringSubmatch(line); m != nil {
			tb, _ := tableNamed(table)
			if _, ok := tb.key(m[1]); !ok {
				t.Errorf("it shows %s, which is no key of [%s]", m[1], table)
			}
			shown[tb.full(m[1])] = true
		}
	}
	for _, tb := range append(tables(), schema[0]) {
		for _, name := range tb.names() {
			if !shown[tb.full(name)] {
				t.Errorf("it does not show %s", tb.full(name))
			}
		}
	}
}

func TestNearest(t *testing.T) {
	skirt, _ := tableNamed("skirt")
	for word, want := range map[string]string{
		"wiast": "waist", "Waist": "waist", "lenght": "length", "color": "colour", "seam-allowance": "seam_allowance",
		"seamallowence": "seam_allowance", "panel": "panels", "hips": "hip", "fabricwidth": "fabric_width", "full": "", "x": "", "": "", "weight": "",
	} {
		if got := Nearest(word, skirt.names()); got != want {
			t.Errorf("nearest to %q: got %q, want %q", word, got, want)
		}
	}
}

// kitten to sitting is the textbook pair of edit distance; that CA to ABC takes
// 3 is what sets this distance apart from the unrestricted one (both from
// memory).
func TestSlips(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"", "hem", 3}, {"hem", "hem", 0}, {"wiast", "waist", 1}, {"é", "e", 1}} {
		if got := slips(test.a, test.b); got != test.want {
			t.Errorf("%q to %q: %d, want %d", test.a, test.b, got, test.want)
		}
		if got := slips(test.b, test.a); got != test.want {
			t.Errorf("%q to %q: %d, want %d", test.b, test.a, got, test.want)
		}
	}
}
