package stage_test

import (
	"math"
	"slices"
	"testing"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/cmd/internal/stage/stagetest"
	"strew/motif/geom"
)

// A patch of its own choice stays behind the felt whatever the turn, and in
// proportion in every size.
func TestPatchesStayHidden(t *testing.T) {
	stagetest.Each(t, func(t *testing.T, p stage.Plan) {
		p.Project.Motifs = slices.Clone(p.Project.Motifs)
		for _, shape := range []project.Patch{"square", "round"} {
			p.Project.Backing = project.Backing{Shape: shape, Colour: "#333333"}
			for i := range p.Project.Motifs {
				p.Project.Motifs[i].Share = 1
			}
			n := len(p.Project.Motifs)
			q := stage.MixOf(p.Project, stage.Drawn{Motifs: p.Mix.Motifs[:n], Measures: p.Mix.Measures[:n]}, false)
			if len(q.Kinds) != 2*q.Cutouts || len(q.Motifs) != 2*n {
				t.Fatalf("%d motifs in %d kinds", len(q.Motifs), len(q.Kinds))
			}
			for m := n; m < len(q.Motifs); m++ {
				patch, over := q.Motifs[m].Pieces[0].Region.Outer, q.Motifs[q.Backs[m]]
				for turn := 0.0; turn < 2*math.Pi; turn += 0.1 {
					for _, v := range patch {
						v = v.Rotate(turn)
						hidden := false
						for _, pc := range over.Pieces {
							hidden = hidden || pc.Region.Contains(v) || pc.Region.EdgeDist(v) < geom.PoleTol
						}
						if !hidden {
							t.Fatalf("%s patch of %s shows at %v turned by %g", shape, over.Name, v, turn)
						}
					}
				}
			}
		}
	})
}
