package words

import (
	"math"

	"strew/cmd/internal/project"
	"strew/cmd/internal/stage"
	"strew/motif/say"
)

// estimates says how much weight and work are guessed, and by which rules.
func estimates(t Text) []string {
	a, e := t.Allowances(), t.Estimate()
	cutting := t.Say("cutting out: about %s, at %s mm a second along the edge, %.0f s for a corner and %.0f s for a hole",
		hours(e.Cutting), number(a.Speed), a.Corner, a.Hole)
	if t.LayOnly {
		return []string{cutting}
	}
	marks := say.Many(len(t.Strewn.Layout.Placements), "%d mark", "%d marks")
	pieces := say.Many(e.Pieces, "%d piece", "%d pieces")
	fixing := say.New("gluing on: about %s, at %.0f s for each of %s", hours(e.Fixing), t.FixingSeconds(), pieces)
	if t.Project.Supplies.Fixing == project.FixingSew {
		fixing = say.New("sewing on: about %s, at %.0f s for each of %s", hours(e.Fixing), t.FixingSeconds(), pieces)
	}
	return []string{
		t.Say("marking: about %s, at %.0f s for each of %s", hours(e.Marking), stage.MarkingSeconds, marks), cutting, t.Message(fixing),
		t.Say("weight: %.0f g of felt on the top layer, which weighs %.0f g itself, at %.0f g/m² of felt and %.0f of net", e.Felt, e.Net, a.FeltWeight, t.Project.Supplies.NetWeight),
	}
}

// hours writes a guessed time: to a quarter of an hour, over ten to the hour.
func hours(h float64) say.Message {
	quarters := math.Max(1, math.Round(4*h))
	switch {
	case quarters < 4:
		return say.New("%.0f minutes", 15*quarters)
	case quarters == 4:
		return say.New("1 hour")
	case quarters > 40:
		return say.New("%.0f hours", math.Round(h))
	}
	return say.New("%s hours", number(quarters/4))
}

// heavy warns of felt that pulls the net down; "" if it does not.
func heavy(t Text) string {
	e := t.Estimate()
	if !e.IsHeavy() {
		return ""
	}
	return t.Say("the felt weighs about %.0f g and the layer of net that carries it %.0f g: %.0f times as much pulls the net down; use firmer net, thinner felt or fewer cutouts (an estimate, at %.0f g/m² of felt and %.0f of net)",
		e.Felt, e.Net, e.Felt/e.Net, t.Allowances().FeltWeight, t.Project.Supplies.NetWeight)
}

// Contrast says how well felt shows: "#d9a521 on the net: clear, ΔE 48".
func Contrast(p say.Printer, c stage.Contrast) string {
	switch {
	case c.DeltaE >= stage.ShowsClearly:
		return p.Say("%s on the net: clear, ΔE %.0f", c.Colour, c.DeltaE)
	case c.DeltaE >= stage.HardlyShows:
		return p.Say("%s on the net: shows, ΔE %.0f", c.Colour, c.DeltaE)
	case c.Lighter:
		return p.Say("%s on the net: hardly shows, ΔE %.0f; a lighter felt would show more", c.Colour, c.DeltaE)
	}
	return p.Say("%s on the net: hardly shows, ΔE %.0f; a darker felt would show more", c.Colour, c.DeltaE)
}
