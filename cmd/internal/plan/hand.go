package plan

import (
	"slices"

	"strew/cmd/internal/project"
	"strew/scatter"
)

// crowding is how much the gathers crowd the top layer at the waist: as much as
// its fullness, where it is to be even once worn. Common practice, no source.
func (p *Plan) crowding() float64 {
	if !p.Project.Scatter.Worn {
		return 0
	}
	return p.Project.Skirt.Fullness
}

// barePatches returns the patches that stay free; a range left out is the
// panel's whole extent.
func (p *Plan) barePatches() []scatter.Bare {
	s := p.Surface
	var out []scatter.Bare
	for _, b := range p.Project.Bare {
		patch := scatter.Bare{Panel: b.Panel - 1, Down: b.Down, Around: b.Around}
		if patch.Down == ([2]float64{}) {
			patch.Down[1] = s.Drop
		}
		if patch.Around == ([2]float64{}) {
			patch.Around[1] = s.Width
			if s.Wedges() {
				patch.Around[1] = s.PanelGirth(s.Drop)
			}
		}
		out = append(out, patch)
	}
	return out
}

// byHand returns the cutouts placed by hand.
func (p *Plan) byHand() []scatter.Fixed {
	var out []scatter.Fixed
	for _, f := range p.Project.Fixed {
		kind := slices.Index(p.Kinds, Kind{f.Motif, f.Size})
		out = append(out, scatter.Fixed{Kind: kind, Panel: f.Panel - 1, Down: f.Down, Around: f.Around, Turn: f.Turn})
	}
	return out
}

// placedByHand reports whether a motif is placed by hand in a size; then its
// share may be 0.
func (p *Plan) placedByHand(motif int, size float64) bool {
	return slices.ContainsFunc(p.Project.Fixed, func(f project.Fixed) bool { return f.Motif == motif && f.Size == size })
}
