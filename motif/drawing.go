package motif

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"strew/motif/geom"
)

// drawing is an SVG file read as far as its curves: what is painted, in the
// order of painting, in millimetres of the page.
type drawing struct {
	fills  []shape
	lines  []shape  // drawn with a stroke and no fill
	page   geom.Box // empty where the drawing states no size
	notes  *notes
	lookup map[string]*element
	sheet  stylesheet
	count  int // elements walked, uses counted again
	steps  int // curves of all shapes, uses counted again
}

// shape is one painted outline.
type shape struct {
	from    string // the element, for messages
	path    []subpath
	evenOdd bool
	isClip  bool    // part of a clip path, which may reach far off the page
	colour  string  // "#rrggbb"
	stroke  float64 // width of its line in mm, 0 for none
	clips   []clipArea
}

// clipArea is a clip path: the union of its shapes.
type clipArea []shape

// notes gathers warnings; equal ones are counted.
type notes struct {
	text  []string
	count map[string]int
}

func (n *notes) add(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if n.count == nil {
		n.count = map[string]int{}
	}
	if n.count[text]++; n.count[text] == 1 {
		n.text = append(n.text, text)
	}
}

// maxNotes keeps a drawing with a fault in each of its paths from burying the
// first ones.
const maxNotes = 20

func (n *notes) list() []string {
	var out []string
	for i, text := range n.text {
		if i == maxNotes {
			return append(out, fmt.Sprintf("and %d more warnings of this kind", len(n.text)-i))
		}
		if c := n.count[text]; c > 1 {
			text += fmt.Sprintf(" (%d times)", c)
		}
		out = append(out, text)
	}
	return out
}

// pen is what an element inherits from those round it.
type pen struct {
	style style
	m     geom.Affine // to millimetres of the page
	view  viewport
	uses  []*element // references being followed, outermost first
}

// notCut names the elements that hold no outline, for warnings.
var notCut = map[string]string{
	"text": "text", "image": "an image", "foreignObject": "foreign content", "video": "video", "canvas": "a canvas", "iframe": "foreign content",
}

func readDrawing(root *element) (*drawing, error) {
	d := &drawing{notes: &notes{}, lookup: map[string]*element{}, sheet: readStylesheet(root), page: geom.EmptyBox()}
	d.index(root)
	m, view, err := d.rootMap(root)
	if err != nil {
		return nil, err
	}
	s := d.sheet.styleOf(root, rootStyle())
	if s.gone || s.opacity == 0 {
		return d, nil
	}
	view.font = s.font
	return d, d.children(root, pen{style: s, m: d.transform(root, s).Then(m), view: view})
}

func (d *drawing) index(e *element) {
	if id := e.attr["id"]; id != "" && d.lookup[id] == nil {
		d.lookup[id] = e
	}
	for _, c := range e.children {
		d.index(c)
	}
}

// rootMap returns the map from the root's user units to millimetres.
func (d *drawing) rootMap(root *element) (geom.Affine, viewport, error) {
	size := func(name string) (float64, error) {
		text := strings.TrimSpace(root.attr[name])
		if text == "" || text == "auto" || strings.HasSuffix(text, "%") {
			return 0, nil
		}
		n, ok := viewport{font: defaultFont}.length(text, either)
		if !ok {
			d.notes.add("the drawing's %s %q is no length and was passed over", name, shorten(text))
			return 0, nil
		}
		if n <= 0 {
			return 0, fmt.Errorf("the drawing's %s is %q, it must be more than zero: set the size of the page", name, shorten(text))
		}
		return n, nil
	}
	w, err := size("width")
	if err != nil {
		return geom.Affine{}, viewport{}, err
	}
	h, err := size("height")
	if err != nil {
		return geom.Affine{}, viewport{}, err
	}
	toMM := geom.Scaling(mmPerPx, mmPerPx)
	box, ok := parseViewBox(root.attr["viewBox"])
	if !ok {
		if v, given := root.attr["viewBox"]; given {
			d.notes.add("the drawing's viewBox %q cannot be read and was passed over", shorten(v))
		}
		if w > 0 && h > 0 {
			d.page = geom.Box{Max: geom.Vec{X: w * mmPerPx, Y: h * mmPerPx}}
		}
		return toMM, viewport{w, h, defaultFont}, nil
	}
	switch {
	case w == 0 && h == 0:
		w, h = box.Width(), box.Height()
	case w == 0:
		w = h * box.Width() / box.Height()
	case h == 0:
		h = w * box.Height() / box.Width()
	}
	d.page = geom.Box{Max: geom.Vec{X: w * mmPerPx, Y: h * mmPerPx}}
	return viewBoxMap(box, w, h, root.attr["preserveAspectRatio"]).Then(toMM), viewport{box.Width(), box.Height(), defaultFont}, nil
}

func (d *drawing) children(e *element, p pen) error {
	for _, c := range e.children {
		if err := d.draw(c, p); err != nil {
			return err
		}
	}
	return nil
}

