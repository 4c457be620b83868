package project

import (
	"bytes"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2/unstable"
	"pgregory.net/rapid"
)

// styles are the ways in which a project file may be written.
var styles = map[string]string{
	"in tables": "# ours\ntitle = \"Walk\" # printed\n\n[skirt]\n  cut = 'circle'\n  waist = 68 # hers\n# tilt = 3\n  length = \"60 cm\"\n\n" +
		"[[motif]] # first\nname = \"a\"\noutline = \"a.svg\"\nsizes = [ # of both\n  1.0, # whole\n  0.5,\n]\n# tilt = 15   # degrees\n\n" +
		"[[motif]]\nname = \"b\"\noutline = \"b.svg\"\n# the end of b\n\n[scatter]\nspacing = 11\n",
	"in line":    "skirt = { cut = \"circle\", waist = 68, length = 60 } # one line\nmotif = [ { name = \"a\", outline = \"a.svg\" }, {name=\"b\",outline=\"b.svg\"} ]\nscatter = {spacing = 11}\n",
	"dotted":     "skirt.cut = \"circle\" # round\nskirt.waist = 68\nskirt.length = 60\nscatter.spacing = 11\n[[motif]]\nname = \"a\"\noutline = \"a.svg\"\n",
	"empty":      "",
	"no newline": "[scatter]\nspacing = 11",
	"CRLF":       "\ufeff# ours\r\n[scatter]\r\nspacing = 11 # wide\r\n# jitter = 0.5\r\n\r\n[[bare]]\r\npanel = 1\r\n",
	"texts":      "title = \"\"\"a # b\n\"\"\"\n[[motif]]\nname = 'x # y' # z\noutline = \"\\\"# [\"\n[[motif]]\n",
}

// projects are the texts that changes are tried on.
func projects(t interface{ Fatal(...any) }) map[string]string {
	out := map[string]string{}
	for name, text := range styles {
		out[name] = text
	}
	data, err := fs.ReadFile(exampleFiles(), starter)
	if err != nil {
		t.Fatal(err)
	}
	out["the example"] = string(data)
	paths, err := filepath.Glob("../../../testdata/*/*.toml")
	if err != nil || len(paths) == 0 {
		t.Fatal("no example projects: ", err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		out[path] = string(data)
	}
	return out
}

func document(t interface{ Fatal(...any) }, text string) Document {
	d, err := ReadDocument([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(d.Bytes(), []byte(text)) {
		t.Fatal("reading changed the text")
	}
	return d
}

// commentsOf are the comments of a text in their order, as the parser of the
// library finds them.
func commentsOf(text []byte) []string {
	var out []string
	p := unstable.Parser{KeepComments: true}
	p.Reset(bytes.TrimPrefix(text, []byte(bom)))
	var look func(n *unstable.Node)
	look = func(n *unstable.Node) {
		if n.Kind == unstable.Comment {
			out = append(out, strings.TrimRight(string(n.Data), " \r\n"))
		}
		for it := n.Children(); it.Next(); {
			look(it.Node())
		}
	}
	for p.NextExpression() {
		e := p.Expression()
		look(e)
		if n := e.Next(); n != nil {
			look(n) // at the end of its line
		}
	}
	slices.Sort(out)
	return out
}

// anyKey draws a key that the document may have.
func anyKey(t *rapid.T, d Document) string {
	tab := rapid.SampledFrom(schema).Draw(t, "table")
	k := rapid.SampledFrom(tab.keys).Draw(t, "key")
	switch {
	case tab.name == "":
		return k.name
	case tab.many:
		return keyAt(tab.full(k.name), rapid.IntRange(0, d.Len(tab.name)).Draw(t, "number"))
	}
	return tab.full(k.name)
}

// anyValue draws a value.
func anyValue(t *rapid.T) any {
	one := rapid.OneOf(
		rapid.Map(rapid.String(), func(s string) any { return strings.ToValidUTF8(s, "?") }),
		rapid.Map(rapid.Int64(), func(n int64) any { return n }),
		rapid.Map(rapid.Float64(), func(f float64) any { return f }),
		rapid.Map(rapid.Float64Range(-1000, 1000), func(f float64) any { return math.Round(f*10) / 10 }),
		rapid.Map(rapid.Bool(), func(b bool) any { return b }),
	)
	return rapid.OneOf(one, one, rapid.Map(rapid.SliceOfN(one, 0, 4), func(l []any) any { return l })).Draw(t, "value")
}

// read is a value as TOML is read.
func read(v any) any {
	same, _, _ := encode(v)
	return same
}

func TestSetThenGet(t *testing.T) {
	texts := projects(t)
	names := make([]string, 0, len(texts))
	for n := range texts {
		names = append(names, n)
	}
	slices.Sort(names)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names).Draw(t, "file")
		d := document(t, texts[name])
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			key, value := anyKey(t, d), anyValue(t)
			before := d.Bytes()
			old, written := d.Get(key)
			out, err := d.Set(key, value)
			if err != nil {
				var ps Problems
				if !errors.As(err, &ps) || ps[0].Key != key || !bytes.Equal(out.Bytes(), before) {
					t.Fatalf("Set(%s) says %v", key, err)
				}
				if strings.Contains(err.Error(), "editor") {
					t.Fatalf("Set(%s, %v) cannot change %q", key, value, before)
				}
				continue
			}
			after := out.Bytes()
			got, ok := out.Get(key)
			if !ok || !reflect.DeepEqual(got, read(value)) {
				t.Fatalf("Set(%s, %#v), then Get gives %#v in\n%s", key, value, got, after)
			}
			if !slices.Equal(commentsOf(before), commentsOf(after)) {
				t.Fatalf("Set(%s) changed the comments %q to %q", key, commentsOf(before), commentsOf(after))
			}
			if again := document(t, string(after)); !reflect.DeepEqual(again.values, out.values) {
				t.Fatalf("Set(%s) gives what reads otherwise:\n%s", key, after)
			}
			if same, err := out.Set(key, got); err != nil || !bytes.Equal(same.Bytes(), after) {
				t.Fatalf("Set(%s) to what it is changed it: %v", key, err)
			}
			onlyThere(t, d, out, key, written && reflect.DeepEqual(old, read(value)))
			if without, err := out.Unset(key); err != nil {
				t.Fatalf("Unset(%s) says %v in\n%s", key, err, after)
			} else if _, ok := without.Get(key); ok || !slices.Equal(commentsOf(without.Bytes()), commentsOf(after)) {
				t.Fatalf("after Unset(%s) it is written: %t; the comments were %q and are %q", key, ok, commentsOf(after), commentsOf(without.Bytes()))
			} else if !written && lineCount(without.Bytes()) == lineCount(before) && !bytes.Equal(without.Bytes(), before) {
				t.Fatalf("Set and Unset(%s) turn\n%s\ninto\n%s", key, before, without.Bytes()) // no table was added
			}
			d = out
		}
	})
}

