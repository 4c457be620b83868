package project

import (
	"math"
	"slices"

	"strew/motif/geom"
	"strew/motif/say"
)

// What the maker decides by hand: patches that stay free, and cutouts whose
// places are given.

// onPanel reports a panel that the skirt does not have. The panels of an outline are
// counted in its drawing.
func (c *completion) onPanel(s section, sk Skirt) {
	if n := get[int](s, "panel"); s.ok("panel") && sk.Panels > 0 && c.one("skirt").sound("panels") && n > sk.Panels {
		c.add(s.where("panel"), s.full("panel"), say.New("there is no panel %d; the skirt has %s", n, say.Many(sk.Panels, "%d panel", "%d panels")))
	}
}

func (c *completion) bare(sk Skirt) []Bare {
	var out []Bare
	for _, s := range c.sections["bare"] {
		c.onPanel(s, sk)
		b := Bare{Panel: get[int](s, "panel")}
		copy(b.Down[:], get[[]float64](s, "down"))
		copy(b.Around[:], get[[]float64](s, "around"))
		if s.ok("down") && sk.Drop > 0 && b.Down[0] >= sk.Drop {
			c.add(s.where("down"), "bare.down", say.New("it starts %s down, and the top layer is %s long; write a place on it", geom.Length(b.Down[0]), geom.Length(sk.Drop)))
		}
		out = append(out, b)
	}
	return out
}

func (c *completion) fixed(sk Skirt, motifs []Motif) []Fixed {
	var out []Fixed
	for _, s := range c.sections["fixed"] {
		c.onPanel(s, sk)
		f := Fixed{
			Panel:  get[int](s, "panel"),
			Down:   get[float64](s, "down"),
			Around: get[float64](s, "around"),
			Turn:   get[float64](s, "turn") * math.Pi / 180,
			Size:   get[float64](s, "size"),
		}
		name := get[string](s, "motif")
		f.Motif = slices.IndexFunc(motifs, func(m Motif) bool { return m.Name == name })
		if f.Motif < 0 {
			names := make([]string, len(motifs))
			for i, m := range motifs {
				names[i] = m.Name
			}
			if s.ok("motif") && len(names) > 0 {
				c.guess(s.where("motif"), "fixed.motif", say.New("there is no motif %q; write %s", name, either(quotedEach(names))), didYouMean(Nearest(name, names)))
			}
			continue
		}
		if sizes := motifs[f.Motif].Sizes; len(sizes) > 0 && !slices.Contains(sizes, f.Size) {
			if s.ok("size") {
				c.add(s.where("size"), "fixed.size", say.New("%s is not one of the sizes of %q; write %s", plainNumber(f.Size), name, either(numbers(sizes))))
			}
			f.Size = sizes[0]
		}
		if s.ok("down") && sk.Drop > 0 && f.Down >= sk.Drop {
			c.add(s.where("down"), "fixed.down", say.New("%s down is past the hem; the top layer is %s long", geom.Length(f.Down), geom.Length(sk.Drop)))
		}
		out = append(out, f)
	}
	return out
}

func numbers(list []float64) []string {
	out := make([]string, len(list))
	for i, n := range list {
		out[i] = plainNumber(n)
	}
	return out
}