// draw adds what e paints under pen p.
func (d *drawing) draw(e *element, p pen) error {
	if d.count++; d.count > maxElements || *d.sheet.steps > maxSteps {
		return tooMany()
	}
	if what, ok := notCut[e.name]; ok {
		d.notes.add("%s is left out: only shapes can be cut, so turn it into paths first", what)
		return nil
	}
	switch e.name {
	case "svg", "g", "a", "switch", "use", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
	default:
		return nil
	}
	p.style = d.sheet.styleOf(e, p.style)
	if p.style.gone || p.style.opacity == 0 {
		return nil
	}
	p.view.font = p.style.font
	p.m = d.transform(e, p.style).Then(p.m)
	for _, effect := range p.style.effects {
		d.notes.add("%s: its %s was passed over: felt is cut along the plain outline", e, effect)
	}
	fills, lines := len(d.fills), len(d.lines)
	if err := d.content(e, p); err != nil {
		return err
	}
	if p.style.clip != "" {
		return d.clip(e, p, fills, lines)
	}
	return nil
}

// transform returns the map that e's transform property asks for. One that
// cannot be read is none (SVG 2, 8.5).
func (d *drawing) transform(e *element, s style) geom.Affine {
	m, err := parseTransform(s.transform)
	if err != nil {
		d.notes.add("%s: %v and was passed over", e, err)
	}
	if s.origin != "" && s.transform != "" {
		d.notes.add("%s: its transform-origin was passed over: write the transform about the drawing's origin", e)
	}
	return m
}

func (d *drawing) content(e *element, p pen) error {
	switch e.name {
	case "g", "a":
		return d.children(e, p)
	case "switch":
		for _, c := range e.children {
			if chosen(c) {
				return d.draw(c, p)
			}
		}
		return nil
	case "svg":
		return d.viewport(e, p, e.attr["width"], e.attr["height"])
	case "use":
		return d.use(e, p)
	}
	return d.paint(e, p)
}

// chosen reports whether a switch may take e: its languages hold English or
// are not named, and it asks for no extension.
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

// use draws the element that e refers to. References leave the file nowhere.
func (d *drawing) use(e *element, p pen) error {
	id, local := strings.CutPrefix(strings.TrimSpace(e.attr["href"]), "#")
	if !local {
		d.notes.add("%s refers to another file, which is not followed: copy the shape into the drawing", e)
		return nil
	}
	target := d.lookup[id]
	if target == nil {
		d.notes.add("%s refers to %q, which the drawing does not hold", e, id)
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

// maxUses bounds how deep references lead from one to the next.
const maxUses = 50

// entered returns uses with e added, and an error where e is in it already.
func entered(uses []*element, e *element) ([]*element, error) {
	if slices.Contains(uses, e) || len(uses) == maxUses {
		return nil, endless(e)
	}
	return append(slices.Clone(uses), e), nil
}

func endless(e *element) error {
	return fmt.Errorf("%s draws itself without end: take its references apart and save the drawing again", e)
}

// paint adds a basic shape.
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
	path, fault := basicShape(e, p.view)
	if fault != "" {
		d.notes.add("%s: %s", e, fault)
	}
	if len(path) == 0 {
		return nil
	}
	for _, sub := range path {
		if d.steps += 1 + len(sub.curves); d.steps > maxPoints {
			return manyPoints()
		}
	}
	out := shape{from: e.String(), path: transformPath(path, p.m), evenOdd: s.evenOdd, isClip: d.sheet.clipping}
	if stroked {
		out.stroke = width * math.Sqrt(math.Abs(p.m.Det()))
	}
	for _, sub := range out.path {
		if !sub.finite() {
			return fmt.Errorf("%s holds a number too large to draw: look for a broken coordinate or transform", e)
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

// colour returns the plain colour that stands for a paint; ok is false where
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
			d.notes.add("%s is painted with %q, which the drawing does not hold, and is left out", e, shorten(paint))
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
				d.notes.add("%s is filled with a gradient, felt has one colour: its first colour %s was taken", e, colour)
				return colour, true
			}
		}
		next, _ := strings.CutPrefix(strings.TrimSpace(server.attr["href"]), "#")
		server = d.lookup[next]
	}
	if c, _, isColour := parseColour(fallback); isColour {
		return c, true
	}
	d.notes.add("%s is filled with a pattern, felt has one colour: black was taken", e)
	return "#000000", true
}

// cutURL parts `url("#id") rest`.
func cutURL(text string) (id, rest string) {
	_, text, _ = strings.Cut(text, "(")
	id, rest, _ = strings.Cut(text, ")")
	id = strings.Trim(strings.TrimSpace(id), `"'`)
	id, _ = strings.CutPrefix(id, "#")
	return id, strings.TrimSpace(rest)
}

// nothing says why a drawing without shapes has none.
func (d *drawing) nothing() error {
	for _, n := range d.notes.text {
		if strings.Contains(n, "only shapes can be cut") {
			return errors.New("the drawing holds only text and pictures, no shape to cut: turn them into paths, or trace the picture")
		}
	}
	return errors.New("the drawing holds no shape to cut: draw a closed, filled outline")
}
