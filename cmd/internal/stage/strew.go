package stage

import (
	"context"

	"strew/cmd/internal/project"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter"
)

// Strewn is where each cutout goes, and what scatter.Run was asked for.
type Strewn struct {
	Kinds   []scatter.Kind // the mix's cutouts, in its order
	Options scatter.Options
	Layout  scatter.Layout
	// Yields is how many cutouts the felt yields, if the felt decides how many there
	// are; otherwise 0. It stops at what covers the cloth by area; Layout may hold fewer.
	Yields int
}

// Strew places the cutouts of the mix on the cloth as the project asks. cutouts is
// how many; 0 leaves it to the spacing. The error wraps a *scatter.Impossible or
// the context's error.
func Strew(ctx context.Context, c Cloth, m Mix, p project.Project, cutouts int) (Strewn, error) {
	out := Strewn{Kinds: strewnKinds(m, p), Options: strewOptions(c, m, p, cutouts)}
	var err error
	if out.Layout, err = scatter.Run(ctx, c.Surface, out.Kinds, out.Options); err != nil {
		return Strewn{}, say.Errorf("scatter: %s", err)
	}
	return out, nil
}

// Measure measures how evenly the cutouts lie. The error is the context's.
func (s Strewn) Measure(ctx context.Context, c Cloth) (scatter.Evenness, error) {
	return scatter.Measure(ctx, c.Surface, s.Kinds, s.Options, s.Layout)
}

// strewnKinds returns the kinds as they are strewn.
func strewnKinds(m Mix, p project.Project) []scatter.Kind {
	out := make([]scatter.Kind, m.Cutouts)
	for i, k := range m.Kinds[:m.Cutouts] {
		asked := p.Motifs[k.Motif]
		var rings []geom.Ring
		for _, r := range m.Motifs[k.Motif].Outers() {
			rings = append(rings, r.Transform(geom.Scaling(k.Size, k.Size)))
		}
		out[i] = scatter.Kind{
			Name: m.Name(i), Motif: k.Motif, Outline: rings, Share: asked.Share,
			Direction: scatter.Direction(asked.Direction), Tilt: asked.Tilt,
		}
	}
	return out
}

// strewOptions returns what the project asks of a layout. cutouts is the number of
// marks; 0 leaves it to the spacing.
func strewOptions(c Cloth, m Mix, p project.Project, cutouts int) scatter.Options {
	sc := p.Scatter
	return scatter.Options{
		Pattern: scatter.Pattern(sc.Pattern), Spacing: sc.Spacing, RowSpacing: sc.RowSpacing, Stagger: sc.Stagger,
		Rows: sc.Rows, Rise: sc.Rise, Jitter: sc.Jitter, Repeat: sc.Repeat, RepeatSet: sc.RepeatSet,
		Cutouts: cutouts, OrFewer: ByFelt(p), SpacingWaist: sc.SpacingWaist, Crowding: crowding(p), Bare: barePatches(c, p), Fixed: byHand(m, p),
		Clearance: scatter.Clearance(p.Clearance), Seed: p.Seed,
	}
}

// crowding returns how much the gathers crowd the top layer at the waist: as much
// as its fullness, if cutouts are to lie evenly once worn; else 0. Common practice,
// no source.
func crowding(p project.Project) float64 {
	if p.Scatter.Even != project.EvenWorn {
		return 0
	}
	return p.Skirt.Fullness
}

// barePatches returns the patches that stay free; a range left out is the
// panel's whole extent.
func barePatches(c Cloth, p project.Project) []scatter.Bare {
	s := c.Surface
	var out []scatter.Bare
	for _, b := range p.Bare {
		patch := scatter.Bare{Panel: b.Panel - 1, Down: b.Down, Around: b.Around}
		if patch.Down == ([2]float64{}) {
			patch.Down[1] = s.Drop
		}
		if patch.Around == ([2]float64{}) {
			patch.Around[1] = s.Span(s.Drop)
			if s.Closed() {
				patch.Around[1] = s.PanelGirth(s.Drop)
			}
		}
		out = append(out, patch)
	}
	return out
}

// byHand returns the cutouts placed by hand.
func byHand(m Mix, p project.Project) []scatter.Fixed {
	var out []scatter.Fixed
	for _, f := range p.Fixed {
		out = append(out, scatter.Fixed{
			Kind: m.kind(f.Motif, f.Size), Panel: f.Panel - 1, Down: f.Down, Around: f.Around, Turn: f.Turn,
		})
	}
	return out
}
