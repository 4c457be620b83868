package words

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
)

// svg draws a rectangle of millimetres.
func svg(w, h float64) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte(fmt.Sprintf(
		`<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g"><path id="edge" fill="#d9a521" d="M0 0h%gv%gh%gz"/></svg>`, w, h, w, h, w, h, -w))}
}

// refusal plans a project that cannot be planned, with a leaf of 40 × 30 mm, and
// returns it and why.
func refusal(t *testing.T, text string) (project.Project, error) {
	t.Helper()
	files := fstest.MapFS{"leaf.svg": svg(40, 30), "broken.svg": {Data: []byte("<svg")}, "cape.svg": svg(400, 500)}
	p, err := project.Parse([]byte(text), "p.toml", "")
	if err == nil {
		_, err = stage.NewPlanner(files).Plan(context.Background(), p, nil)
	}
	if err == nil {
		t.Errorf("planned:\n%s", text)
	}
	return p, err
}

// Each refusal is laid at the value that stands in the way, as its maker wrote it,
// and says what would do.
func TestRefusalsNameTheirControl(t *testing.T) {
	const (
		skirt   = "unit = \"cm\"\n[cutting]\neffort = 0\n[skirt]\ncut = \"circle\"\nwaist = 68\nlength = 60\n"
		leaf    = "[[motif]]\nname = \"leaf\"\noutline = \"leaf.svg\"\n"
		scatter = "[scatter]\nspacing = 11\n"
		acorn   = "[[motif]]\nname = \"acorn\"\noutline = \"leaf.svg\"\n"
		a4      = "[[sheet]]\nname = \"A4\"\nwidth = 21\nheight = 29.7\n"
	)
	for _, c := range []struct {
		name, text string
		key        string
		says       string // in the reason
	}{
		// The file.
		{"a value", "unit = \"cm\"\n[skirt]\ncut = \"circle\"\nwaist = 680\nlength = 60\n" + leaf + scatter, "skirt.waist", "10 cm and 3 m"},
		{"a value in the second motif", skirt + leaf + acorn + "width = -3\n" + scatter, "motif.1.width", "above 0"},
		{"no skirt", leaf + scatter, "skirt", "nothing is said of the skirt"},

		// The drawings.
		{"a drawing that is not there", skirt + leaf + "[[motif]]\nname = \"acorn\"\noutline = \"leef.svg\"\n" + scatter, "motif.1.outline", `did you mean "leaf.svg"`},
		{"a drawing that is broken", skirt + "[[motif]]\nname = \"leaf\"\noutline = \"broken.svg\"\n" + scatter, "motif.0.outline", "leaf"},
		{"no panels", "[skirt]\ncut = \"outline\"\noutline = \"cope.svg\"\n" + leaf + scatter, "skirt.outline", "no such file"},
		{"a seam that is not drawn", "[skirt]\ncut = \"outline\"\noutline = \"cape.svg\"\nseams = [[\"left\", \"right\"]]\n" + leaf + scatter, "skirt.seams", `"left"`},
		{"a waist that is not drawn", "[skirt]\ncut = \"outline\"\noutline = \"cape.svg\"\nwaist_edge = \"neck\"\n" + leaf + scatter, "skirt.waist_edge", `"neck"`},

		// The cloth.
		{"narrow cloth", skirt + "fabric_width = 5\n" + leaf + scatter, "skirt.fabric_width", "wide or wider"},
		{"narrow cloth of the lining", skirt + leaf + scatter + "[lining]\ngirth = \"waist\"\nfabric_width = 5\n", "lining.fabric_width", "for the lining"},
		{"narrow cloth for a drawing", "[skirt]\ncut = \"outline\"\noutline = \"cape.svg\"\nfabric_width = 20\n" + leaf + scatter, "skirt.fabric_width", "with a seam between"},

		// The layout.
		{"too many", skirt + leaf + "[scatter]\ncutouts = 5000\n", "scatter.cutouts", "the most found to fit"},
		{"a count that does not repeat", skirt + leaf + "[scatter]\ncutouts = 61\nrepeat = 2\n", "scatter.cutouts", "60 or 62 would do"},
		{"rows that do not fit", skirt + leaf + "[scatter]\npattern = \"hemband\"\nspacing = 11\nrow_spacing = 20\nrows = 9\n", "scatter.rows", "would fit"},
		{"a motif too tall", skirt + leaf + "height = 70\n" + scatter, "motif.0.height", "tall or less"},
		{"a motif too tall, drawn so", "[skirt]\ncut = \"circle\"\nwaist = 68\nlength = 4\n" + leaf + scatter, "motif.0.width", "tall or less"},
		{"a cutout off the cloth", skirt + leaf + scatter + "[[fixed]]\nmotif = \"leaf\"\npanel = 1\ndown = 0.5\naround = 50\n", "fixed.0.down", "place it from"},
		{"nothing but bare", skirt + leaf + scatter + "[[bare]]\npanel = 1\ndown = [0, 100]\n", "bare.0.down", "smaller"},
		{"bare all round", skirt + leaf + scatter + "[[bare]]\npanel = 1\naround = [0, 900]\n", "bare.0.around", "smaller"},

		// The felt.
		{"too few sheets", skirt + leaf + acorn + "width = 15\ncolour = \"#123456\"\n[scatter]\nsheets = 1\n" + a4, "scatter.sheets", "2 sheets"},
		{"too little money", skirt + leaf + "[scatter]\nbudget = 0.5\n" + a4 + "price = 1.10\n", "scatter.budget", "1.10"},
		{"a drawer that runs out", skirt + leaf + "[scatter]\nsheets = 3\n" + "[[sheet]]\nname = \"scrap\"\nwidth = 5\nheight = 4\nstock = 1\nbuy = false\n", "sheet.0.stock", "drawer"},
		{"a drawer that runs out on the way", skirt + leaf + scatter + a4 + "colours = [\"#000000\"]\n[[sheet]]\nname = \"scrap\"\nwidth = 9\nheight = 9\nstock = 1\nbuy = false\n", "sheet.1.stock", "drawer"},
		{"a piece too large", skirt + leaf + "width = 40\n" + scatter + a4, "sheet.0.width", "or larger"},
		{"a piece too large for felt nobody named", skirt + leaf + "width = 40\n" + scatter, "motif.0.width", "or larger"},
		{"a piece that another felt holds", skirt + leaf + "width = 40\n" + scatter + a4 + "[[sheet]]\nname = \"large\"\nwidth = 90\nheight = 90\ncolours = [\"#123456\"]\n", "sheet.1.colours", "add the colour"},
		{"no felt in the colour", skirt + leaf + scatter + a4 + "colours = [\"#123456\"]\n", "sheet.0.colours", "#123456"},
		{"no felt in a colour of hers", skirt + leaf + "colour = \"#abcdef\"\n" + scatter + a4 + "colours = [\"#123456\"]\n", "motif.0.colour", "#123456"},
		{"a patch too large", skirt + leaf + scatter + a4 + "[backing]\nshape = \"square\"\nsize = 35\n[[motif]]\nname = \"x\"\noutline = \"leaf.svg\"\nshare = 0\n", "sheet.0.width", "backing"},
		{"no felt for patches", skirt + leaf + scatter + a4 + "colours = [\"#d9a521\"]\n[backing]\nshape = \"square\"\ncolour = \"#123456\"\n", "backing.colour", "#123456"},
	} {
		p, err := refusal(t, c.text)
		if err == nil {
			continue
		}
		if got := Blame(p, err); got != c.key {
			t.Errorf("%s: %q is to blame, want %q: %v", c.name, got, c.key, err)
		}
		reason := Reason(p, err)
		if !strings.Contains(reason, c.says) || strings.Contains(reason, "p.toml") || strings.Contains(reason, "\n") {
			t.Errorf("%s: %q does not say %q alone", c.name, reason, c.says)
		}
		if whole := Error(p, err); !strings.Contains(whole, reason) {
			t.Errorf("%s: the whole error %q lacks %q", c.name, whole, reason)
		}
	}
	if key := Blame(project.Project{}, errors.New("disk")); key != "" {
		t.Errorf("a disk's error is blamed on %q", key)
	}
}
