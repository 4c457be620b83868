package words

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/sheet"
)

// laid lays a project of rectangles: sizes in millimetres and colours by name.
func laid(t *testing.T, text string, boxes map[string][2]float64, colours map[string]string) (stage.Plan, error) {
	t.Helper()
	files := fstest.MapFS{}
	for name, b := range boxes {
		colour := "#808080"
		if c := colours[name]; c != "" {
			colour = c
		}
		files[name+".svg"] = &fstest.MapFile{Data: []byte(fmt.Sprintf(
			`<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g"><path fill=%q d="M0 0h%gv%gh%gz"/></svg>`, b[0], b[1], b[0], b[1], colour, b[0], b[1], -b[0]))}
	}
	file := filepath.Join(t.TempDir(), "lay.toml")
	if err := os.WriteFile(file, []byte("unit = \"mm\"\n[cutting]\ngap = 0\neffort = 1\n"+text), 0o666); err != nil {
		t.Fatal(err)
	}
	p, err := project.LoadLay(file, project.Overrides{})
	if err != nil {
		t.Fatal(err)
	}
	made, err := stage.NewPlanner(files).Lay(context.Background(), p, nil)
	if err != nil {
		return made, errors.New(Error(p, err))
	}
	return made, nil
}

func motifsOf(cuts ...any) string {
	var b strings.Builder
	for i := 0; i < len(cuts); i += 2 {
		fmt.Fprintf(&b, "[[motif]]\nname = %q\noutline = \"%s.svg\"\ncut = %d\n", cuts[i], cuts[i], cuts[i+1])
	}
	return b.String()
}

// What is ordered can be reckoned by hand: squares of 100 mm tile the sheets.
func TestOrder(t *testing.T) {
	square := map[string][2]float64{"square": {100, 100}, "blue": {100, 100}}
	const (
		small = "[[sheet]]\nname = \"small\"\nwidth = 100\nheight = 200\n"
		large = "[[sheet]]\nname = \"large\"\nwidth = 300\nheight = 200\n"
		roll  = "[[sheet]]\nname = \"roll\"\nroll = true\nwidth = 300\n"
	)
	for _, c := range []struct {
		name, text string
		want       string // sheet colour need/drawer/buy at least cost; …
		answer     string
	}{
		{"one kind", motifsOf("square", 7) + large, "large #808080 2/0/2 2 0", "large, #808080 (2 needed; no lay needs fewer than 2)"},
		{"drawer first", motifsOf("square", 7) + large + "stock = 1\nprice = 2\n", "large #808080 2/1/1 2 2", "1 large, #808080 (2 needed, 1 of them in the drawer; no lay needs fewer than 2)"},
		{"more in the drawer than needed", motifsOf("square", 2) + large + "stock = 3\nprice = 2\n", "large #808080 1/1/0 1 0", "0 large, #808080 (1 needed, 1 of them in the drawer)"},
		{"the cheaper", motifsOf("square", 6) + small + "price = 1\n" + large + "price = 2\n", "large #808080 1/0/1 0 2", ""},
		{"the cheaper is the smaller", motifsOf("square", 6) + small + "price = 1\n" + large + "price = 4\n", "small #808080 3/0/3 0 3", ""},
		{"least felt where a price is missing", motifsOf("square", 2) + small + large + "price = 1\n", "small #808080 1/0/1 0 0", ""},
		{"a drawer of each colour", motifsOf("square", 2, "blue", 2) + small + "stock = 1\n", "small #808080 1/1/0 1 0; small #336699 1/1/0 1 0", ""},
		{"each colour its felt", motifsOf("square", 2, "blue", 2) + small + "colours = [\"#336699\"]\n" + large + "colours = [\"#808080\"]\n", "large #808080 1/0/1 1 0; small #336699 1/0/1 1 0", ""},
		{"a roll", motifsOf("square", 7) + roll, "roll #808080 300/0/300 233 0", "roll, #808080: 30 cm of 300 mm (no lay needs less than 233 mm)"},
		{"a roll in steps", motifsOf("square", 7) + roll + "sold_by = 250\nprice = 3\n", "roll #808080 500/0/500 250 1.5", "50 cm of 300 mm"},
		{"a roll by the half metre", motifsOf("square", 15) + roll + "price_per = 500\nprice = 3\n", "roll #808080 500/0/500 499 3", "50 cm of 300 mm (no lay needs less)"},
	} {
		p, err := laid(t, c.text, square, map[string]string{"blue": "#336699"})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		var got []string
		for _, n := range p.Laid.Lay.Needs {
			s, need, buy := p.Project.Sheets[n.Stock], float64(n.Sheets), float64(n.Buy)
			if s.Roll {
				need = up(n.Length)
				buy = need
			}
			got = append(got, fmt.Sprintf("%s %s %g/%d/%g %d %g", s.Name, n.Colour, need, n.Drawer, buy, n.AtLeast, math.Round(n.Cost*100)/100))
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s: ordered %s, want %s", c.name, s, c.want)
		}
		if text := Of(p, Drawn{}).Answer("", 200).Result; !strings.Contains(text, c.answer) {
			t.Errorf("%s: the answer lacks %q:\n%s", c.name, c.answer, text)
		}
	}
}

