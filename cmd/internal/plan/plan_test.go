package plan

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/motif/geom"
)

const examples = "../../../testdata"

// plans keeps the plans made so far: a plan is not changed once built.
var plans = map[string]*Plan{}

// built plans an example with the quickest lay.
func built(t *testing.T, name string) *Plan {
	t.Helper()
	if p := plans[name]; p != nil {
		return p
	}
	quick := 0
	p, err := project.LoadWith(filepath.Join(examples, name, "project.toml"), project.Overrides{Effort: &quick})
	if err != nil {
		t.Fatal(err)
	}
	out, err := Build(context.Background(), p, dirFiles(p.Dir), nil)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	plans[name] = out
	return out
}

func eachExample(t *testing.T, do func(t *testing.T, p *Plan)) {
	found, err := filepath.Glob(filepath.Join(examples, "*", "project.toml"))
	if err != nil || len(found) < 8 {
		t.Fatalf("%d example projects, %v", len(found), err)
	}
	for _, f := range found {
		name := filepath.Base(filepath.Dir(f))
		t.Run(name, func(t *testing.T) { do(t, built(t, name)) })
	}
}

// Nothing is lost between the stages: what is placed is counted, what is
// counted and spare is cut, and what is cut lies on the sheets.
func TestNothingIsLost(t *testing.T) {
	eachExample(t, func(t *testing.T, p *Plan) {
		placed := 0
		for _, c := range p.Counts {
			if k := p.Kinds[c.Kind]; !p.isPatch(k) {
				placed += c.Placed
			} else if of := p.countOf(Kind{p.backed(k.Motif), k.Size}); c.Placed != of.Placed || c.Spare != of.Spare {
				t.Errorf("%s: %+v, and what it backs %+v", p.kindName(k), c, of)
			}
			want := p.Project.Cutting.SpareCount
			if share := p.Project.Cutting.SpareShare; share > 0 {
				want = int(math.Ceil(share*float64(c.Placed) - 1e-9))
			}
			if c.Placed > 0 && c.Spare != want {
				t.Errorf("%s: %d spare of %d placed, want %d", p.kindName(p.Kinds[c.Kind]), c.Spare, c.Placed, want)
			}
		}
		if placed != len(p.Layout.Placements) || placed == 0 {
			t.Errorf("%d counted, %d placed", placed, len(p.Layout.Placements))
		}
		on := make([]int, len(p.Items))
		used := map[[2]any]int{}
		for _, s := range p.Lay.Sheets {
			used[[2]any{s.Stock, s.Colour}]++
			for _, pc := range s.Pieces {
				on[pc.Item]++
			}
		}
		for i, it := range p.Items {
			if on[i] != p.Counts[it.Kind].Cut() {
				t.Errorf("%s: %d on the sheets, %d to cut", p.pieceName(it), on[i], p.Counts[it.Kind].Cut())
			}
		}
		for _, n := range p.Lay.Needs {
			if n.Sheets != used[[2]any{n.Stock, n.Colour}] || n.Buy != n.Sheets-n.Drawer || !p.Project.Sheets[n.Stock].Roll && n.AtLeast > n.Sheets || float64(n.AtLeast) > p.rollLength(n) || n.Drawer > p.Project.Sheets[n.Stock].Stock {
				t.Errorf("order %+v, but %d sheets are laid", n, used[[2]any{n.Stock, n.Colour}])
			}
		}
	})
}

// radius = girth / (2π · share), cutting length = radius + drop (common
// practice, no source); a rectangle's cutting length is the drop and an allowance.
func TestClothIsDrafted(t *testing.T) {
	eachExample(t, func(t *testing.T, p *Plan) {
		s := p.Project.Skirt
		want := s.Drop + s.SeamAllowance
		if s.Cut == "outline" {
			return // the drawing says
		}
		if s.Cut == "circle" {
			want = s.Waist*s.Fullness/(2*math.Pi*s.Circle) + s.Drop
		}
		net := p.Fabric[0]
		if net.Part != "net" || math.Abs(net.CuttingLength-want) > 1e-6 || net.Layers != s.Layers || net.Pieces%s.Panels != 0 {
			t.Errorf("net %+v, want a cutting length of %g", net, want)
		}
		step := 100.0
		if p.Project.Unit == geom.Inch {
			step = 914.4 / 8
		}
		for _, f := range p.Fabric {
			if n := f.Length / step; math.Abs(n-math.Round(n)) > 1e-9 || n < 1 {
				t.Errorf("%s: %g mm is no whole number of the shop's steps", f.Part, f.Length)
			}
		}
		if (len(p.Fabric) == 2) != (p.Project.Lining != nil) {
			t.Errorf("%d parts of cloth", len(p.Fabric))
		}
	})
}

