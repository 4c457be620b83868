package motif

import (
	"math"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// paint adds what a basic shape paints to the fills or the lines.
func (d *drawing) paint(e *element, p pen) error {
	s := p.style
	if s.hidden {
		return nil
	}
	width, ok := p.view.length(s.strokeWidth, either)
	if !ok {
		width = 1
	}
	filled := s.fillOpacity > 0 && s.fill != "none" && e.name != "line"
	stroked := s.strokeOpacity > 0 && s.stroke != "none" && width > 0
	if !filled && !stroked {
		return nil
	}
	if e.name == "path" && commands(e.attr["d"]) > maxPoints {
		return manyPoints() // before they take memory
	}
	path, fault := basicShape(e, p.view)
	if !fault.IsZero() {
		d.notes.note("%s: %s", e.label(), fault)
	}
	if len(path) == 0 {
		return nil
	}
	for _, sub := range path {
		if d.steps += 1 + len(sub.curves); d.steps > maxPoints {
			return manyPoints()
		}
	}
	out := shape{from: e.label(), id: e.attr["id"], path: transformPath(path, p.m), evenOdd: s.evenOdd, isClip: d.sheet.clipping}
	if stroked {
		out.stroke = width * math.Sqrt(math.Abs(p.m.Det()))
	}
	for _, sub := range out.path {
		if !sub.finite() {
			return say.Errorf("%s holds a number too large to draw: look for a broken coordinate or transform", e.label())
		}
	}
	if filled {
		if out.colour, ok = d.colour(e, s.fill); ok {
			d.fills = append(d.fills, out)
			return nil
		}
	}
	if stroked {
		if out.colour, ok = d.colour(e, s.stroke); ok {
			d.lines = append(d.lines, out)
		}
	}
	return nil
}

// commands returns a lower bound on the steps that path data draw: one for each
// command letter, or one for every seven numbers, since letters may be left out.
func commands(data string) int {
	letters, numbers, inside := 0, 0, false
	for i := range len(data) {
		c := data[i]
		if isCommand(c) {
			letters++
		}
		digit := c >= '0' && c <= '9' || c == '.' || c == 'e' || c == 'E'
		if digit && !inside {
			numbers++
		}
		inside = digit
	}
	return max(letters, numbers/7) // an arc takes seven
}

func transformPath(path []subpath, m geom.Affine) []subpath {
	out := make([]subpath, len(path))
	for i, s := range path {
		out[i] = s.transform(m)
	}
	return out
}

func (s subpath) finite() bool {
	ok := s.start.IsFinite()
	for _, c := range s.curves {
		ok = ok && c.end.IsFinite() && c.p[0].IsFinite() && c.p[1].IsFinite() && c.p[2].IsFinite()
	}
	return ok
}

// colour returns the one colour that a paint becomes in felt; ok is false where
// nothing is painted.
func (d *drawing) colour(e *element, paint string) (colour string, ok bool) {
	if !strings.HasPrefix(strings.ToLower(paint), "url(") {
		c, alpha, ok := parseColour(paint)
		return c, ok && alpha > 0
	}
	id, fallback := cutURL(paint)
	server := d.lookup[id]
	if server == nil {
		if fallback == "" {
			d.notes.note("%s is painted with %q, which the drawing does not hold, and is left out", e.label(), shorten(paint))
			return "", false
		}
		return d.colour(e, fallback)
	}
	for hops := 0; server != nil && hops < maxDepth; hops++ {
		for _, stop := range server.children {
			if stop.name != "stop" {
				continue
			}
			for _, decl := range append([]declaration{{property: "stop-color", value: stop.attr["stop-color"]}}, parseDeclarations(stop.attr["style"])...) {
				if c, _, isColour := parseColour(decl.value); decl.property == "stop-color" && isColour {
					colour = c
				}
			}
			if colour != "" {
				d.notes.note("%s is filled with a gradient, but felt has one colour: its first colour %s is used", e.label(), colour)
				return colour, true
			}
		}
		next, _ := strings.CutPrefix(strings.TrimSpace(server.attr["href"]), "#")
		server = d.lookup[next]
	}
	if c, _, isColour := parseColour(fallback); isColour {
		return c, true
	}
	d.notes.note("%s is filled with a pattern, but felt has one colour: black is used", e.label())
	return "#000000", true
}

// cutURL splits `url("#id") rest` into the id and the rest.
func cutURL(text string) (id, rest string) {
	_, text, _ = strings.Cut(text, "(")
	id, rest, _ = strings.Cut(text, ")")
	id = strings.Trim(strings.TrimSpace(id), `"'`)
	id, _ = strings.CutPrefix(id, "#")
	return id, strings.TrimSpace(rest)
}
