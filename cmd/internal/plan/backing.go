package plan

import (
	"fmt"
	"math"
	"slices"

	"strew/motif"
	"strew/motif/geom"
)

// addBacking adds a patch for every motif that is scattered or laid: a motif
// of its own that backs it, in the same sizes. At size 1 it is as wide as
// stays hidden behind the cutout however that is turned, or as the maker says;
// in other sizes in proportion, as its cutout is.
func (p *Plan) addBacking() {
	b := p.Project.Backing
	if b.Shape == "none" || b.Shape == "" {
		return
	}
	patchOf := map[int]int{}
	for _, k := range slices.Clone(p.Kinds) {
		i, ok := patchOf[k.Motif]
		if !ok {
			size, hidden := b.Size, p.hidden(k.Motif)
			if size == 0 {
				size = hidden
			}
			patch := motif.Motif{
				Name: p.freeName(p.Motifs[k.Motif].Name + " backing"), Inradius: size / 2,
				Pieces: []motif.Piece{{Colour: b.Colour, Region: geom.Region{Outer: patchRing(b.Shape, size)}}},
			}
			i = len(p.Motifs)
			patchOf[k.Motif] = i
			p.Motifs = append(p.Motifs, patch)
			p.Measures = append(p.Measures, patch.Measure())
			for len(p.backs) < i {
				p.backs = append(p.backs, -1)
			}
			p.backs = append(p.backs, k.Motif)
			if size > hidden+geom.Touch {
				p.addWarning("backing.size: a %s patch of %s shows behind %s, where %s is the widest that stays hidden at any turn; write size = \"auto\" or less",
					b.Shape, p.show(size), p.Motifs[k.Motif].Name, p.show(hidden))
			}
		}
		p.Kinds = append(p.Kinds, Kind{Motif: i, Size: k.Size})
	}
}

// patchWords names the patches by their shape.
func (p *Plan) patchWords() string {
	if p.Project.Backing.Shape == "round" {
		return "rounds"
	}
	return "squares"
}

// hidden is the side or diameter of the widest patch that motif m hides.
func (p *Plan) hidden(m int) float64 {
	if p.Project.Backing.Shape == "round" {
		return p.Measures[m].BackingRound
	}
	return p.Measures[m].BackingSquare
}

// patchRing returns a square of the side, or a disc of the diameter that lies
// within the circle, centred on the origin.
func patchRing(shape string, size float64) geom.Ring {
	r := size / 2
	if shape == "square" {
		return geom.Ring{{X: -r, Y: -r}, {X: r, Y: -r}, {X: r, Y: r}, {X: -r, Y: r}}
	}
	// The middle of a step over the angle 2a lies r(1 - cos a) inside the circle.
	steps := 12
	if r > geom.FlattenTol {
		steps = max(steps, int(math.Ceil(math.Pi/math.Acos(1-geom.FlattenTol/r))))
	}
	out := make(geom.Ring, steps)
	for i := range out {
		out[i] = geom.Vec{X: r}.Rotate(2 * math.Pi * float64(i) / float64(steps))
	}
	return out
}

// freeName returns the name, or one like it that no motif has.
func (p *Plan) freeName(name string) string {
	free := name
	for n := 2; slices.ContainsFunc(p.Motifs, func(m motif.Motif) bool { return m.Name == free }); n++ {
		free = fmt.Sprintf("%s %d", name, n)
	}
	return free
}

// backed returns the motif that motif m is a patch for, -1 where m is none.
func (p *Plan) backed(m int) int {
	if m < len(p.backs) {
		return p.backs[m]
	}
	return -1
}

// isPatch reports whether a kind is a backing patch.
func (p *Plan) isPatch(k Kind) bool { return p.backed(k.Motif) >= 0 }

// countOf is the count of a motif in one size.
func (p *Plan) countOf(k Kind) Count {
	for i, q := range p.Kinds {
		if q == k {
			return p.Counts[i]
		}
	}
	panic("plan: a kind that is not counted")
}
