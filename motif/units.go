package motif

import (
	"math"
	"strings"

	"strew/motif/geom"
)

// mmPerPx is the length of a CSS px: 96 to the inch (CSS Values 3, 6.2).
const mmPerPx = 25.4 / 96

// unitPx holds the absolute units of CSS Values 3, in px.
var unitPx = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96. / 72, "pc": 16,
}

// viewport is what relative lengths refer to: the size of the viewport and of the
// font, in user units.
type viewport struct{ width, height, font float64 }

// axis says what a percentage refers to.
type axis uint8

const (
	across axis = iota // the viewport's width
	down               // its height
	either             // its diagonal / √2
)

// length reads an SVG length in user units; ok is false where there is none.
func (v viewport) length(text string, a axis) (value float64, ok bool) {
	s := scanner{text: strings.TrimSpace(text)}
	n, ok := s.number()
	if !ok {
		return 0, false
	}
	switch unit := strings.ToLower(s.text[s.pos:]); unit {
	case "%":
		switch a {
		case across:
			return n / 100 * v.width, true
		case down:
			return n / 100 * v.height, true
		}
		return n / 100 * math.Sqrt((v.width*v.width+v.height*v.height)/2), true
	case "em":
		return n * v.font, true
	case "ex", "ch":
		// Half the font size, as the font itself is unknown (CSS Values 3, 5.1.1).
		return n * v.font / 2, true
	case "rem":
		return n * defaultFont, true
	default:
		px, ok := unitPx[unit]
		return n * px, ok
	}
}

// origin reads a transform-origin: lengths or words across and down, from the
// viewport's top left (CSS Transforms 1, section 5).
func (v viewport) origin(text string) (geom.Vec, bool) {
	words := strings.Fields(strings.ToLower(text))
	if len(words) == 1 {
		words = append(words, "center")
	}
	if len(words) == 3 && strings.Trim(words[2], "0px") == "" { // no depth
		words = words[:2]
	}
	if len(words) != 2 {
		return geom.Vec{}, false
	}
	if a, b := words[0], words[1]; a == "top" || a == "bottom" || b == "left" || b == "right" {
		words = []string{b, a}
	}
	share := [2]map[string]string{
		{"left": "0%", "center": "50%", "right": "100%"},
		{"top": "0%", "center": "50%", "bottom": "100%"},
	}
	var at [2]float64
	for i, w := range words {
		if s, ok := share[i][w]; ok {
			w = s
		}
		n, ok := v.length(w, axis(i))
		if !ok {
			return geom.Vec{}, false
		}
		at[i] = n
	}
	return geom.Vec{X: at[0], Y: at[1]}, true
}

// defaultFont is the font size, in px, where none is set: "medium" in browsers.
const defaultFont = 16

// viewBoxMap returns the map from the units of a viewBox to a viewport of the
// given size at the origin, by preserveAspectRatio (SVG 2, 8.2 and 8.6).
func viewBoxMap(box geom.Box, width, height float64, aspect string) geom.Affine {
	sx, sy := width/box.Width(), height/box.Height()
	words := strings.Fields(strings.TrimPrefix(strings.TrimSpace(aspect), "defer"))
	align := "xMidYMid"
	if len(words) > 0 {
		align = words[0]
	}
	if align != "none" {
		if len(words) > 1 && words[1] == "slice" {
			sx = math.Max(sx, sy)
		} else {
			sx = math.Min(sx, sy)
		}
		sy = sx
	}
	m := geom.Translation(box.Min.Mul(-1)).Then(geom.Scaling(sx, sy))
	share := func(part string) float64 {
		switch {
		case strings.Contains(align, part+"Mid"):
			return 0.5
		case strings.Contains(align, part+"Max"):
			return 1
		}
		return 0
	}
	if align == "none" {
		return m
	}
	return m.Then(geom.Translation(geom.Vec{
		X: share("x") * (width - sx*box.Width()),
		Y: share("Y") * (height - sy*box.Height()),
	}))
}

// parseViewBox reads a viewBox attribute; ok is false where it is missing,
// broken or empty.
func parseViewBox(text string) (box geom.Box, ok bool) {
	n, ok := parseNumbers(text)
	if !ok || len(n) != 4 || !(n[2] > 0) || !(n[3] > 0) {
		return geom.Box{}, false
	}
	return geom.Box{Min: geom.Vec{X: n[0], Y: n[1]}, Max: geom.Vec{X: n[0] + n[2], Y: n[1] + n[3]}}, true
}
