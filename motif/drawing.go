package motif

import (
	"strings"

	"strew/motif/geom"
	"strew/motif/say"
)

// drawing is an SVG file read as far as its curves: what is painted, in painting
// order, in millimetres of the page.
type drawing struct {
	unsized bool // the page states neither width nor height
	uncut   bool // it holds text, pictures or the like, which cannot be cut
	fills   []shape
	lines   []shape  // drawn with a stroke and no fill
	page    geom.Box // empty where the drawing states no size
	notes   *notes
	lookup  map[string]*element
	sheet   stylesheet
	count   int // elements drawn, once for each use
	steps   int // curves of all shapes, once for each use
}

// shape is one painted outline.
type shape struct {
	from    say.Message // the element, in notes and errors
	id      string      // of the element, "" for none
	path    []subpath
	evenOdd bool
	isClip  bool    // part of a clip path, which may extend far off the page
	colour  string  // "#rrggbb"
	stroke  float64 // width of its line in mm, 0 for none
	clips   []clipArea
}

// clipArea is a clip path: the union of its shapes.
type clipArea []shape

// pen is what an element inherits from those that contain it.
type pen struct {
	style style
	m     geom.Affine // to millimetres of the page
	view  viewport
	uses  []*element // references being followed, outermost first
}

// notCut names the elements that hold no outline, for notes.
var notCut = map[string]say.Message{
	"text": say.New("text"), "image": say.New("an image"), "foreignObject": say.New("foreign content"),
	"video": say.New("a video"), "canvas": say.New("a canvas"), "iframe": say.New("foreign content"),
}

// readDrawing reads what an SVG document paints.
func readDrawing(root *element) (*drawing, error) {
	n := &notes{}
	d := &drawing{notes: n, lookup: map[string]*element{}, sheet: readStylesheet(root, n), page: geom.EmptyBox()}
	d.index(root)
	s := d.sheet.styleOf(root, rootStyle())
	m, view, err := d.rootMap(s.placed(root))
	if err != nil {
		return nil, err
	}
	if s.gone || s.opacity == 0 {
		return d, nil
	}
	view.font = s.font
	return d, d.children(root, pen{style: s, m: d.transform(root, s, view).Then(m), view: view})
}

// index fills lookup with the elements that have an id; the first of an id counts.
func (d *drawing) index(e *element) {
	if id := e.attr["id"]; id != "" && d.lookup[id] == nil {
		d.lookup[id] = e
	}
	for _, c := range e.children {
		d.index(c)
	}
}

// rootMap returns the map from the root's user units to millimetres, and its
// viewport. It sets the page.
func (d *drawing) rootMap(root *element) (geom.Affine, viewport, error) {
	size := func(name string) (float64, error) {
		text := strings.TrimSpace(root.attr[name])
		if text == "" || text == "auto" || strings.HasSuffix(text, "%") {
			return 0, nil
		}
		n, ok := viewport{font: defaultFont}.length(text, either)
		if !ok {
			d.notes.note("the drawing's %s %q is not a length and was ignored", name, shorten(text))
			return 0, nil
		}
		if n <= 0 {
			return 0, say.Errorf("the drawing's %s is %q, and must be more than zero: set the size of the page", name, shorten(text))
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
	d.unsized = w == 0 && h == 0
	toMM := geom.Scaling(mmPerPx, mmPerPx)
	box, ok := parseViewBox(root.attr["viewBox"])
	if !ok {
		if v, given := root.attr["viewBox"]; given {
			d.notes.note("the drawing's viewBox %q cannot be read and was ignored", shorten(v))
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
	what, foreign := notCut[e.name]
	switch e.name {
	case "svg", "g", "a", "switch", "use", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
	default:
		if !foreign {
			return nil
		}
	}
	p.style = d.sheet.styleOf(e, p.style)
	if p.style.gone || p.style.opacity == 0 {
		return nil
	}
	if foreign {
		d.uncut = true
		d.notes.note("%s is left out: only shapes can be cut, so turn it into paths first", what)
		return nil
	}
	p.view.font = p.style.font
	e = p.style.placed(e)
	p.m = d.transform(e, p.style, p.view).Then(p.m)
	for _, effect := range p.style.effects {
		d.notes.note("%s: its %s was ignored: felt is cut along the plain outline", e.label(), effect)
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

// transform returns the map of e's transform property; the identity where it
// cannot be read (SVG 2, 8.5).
func (d *drawing) transform(e *element, s style, v viewport) geom.Affine {
	m, ok := parseTransform(s.transform)
	if !ok {
		d.notes.note("%s: the transform %q cannot be read and was ignored", e.label(), shorten(s.transform))
	}
	if s.origin == "" || s.transform == "" {
		return m
	}
	// A transform-box such as fill-box would need the box of the shape.
	o, known := v.origin(s.origin)
	if !known || s.box != "" && s.box != "view-box" {
		d.notes.note("%s: its transform-origin was ignored: write the transform about the drawing's origin", e.label())
		return m
	}
	return geom.Translation(o.Mul(-1)).Then(m).Then(geom.Translation(o))
}

// content adds what e itself paints, its clip path aside.
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

// nothing says why a drawing without shapes has none.
func (d *drawing) nothing() error {
	if d.uncut {
		return say.Errorf("the drawing holds only text and pictures, no shape to cut: turn them into paths, or trace the picture")
	}
	return say.Errorf("the drawing holds no shape to cut: draw a closed, filled outline")
}
