package words

import (
	"strings"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif"
	"strew/motif/geom"
)

// plain is a plan of one motif as far as the warnings look at it.
func plain(back bool, sizes []float64, placed []int, rings ...geom.Ring) stage.Plan {
	p := stage.Plan{LayOnly: true}
	p.Project.Cutting.TraceOn = project.SideFront
	if back {
		p.Project.Cutting.TraceOn = project.SideBack
	}
	for i, r := range rings {
		m := motif.Motif{Name: string(rune('a' + i)), Pieces: []motif.Piece{{Region: geom.Region{Outer: r}}}}
		p.Mix.Motifs = append(p.Mix.Motifs, m)
		p.Mix.Measures = append(p.Mix.Measures, m.Measure())
		p.Project.Motifs = append(p.Project.Motifs, project.Motif{Name: m.Name, Sizes: sizes, Cut: 1})
		p.Mix.Sizes, p.Mix.Backs = append(p.Mix.Sizes, len(sizes)), append(p.Mix.Backs, -1)
		for k, s := range sizes {
			p.Mix.Kinds = append(p.Mix.Kinds, stage.Kind{Motif: i, Size: s})
			p.Counts = append(p.Counts, stage.Count{Kind: len(p.Mix.Kinds) - 1, Placed: placed[k]})
		}
	}
	p.Mix.Cutouts = len(p.Mix.Kinds)
	return p
}

// A motif gets a line for each thing about felt and scissors, for its smallest
// placed size; those that are drawn on the back and lopsided share another.
func TestFeltWarnings(t *testing.T) {
	one, two := []float64{1}, []float64{1, 0.5}
	square := geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 40}, {X: 0, Y: 40}}
	// two teeth of 4 mm, 3 mm apart, on a back of 9 mm
	comb := geom.Ring{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 40}, {X: 7, Y: 40}, {X: 7, Y: 0}, {X: 11, Y: 0}, {X: 11, Y: 49}, {X: 0, Y: 49}}
	lopsided := geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 50, Y: 30}, {X: 10, Y: 30}}
	for _, c := range []struct {
		name string
		p    stage.Plan
		want []string // what each line starts with
	}{
		{"nothing to say", plain(true, one, []int{3}, square), nil},
		{"comb at full size", plain(true, one, []int{3}, comb), nil},
		{"comb at half size", plain(true, two, []int{3, 3}, comb), []string{
			"a × 0.5: the felt is only 2.0 mm wide at its narrowest place (under 3 mm it tears easily)", "a × 0.5: a slot is only 1.5 mm wide (under 2 mm scissors do not get through)", "a × 0.5: the piece is only 5.5 mm across"}},
		{"half size of which none is placed", plain(true, two, []int{3, 0}, comb), []string{"no a × 0.5: its share is less than one cutout"}},
		{"lopsided on the back", plain(true, one, []int{3}, lopsided), []string{"a is not symmetrical: you trace on the back"}},
		{"lopsided on the front", plain(false, one, []int{3}, lopsided), nil},
		{"lopsided, none placed", plain(true, one, []int{0}, lopsided), []string{"no a: its share"}},
		{"two lopsided and a square", plain(true, one, []int{3}, lopsided, square, lopsided), []string{"a and c are not symmetrical: "}},
	} {
		got := Of(c.p, Drawn{}).Warnings()
		if len(got) != len(c.want) {
			t.Errorf("%s: %d lines %q, want %d", c.name, len(got), got, len(c.want))
			continue
		}
		for i, w := range got {
			if !strings.HasPrefix(w, c.want[i]) {
				t.Errorf("%s: %q, want %q", c.name, w, c.want[i])
			}
		}
	}
}

// Letters of a name that the font lacks are warned of, each letter once.
func TestLettersWarning(t *testing.T) {
	p := plain(false, []float64{1}, []int{1}, geom.Ring{{X: 0, Y: 0}, {X: 40, Y: 0}, {X: 40, Y: 40}, {X: 0, Y: 40}})
	p.Project.Title = "Tide line жёлтый, e\u0301"
	p.Project.Motifs[0].Name = "銀杏 銀"
	if got := strings.Join(Of(p, Drawn{}).Warnings(), "\n"); !strings.HasPrefix(got, "銀杏 銀: the font of the drawings lacks 銀 杏 and shows") || strings.Contains(got, "Tide") {
		t.Errorf("warnings %q", got)
	}
}
