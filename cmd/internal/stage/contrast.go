package stage

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// Contrast is how well felt of one colour shows on the skirt.
type Contrast struct {
	Colour, Ground string  // "#rrggbb"; Ground is what is seen of net and lining together
	DeltaE         float64 // CIEDE2000
	Lighter        bool    // lighter felt would show better, else darker felt
}

// Colour differences (CIEDE2000) at which felt shows: below HardlyShows it is lost
// a few steps away, from ShowsClearly on it is seen across a room. Common practice,
// no source; in print, a difference of about 2 is just visible side by side.
const (
	HardlyShows  = 12.0
	ShowsClearly = 25.0
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
func (p Plan) ground() colorful.Color {
	s := p.Project.Skirt
	net, _ := colorful.Hex(s.Colour) // checked as the project was read
	below := colorful.Color{R: 1, G: 1, B: 1}
	if l := p.Project.Lining; l != nil {
		below, _ = colorful.Hex(l.Colour)
	}
	return over(net, 1-math.Pow(1-s.Opacity, float64(max(1, s.Layers))), below)
}

// Contrasts returns how well each felt shows on the net, in the order of the
// motifs and their pieces; nil without a skirt.
func (p Plan) Contrasts() []Contrast {
	if p.LayOnly {
		return nil
	}
	ground := p.ground()
	light, _, _ := ground.Lab()
	var out []Contrast
	seen := map[string]bool{}
	for i, k := range p.Mix.Kinds {
		if p.Counts[i].Placed == 0 || p.Mix.IsPatch(i) {
			continue
		}
		for _, pc := range p.Mix.Motifs[k.Motif].Pieces {
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
