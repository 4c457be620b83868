package motif

import (
	"math"
	"strings"

	"strew/motif/geom"
)

// parseTransform reads a transform attribute: matrix, translate, scale,
// rotate (about a point too), skewX and skewY, the first applied last. One that
// cannot be read is the identity, and ok is false.
func parseTransform(text string) (m geom.Affine, ok bool) {
	m = geom.Identity()
	s := scanner{text: text}
	bad := func() (geom.Affine, bool) { return geom.Identity(), false }
	for s.comma(); !s.done(); s.comma() {
		open := strings.IndexByte(s.text[s.pos:], '(')
		if open < 0 {
			if strings.TrimSpace(s.text[s.pos:]) == "none" {
				return m, true
			}
			return bad()
		}
		name := strings.TrimSpace(s.text[s.pos : s.pos+open])
		s.pos += open + 1
		var n []float64
		for s.space(); !s.done() && s.text[s.pos] != ')'; s.comma() {
			v, ok := s.number()
			if !ok || len(n) == 6 {
				return bad()
			}
			// A style may write units: px and deg change nothing.
			for _, unit := range []string{"px", "deg"} {
				if strings.HasPrefix(s.text[s.pos:], unit) {
					s.pos += len(unit)
				}
			}
			n = append(n, v)
		}
		if s.done() {
			return bad()
		}
		s.pos++
		step, ok := transformStep(name, n)
		if !ok {
			return bad()
		}
		m = step.Then(m)
	}
	return m, true
}

func transformStep(name string, n []float64) (geom.Affine, bool) {
	const deg = math.Pi / 180
	switch {
	case name == "matrix" && len(n) == 6:
		return geom.Affine{A: n[0], B: n[1], C: n[2], D: n[3], E: n[4], F: n[5]}, true
	case name == "translate" && len(n) == 1:
		return geom.Translation(geom.Vec{X: n[0]}), true
	case name == "translate" && len(n) == 2:
		return geom.Translation(geom.Vec{X: n[0], Y: n[1]}), true
	case name == "scale" && len(n) == 1:
		return geom.Scaling(n[0], n[0]), true
	case name == "scale" && len(n) == 2:
		return geom.Scaling(n[0], n[1]), true
	case name == "rotate" && len(n) == 1:
		return geom.Rotation(n[0] * deg), true
	case name == "rotate" && len(n) == 3:
		c := geom.Vec{X: n[1], Y: n[2]}
		return geom.Translation(c.Mul(-1)).Then(geom.Rotation(n[0] * deg)).Then(geom.Translation(c)), true
	case name == "skewX" && len(n) == 1:
		return geom.Affine{A: 1, D: 1, C: math.Tan(n[0] * deg)}, true
	case name == "skewY" && len(n) == 1:
		return geom.Affine{A: 1, D: 1, B: math.Tan(n[0] * deg)}, true
	}
	return geom.Affine{}, false
}

// shorten returns text short enough for a message.
func shorten(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > 40 {
		return string(r[:37]) + "..."
	}
	return text
}
