package motif

import (
	"maps"
	"sort"
	"strings"
)

// style holds the properties of an element that decide what is drawn. Those of
// the first group are inherited (SVG 2, chapters 6 and 13; CSS 2, chapter 6).
type style struct {
	fill, stroke               string // as written: a colour, "none", "url(#…)"
	fillOpacity, strokeOpacity float64
	strokeWidth                string
	evenOdd, clipEvenOdd       bool
	hidden                     bool
	colour                     string // for currentColor
	font                       float64

	opacity           float64
	gone              bool // display: none
	overflow          bool // overflow: visible or auto
	clip              string
	transform, origin string
	box               string            // transform-box
	geometry          map[string]string // sizes and places given by styles, as attributes
	effects           []string          // names of what cannot be cut: masks, filters
}

func rootStyle() style {
	return style{fill: "black", stroke: "none", fillOpacity: 1, strokeOpacity: 1, strokeWidth: "1", colour: "black", font: defaultFont, opacity: 1}
}

// below returns the style that a child starts from.
func (s style) below() style {
	s.opacity, s.gone, s.overflow, s.clip, s.effects = 1, false, false, "", nil
	s.transform, s.origin, s.box, s.geometry = "", "", "", nil
	return s
}

// declaration is one "property: value" pair.
type declaration struct {
	property, value string
	important       bool
}

// properties lists those that are read; all of them may be attributes too.
var properties = []string{
	"font-size", "color", "fill", "fill-opacity", "fill-rule", "stroke", "stroke-opacity", "stroke-width",
	"clip-rule", "visibility", "opacity", "display", "overflow", "clip-path", "mask", "filter", "transform", "transform-origin", "transform-box",
}

// styleOf returns the style of e under a parent of style p. Attributes are applied
// first, then the rules of style sheets, the style attribute, and what is marked
// important (the cascade: CSS 2, 6.4).
func (sheet stylesheet) styleOf(e *element, p style) style {
	var list []declaration
	for _, name := range properties {
		if v, ok := e.attr[name]; ok {
			list = append(list, declaration{name, strings.TrimSpace(v), false})
		}
	}
	list = append(list, sheet.matching(e)...)
	list = append(list, parseDeclarations(e.attr["style"])...)
	sort.SliceStable(list, func(i, j int) bool { return !list[i].important && list[j].important })
	// The font size and colour first: other properties refer to them.
	sort.SliceStable(list, func(i, j int) bool { return rank(list[i].property) < rank(list[j].property) })
	s := p.below()
	if e.name == "svg" && e.parent != nil || e.name == "symbol" {
		s.overflow = false
	}
	for _, d := range list {
		s.set(d, p)
	}
	if sheet.clipping {
		s.fill, s.stroke, s.fillOpacity, s.opacity, s.evenOdd, s.effects = "black", "none", 1, 1, s.clipEvenOdd, nil
	}
	return s
}

func rank(property string) int {
	if property == "font-size" || property == "color" {
		return 0
	}
	return 1
}

// set applies one declaration; an invalid value changes nothing.
func (s *style) set(d declaration, p style) {
	v := d.value
	low := strings.ToLower(v)
	inherit := low == "inherit"
	paint := func(to *string, from string) {
		switch {
		case inherit:
			*to = from
		case low == "currentcolor":
			*to = s.colour
		case low == "none" || strings.HasPrefix(low, "url(") || low == "context-fill" || low == "context-stroke":
			*to = v
		default:
			if _, _, ok := parseColour(v); ok {
				*to = v
			}
		}
	}
	opacity := func(to *float64, from float64) {
		if inherit {
			*to = from
		} else if f, ok := share(v, 1); ok {
			*to = f
		}
	}
	rule := func(to *bool, from bool) {
		switch {
		case inherit:
			*to = from
		case low == "evenodd":
			*to = true
		case low == "nonzero":
			*to = false
		}
	}
	switch d.property {
	case "fill":
		paint(&s.fill, p.fill)
	case "stroke":
		paint(&s.stroke, p.stroke)
	case "color":
		if _, _, ok := parseColour(v); ok {
			s.colour = v
		}
	case "fill-opacity":
		opacity(&s.fillOpacity, p.fillOpacity)
	case "stroke-opacity":
		opacity(&s.strokeOpacity, p.strokeOpacity)
	case "stroke-width":
		if inherit {
			v = p.strokeWidth
		}
		s.strokeWidth = v
	case "fill-rule":
		rule(&s.evenOdd, p.evenOdd)
	case "clip-rule":
		rule(&s.clipEvenOdd, p.clipEvenOdd)
	case "visibility":
		switch low {
		case "visible":
			s.hidden = false
		case "hidden", "collapse":
			s.hidden = true
		}
	case "font-size":
		// A percentage is of the parent's size, as em is.
		if f, ok := (viewport{p.font, p.font, p.font}).length(v, across); ok && f >= 0 {
			s.font = f
		}
	case "opacity":
		opacity(&s.opacity, p.opacity)
	case "display":
		s.gone = low == "none" || inherit && p.gone
	case "overflow":
		s.overflow = low == "visible" || low == "auto"
	case "clip-path":
		s.clip = ""
		if low != "none" {
			s.clip = v
		}
	case "transform":
		s.transform = v
	case "transform-origin":
		s.origin = v
	case "transform-box":
		s.box = low
	case "x", "y", "width", "height", "cx", "cy", "r", "rx", "ry":
		if _, ok := (viewport{}).length(v, across); ok || low == "auto" {
			s.place(d.property, v)
		}
	case "d":
		if data, ok := strings.CutPrefix(low, "path("); ok && strings.HasSuffix(data, ")") {
			s.place("d", strings.Trim(strings.TrimSpace(v[len("path("):len(v)-1]), `"'`))
		}
	case "mask", "filter":
		if low != "none" && !inherit {
			s.effects = append(s.effects, d.property)
		}
	}
}

// place sets a geometry property (SVG 2, chapter 7), which overrides the
// attribute.
func (s *style) place(property, value string) {
	if s.geometry == nil {
		s.geometry = map[string]string{}
	}
	s.geometry[property] = value
}

// placed returns e with the geometry properties of its style as attributes.
func (s style) placed(e *element) *element {
	if len(s.geometry) == 0 || e.name == "use" { // a use draws another element
		return e
	}
	out := *e
	out.attr = maps.Clone(e.attr)
	maps.Copy(out.attr, s.geometry)
	return &out
}

func parseDeclarations(text string) []declaration {
	var list []declaration
	for text != "" {
		var part string
		part, text = cutOutside(text, ';')
		name, value, ok := strings.Cut(part, ":")
		if !ok {
			continue
		}
		value = strings.TrimSpace(value)
		plain, important := value, false
		if i := strings.LastIndexByte(value, '!'); i >= 0 && strings.EqualFold(strings.TrimSpace(value[i+1:]), "important") {
			plain, important = strings.TrimSpace(value[:i]), true
		}
		list = append(list, declaration{strings.ToLower(strings.TrimSpace(name)), plain, important})
	}
	return list
}

// cutOutside cuts text at the first sep outside brackets and quotes.
func cutOutside(text string, sep byte) (before, after string) {
	depth, quote := 0, byte(0)
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '(':
			depth++
		case c == ')':
			depth--
		case c == sep && depth <= 0:
			return text[:i], text[i+1:]
		}
	}
	return text, ""
}
