package words

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
)

// noted plans a project with drawings of its own and returns its texts.
func noted(t *testing.T, text string) Text {
	t.Helper()
	files := fstest.MapFS{
		"leaf.svg": svg(40, 30), "bar.svg": svg(60, 2.5),
		// a parallelogram, which is not its own mirror image
		"slant.svg": {Data: []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="30mm" viewBox="0 0 50 30"><path fill="#d9a521" d="M0 0h40l10 30h-40z"/></svg>`)},
		// two squares of one colour, 5 mm apart
		"two.svg": {Data: []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="45mm" height="20mm" viewBox="0 0 45 20"><path fill="#d9a521" d="M0 0h20v20h-20zM25 0h20v20h-20z"/></svg>`)},
	}
	p, err := project.Parse([]byte(text), "p.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	made, err := stage.NewPlanner(files).Plan(context.Background(), p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return Of(made, Drawn{})
}

// Each note names the value that the maker wrote and would change; where she
// wrote none of those that cause it, there is none.
func TestNotesNameTheirKeys(t *testing.T) {
	const (
		skirt  = "unit = \"cm\"\n[skirt]\ncut = \"circle\"\nwaist = 68\nlength = 60\n"
		gather = "unit = \"cm\"\n[skirt]\ncut = \"rectangle\"\nwaist = 68\nlength = 40\n"
		leaf   = "[[motif]]\nname = \"leaf\"\noutline = \"leaf.svg\"\n"
		bar    = "[[motif]]\nname = \"bar\"\noutline = \"bar.svg\"\n"
		slant  = "[[motif]]\nname = \"slant\"\noutline = \"slant.svg\"\n"
		end    = "[scatter]\nspacing = 11\n[cutting]\neffort = 0\n"
	)
	for _, c := range []struct {
		name, text  string
		says        string // in the note; "" for no note at all
		key, motif  string
		narrowPlace float64 // distance of its two ends, mm
	}{
		{"nothing to say", skirt + leaf + end, "", "", "", 0},
		{"all defaults: no felt, no currency, no colour of patches", skirt + "fabric_price = 3\n" + leaf + end + "[backing]\nshape = \"round\"\n", "", "", "", 0},
		{"a repeat nobody asked for", skirt + "panels = 2\n" + leaf + end + "[[bare]]\npanel = 1\ndown = [0, 20]\n", "", "", "", 0},
		{"net and felt of one colour, which nobody chose", "[skirt]\ncut = \"circle\"\nwaist = 68\nlength = 60\n" + leaf + "colour = \"#b9c4c9\"\n" + end, "", "", "", 0},
		{"net of the felt's colour", skirt + "colour = \"#d9a521\"\nopacity = 1\n" + leaf + end, "hardly shows", "skirt.colour", "leaf", 0},
		{"felt of the net's colour", skirt + "colour = \"#2d4a3e\"\nopacity = 1\n" + leaf + "colour = \"#2d4a3e\"\n" + end, "hardly shows", "motif.0.colour", "leaf", 0},
		{"thin as it is drawn", skirt + bar + end, "bar: the felt is only 2.5 mm", "motif.0.outline", "bar", 2.5},
		{"thin at its width", skirt + leaf + bar + "width = 6\n" + end, "bar: the felt is only 2.5 mm", "motif.1.width", "bar", 2.5},
		{"thin at its height", skirt + leaf + bar + "height = 0.25\n" + end, "bar: the felt is only 2.5 mm", "motif.1.height", "bar", 2.5},
		{"a thin patch", skirt + leaf + end + "[backing]\nshape = \"square\"\nsize = 0.6\n", "leaf backing: the piece is only 6.0 mm", "backing.size", "leaf backing", 0},
		{"traced on the back, as always", skirt + slant + end, "slant is not symmetrical", "motif.0.outline", "slant", 0},
		{"traced on the back, as she says", skirt + slant + end + "trace_on = \"back\"\n", "slant is not symmetrical", "cutting.trace_on", "slant", 0},
		{"two of them", skirt + slant + strings.Replace(slant, "name = \"slant\"", "name = \"tilted\"", 1) + end, "slant and tilted are not symmetrical", "motif.0.outline", "", 0},
		{"in pieces", skirt + leaf + "[[motif]]\nname = \"two\"\noutline = \"two.svg\"\n" + end, "two: it falls into 2 separate pieces", "motif.1.outline", "two", 0},
		{"a patch that shows", skirt + leaf + end + "[backing]\nshape = \"square\"\nsize = 3\n", "make it 2.1 cm or smaller", "backing.size", "leaf", 0},
		{"too close", skirt + leaf + "[scatter]\nspacing = 2\n[cutting]\neffort = 0\n", "widened to", "scatter.spacing", "", 0},
		{"too low a rise", skirt + leaf + "[scatter]\npattern = \"hemband\"\nspacing = 11\nrise = 1\n[cutting]\neffort = 0\n", "raised to", "scatter.rise", "", 0},
		{"no share left", skirt + leaf + strings.Replace(leaf, "\"leaf\"", "\"other\"", 1) + "share = 0.01\n" + "[scatter]\ncutouts = 5\n[cutting]\neffort = 0\n", "no other: its share is less", "motif.1.share", "other", 0},
		{"sheets for more than the skirt holds", skirt + leaf + "[scatter]\nsheets = 40\n[cutting]\neffort = 0\n", "is the most found to fit on the cloth; 40 sheets of felt would be enough for more", "scatter.sheets", "", 0},
		{"money for more than the skirt holds", skirt + leaf + "[scatter]\nbudget = 90\n[supplies]\ncurrency = \"EUR\"\n[[sheet]]\nname = \"craft felt\"\nwidth = 20\nheight = 30\nprice = 0.8\n[cutting]\neffort = 0\n", "felt for 90.00 EUR would be enough for more", "scatter.budget", "", 0},
		{"a key of another pattern", skirt + leaf + "[scatter]\npattern = \"grid\"\njitter = 0.5\nspacing = 11\n[cutting]\neffort = 0\n", "jitter", "scatter.jitter", "", 0},
		{"a tilt of a tossed motif", skirt + leaf + "direction = \"tossed\"\ntilt = 5\n" + end, "tilt", "motif.0.tilt", "leaf", 0},
		{"narrow net", skirt + "fabric_width = 100\n" + leaf + end, "sewn from", "skirt.fabric_width", "", 0},
		{"net as wide as always", skirt + leaf + end, "", "", "", 0},
		{"hips that do not go through", gather + "hip = 94\n" + leaf + end, "by a fullness of 1.39 or more", "skirt.hip", "", 0},
		{"hips, and too little fullness", gather + "hip = 94\nfullness = 1.2\n" + leaf + end, "by a fullness of 1.39 or more", "skirt.fullness", "", 0},
		{"letters that the font lacks", "title = \"銀杏\"\n" + skirt + leaf + end, "the font of the drawings lacks", "title", "", 0},
	} {
		text := noted(t, c.text)
		notes := text.Notes()
		if c.says == "" {
			if len(notes) > 0 {
				t.Errorf("%s: %v", c.name, notes)
			}
			continue
		}
		i := slices.IndexFunc(notes, func(n Note) bool { return strings.Contains(n.Text, c.says) })
		if i < 0 {
			t.Errorf("%s: no note says %q: %v", c.name, c.says, notes)
			continue
		}
		n := notes[i]
		if n.Key != c.key || n.Motif != c.motif {
			t.Errorf("%s: key %q, motif %q; want %q, %q", c.name, n.Key, n.Motif, c.key, c.motif)
		}
		if c.narrowPlace > 0 && (len(n.At) != 2 || math.Abs(n.At[0].Dist(n.At[1])-c.narrowPlace) > 0.01) {
			t.Errorf("%s: at %v", c.name, n.At)
		}
		for _, n := range notes {
			if n.Key == "" || !text.Project.Written(n.Key) {
				t.Errorf("%s: %q is about %q, which is not in the file", c.name, n.Text, n.Key)
			}
		}
	}
}

