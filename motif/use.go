package motif

import (
	"slices"
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// chosen reports whether a switch element takes e: its languages, if named, include
// English, and it asks for no extension.
func chosen(e *element) bool {
	if e.name == "" || strings.TrimSpace(e.attr["requiredExtensions"]) != "" {
		return false
	}
	lang, named := e.attr["systemLanguage"]
	if !named {
		return true
	}
	for _, l := range strings.Split(lang, ",") {
		if l = strings.ToLower(strings.TrimSpace(l)); l == "en" || strings.HasPrefix(l, "en-") {
			return true
		}
	}
	return false
}

// viewport draws a nested svg or a symbol of the given size.
func (d *drawing) viewport(e *element, p pen, width, height string) error {
	size := func(text string, full float64, a axis) float64 {
		if n, ok := p.view.length(text, a); ok {
			return n
		}
		return full
	}
	w, h := size(width, p.view.width, across), size(height, p.view.height, down)
	box, ok := parseViewBox(e.attr["viewBox"])
	if (width != "" || p.view.width > 0) && (height != "" || p.view.height > 0) && (w <= 0 || h <= 0) {
		return nil // SVG 2, 5.1.2: a size of zero or less draws nothing
	}
	x, _ := p.view.length(e.attr["x"], across)
	y, _ := p.view.length(e.attr["y"], down)
	if e.name == "symbol" {
		x, y = 0, 0
	}
	p.m = geom.Translation(geom.Vec{X: x, Y: y}).Then(p.m)
	fills, lines := len(d.fills), len(d.lines)
	frame := roundedRect(0, 0, w, h, 0, 0)
	m := p.m
	if ok && w > 0 && h > 0 {
		p.m = viewBoxMap(box, w, h, e.attr["preserveAspectRatio"]).Then(p.m)
		p.view.width, p.view.height = box.Width(), box.Height()
	} else {
		p.view.width, p.view.height = w, h
	}
	if err := d.children(e, p); err != nil {
		return err
	}
	if !p.style.overflow && w > 0 && h > 0 {
		d.clipFrom(fills, lines, clipArea{{path: transformPath(frame, m), isClip: true}})
	}
	return nil
}

// use draws the element that e refers to. References to other files are never
// followed.
func (d *drawing) use(e *element, p pen) error {
	id, local := strings.CutPrefix(strings.TrimSpace(e.attr["href"]), "#")
	if !local {
		d.notes.note("%s refers to another file, and is left out: copy the shape into the drawing", e.label())
		return nil
	}
	target := d.lookup[id]
	if target == nil {
		d.notes.note("%s refers to %q, which the drawing does not hold", e.label(), id)
		return nil
	}
	for up := e.parent; up != nil; up = up.parent {
		if up == target {
			return endless(e)
		}
	}
	var err error
	if p.uses, err = entered(p.uses, e); err != nil {
		return err
	}
	x, _ := p.view.length(e.attr["x"], across)
	y, _ := p.view.length(e.attr["y"], down)
	p.m = geom.Translation(geom.Vec{X: x, Y: y}).Then(p.m)
	switch target.name {
	case "symbol":
		if d.count++; d.count > maxElements {
			return tooMany()
		}
		p.style = d.sheet.styleOf(target, p.style)
		if p.style.gone || p.style.opacity == 0 {
			return nil
		}
		return d.viewport(target, p, e.attr["width"], e.attr["height"])
	case "svg":
		resized := *target
		resized.attr = make(map[string]string, len(target.attr)+2)
		for k, v := range target.attr {
			resized.attr[k] = v
		}
		for _, k := range []string{"width", "height"} {
			if v, ok := e.attr[k]; ok {
				resized.attr[k] = v
			}
		}
		return d.draw(&resized, p)
	}
	return d.draw(target, p)
}

// maxUses limits how deep references to references go.
const maxUses = 50

// entered returns uses with e added, and an error where e is in it already.
func entered(uses []*element, e *element) ([]*element, error) {
	if slices.Contains(uses, e) || len(uses) == maxUses {
		return nil, endless(e)
	}
	return append(slices.Clone(uses), e), nil
}

func endless(e *element) error {
	return say.Errorf("%s draws itself without end: replace its references by copies and save the drawing again", e.label())
}
