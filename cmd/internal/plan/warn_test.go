package plan

import (
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/geom"
)

// felt is a plan of one motif as far as the warnings look at it.
func felt(back bool, sizes []float64, placed []int, rings ...geom.Ring) *Plan {
	p := &Plan{}
	p.Project.Cutting.TraceBack = back
	for i, r := range rings {
		m := motif.Motif{Name: string(rune('a' + i)), Pieces: []motif.Piece{{Region: geom.Region{Outer: r}}}}
		p.Motifs = append(p.Motifs, m)
		p.Measures = append(p.Measures, m.Measure())
		p.Project.Motifs = append(p.Project.Motifs, project.Motif{Name: m.Name, Sizes: sizes})
		for k, s := range sizes {
			p.Kinds = append(p.Kinds, Kind{Motif: i, Size: s})
			p.Counts = append(p.Counts, Count{Kind: len(p.Kinds) - 1, Placed: placed[k]})
		}
	}
	return p
}

// A motif gets one line about felt and scissors, for its smallest placed size;
// those that are drawn on the back and lopsided share another.
func TestFeltWarnings(t *testing.T) {
	one, two := []float64{1}, []float64{1, 0.5}
	square := geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 40}, {X: 0, Y: 40}}
	// two teeth of 4 mm, 3 mm apart, on a back of 9 mm
	comb := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 40}, {X: 7, Y: 40}, {X: 7, Y: 0}, {X: 11, Y: 0}, {X: 11, Y: 49}, {X: 0, Y: 49}}
	lopsided := geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 50, Y: 30}, {X: 10, Y: 30}}
	for _, c := range []struct {
		name string
		p    *Plan
		want []string // what each line starts with
	}{
		{"nothing to say", felt(true, one, []int{3}, square), nil},
		{"comb at full size", felt(true, one, []int{3}, comb), nil},
		{"comb at half size", felt(true, two, []int{3, 3}, comb), []string{
			"a × 0.5: the felt is only 2.0 mm wide at its narrowest place (under 3 mm it tears easily); a slot is only 1.5 mm wide (under 2 mm scissors do not get through); the piece is only 5.5 mm across"}},
		{"half size of which none is placed", felt(true, two, []int{3, 0}, comb), []string{"a × 0.5: its share of so few cutouts comes to none"}},
		{"lopsided on the back", felt(true, one, []int{3}, lopsided), []string{`a: not its own mirror image; as cutting.trace_on is "back"`}},
		{"lopsided on the front", felt(false, one, []int{3}, lopsided), nil},
		{"lopsided, none placed", felt(true, one, []int{0}, lopsided), []string{"a: its share"}},
		{"two lopsided and a square", felt(true, one, []int{3}, lopsided, square, lopsided), []string{"a, c: not their own mirror images;"}},
	} {
		c.p.warn()
		if len(c.p.Warnings) != len(c.want) {
			t.Errorf("%s: %d lines %q, want %d", c.name, len(c.p.Warnings), c.p.Warnings, len(c.want))
			continue
		}
		for i, w := range c.p.Warnings {
			if !strings.HasPrefix(w, c.want[i]) {
				t.Errorf("%s: %q, want %q", c.name, w, c.want[i])
			}
		}
	}
}

// A name in letters that the font lacks is told of, each letter once.
func TestLettersWarning(t *testing.T) {
	p := felt(false, []float64{1}, []int{1}, geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 40}, {X: 0, Y: 40}})
	p.Project.Title = "Tide line жёлтый, e\u0301"
	p.Project.Motifs[0].Name = "銀杏 銀"
	p.warn()
	if got := strings.Join(p.Warnings, "\n"); !strings.HasPrefix(got, "銀杏 銀: the font of the drawings lacks 銀 杏 and shows") || strings.Contains(got, "Tide") {
		t.Errorf("warnings %q", got)
	}
}
