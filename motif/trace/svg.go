package trace

import (
	"bytes"
	"fmt"
	"math"
	"strconv"

	"strew/motif/geom"
)

// SVGMark is in every SVG made by Result.SVG, so that it can be recognised.
const SVGMark = "traced by strew"

// fillColour of traced figures: dark, so that they show on a white page.
const fillColour = "#3a3a3a"

// SVG returns the outlines as an SVG document in millimetres: one path for each
// figure, holes by the even-odd rule, coordinates to a thousandth.
func (r Result) SVG() []byte {
	box := geom.EmptyBox()
	for _, g := range r.Figures {
		box = box.Union(g.Box())
	}
	var b bytes.Buffer
	w, h := number(box.Max.X), number(box.Max.Y)
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>
<!-- %s; 1 unit is 1 mm -->
<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">
`, SVGMark, w, h, w, h)
	for i, rings := range r.curves {
		n := i + 1
		if r.picked > 0 {
			n = r.picked
		}
		fmt.Fprintf(&b, "<path id=\"figure-%d\" fill=\"%s\" fill-rule=\"evenodd\" d=\"", n, fillColour)
		for k, ring := range rings {
			if k > 0 {
				b.WriteByte('\n')
			}
			fmt.Fprintf(&b, "M%s", pair(ring[0][0]))
			for j, c := range ring {
				switch {
				case c.isStraight() && j == len(ring)-1: // Z draws it
				case c.isStraight():
					fmt.Fprintf(&b, "L%s", pair(c[3]))
				default:
					fmt.Fprintf(&b, "C%s %s %s", pair(c[1]), pair(c[2]), pair(c[3]))
				}
			}
			b.WriteByte('Z')
		}
		b.WriteString("\"/>\n")
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// Nodes returns the number of nodes of all outlines.
func (r Result) Nodes() int {
	n := 0
	for _, rings := range r.curves {
		for _, ring := range rings {
			n += len(ring)
		}
	}
	return n
}

func pair(v geom.Vec) string { return number(v.X) + " " + number(v.Y) }

// number writes a length in mm to a thousandth.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000+0, 'f', -1, 64)
}