func lineCount(text []byte) int { return bytes.Count(text, []byte("\n")) }

// onlyThere fails unless what a change left alone is the same: all of the text
// where the key is new or the value the same, else all but the value, whose
// comments may have moved above it.
func onlyThere(t *rapid.T, d, out Document, key string, same bool) {
	before, after := d.text, out.text
	parts, err := keyPath(key)
	if err != nil {
		t.Fatal(err)
	}
	s := layoutOf(before).spots[path(parts...)]
	switch {
	case same:
		if !bytes.Equal(before, after) {
			t.Fatalf("the text changed from\n%s\nto\n%s", before, after)
		}
		return
	case s.end > 0 && len(comments(before[s.value:s.end])) > 0:
		return // the comments are compared elsewhere
	}
	// What is new stands between a start and an end of the old text.
	start, end := s.value, s.end
	if s.end == 0 {
		for start = 0; start < len(before) && start < len(after) && before[start] == after[start]; start++ {
		}
		end = start
	}
	if !bytes.HasPrefix(after, before[:start]) || !bytes.HasSuffix(after[start:], before[end:]) {
		t.Fatalf("more than %s changed from\n%s\nto\n%s", key, before, after)
	}
}

func TestSetChangesOneValue(t *testing.T) {
	for _, c := range []struct {
		style, key string
		value      any
		old, new   string // parts of the text; new takes the place of old
	}{
		{"in tables", "skirt.waist", 70.5, "waist = 68 # hers", "waist = 70.5 # hers"},
		{"in tables", "skirt.length", "24 1/2\"", `"60 cm"`, `'24 1/2"'`},
		{"in tables", "skirt.hip", 94, "\"60 cm\"\n", "\"60 cm\"\n  hip = 94\n"},
		{"in tables", "title", "Tide # line", `"Walk" #`, `"Tide # line" #`},
		{"in tables", "seed", 3, "# printed\n", "# printed\nseed = 3\n"},
		{"in tables", "motif.0.tilt", 10, "# degrees\n", "# degrees\ntilt = 10\n"},
		{"in tables", "motif.1.width", "6 cm", "\"b.svg\"\n", "\"b.svg\"\nwidth = \"6 cm\"\n"},
		{"in tables", "motif.0.sizes", []float64{1, 0.7}, "sizes = [ # of both\n  1.0, # whole\n  0.5,\n]\n", "# of both\n# whole\nsizes = [1, 0.7]\n"},
		{"in tables", "cutting.gap", "3 mm", "spacing = 11\n", "spacing = 11\n\n[cutting]\ngap = \"3 mm\"\n"},
		{"in line", "skirt.hip", 94, "length = 60 }", "length = 60, hip = 94 }"},
		{"in line", "motif.1.share", 2, "\"b.svg\"}", "\"b.svg\", share = 2}"},
		{"in line", "motif.0.name", "c", "name = \"a\"", "name = \"c\""},
		{"dotted", "scatter.jitter", 0.2, "spacing = 11\n", "spacing = 11\nscatter.jitter = 0.2\n"},
		{"empty", "skirt.cut", "gores", "", "[skirt]\ncut = \"gores\"\n"},
		{"no newline", "scatter.jitter", 1, "spacing = 11", "spacing = 11\njitter = 1"},
		{"CRLF", "scatter.jitter", 1, "0.5\r\n", "0.5\r\njitter = 1\r\n"},
		{"CRLF", "title", "x", "\ufeff", "\ufefftitle = \"x\"\r\n"},
	} {
		d, err := document(t, styles[c.style]).Set(c.key, c.value)
		if err != nil {
			t.Errorf("%s: %s: %v", c.style, c.key, err)
			continue
		}
		if want := strings.Replace(styles[c.style], c.old, c.new, 1); string(d.Bytes()) != want {
			t.Errorf("%s: %s gives\n%s\nwant\n%s", c.style, c.key, d.Bytes(), want)
		}
	}
}