// In a lay, a motif without a number is named.
func TestNoteOfNoCutNumber(t *testing.T) {
	p, err := laid(t, motifsOf("leaf", 3, "acorn", 0), map[string][2]float64{"leaf": {40, 30}, "acorn": {20, 20}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if notes := Of(p, Drawn{}).Notes(); len(notes) != 1 || notes[0].Key != "motif.1.cut" || notes[0].Motif != "acorn" {
		t.Errorf("%v", notes)
	}
}

// What the hips ask for is enough, and a little less is not.
func TestFullnessForTheHips(t *testing.T) {
	const text = "unit = \"cm\"\n[skirt]\ncut = \"rectangle\"\nwaist = 68\nhip = 94\nlength = 40\nfullness = %\n[[motif]]\nname = \"leaf\"\noutline = \"leaf.svg\"\n[scatter]\nspacing = 11\n[cutting]\neffort = 0\n"
	for fullness, notes := range map[string]int{"1.38": 1, "1.39": 0} {
		if got := noted(t, strings.Replace(text, "%", fullness, 1)).Notes(); len(got) != notes {
			t.Errorf("fullness %s: %v", fullness, got)
		}
	}
}

// In every example a note is about a value in the file, or about none.
func TestNotesOfTheExamples(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		text := Of(p, Drawn{})
		for i, n := range text.Notes() {
			if n.Key != "" && !p.Project.Written(n.Key) {
				t.Errorf("%q is about %q, which is not in the file", n.Text, n.Key)
			}
			if text.Warnings()[i] != n.Text {
				t.Errorf("warning %q of note %q", text.Warnings()[i], n.Text)
			}
		}
	})
}
