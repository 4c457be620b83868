package plan

import (
	"fmt"
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// Contrast is how well felt of one colour shows on the skirt.
type Contrast struct {
	Colour, Ground string  // "#rrggbb"; Ground is what is seen of net and lining together
	DeltaE         float64 // CIEDE2000
	Lighter        bool    // lighter felt would show more, else darker felt
}

// Differences of colour from which felt shows: below hardlyShows it is lost a
// few steps away, from showsClearly it is seen across a room. Common practice,
// no source; in print some 2 is just seen side by side.
const (
	hardlyShows  = 12.0
	showsClearly = 25.0
)

// over returns a colour of the given opacity over a solid one, source-over in
// sRGB (T. Porter, T. Duff, "Compositing digital images", SIGGRAPH 1984).
func over(c colorful.Color, alpha float64, ground colorful.Color) colorful.Color {
	mix := func(a, b float64) float64 { return alpha*a + (1-alpha)*b }
	return colorful.Color{R: mix(c.R, ground.R), G: mix(c.G, ground.G), B: mix(c.B, ground.B)}
}

// difference returns the CIEDE2000 difference. The library's Lab runs from 0 to
// 1 in L, and so do its differences.
func difference(a, b colorful.Color) float64 { return 100 * a.DistanceCIEDE2000(b) }

// ground returns what is seen between the cutouts: all layers of net over the
// lining; without one, over white.
func (p *Plan) ground() colorful.Color {
	s := p.Project.Skirt
	net, _ := colorful.Hex(s.Colour) // checked as the project was read
	below := colorful.Color{R: 1, G: 1, B: 1}
	if l := p.Project.Lining; l != nil {
		below, _ = colorful.Hex(l.Colour)
	}
	return over(net, 1-math.Pow(1-s.Opacity, float64(max(1, s.Layers))), below)
}

// Contrasts tells how every felt that lies on the net shows on it, in the order
// in which the motifs have them; none without a skirt.
func (p *Plan) Contrasts() []Contrast {
	if p.LayOnly {
		return nil
	}
	ground := p.ground()
	light, _, _ := ground.Lab()
	var out []Contrast
	seen := map[string]bool{}
	for i, k := range p.Kinds {
		if p.Counts[i].Placed == 0 || p.isPatch(k) {
			continue
		}
		for _, pc := range p.Motifs[k.Motif].Pieces {
			c, err := colorful.Hex(pc.Colour)
			if err != nil || seen[pc.Colour] {
				continue
			}
			seen[pc.Colour] = true
			out = append(out, Contrast{pc.Colour, ground.Hex(), difference(c, ground), light < 0.5})
		}
	}
	return out
}

// Words says how it shows: "#d9a521 on the net: clear, ΔE 48".
func (c Contrast) Words() string {
	text := fmt.Sprintf("%s on the net: %%s, ΔE %.0f", c.Colour, c.DeltaE)
	switch {
	case c.DeltaE >= showsClearly:
		return fmt.Sprintf(text, "clear")
	case c.DeltaE >= hardlyShows:
		return fmt.Sprintf(text, "shows")
	}
	other := "darker"
	if c.Lighter {
		other = "lighter"
	}
	return fmt.Sprintf(text, "hardly shows") + "; a " + other + " felt would show more"
}