func TestUnset(t *testing.T) {
	for _, c := range []struct{ style, key, old, new string }{
		{"in tables", "skirt.waist", "  waist = 68 # hers", "  # hers"},
		{"in tables", "skirt.length", "  length = \"60 cm\"\n", ""},
		{"in tables", "motif.0.sizes", "sizes = [ # of both\n  1.0, # whole\n  0.5,\n]\n", "# of both\n# whole\n"},
		{"in line", "skirt.waist", ", waist = 68", ""},
		{"in line", "skirt.cut", "cut = \"circle\", ", ""},
		{"in line", "scatter.spacing", "spacing = 11", ""},
		{"dotted", "skirt.cut", "skirt.cut = \"circle\" # round", "# round"},
		{"in tables", "skirt.hip", "", ""},
	} {
		d, err := document(t, styles[c.style]).Unset(c.key)
		if want := strings.Replace(styles[c.style], c.old, c.new, 1); err != nil || string(d.Bytes()) != want {
			t.Errorf("%s: %s gives %v\n%s\nwant\n%s", c.style, c.key, err, d.Bytes(), want)
		}
	}
}

// A table that is added and removed again leaves the text as it was, and its
// keys can be set as those of any other.
func TestAddAndRemove(t *testing.T) {
	for name, text := range projects(t) {
		for _, table := range []string{"motif", "bare", "fixed", "sheet"} {
			d := document(t, text)
			n := d.Len(table)
			more, err := d.Add(table)
			if err != nil {
				t.Errorf("%s: adding [[%s]]: %v", name, table, err)
				continue
			}
			if more.Len(table) != n+1 || !slices.Equal(commentsOf(more.Bytes()), commentsOf(d.Bytes())) {
				t.Errorf("%s: adding [[%s]] gives\n%s", name, table, more.Bytes())
			}
			back, err := more.Remove(table, n)
			if err != nil || back.Len(table) != n || strings.TrimSpace(string(back.Bytes())) != strings.TrimSpace(text) && n > 0 && !strings.Contains(text, table+" = [") {
				t.Errorf("%s: removing [[%s]] again gives %v\n%s\nfrom\n%s", name, table, err, back.Bytes(), more.Bytes())
			}
			tab, _ := tableNamed(table)
			for _, k := range tab.keys[:2] {
				key := keyAt(tab.full(k.name), n)
				if more, err = more.Set(key, "x"); err != nil {
					t.Errorf("%s: %s: %v", name, key, err)
				}
			}
			for i := range n {
				fewer, err := more.Remove(table, i)
				if err != nil || fewer.Len(table) != n {
					t.Errorf("%s: removing [[%s]] %d: %v", name, table, i, err)
				}
			}
		}
	}
}

