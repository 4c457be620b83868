package scatter

import (
	"fmt"
	"math"

	"strew/motif/geom"
)

// Before a mark's kind and turn are chosen its outline is a stand-in, so an
// outline may turn out to reach over an edge or onto a bare patch. Such marks
// are brought to the nearest place that takes them, or left out where their
// number is free.

const (
	// ashoreStep is the distance of places tried, in parts of the step between
	// marks, and ashoreFar how far off they are sought: farther off they would be
	// out of place.
	ashoreStep = 0.06
	ashoreFar  = 3.0
)

// adrift returns the marks whose outlines come too near to an edge or a patch.
func (y *yard) adrift() []int {
	if y.zone.ground == nil {
		return nil
	}
	off := make([]bool, len(y.marks))
	parallel((len(y.marks)+chunk-1)/chunk, func(c int) {
		for i := c * chunk; i < min(len(y.marks), (c+1)*chunk); i++ {
			off[i] = !y.marks[i].fixed && !y.zone.takes(&y.marks[i], y.spots.At(i))
		}
	})
	var out []int
	for i, is := range off {
		if is {
			out = append(out, i)
		}
	}
	return out
}

// turned finds a turn at which mark i is taken where it is, if its kind has a
// choice of turns, and reports whether there is one.
func (y *yard) turned(i int) bool {
	m, s := y.marks[i], &y.job.shapes[y.marks[i].kind]
	turns := s.turns
	if turns == nil {
		for k := range turnsTried {
			turns = append(turns, m.turn+2*math.Pi*float64(k)/turnsTried)
		}
	}
	for _, t := range turns {
		if m.turn = t; y.zone.takes(&m, y.spots.At(i)) {
			y.marks[i].turn = t
			y.move(i, y.spots.At(i))
			return true
		}
	}
	return false
}

// turnsTried is how many turns of a tossed mark are tried: every 30°.
const turnsTried = 12

// along brings mark i to the nearest place of its row that takes it.
func (y *yard) along(i int, step float64) bool {
	here := y.spots.At(i)
	for r := ashoreStep * step; r <= ashoreFar*step; r += ashoreStep * step {
		for _, side := range [2]float64{-r, r} {
			p := y.zone.fold.Step(here, geom.Vec{X: side}.Rotate(here.Upright)).Place
			p.Down = here.Down
			if to := y.zone.fold.Spot(p); y.zone.clampTo(p, y.marks[i].low, y.marks[i].high) == p && y.zone.takes(&y.marks[i], to) {
				y.move(i, to)
				return true
			}
		}
	}
	return false
}

// ashore brings mark i to the nearest place tried that takes it, and reports
// whether there is one.
func (y *yard) ashore(i int, step float64) bool {
	here := y.spots.At(i)
	for r := ashoreStep * step; r <= ashoreFar*step; r += ashoreStep * step {
		n := int(math.Ceil(2 * math.Pi * r / (ashoreStep * step)))
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			to := y.zone.fold.Step(here, geom.Vec{X: r * cos, Y: r * sin})
			if p := y.zone.clampTo(to.Place, y.marks[i].low, y.marks[i].high); p == to.Place && y.zone.takes(&y.marks[i], to) {
				y.move(i, to)
				return true
			}
		}
	}
	return false
}

// landed brings all marks of a draft onto cloth that takes them, and says in
// d.crowded where it cannot.
func (j *job) landed(d *draft, f folded, loose bool) {
	if f.ground == nil {
		return
	}
	y := j.yard(d, f)
	gone := map[int]bool{}
	for _, i := range y.adrift() {
		switch {
		case y.turned(i), loose && y.ashore(i, d.step):
		case j.opt.Cutouts == 0:
			gone[i] = true
		case !loose && (y.along(i, d.step) || y.ashore(i, d.step)):
		default:
			d.crowded = fmt.Sprintf("%s would reach over an edge or a bare patch", j.shapes[d.marks[i].kind].Name)
			return
		}
	}
	if len(gone) == 0 {
		return
	}
	kept := d.marks[:0]
	for i, m := range d.marks {
		if !gone[i] {
			kept = append(kept, m)
		}
	}
	d.marks = kept
}
