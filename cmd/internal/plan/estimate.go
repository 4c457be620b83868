package plan

import (
	"cmp"
	"fmt"
	"math"

	"strew/motif"
)

// Rules of estimates, where the project's [supplies] does not say otherwise; of
// net, glue and thread its own defaults count (20 g/m² of soft net, of which
// 10 to 40 are sold). No source was found for any of them: they are our own
// guesses, and whatever rests on them says that it is an estimate.
const (
	glueSeconds = 40.0  // to find a mark, put on a dab and press a piece
	sewSeconds  = 150.0 // to hold a piece with a few stitches
	// heavyFelt is how many times the felt may outweigh the net it hangs on: from
	// here on the layer is told to sag.
	heavyFelt = 3.0
)

// Estimate is what is guessed of weight and work.
type Estimate struct {
	Felt    float64 // on the skirt, patches included, grams
	Net     float64 // the layer that carries it, grams
	Cutting float64 // hours
	Fixing  float64 // hours; 0 without a skirt
	Pieces  int     // to be fixed
}

// allowances are the weight of the felt and the pace of cutting.
func (p *Plan) allowances() motif.Allowances {
	a, s := motif.DefaultAllowances(), p.Project.Supplies
	a.FeltWeight = cmp.Or(s.FeltWeight, a.FeltWeight)
	a.Speed = cmp.Or(s.CuttingSpeed, a.Speed)
	return a
}

// fixing says how pieces are fixed, and how many seconds one takes.
func (p *Plan) fixing() (how string, seconds float64) {
	s := p.Project.Supplies
	if s.Fixing == "sew" {
		return "sewing on", cmp.Or(s.FixingTime, sewSeconds)
	}
	return "gluing on", cmp.Or(s.FixingTime, glueSeconds)
}

// Estimate guesses weight and work by stated rules.
func (p *Plan) Estimate() Estimate {
	var e Estimate
	a := p.allowances()
	_, seconds := p.fixing()
	for i, k := range p.Kinds {
		c := p.Counts[i]
		for _, pc := range p.Measures[k.Motif].Pieces {
			pc.Area *= k.Size * k.Size
			pc.Edge *= k.Size
			e.Felt += float64(c.Placed) * a.Weight(pc)
			e.Cutting += float64(c.Cut()) * a.Seconds(pc) / 3600
			e.Pieces += c.Placed
		}
	}
	if !p.LayOnly {
		area, _ := p.Surface.Cloth()
		e.Net = area * 1e-6 * p.Project.Supplies.NetWeight
		e.Fixing = float64(e.Pieces) * seconds / 3600
	}
	return e
}

// heavyWords warns of felt that pulls the net down; "" where it does not.
func (p *Plan) heavyWords() string {
	e := p.Estimate()
	if e.Net <= 0 || e.Felt < heavyFelt*e.Net {
		return ""
	}
	return fmt.Sprintf("the felt weighs some %.0f g and the layer of net that carries it %.0f g: %.0f times as much pulls the net down; use firmer net, thinner felt or fewer cutouts (an estimate, at %.0f g/m² of felt and %.0f of net)",
		e.Felt, e.Net, e.Felt/e.Net, p.allowances().FeltWeight, p.Project.Supplies.NetWeight)
}

// words tells the estimates and their rules, one a line.
func (e Estimate) words(p *Plan) []string {
	a := p.allowances()
	out := []string{fmt.Sprintf("cutting out: about %s, at %s mm a second along the edge, %.0f s for a corner and %.0f s for a hole",
		hours(e.Cutting), trim(a.Speed), a.Corner, a.Hole)}
	if p.LayOnly {
		return out
	}
	how, seconds := p.fixing()
	return append(out,
		fmt.Sprintf("%s: about %s, at %.0f s for each of %s", how, hours(e.Fixing), seconds, many(e.Pieces, "piece", "pieces")),
		fmt.Sprintf("weight: %.0f g of felt on the top layer, which weighs %.0f g itself, at %.0f g/m² of felt and %.0f of net", e.Felt, e.Net, a.FeltWeight, p.Project.Supplies.NetWeight),
	)
}

// hours writes a time that is a guess: to the quarter of an hour.
func hours(h float64) string {
	quarters := math.Max(1, math.Round(4*h))
	if quarters < 4 {
		return fmt.Sprintf("%.0f minutes", 15*quarters)
	}
	if quarters == 4 {
		return "1 hour"
	}
	if quarters > 40 {
		return fmt.Sprintf("%.0f hours", math.Round(h))
	}
	return trim(quarters/4) + " hours"
}
