package scatter

import (
	"math"

	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// band is the feasible band: the part of the cloth in which any strewn kind may
// have its anchor, at any of its turns. It lies between two rows; where seams are
// kept clear, off every seam; and where there are obstacles that two rows cannot
// bound, off those.
type band struct {
	surface   skirt.Surface // the whole one
	kinds     kinds
	opt       Options
	density   density
	low, high float64   // down, millimetres
	seam      float64   // clearance to seams that the band is cut off from; 0: none
	insets    []float64 // at equal steps from low to high; nil without seam clearance
	// cover are discs that hold every strewn kind at each of its turns, in the upright
	// frame.
	cover []skirt.Disc
	// coverApart is set where some strewn kind has several pieces.
	coverApart bool
	coverReach float64 // how far cover reaches
}

// bandOf finds the feasible band, or which motif does not fit the cloth.
func bandOf(s skirt.Surface, all kinds, opt Options) (band, error) {
	c := opt.Clearance
	b := band{surface: s, kinds: all, opt: opt, density: densityOf(opt, s.Drop), low: math.Inf(-1), high: math.Inf(1)}
	for i := range all {
		if k := &all[i]; k.strewn() {
			b.cover = append(b.cover, k.cover()...)
			b.coverReach = math.Max(b.coverReach, k.reach)
			b.coverApart = b.coverApart || len(k.Outline) > 1
		}
	}
	if !s.Closed() {
		return b.sampled()
	}
	if c.Waist+c.Hem >= s.Drop {
		return band{}, &Impossible{
			Key: "clearance.waist",
			Why: say.New("%s clear at the waist and %s at the hem leave nothing of a drop of %s", say.Length(c.Waist), say.Length(c.Hem), say.Length(s.Drop)),
			Try: say.New("make the clearances smaller"),
		}
	}
	tallest, room := 0, math.Inf(1)
	for i := range all {
		k := &all[i]
		if !k.strewn() {
			continue
		}
		low, high := b.limits(k)
		if low > high {
			return band{}, &Impossible{
				Key: widthKey(k),
				Why: say.New("%s is %s too tall to fit between the waist and hem clearances", k.Name, say.Length(math.Ceil(low-high))),
				Try: say.New("make it about %s tall or less, or reduce the clearances", say.Length(math.Floor(s.Drop-c.Waist-c.Hem))),
			}
		}
		b.low, b.high = math.Max(b.low, low), math.Min(b.high, high)
		if high-low < room {
			tallest, room = i, high-low
		}
	}
	if !all.strewn() {
		b.low, b.high = c.Waist, s.Drop-c.Hem
		return b, nil
	}
	if b.low > b.high {
		return band{}, &Impossible{
			Key: widthKey(&all[tallest]),
			Why: say.New("no row suits every motif between the waist and hem clearances: they need %s more", say.Length(math.Ceil(b.low-b.high))),
			Try: say.New("make the largest motif smaller, or reduce the clearances"),
		}
	}
	if !s.Banded() {
		return b, nil // edges and seams are obstacles
	}
	return b.offSeams()
}

// limits returns the rows between which a kind keeps clear of waist and hem at
// each of its turns.
func (b band) limits(k *kind) (low, high float64) {
	c := b.opt.Clearance
	low, high = math.Inf(-1), math.Inf(1)
	if k.turns == nil {
		low, high = c.Waist+k.reach, b.surface.Drop-c.Hem-k.reach
	}
	for _, t := range k.turns {
		l, h := c.margins().Band(b.surface, k.turned(t), k.reach)
		low, high = math.Max(low, l), math.Min(high, h)
	}
	return low + geom.Snug, high - geom.Snug
}

// margins returns the clearances to edges.
func (c Clearance) margins() skirt.Margins {
	return skirt.Margins{Waist: c.Waist, Hem: c.Hem, Seam: c.Seam}
}

// offSeams returns the band without the cloth too near a seam.
func (b band) offSeams() (band, error) {
	b.seam = b.opt.Clearance.Seam
	if b.seam <= 0 {
		return b, nil
	}
	var extremes []skirt.Disc
	for i := range b.kinds {
		if k := &b.kinds[i]; k.strewn() {
			extremes = append(extremes, k.extremes()...)
		}
	}
	measure := func(down float64) float64 { return b.opt.Clearance.margins().Inset(b.surface, down, extremes) }
	// Near the waist a narrow panel may be too narrow for its two seam clearances.
	fits := func(down float64) bool { return 2*measure(down) < 1/float64(b.surface.Panels) }
	if !fits(b.high) {
		return band{}, &Impossible{
			Key: "clearance.seam",
			Why: say.New("the panels are too narrow for the motifs and the seam clearance"),
			Try: say.New("make the seam clearance or the motifs smaller, or use fewer panels"),
		}
	}
	b.low = geom.Bisect(b.high, b.low, fits)
	// Half a millimetre to a millimetre apart on any skirt: the inset bends by
	// less than a thousandth of a millimetre between two.
	const knots = 1024
	b.insets = make([]float64, knots+1)
	for i := range b.insets {
		b.insets[i] = measure(b.low + (b.high-b.low)*float64(i)/knots)
	}
	return b, nil
}

// sampled finds the band of an outline: the heights between which any row holds
// a free anchor.
func (b band) sampled() (band, error) {
	b.low, b.high = 0, b.surface.Drop
	f := b.domain(1)
	low, high := math.Inf(1), math.Inf(-1)
	f.sample(f.sampleGap(), func(p skirt.Spot) bool {
		low, high = math.Min(low, p.Down), math.Max(high, p.Down)
		return true
	})
	if low > high {
		return band{}, &Impossible{
			Key: "clearance.hem",
			Why: say.New("no motif fits on the panels with these clearances"), Try: say.New("make the motifs or the clearances smaller"),
		}
	}
	b.low, b.high = low, high
	return b, nil
}

// inset returns how far from a seam, as a share of the whole way round, an
// anchor must stay at down; 0 where seams need no clearance. Between two knots
// the larger one counts.
func (b *band) inset(down float64) float64 {
	last := len(b.insets) - 1
	if last < 0 {
		return 0
	}
	i := last - 1
	if b.high > b.low {
		i = min(max(int((down-b.low)/(b.high-b.low)*float64(last)), 0), last-1)
	}
	return max(b.insets[i], b.insets[i+1])
}
