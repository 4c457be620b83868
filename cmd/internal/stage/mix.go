package stage

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"strew/cmd/internal/project"
	"strew/motif"
	"strew/motif/geom"
)

// Kind is a motif in one size, as it is strewn and counted.
type Kind struct {
	Motif int     // index into the mix's motifs
	Size  float64 // 1: as drawn
}

// Mix is what is cut: the project's motifs, then the patches that back them,
// each in its sizes.
type Mix struct {
	Motifs   []motif.Motif    // the project's, then a patch for each that is backed
	Measures []motif.Measures // of the motifs
	Kinds    []Kind           // of the project's motifs, then as many of patches if there are any
	Cutouts  int              // how many of the kinds are cutouts: the first ones; the rest are patches
	Sizes    []int            // of each motif: in how many sizes the project has it
	Backs    []int            // of each motif, the one it backs; -1 for none
	Notes    []Note           // about the drawings
}

// MixOf returns which motifs are cut in which sizes, with the patches behind them.
// In a lay without a skirt (layOnly) motifs with a cut number are cut, else those
// that are strewn or placed by hand.
func MixOf(p project.Project, d Drawn, layOnly bool) Mix {
	out := Mix{Motifs: slices.Clone(d.Motifs), Measures: slices.Clone(d.Measures), Notes: d.Notes}
	for i, m := range p.Motifs {
		out.Sizes = append(out.Sizes, len(m.Sizes))
		out.Backs = append(out.Backs, -1)
		for _, size := range m.Sizes {
			if layOnly && m.Cut > 0 || !layOnly && (m.Share > 0 || placedByHand(p, i, size)) {
				out.Kinds = append(out.Kinds, Kind{Motif: i, Size: size})
			}
		}
	}
	out.Cutouts = len(out.Kinds)
	if b := p.Backing; b.Shape != project.PatchNone && b.Shape != "" {
		return out.backed(b)
	}
	return out
}

// placedByHand reports whether a motif is placed by hand in a size; then its
// share may be 0.
func placedByHand(p project.Project, motif int, size float64) bool {
	return slices.ContainsFunc(p.Fixed, func(f project.Fixed) bool { return f.Motif == motif && f.Size == size })
}

// backed adds for every motif of the mix a patch, a motif of its own in the same
// sizes. At size 1 it is the widest that stays hidden behind the cutout at any
// turn, or as wide as the maker says; other sizes are in proportion.
func (m Mix) backed(b project.Backing) Mix {
	patchOf := map[int]int{}
	for _, k := range slices.Clone(m.Kinds) {
		i, known := patchOf[k.Motif]
		if !known {
			size := b.Size
			if size == 0 {
				size = m.Hidden(k.Motif, b.Shape)
			}
			patch := motif.Motif{
				Name: m.freeName(m.Motifs[k.Motif].Name + " backing"), Inradius: size / 2,
				Pieces: []motif.Piece{{Colour: b.Colour, Region: geom.Region{Outer: patchRing(b.Shape, size)}}},
			}
			i = len(m.Motifs)
			patchOf[k.Motif] = i
			m.Motifs = append(m.Motifs, patch)
			m.Measures = append(m.Measures, patch.Measure())
			m.Sizes = append(m.Sizes, m.Sizes[k.Motif])
			m.Backs = append(m.Backs, k.Motif)
		}
		m.Kinds = append(m.Kinds, Kind{Motif: i, Size: k.Size})
	}
	return m
}

// Hidden returns the side or diameter, in millimetres, of the widest patch of the
// shape that stays hidden behind a motif of size 1 at any turn.
func (m Mix) Hidden(motif int, shape project.Patch) float64 {
	if shape == project.PatchRound {
		return m.Measures[motif].BackingRound
	}
	return m.Measures[motif].BackingSquare
}

// patchRing returns a square of the side, or a disc of the diameter that lies
// within the circle, centred on the origin.
func patchRing(shape project.Patch, size float64) geom.Ring {
	r := size / 2
	if shape == project.PatchSquare {
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
func (m Mix) freeName(name string) string {
	free := name
	for n := 2; slices.ContainsFunc(m.Motifs, func(m motif.Motif) bool { return m.Name == free }); n++ {
		free = fmt.Sprintf("%s %d", name, n)
	}
	return free
}

// IsPatch reports whether a kind is a patch behind a cutout.
func (m Mix) IsPatch(kind int) bool { return kind >= m.Cutouts }

// CutoutOf returns the kind that a patch backs; for a cutout, the kind itself.
func (m Mix) CutoutOf(kind int) int {
	k := m.Kinds[kind]
	if b := m.Backs[k.Motif]; b >= 0 {
		return slices.Index(m.Kinds, Kind{b, k.Size})
	}
	return kind
}

// Name is what a maker calls a kind: the motif's name, with its size where it
// comes in several.
func (m Mix) Name(kind int) string {
	k := m.Kinds[kind]
	name := m.Motifs[k.Motif].Name
	if m.Sizes[k.Motif] == 1 && k.Size == 1 {
		return name
	}
	return name + " × " + strconv.FormatFloat(k.Size, 'f', -1, 64)
}

// Item is one piece of one kind, as it is laid on felt: an index into the mix's
// kinds, and one into the pieces of its motif.
type Item struct{ Kind, Piece int }

// Items lists every piece of every kind, in their order.
func (m Mix) Items() []Item {
	var out []Item
	for i, k := range m.Kinds {
		for j := range m.Motifs[k.Motif].Pieces {
			out = append(out, Item{i, j})
		}
	}
	return out
}

// PieceOf returns an item's piece at size 1.
func (m Mix) PieceOf(it Item) motif.Piece { return m.Motifs[m.Kinds[it.Kind].Motif].Pieces[it.Piece] }

// Size returns an item's size; 1 is as drawn.
func (m Mix) Size(it Item) float64 { return m.Kinds[it.Kind].Size }

// kind returns the index of a motif in one size, -1 where the mix has none.
func (m Mix) kind(motif int, size float64) int { return slices.Index(m.Kinds, Kind{motif, size}) }