// What does not fit is named in the maker's unit, with what would do.
func TestTooLargeForFelt(t *testing.T) {
	boxes := map[string][2]float64{"board": {260, 310}}
	const a4 = "[[sheet]]\nname = \"A4\"\nwidth = 210\nheight = 297\nmargin = 4\n"
	for _, c := range []struct{ text, want string }{
		{a4, "board is 260 mm × 310 mm, too large for any felt in #808080: the largest, A4, holds 202 mm × 289 mm inside its margins; use a sheet of 268 mm × 318 mm or larger, or make the piece smaller"},
		{"[[sheet]]\nname = \"ribbon\"\nroll = true\nwidth = 90\nmargin = 5\n", "the largest, ribbon, holds 80 mm across inside its margins; use felt 270 mm wide or wider"},
		{a4 + "[[sheet]]\nname = \"large\"\nwidth = 400\nheight = 400\ncolours = [\"#112233\"]\n", "; large would hold it but does not come in this colour: add the colour to it"},
	} {
		if _, err := laid(t, motifsOf("board", 1)+c.text, boxes, nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
	// What is said to do does.
	if _, err := laid(t, motifsOf("board", 1)+"[[sheet]]\nname = \"A4\"\nwidth = 268\nheight = 318\nmargin = 4\n", boxes, nil); err != nil {
		t.Errorf("the sheet that would do does not: %v", err)
	}
	if _, err := laid(t, motifsOf("board", 1)+"[[sheet]]\nname = \"ribbon\"\nroll = true\nwidth = 270\nmargin = 5\n", boxes, nil); err != nil {
		t.Errorf("the roll that would do does not: %v", err)
	}
}

func TestLeftOverWords(t *testing.T) {
	p, err := laid(t, motifsOf("square", 5)+"[[sheet]]\nname = \"felt\"\nwidth = 100\nheight = 180\n", map[string][2]float64{"square": {100, 100}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := "5 pieces of 100 mm × 79 mm on sheets 1–5 of felt, #808080"
	text := Of(p, Drawn{})
	var got []string
	for _, r := range p.Laid.Remnants() {
		got = append(got, remnants(text, r))
	}
	// Cells of a millimetre: the cut edge may take one.
	if s := strings.Join(got, "; "); s != want && s != strings.Replace(want, "79", "80", 1) {
		t.Errorf("left over: %s, want %s", s, want)
	}
	if !strings.Contains(string(text.ShoppingMarkdown()), got[0]) {
		t.Errorf("the shopping list lacks %q", got[0])
	}
}

func TestFeltLengths(t *testing.T) {
	for _, c := range []struct {
		unit geom.Unit
		mm   float64
		want string
	}{{"cm", 1200, "1.2 m"}, {"cm", 1200.3, "1.2 m"}, {"cm", 1201, "1.21 m"}, {"mm", 331, "34 cm"}, {"cm", 991, "1 m"}, {"in", 914.4, "36 in"}, {"in", 915, "36 1/2 in"}} {
		text := Text{Printer: say.Printer{Unit: c.unit}}
		if got := text.feltLength(c.mm); got != c.want {
			t.Errorf("%g mm in %s: got %q, want %q", c.mm, c.unit, got, c.want)
		}
	}
}

func TestBoundWords(t *testing.T) {
	text := Text{Plan: stage.Plan{Project: project.Project{Sheets: []project.Sheet{{Name: "sheet"}}}}}
	for n, want := range map[sheet.Need]string{
		{Sheets: 3, AtLeast: 3}: "no lay needs fewer than 3",
		{Sheets: 3, AtLeast: 2}: "a tighter lay might need only 2",
		{Sheets: 1, AtLeast: 1}: "",
		{Sheets: 3}:             "",
	} {
		if got := bound(text, n); got != want {
			t.Errorf("%+v: got %q, want %q", n, got, want)
		}
	}
}
