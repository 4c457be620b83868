package stage

import (
	"slices"
	"testing"

	"strew/cmd/internal/project"
	"strew/scatter"
)

// A cutout placed by hand whose motif has no share takes none from the mix: two
// more are the fewest with one of each motif that has one.
func TestHandPlacedMotifsAreDealtFirst(t *testing.T) {
	p := project.Project{
		Motifs: []project.Motif{{Share: 0}, {Share: 1}, {Share: 1}},
		Fixed:  []project.Fixed{{Motif: 0, Size: 1}},
	}
	m := Mix{Kinds: []Kind{{0, 1}, {1, 1}, {2, 1}}, Cutouts: 3}
	kinds := []scatter.Kind{{Motif: 0}, {Motif: 1, Share: 1}, {Motif: 2, Share: 1}}
	for n, want := range map[int][]int{1: {1, 0, 0}, 3: {1, 1, 1}, 9: {1, 4, 4}} {
		if got := dealt(kinds, p, m, n); !slices.Equal(got, want) {
			t.Errorf("%d cutouts: %v, want %v", n, got, want)
		}
	}
	if everyMotif(m, p.Motifs, dealt(kinds, p, m, 2)) || !everyMotif(m, p.Motifs, dealt(kinds, p, m, 3)) {
		t.Error("three are the fewest with every motif that has a share")
	}
}
