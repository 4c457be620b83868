package stage

import (
	"cmp"

	"strew/cmd/internal/project"
	"strew/motif"
)

// Paces for estimates, unless the project's [supplies] says otherwise. Defaults
// for net, glue and thread are part of [supplies] itself (20 g/m² for soft net;
// 10 to 40 are sold). No source was found for any of them: they are our own
// guesses, and whatever rests on them is called an estimate.
const (
	// MarkingSeconds is the time to mark one place on the net with the guide or a
	// strip under it, laying the paper included; common practice, no source.
	MarkingSeconds = 25.0

	glueSeconds = 40.0  // to find a mark, put on a dab and press a piece
	sewSeconds  = 150.0 // to hold a piece with a few stitches
	// heavyFelt is the ratio of felt to the net that carries it, by weight, from
	// which the layer sags.
	heavyFelt = 3.0
)

// Estimate holds guesses of weight and work.
type Estimate struct {
	Felt    float64 // on the skirt, patches included, grams
	Net     float64 // the layer that carries it, grams
	Marking float64 // hours; 0 without a skirt
	Cutting float64 // hours
	Fixing  float64 // hours; 0 without a skirt
	Pieces  int     // to be fixed to the net
}

// IsHeavy reports whether the felt pulls the net down.
func (e Estimate) IsHeavy() bool { return e.Net > 0 && e.Felt >= heavyFelt*e.Net }

// Allowances returns the weight of the felt and the pace of cutting: the
// project's, or else the defaults.
func (p Plan) Allowances() motif.Allowances {
	a, s := motif.DefaultAllowances(), p.Project.Supplies
	a.FeltWeight = cmp.Or(s.FeltWeight, a.FeltWeight)
	a.Speed = cmp.Or(s.CuttingSpeed, a.Speed)
	return a
}

// FixingSeconds returns how long it takes to fix one piece, in seconds.
func (p Plan) FixingSeconds() float64 {
	s := p.Project.Supplies
	if s.Fixing == project.FixingSew {
		return cmp.Or(s.FixingTime, sewSeconds)
	}
	return cmp.Or(s.FixingTime, glueSeconds)
}

// Estimate guesses weight and work from Allowances and FixingSeconds.
func (p Plan) Estimate() Estimate {
	var e Estimate
	a := p.Allowances()
	for i, k := range p.Mix.Kinds {
		c := p.Counts[i]
		for _, pc := range p.Mix.Measures[k.Motif].Pieces {
			pc.Area *= k.Size * k.Size
			pc.Edge *= k.Size
			e.Felt += float64(c.Placed) * a.Weight(pc)
			e.Cutting += float64(c.Cut()) * a.Seconds(pc) / 3600
			e.Pieces += c.Placed
		}
	}
	if !p.LayOnly {
		area, _ := p.Cloth.Surface.Cloth()
		e.Net = area * 1e-6 * p.Project.Supplies.NetWeight
		e.Marking = float64(len(p.Strewn.Layout.Placements)) * MarkingSeconds / 3600
		e.Fixing = float64(e.Pieces) * p.FixingSeconds() / 3600
	}
	return e
}