func TestRemoveKeepsWhatStandsRound(t *testing.T) {
	d, err := document(t, styles["in tables"]).Remove("motif", 0)
	if err != nil {
		t.Fatal(err)
	}
	text := styles["in tables"]
	from, to := strings.Index(text, "\n[[motif]] # first"), strings.Index(text, "# tilt = 15")
	if want := text[:from] + text[to:]; string(d.Bytes()) != want {
		t.Errorf("got\n%s\nwant\n%s", d.Bytes(), want)
	}
}

func TestRefusedChanges(t *testing.T) {
	d := document(t, styles["in tables"])
	for key, value := range map[string]any{
		"skirt.waits": 1, "skirt": 1, "motif.width": 1, "motif.2.width": 1, "motif.-1.width": 1, "motif.01.width": 1, "skirt.0.waist": 1,
		"": 1, "a.b.c.d": 1, "seed": math.NaN(), "title": nil, "skirt.hip": struct{}{},
	} {
		_, err := d.Set(key, value)
		var ps Problems
		if !errors.As(err, &ps) || ps[0].Key != key {
			t.Errorf("%s: %v", key, err)
		}
	}
	for _, err := range []error{
		func() error { _, err := d.Add("skirt"); return err }(), func() error { _, err := d.Add("none"); return err }(),
		func() error { _, err := d.Remove("motif", 2); return err }(), func() error { _, err := d.Remove("skirt", 0); return err }(),
		func() error { _, err := d.Unset("none"); return err }(), func() error { _, err := ReadDocument([]byte("a = = b")); return err }(),
	} {
		if err == nil {
			t.Error("no error")
		}
	}
}

// What was set is what the project then has.
func TestDocumentToProject(t *testing.T) {
	data, err := fs.ReadFile(exampleFiles(), starter)
	if err != nil {
		t.Fatal(err)
	}
	d := document(t, string(data))
	for key, value := range map[string]any{"scatter.spacing": "9 cm", "motif.1.direction": "two-way", "cutting.effort": 5, "supplies.paper": "A3"} {
		if d, err = d.Set(key, value); err != nil {
			t.Fatal(err)
		}
	}
	p, err := Parse(d.Bytes(), "p.toml", ".")
	if err != nil || p.Scatter.Spacing != 90 || p.Motifs[1].Direction != DirectionTwoWay || p.Cutting.Effort != 5 || p.Supplies.Paper != PaperA3 {
		t.Errorf("%v: %+v", err, p)
	}
	if d, err = d.Set("motif.0.width", -1); err != nil {
		t.Fatal(err)
	}
	var ps Problems
	if _, err := Parse(d.Bytes(), "p.toml", "."); !errors.As(err, &ps) || ps[0].Key != "motif.0.width" {
		t.Errorf("a wrong value gives %v", err)
	}
}

// Whatever the file, a change is right or refused, and never breaks it.
func FuzzDocument(f *testing.F) {
	for _, text := range projects(f) {
		f.Add(text, "scatter.spacing", "9 cm")
	}
	f.Add("motif = []\n", "motif.0.name", "x")
	f.Add("[skirt.x]\n", "skirt.cut", "x")
	f.Add("[[motif]]\n[motif.x]\ny = 1\n[[motif]]\n", "motif.0.name", "x")
	f.Fuzz(func(t *testing.T, text, key, value string) {
		if len(text) > 1<<14 {
			return
		}
		d, err := ReadDocument([]byte(text))
		if err != nil {
			return
		}
		if !bytes.Equal(d.Bytes(), []byte(text)) {
			t.Fatal("reading changed the text")
		}
		out, err := d.Set(key, value)
		if err == nil {
			if got, ok := out.Get(key); !ok || got != read(value) {
				t.Fatalf("%q set to %q is %v", key, value, got)
			}
			if got, want := commentsOf(out.Bytes()), commentsOf(d.Bytes()); !slices.Equal(got, want) {
				t.Fatalf("the comments were %q and are %q", want, got)
			}
		}
		if out, err = out.Unset(key); err == nil {
			if _, ok := out.Get(key); ok {
				t.Fatalf("%q is still there", key)
			}
		}
		if more, err := d.Add("bare"); err == nil {
			if less, err := more.Remove("bare", more.Len("bare")-1); err == nil && less.Len("bare") != d.Len("bare") {
				t.Fatalf("%d tables are %d", d.Len("bare"), less.Len("bare"))
			}
		}
	})
}