// plan.json holds what the interface asks for, and the same twice.
func TestJSONHoldsTheInterface(t *testing.T) {
	eachExample(t, func(t *testing.T, p *Plan) {
		data := p.JSON()
		if again := p.JSON(); !bytes.Equal(data, again) {
			t.Error("two writings differ")
		}
		var doc map[string]json.RawMessage
		if err := json.Unmarshal(data, &doc); err != nil {
			t.Fatal(err)
		}
		for part, keys := range map[string]string{
			"surface":   "cut closed panels panel_angle_deg inner_radius_mm drop_mm panel_width_mm boundary_mm",
			"clearance": "between_mm waist_mm hem_mm seam_mm",
			"evenness":  "nearest_min_mm nearest_mean_mm relative_radius clark_evans bald_radius_mm alike_neighbours area_mm2 rows",
			"cutting":   "gap_mm",
		} {
			has(t, part, doc[part], keys)
		}
		for part, keys := range map[string]string{
			"motifs":     "name backs anchor_mm width_mm height_mm area_mm2 edge_mm narrowest_mm backing_mm pieces",
			"placements": "mark motif size panel row x_mm y_mm turn_deg down_mm around_mm",
			"counts":     "motif size placed spare cut",
			"sheets":     "sheet number colour width_mm height_mm margin_mm nap used pieces",
			"order":      "sheet colour need stock buy at_least cost",
			"fabric":     "part cutting_length_mm pieces layers length_mm seamed",
		} {
			var list []json.RawMessage
			if err := json.Unmarshal(doc[part], &list); err != nil || len(list) == 0 {
				t.Errorf("%s: %d entries, %v", part, len(list), err)
				continue
			}
			has(t, part, list[0], keys)
		}
		if string(doc["format"]) != `"strew-plan/1"` || doc["title"] == nil || doc["seed"] == nil || doc["warnings"] == nil {
			t.Error("the head is not complete")
		}
	})
}

func has(t *testing.T, part string, data json.RawMessage, keys string) {
	t.Helper()
	var m map[string]json.RawMessage
	if err := json.Unmarshal(data, &m); err != nil {
		t.Errorf("%s: %v", part, err)
	}
	for _, k := range strings.Fields(keys) {
		if m[k] == nil {
			t.Errorf("%s has no key %s", part, k)
		}
	}
}

func TestExactlySixty(t *testing.T) {
	if n := len(built(t, "tide-exactly-sixty").Layout.Placements); n != 60 {
		t.Errorf("%d placed, asked 60", n)
	}
}

func TestMarkingTable(t *testing.T) {
	p := built(t, "quarter-inches")
	rows, err := csv.NewReader(bytes.NewReader(p.markingCSV())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(rows[0], " "); got != "mark panel row motif size down_in around_in step_in turn_deg from_upright_deg first_place first_in second_place second_in" {
		t.Errorf("head %q", got)
	}
	if len(rows) != len(p.Layout.Placements)+1 {
		t.Errorf("%d lines for %d marks", len(rows)-1, len(p.Layout.Placements))
	}
	for i, m := range p.Layout.Placements {
		for k, want := range map[int]float64{5: m.Down, 6: m.Around} {
			got, err := strconv.ParseFloat(rows[i+1][k], 64)
			if err != nil || got*8 != math.Round(got*8) || math.Abs(got*25.4-want) > 25.4/16+1e-9 {
				t.Errorf("mark %d: %s is not %g mm in eighths of an inch, %v", i+1, rows[i+1][k], want, err)
			}
		}
		if first := i == 0 || p.Layout.Placements[i-1].Row != m.Row; first != (rows[i+1][7] == "") {
			t.Errorf("mark %d: step %q", i+1, rows[i+1][7])
		}
	}
}

// The answer is one screen, and says what matters.
func TestAnswer(t *testing.T) {
	eachExample(t, func(t *testing.T, p *Plan) {
		var out, notes bytes.Buffer
		if err := p.Answer(&out, &notes, "results", 100); err != nil {
			t.Fatal(err)
		}
		text := out.String()
		lines := strings.Split(text, "\n")
		if len(lines) > 45 {
			t.Errorf("%d lines are more than a screen:\n%s", len(lines), text)
		}
		for _, l := range lines {
			if len([]rune(l)) > 100 {
				t.Errorf("a line of %d columns: %s", len([]rune(l)), l)
			}
		}
		want := []string{p.Project.Title, "Cut ", "Buy felt", "Marking", "Cloth", "results", "under three", "net and felt burn", "local"}
		if p.Project.Supplies.Fixing == "glue" {
			want = append(want, "melt nylon net")
		}
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("the answer does not say %q", w)
			}
		}
		if len(p.Warnings) > 0 != (notes.Len() > 0) {
			t.Errorf("%d warnings, but notes say %q", len(p.Warnings), notes.String())
		}
	})
}

func TestShoppingLists(t *testing.T) {
	p := built(t, "quarter-inches")
	rows, err := csv.NewReader(bytes.NewReader(p.shoppingCSV())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	felt := 0
	for _, r := range rows[1:] {
		if r[0] == "felt" {
			felt++
			if r[8] != "0.49" || r[10] != "USD" {
				t.Errorf("felt line %q", r)
			}
		}
	}
	if felt != len(p.Lay.Needs) {
		t.Errorf("%d felt lines, %d needs", felt, len(p.Lay.Needs))
	}
	md := string(p.shoppingMarkdown())
	for _, w := range []string{"# Snail meadow, quarter circle", "craft felt 9 x 12", "yd net", "sewing thread", "under three"} {
		if !strings.Contains(md, w) {
			t.Errorf("shopping.md does not say %q", w)
		}
	}
}

func TestFilesAreWhole(t *testing.T) {
	p := built(t, "tide-half-grid")
	files, err := p.Files(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if files[0].Name != PlanFile {
		t.Errorf("the first file is %s", files[0].Name)
	}
	seen := map[string]bool{}
	for _, f := range files {
		if len(f.Data) == 0 || seen[f.Name] {
			t.Errorf("%s is empty or written twice", f.Name)
		}
		seen[f.Name] = true
	}
}

// dirFiles reads outlines relative to a folder, upward paths as well.
type dirFiles string

func (d dirFiles) Open(name string) (fs.File, error) { return os.Open(filepath.Join(string(d), name)) }
