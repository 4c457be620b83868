package render

import (
	"math"
	"math/rand/v2"

	"strew/motif"
	"strew/motif/geom"
	"strew/motif/say"
	"strew/scatter/skirt"
)

// Outlines drawn for the tests, about 60 mm wide.

// ginkgoLeaf is a fan with a notch and a stalk, of one felt.
func ginkgoLeaf() *motif.Motif {
	var r geom.Ring
	for i := range 61 {
		a := -2.05 + 4.1*float64(i)/60 // from the left of the fan to its right, 0 is up
		rad := 31 - 1.6*math.Cos(9*a)
		if math.Abs(a) < 0.16 {
			rad -= 13 * (1 - math.Abs(a)/0.16)
		}
		r = append(r, geom.Vec{X: rad * math.Sin(a), Y: 4 - rad*math.Cos(a)})
	}
	r = append(r, geom.Vec{X: 6, Y: 11}, geom.Vec{X: 3, Y: 22}, geom.Vec{X: 5, Y: 34}, geom.Vec{X: 1, Y: 35}, geom.Vec{X: -1.5, Y: 22}, geom.Vec{X: -5, Y: 11})
	return &motif.Motif{Name: "ginkgo", Inradius: 9, Pieces: []motif.Piece{{Colour: "#d9a521", Region: geom.Region{Outer: r}}}}
}

// acorn is a nut and a cup of two felts.
func acorn() *motif.Motif {
	var nut, cup geom.Ring
	for i := range 40 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 40)
		nut = append(nut, geom.Vec{X: 10 * s, Y: 4 - 16*c})
	}
	for i := range 21 {
		s, c := math.Sincos(-math.Pi/2 + math.Pi*float64(i)/20)
		cup = append(cup, geom.Vec{X: 12.5 * s, Y: -4 - 11*c})
	}
	cup = append(cup, geom.Vec{X: 9, Y: -2}, geom.Vec{X: -9, Y: -2})
	return &motif.Motif{Name: "acorn", Inradius: 9, Pieces: []motif.Piece{
		{Colour: "#b5793f", Region: geom.Region{Outer: nut}}, {Colour: "#5b4326", Region: geom.Region{Outer: cup}}}}
}

// starfish has five arms and a round hole.
func starfish() *motif.Motif {
	var star, hole geom.Ring
	for i := range 50 {
		a := 2 * math.Pi * float64(i) / 50
		rad := 17 + 11*math.Cos(5*a)
		star = append(star, geom.Vec{X: rad * math.Sin(a), Y: -rad * math.Cos(a)})
	}
	for i := range 24 {
		s, c := math.Sincos(-2 * math.Pi * float64(i) / 24)
		hole = append(hole, geom.Vec{X: 3.5 * s, Y: -3.5 * c})
	}
	return &motif.Motif{Name: "starfish", Inradius: 4, Pieces: []motif.Piece{{Colour: "#c8553d", Region: geom.Region{Outer: star, Holes: []geom.Ring{hole}}}}}
}

func circleCloth(share, girth, drop float64, panels int) Cloth {
	return Cloth{
		Surface: skirt.NewCircle(girth, drop, share, panels),
		Colour:  "#2d4a3e", Opacity: 0.25, Layers: 3, Lining: &Lining{Colour: "#1f2f28", ShorterBy: 25},
		Title: "Ginkgo walk", Printer: say.Printer{Unit: geom.Centimetre},
	}
}

func straightCloth(girth, drop float64, panels int) Cloth {
	c := circleCloth(1, girth, drop, panels)
	c.Surface = skirt.NewRectangle(girth, drop, panels)
	return c
}

// at returns the point u panels round the skirt at down.
func at(s skirt.Surface, u, down float64) skirt.Point {
	k := int(math.Floor(u))
	st := stretch{s, float64(k), float64(k + 1)}
	return skirt.Point{Panel: k, At: st.at(u, down)}
}

// strewn scatters about n marks loosely: rows of equal spacing, each mark moved
// a little at random, rows not numbered.
func strewn(s skirt.Surface, n int, seed uint64, motifs ...*motif.Motif) []Mark {
	area := 0.0
	for d := 0.5; d < s.Drop; d++ {
		area += s.Girth(d)
	}
	step := math.Sqrt(area / float64(n))
	return inRows(s, step, step, 0.22*step, seed, motifs...)
}

// inRows sets marks step apart in rows that are rise apart; where jitter is 0
// they stay in their rows, which are numbered.
func inRows(s skirt.Surface, step, rise, jitter float64, seed uint64, motifs ...*motif.Motif) []Mark {
	rng := rand.New(rand.NewPCG(seed, 0))
	var out []Mark
	row := 0
	for down := s.Drop - 38; down > 45; down -= rise {
		row++
		n := int(s.Girth(down) / step)
		for i := range n {
			m := motifs[rng.IntN(len(motifs))]
			u := math.Mod((float64(i)+0.5*float64(row%2)+0.25)/float64(n), 1) * float64(s.Panels)
			d, turn, r := down, rng.Float64()*2*math.Pi, 0
			if jitter > 0 {
				u += (rng.Float64() - 0.5) * 2 * jitter / s.PanelGirth(down)
				d += (rng.Float64() - 0.5) * 2 * jitter
				u = math.Mod(u+float64(s.Panels), float64(s.Panels))
				d = math.Min(d, s.Drop-30)
			} else {
				r, turn = row, 0
			}
			p := at(s, u, d)
			if jitter == 0 {
				turn = s.Upright(p.At)
			}
			size := 1.0
			if rng.IntN(4) == 0 {
				size = 0.7
			}
			out = append(out, Mark{len(out) + 1, m, m.Name, size, p, turn, r})
		}
	}
	return out
}
