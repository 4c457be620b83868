package project

import (
	"fmt"
	"math"
	"slices"
)

// What the maker decides by hand: patches that stay free, and cutouts whose
// places are given.

// onPanel reports a panel that the skirt has not. The panels of an outline are
// counted in its drawing.
func (d document) onPanel(s section, sk Skirt, r *report) {
	if n := get[int](s, "panel"); s.ok("panel") && sk.Panels > 0 && d.one("skirt").sound("panels") && n > sk.Panels {
		r.add(s.where("panel"), s.full("panel"), fmt.Sprintf("there is no panel %d; the skirt has %s", n, plural(sk.Panels, "panel")), "")
	}
}

func (d document) bare(sk Skirt, r *report) []Bare {
	var out []Bare
	for _, s := range d.sections["bare"] {
		d.onPanel(s, sk, r)
		b := Bare{Panel: get[int](s, "panel")}
		copy(b.Down[:], get[[]float64](s, "down"))
		copy(b.Around[:], get[[]float64](s, "around"))
		if s.ok("down") && sk.Drop > 0 && b.Down[0] >= sk.Drop {
			r.add(s.where("down"), "bare.down", fmt.Sprintf("it starts %s down, and the top layer is %s long; write a place on it", d.say(b.Down[0]), d.say(sk.Drop)), "")
		}
		out = append(out, b)
	}
	return out
}

func (d document) fixed(sk Skirt, motifs []Motif, r *report) []Fixed {
	var out []Fixed
	for _, s := range d.sections["fixed"] {
		d.onPanel(s, sk, r)
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
				r.add(s.where("motif"), "fixed.motif", fmt.Sprintf("there is no motif %q; write %s", name, listing(quotedEach(names), "or")), didYouMean(nearest(name, names)))
			}
			continue
		}
		if sizes := motifs[f.Motif].Sizes; len(sizes) > 0 && !slices.Contains(sizes, f.Size) {
			if s.ok("size") {
				r.add(s.where("size"), "fixed.size", fmt.Sprintf("%s is none of the sizes of %q; write %s", plainNumber(f.Size), name, listing(numbers(sizes), "or")), "")
			}
			f.Size = sizes[0]
		}
		if s.ok("down") && sk.Drop > 0 && f.Down >= sk.Drop {
			r.add(s.where("down"), "fixed.down", fmt.Sprintf("%s down is past the hem; the top layer is %s long", d.say(f.Down), d.say(sk.Drop)), "")
		}
		out = append(out, f)
	}
	return out
}

func quotedEach(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = fmt.Sprintf("%q", w)
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
