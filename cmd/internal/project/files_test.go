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
)

func write(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	path := write(t, filepath.Join(dir, "meadow.toml"), goodSkirt+goodMotif+goodScatter)
	p, err := Load(path, Overrides{})
	if err != nil || p.Dir != dir || p.File != path || p.Skirt.Waist != 680 {
		t.Errorf("%+v, %v", p, err)
	}
	bad := write(t, filepath.Join(dir, "bad.toml"), goodSkirt+goodMotif+goodScatter+"jitter = 2\n")
	_, err = Load(bad, Overrides{})
	wantErrors(t, err, []string{bad + ":10:1: scatter.jitter: 2 is out of range; write a number from 0 to 1: 0 keeps regular rows, 1 is as loose as the clearance allows"})
}

func TestLoadFailures(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := os.Mkdir(at("empty"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(at("full"), 0o777); err != nil {
		t.Fatal(err)
	}
	inside := write(t, filepath.Join(at("full"), "project.toml"), goodSkirt)
	write(t, at("large.toml"), "# "+strings.Repeat("x", mostBytes))
	write(t, at("lines.toml"), strings.Repeat("\n", mostLines+1))
	write(t, at("full.toml"), goodSkirt+goodMotif+goodScatter+"# "+strings.Repeat("x", mostBytes-len(goodSkirt+goodMotif+goodScatter)-2))
	for name, want := range map[string]string{
		"none.toml":    `: there is no such file; check the name, or write a project to start from with "strew init"`,
		"empty":        `: it is a folder; name a project file`,
		"full":         `: it is a folder; name the project file in it; did you mean "` + inside + `"`,
		"large.toml":   `: it is larger than 1 MB, so it is not a project file; name the .toml file of the project`,
		"lines.toml":   `: it has more than 10000 lines, so it is not a project file; name the .toml file of the project`,
		"large.toml/x": `: it cannot be read: not a directory`,
	} {
		_, err := Load(at(name), Overrides{})
		wantErrors(t, err, []string{at(name) + want})
	}
	if _, err := Load(at("full.toml"), Overrides{}); err != nil {
		t.Errorf("a file of just 1 MB: %v", err)
	}
	if os.Getuid() != 0 { // root reads anything
		locked := write(t, at("locked.toml"), goodSkirt)
		if err := os.Chmod(locked, 0); err != nil {
			t.Fatal(err)
		}
		_, err := Load(locked, Overrides{})
		wantErrors(t, err, []string{locked + ": it cannot be read: permission denied"})
	}
}

func TestLoadLay(t *testing.T) {
	dir := t.TempDir()
	path := write(t, filepath.Join(dir, "lay.toml"), goodMotif+"cut = 12\n[[sheet]]\nname = \"felt\"\nwidth = 20\nheight = 30\n")
	p, err := LoadLay(path, Overrides{Effort: new(7)})
	if err != nil || p.Motifs[0].Cut != 12 || p.Cutting.Effort != 7 || !reflect.DeepEqual(p.Skirt, Skirt{}) || len(p.Notes) != 0 {
		t.Errorf("%+v, %v", p, err)
	}
	write(t, path, goodSkirt+goodMotif+"share = 0\ncut = 3\n")
	if p, err = LoadLay(path, Overrides{}); err != nil || p.Skirt.Drop != 600 {
		t.Errorf("a skirt without a scatter: %+v, %v", p, err)
	}
	write(t, path, goodMotif)
	_, err = LoadLay(path, Overrides{})
	wantErrors(t, err, []string{path + ":1:1: motif.cut: no motif says how many to cut; write it for each motif, as in cut = 12"})
}

func TestOverrides(t *testing.T) {
	file := goodSkirt + goodMotif + "[scatter]\nspacing = 11\nspacing_waist = 11\nrise = 6\npattern = \"hemband\"\n"
	p := mustParse(t, file)
	q, err := p.With(Overrides{Spacing: new("4"), Unit: new("in"), Pattern: new("polka"), Seed: new(uint64(9)), Effort: new(0)})
	if err != nil {
		t.Fatal(err)
	}
	if q.Scatter.Spacing != 4*25.4 || q.Unit != "in" || q.Scatter.Pattern != "polka" || q.Seed != 9 || q.Cutting.Effort != 0 || q.Skirt.Waist != 680 {
		t.Errorf("%+v", q)
	}
	if !slices.Contains(told(q), `scatter.rise is only used with pattern "hemband"`) || slices.Contains(told(p), `scatter.rise is only used with pattern "hemband"`) {
		t.Errorf("notes before %q, after %q", told(p), told(q))
	}
	if p.Scatter.Spacing != 110 || p.Unit != "cm" {
		t.Error("With changed the project it was called on")
	}
	if q, err = p.With(Overrides{Cutouts: new(60)}); err != nil || q.Scatter.Cutouts != 60 || q.Scatter.Spacing != 0 {
		t.Errorf("cutouts for spacing: %+v, %v", q.Scatter, err)
	}
	if q, err = q.With(Overrides{Spacing: new("7cm")}); err != nil || q.Scatter.Cutouts != 0 || q.Scatter.Spacing != 70 {
		t.Errorf("spacing for cutouts: %+v, %v", q.Scatter, err)
	}
	if q, err = p.With(Overrides{Seed: new(uint64(math.MaxInt64))}); err != nil || q.Seed != math.MaxInt64 {
		t.Errorf("the largest seed: %d, %v", q.Seed, err)
	}
}

func TestBadOverrides(t *testing.T) {
	p := mustParse(t, goodSkirt+goodMotif+"[scatter]\nspacing = 11\nspacing_waist = 11\n")
	for _, test := range []struct {
		o    Overrides
		want []string
	}{
		{Overrides{Spacing: new("wide")}, []string{`--spacing: "wide" is not a length; write it like "7 cm", "65 mm" or "2 3/4 in"`}},
		{Overrides{Spacing: new("")}, []string{`--spacing: "" is not a length: there is no number; write it like "7 cm", "65 mm" or "2 3/4 in"`}},
		{Overrides{Spacing: new("0")}, []string{`--spacing: 0 cm is too small; write a length above 0`}},
		{Overrides{Spacing: new("9000"), Unit: new("cm")}, []string{`--spacing: 9000 cm is longer than 20 m, probably in the wrong unit; --unit says that bare numbers are in cm`}},
		{Overrides{Pattern: new("poka")}, []string{`--pattern: "poka" is not known; write "polka", "grid" or "hemband"; did you mean "polka"`}},
		{Overrides{Unit: new("ft")}, []string{`--unit: "ft" is not known; write "mm", "cm" or "in"`}},
		{Overrides{Cutouts: new(0)}, []string{`--cutouts: 0 is out of range; write a whole number from 1 to 10000: each one is cut out by hand`}},
		{Overrides{Effort: new(11)}, []string{`--effort: 11 is out of range; write a whole number from 0 to 10: 0 is quick, 10 is thorough`}},
		{Overrides{Sheets: new(0)}, []string{`--sheets: 0 is out of range; write a whole number from 1 to 1000: it is the felt you mean to use up`}},
		{Overrides{Budget: new(9.5)}, []string{`--budget: a budget needs the price of all felt, and "craft felt A4" has none; write it for that felt, as in price = 1.10`}},
		{Overrides{Budget: new(math.NaN())}, []string{`--budget: nan is not a number; write one from 0.01 to 1000000, as in 25`}},
		{Overrides{Spacing: new("7cm"), Cutouts: new(60)}, []string{`--cutouts: spacing and cutouts are given together; keep one: it decides how many cutouts there are`}},
	} {
		_, err := p.With(test.o)
		wantErrors(t, err, test.want)
	}
	if _, err := (Project{}).With(Overrides{}); err == nil {
		t.Error("overrides were laid over a project without a file")
	}
}

// Faults of the file and of the flags are told together, and a flag may give
// what the file leaves out.
func TestLoadWith(t *testing.T) {
	path := write(t, filepath.Join(t.TempDir(), "p.toml"), goodSkirt+goodMotif)
	if p, err := Load(path, Overrides{Spacing: new("9cm")}); err != nil || p.Scatter.Spacing != 90 {
		t.Errorf("%+v, %v", p.Scatter, err)
	}
	write(t, path, "[skirt]\ncut = \"circle\"\nwaist = 6\nlength = 60\n"+goodMotif+"[scatter]\nspacing = \"?\"\ncutouts = 60\n")
	_, err := Load(path, Overrides{Spacing: new("9cm"), Effort: new(-1)})
	wantErrors(t, err, []string{
		path + `:3:1: skirt.waist: 6 cm is too small: a body measures between 10 cm and 3 m round; no unit is set, so numbers without one are in cm`,
		path + `:9:1: scatter.spacing: "?" is not a length; write it like "7 cm", "65 mm" or "2 3/4 in"`,
		`--effort: -1 is out of range; write a whole number from 0 to 10: 0 is quick, 10 is thorough`,
	})
}

func TestInit(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "meadow")
	names, err := Init(dir)
	if err != nil {
		t.Fatal(err)
	}
	if names[0] != starter {
		t.Errorf("the first file is %s", names[0])
	}
	for _, name := range names {
		got, err := os.ReadFile(filepath.Join(dir, name))
		want, err2 := fs.ReadFile(exampleFiles(), name)
		if name == starter {
			want = bytes.Replace(want, []byte(`"Ginkgo walk"  `), []byte(`"My skirt"  `), 1)
		}
		if err != nil || err2 != nil || !bytes.Equal(got, want) {
			t.Errorf("%s: %v, %v", name, err, err2)
		}
	}
	p, err := Load(filepath.Join(dir, starter), Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range p.Motifs {
		if _, err := os.Stat(filepath.Join(p.Dir, m.Outline)); err != nil {
			t.Errorf("motif %s: %v", m.Name, err)
		}
	}
	if example, _ := Example(); !reflect.DeepEqual(p.Skirt, example.Skirt) || p.Scatter != example.Scatter {
		t.Error("the project written is not the example")
	}
}

func TestInitOverwritesNothing(t *testing.T) {
	dir := t.TempDir()
	mine := write(t, filepath.Join(dir, starter), "mine")
	names, err := Init(dir)
	var es Problems
	if !errors.As(err, &es) || !strings.Contains(err.Error(), dir+": project.toml") || !strings.Contains(err.Error(), "would be overwritten") || names != nil {
		t.Errorf("%q, %v", names, err)
	}
	if got, _ := os.ReadFile(mine); string(got) != "mine" {
		t.Errorf("it now holds %q", got)
	}
	if all, _ := os.ReadDir(dir); len(all) != 1 {
		t.Errorf("the folder holds %v", all)
	}
	// A file stands where the folder should be: nothing is made.
	if _, err := Init(filepath.Join(mine, "meadow")); err == nil || errors.As(err, &es) {
		t.Errorf("a folder below a file: %v", err)
	}
	_, err = Init(mine)
	wantErrors(t, err, []string{mine + " is a file; name a folder"})
}
